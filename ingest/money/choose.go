package money

import (
	"math"
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
// about delivery is one after all where there is no other.
func (r *reader) candidates() []sum {
	var sums, other []sum
	for _, s := range r.sums {
		s.score = r.score(s)
		switch {
		case s.number.groups[0][0] == '0' && len(s.number.groups[0]) > 3:
		case r.running && s.score < beside:
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
				a.score = max(a.score, s.score)
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
