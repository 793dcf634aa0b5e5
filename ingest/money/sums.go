package money

import (
	"math"
	"strconv"
	"strings"
)

// A sum is a number of the text with what belongs to it.
type sum struct {
	start, end int // with its currency and its thousands
	number     number
	value      float64 // in major units
	high       float64 // of a range, else 0
	times      float64 // 1, or 1000 after "k"
	currency   string
	told       bool   // the text tells the currency
	signed     bool   // its currency stands beside it
	unsettled  bool   // its sign may stand for several
	role       string // the kind of phrase that governs it, "" if it may be the price
	after      bool   // the governing phrase stands after it
}

// findSums gives each number its thousands and its currency: the sign before
// it unless that is another number's, else the one after.
func (r *reader) findSums() {
	for i, it := range r.items {
		if !it.isNumber || it.taken {
			continue
		}
		s := sum{start: it.start, end: it.end, number: it.number, times: 1}
		next := i + 1
		if next < len(r.items) && r.items[next].is(kindThousand) && r.gap(it.end, r.items[next].start, reach, " .") {
			r.takeThousand(&s, next)
			next++
		}
		sign := -1
		switch {
		case i > 0 && r.items[i-1].is(kindCurrency) && !r.items[i-1].taken && r.gap(r.items[i-1].end, it.start, reach, " .:-/("):
			sign = i - 1
			s.start = r.items[sign].start
		case next < len(r.items) && r.items[next].is(kindCurrency) && r.gap(s.end, r.items[next].start, reach, " .:-/("):
			sign = next
			s.end = r.items[sign].end
		}
		if sign >= 0 {
			r.items[sign].taken = true
			r.setCurrency(&s, r.items[sign].phrase)
		}
		if s.currency == "" && !s.unsettled {
			r.guessCurrency(&s)
		}
		value, ok := s.number.value(r.h.Marks, s.currency)
		if !ok {
			continue
		}
		s.value = value * s.times
		if fives, ok := r.tail(i); ok { // "4k5"
			s.value += fives * s.times
			s.end = r.items[i+2].end
			r.items[i+2].taken = true
		}
		if r.negative(s) {
			s.value = -s.value
		}
		r.sums = append(r.sums, s)
	}
}

// takeThousand makes the phrase part of the sum; a phrase such as "T€" tells
// the currency too.
func (r *reader) takeThousand(s *sum, i int) {
	p := r.items[i].phrase
	s.times = 1000
	if n, err := strconv.ParseFloat(p.meanings(kindThousand)[0], 64); err == nil && n > 0 {
		s.times = n
	}
	s.end = r.items[i].end
	r.items[i].taken = true
	for from := 1; from < len(p.form); from++ {
		rest := p.form[from:]
		if c, ok := r.w.exact(rest); ok && (len(rest) > 1 || rest[0] > 'z' || rest[0] == '$') && len(c.meanings(kindCurrency)) > 0 {
			r.setCurrency(s, c)
			return
		}
	}
}

// tail reads the digits that touch the thousands of number i: the 5 of "4k5".
func (r *reader) tail(i int) (float64, bool) {
	if i+2 >= len(r.items) || !r.items[i+1].is(kindThousand) || !r.items[i+2].isNumber {
		return 0, false
	}
	n := r.items[i+2].number
	if r.items[i+1].start != r.items[i].end || r.items[i+1].end != n.start || len(n.groups) > 1 || len(n.groups[0]) > 3 {
		return 0, false
	}
	v, err := strconv.ParseFloat("0."+n.groups[0], 64)
	return v, err == nil
}

func (r *reader) setCurrency(s *sum, sign phrase) {
	s.currency = settle(string(sign.form), sign.meanings(kindCurrency), r.h)
	s.signed = true
	s.told = s.currency != ""
	s.unsettled = !s.told
}

// guessCurrency takes the one currency that the text names anywhere, else the
// hinted one, else one that a dash such as ",-" stands for.
func (r *reader) guessCurrency(s *sum) {
	found := ""
	for _, it := range r.items {
		if !it.is(kindCurrency) {
			continue
		}
		c := settle(string(it.phrase.form), it.phrase.meanings(kindCurrency), r.h)
		if c == "" || found != "" && found != c {
			found = ""
			break
		}
		found = c
	}
	switch {
	case found != "" && !r.running:
		s.currency, s.told = found, true
	case r.h.Currency != "":
		s.currency = r.h.Currency
	default:
		if p, ok := r.w.exact([]rune(s.number.dash)); ok && len(p.meanings(kindCurrency)) == 1 {
			s.currency = p.meanings(kindCurrency)[0]
		}
	}
}

// negative tells whether a minus stands before the sum: touching it, after
// nothing or a space, and not between two numbers.
func (r *reader) negative(s sum) bool {
	for _, at := range []int{s.start, s.number.start} {
		if at == 0 || r.text[at-1] != '-' {
			continue
		}
		before := strings.TrimRight(string(r.text[:at-1]), " (:")
		if before == "" || len(before) < len(string(r.text[:at-1])) && !isDigit(rune(before[len(before)-1])) {
			return true
		}
		if at == s.number.start && at-1 == s.start+1 { // a sign of one character, then the minus: "€-50"
			return true
		}
	}
	return false
}

// choose picks the sum that is asked, with what is doubtful about it; nil,
// with the reason, where there is none.
func (r *reader) choose() (*sum, Reading) {
	sums := r.candidates()
	if len(sums) == 0 {
		if len(r.sums) > 0 && r.sums[0].role != "" {
			return nil, Reading{Reason: "only an amount that is not asked now"}
		}
		return nil, Reading{Reason: "no amount"}
	}
	best, bestScore := -1, math.MinInt
	for i, s := range sums {
		if score := r.score(s); score > bestScore {
			best, bestScore = i, score
		}
	}
	chosen := sums[best]
	var reading Reading
	doubt := func(reason string) { reading.Ambiguous, reading.Reason = true, reason }
	for i, s := range sums {
		if i != best && s.value != chosen.value && r.score(s) == bestScore {
			if s.told && chosen.told && s.currency != chosen.currency {
				if s.currency == r.h.Currency {
					chosen, best = s, i
				}
				continue
			}
			doubt("several amounts, the first is taken")
		}
	}
	if chosen.number.doubtful(r.h.Marks, chosen.currency) {
		doubt("thousands, though the file marks decimals so")
	}
	if chosen.unsettled {
		doubt("the currency's sign may stand for several")
	}
	if chosen.high > 0 {
		doubt("a range, its lower end is taken")
	}
	return &chosen, reading
}

// candidates are the sums that no phrase governs, ranges joined. Numbers that
// begin with 0, as telephone numbers do, are none. A sum followed by words
// about delivery is one after all where there is no other.
func (r *reader) candidates() []sum {
	var sums, other []sum
	for _, s := range r.sums {
		switch {
		case s.number.groups[0][0] == '0' && len(s.number.groups[0]) > 3:
		case r.running && r.score(s) < beside:
		case s.role == "":
			sums = append(sums, s)
		case s.role == kindDelivery && s.after:
			other = append(other, s)
		}
	}
	if len(sums) == 0 {
		sums = other
	}
	sums = r.joinRanges(sums)
	real := make([]sum, 0, len(sums))
	for _, s := range sums {
		if _, joke := r.w.placeholders[s.value]; !joke {
			real = append(real, s)
		}
	}
	if len(real) > 0 {
		return real
	}
	return sums
}

// joinRanges makes one sum of two with a dash between, not too far apart: "3-4k".
func (r *reader) joinRanges(sums []sum) []sum {
	var joined []sum
	for _, s := range sums {
		if len(joined) > 0 {
			a := joined[len(joined)-1]
			low := a.value
			if s.times > 1 && a.times == 1 && low < 1000 {
				low *= s.times
			}
			between := ""
			if a.end <= s.start {
				between = string(r.text[a.end:s.start])
			}
			dash := strings.Trim(between, " .-") == "" && strings.Contains(between, "-")
			yearFirst := a.mayBeYear() && !s.mayBeYear() && strings.Contains(between, " ")
			if dash && !yearFirst && low < s.value && s.value <= 3*low {
				a.value, a.high, a.end = low, s.value, s.end
				if !a.signed {
					a.currency, a.told, a.signed, a.unsettled = s.currency, s.told, s.signed, s.unsettled
				}
				joined[len(joined)-1] = a
				continue
			}
		}
		joined = append(joined, s)
	}
	return joined
}

const (
	hasSign = 16
	beside  = 8 // a price term stands beside it
)

// score ranks a sum as a price: one with a currency before one beside a price
// term, before one that is written as sums are, before a bare number, before
// what may be a year.
func (r *reader) score(s sum) int {
	score := 0
	if s.signed {
		score += hasSign
	}
	if start, end := r.widen(s.start, s.end); r.terms(start, end, true) != "" {
		score += beside
	}
	if s.number.written() || s.times > 1 {
		score += 2
	}
	if s.value >= 100 {
		score++
	}
	if s.mayBeYear() {
		score -= 2
	}
	return score
}

func (s sum) mayBeYear() bool {
	return !s.signed && !s.number.written() && s.times == 1 && s.value >= century && s.value < century+100
}
