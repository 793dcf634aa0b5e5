package money

import (
	"math"
	"slices"
	"strings"
)

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
		if s.score > bestScore {
			best, bestScore = i, s.score
		}
	}
	chosen := sums[best]
	var reading Reading
	doubt := func(reason string) { reading.Ambiguous, reading.Reason = true, reason }
	for i, s := range sums {
		if i != best && s.value != chosen.value && s.score == bestScore {
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
// about delivery is one after all where there is no other, and so is one by
// the kilogram or net of tax.
func (r *reader) candidates() []sum {
	var sums, other []sum
	for _, s := range r.sums {
		s.score = r.score(s)
		switch {
		case s.number.groups[0][0] == '0' && len(s.number.groups[0]) > 3:
		case !r.running && !s.signed && s.times == 1 && !s.number.written() && len(s.number.groups[0]) >= mostBare:
		case s.role == "":
			sums = append(sums, s)
		case s.alone || s.role == kindDelivery && s.after && !r.added(s):
			other = append(other, s)
		}
	}
	if len(sums) == 0 {
		sums = other
	}
	sums = r.joinRanges(sums)
	sums = r.dropStruck(sums)
	if r.running {
		sums = slices.DeleteFunc(sums, func(s sum) bool { return s.score < beside })
	}
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

// added tells whether a plus stands before a sum.
func (r *reader) added(s sum) bool {
	return strings.HasSuffix(strings.TrimRight(string(r.text[:s.start]), " "), "+")
}

// mostBare is the digits at which a number without groups and a currency is
// that of an article, or a telephone's.
const mostBare = 8

// joinRanges makes one sum of two with a dash or a word like "to" between, not
// too far apart: "3-4k". Of a higher and a lower one with "to" between, the
// lower is what is asked now.
func (r *reader) joinRanges(sums []sum) []sum {
	var joined []sum
	for _, s := range sums {
		if len(joined) > 0 {
			a := joined[len(joined)-1]
			low := a.value
			if s.times > 1 && a.times == 1 && low < 1000 {
				low *= s.times
			}
			dash, to := r.between(a, s)
			if to && s.value < a.value && a.value < mostCut*s.value && !s.mayBeYear() {
				joined[len(joined)-1] = s
				continue
			}
			if to && !r.running && a.value < 4 && !a.signed && a.times == 1 && s.times == 1 && s.signed { // "3 for £5"
				joined[len(joined)-1] = s
				continue
			}
			yearFirst := a.mayBeYear() && !s.mayBeYear() && dash && slices.Contains(r.text[a.end:s.start], ' ')
			if (dash || to) && !yearFirst && low < s.value && s.value <= r.widest(a, s)*low {
				a.value, a.high, a.end = low, s.value, s.end
				if !a.signed {
					a.currency, a.told, a.signed, a.unsettled = s.currency, s.told, s.signed, s.unsettled
				}
				a.score = max(a.score, s.score)
				joined[len(joined)-1] = a
				continue
			}
		}
		joined = append(joined, s)
	}
	return joined
}

// widest tells how many times the lower end of a range the upper one may be.
func (r *reader) widest(a, b sum) float64 {
	switch {
	case r.running:
		return 3
	case a.signed && b.signed || a.number.cents():
		return 100
	}
	return 10
}

// dropStruck drops the higher of two sums of one currency with nothing between
// them: the former price and what is asked now, whichever stands first.
func (r *reader) dropStruck(sums []sum) []sum {
	var kept []sum
	for _, s := range sums {
		if n := len(kept); n > 0 {
			a := &kept[n-1]
			if a.signed && s.signed && a.currency == s.currency && a.high == 0 && s.high == 0 && a.end <= s.start && strings.Trim(string(r.text[a.end:s.start]), " \n~") == "" {
				switch {
				case s.value < a.value && a.value <= mostCut*s.value:
					*a = s
					continue
				case a.value <= s.value && s.value <= mostCut*a.value:
					continue
				}
			}
		}
		kept = append(kept, s)
	}
	return kept
}

// mostCut bounds how many times what is asked now a former price may be.
const mostCut = 4

// between tells whether a dash joins two sums, or a word like "to" alone.
func (r *reader) between(a, b sum) (dash, to bool) {
	if b.start < a.end {
		return false, false
	}
	text := string(r.text[a.end:b.start])
	if strings.Trim(text, " .-") == "" {
		return strings.Contains(text, "-"), false
	}
	i := r.itemAt(a.end)
	if i >= len(r.items) || !r.items[i].is(kindRange) || !r.gap(a.end, r.items[i].start, reach, " .-") || !r.gap(r.items[i].end, b.start, reach, " .:") {
		return false, false
	}
	meanings := r.items[i].phrase.meanings(kindRange)
	if slices.Contains(meanings, "to") {
		return false, true
	}
	first := r.itemAt(a.start) - 1
	return false, slices.Contains(meanings, "and") && first >= 0 &&
		slices.Contains(r.items[first].phrase.meanings(kindRange), "between") && r.gap(r.items[first].end, a.start, reach, " :")
}

const (
	isAsked = 32 // words like "now" stand before it
	hasSign = 16
	beside  = 8 // a price term stands beside it
)

// score ranks a sum as a price: one with a currency before one beside a price
// term, before one that is written as sums are, before a bare number, before
// what may be a year.
func (r *reader) score(s sum) int {
	score := 0
	if s.now {
		score += isAsked
	}
	if s.signed {
		score += hasSign
	}
	if start, end := r.widen(s.start, s.end); r.running && s.number.dash != "" || r.priceTerm(start, end) {
		score += beside
	}
	if s.number.written() || s.times > 1 {
		score += 2
	}
	if s.value >= 100 && !s.signed {
		score++
	}
	if s.mayBeYear() {
		score -= 2
	}
	return score
}

// priceTerm tells whether a stretch holds a term that makes a bare number a
// price. In running text "3 offers" or "Wanted (6)" does not.
func (r *reader) priceTerm(start, end int) bool {
	term := r.terms(start, end, true)
	return term == "fixed" || term == "negotiable" || term != "" && !r.running
}

func (s sum) mayBeYear() bool {
	return !s.signed && !s.number.written() && s.times == 1 && s.value >= century && s.value < century+100
}
