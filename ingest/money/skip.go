package money

import (
	"regexp"
	"strings"
)

// Shapes of figures that are no sums: days, times of day, sizes of two
// numbers, and telephone numbers.
var (
	dayShape   = regexp.MustCompile(`^(?:[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}|[0-9]{1,2}[/-][0-9]{1,2}[/-](?:[0-9]{4}|[0-9]{2}))(?:[^0-9]|$)`)
	timeShape  = regexp.MustCompile(`^[0-9]{1,2}:[0-9]{2}(?:[^0-9:-]|$)`)
	sizeShape  = regexp.MustCompile(`^[0-9]{1,4}(?:[.,][0-9]+)? ?[x×/] ?[0-9]{1,4}(?:[.,][0-9]+)?`)
	phoneShape = regexp.MustCompile(`^(?:\+[0-9]|0[0-9]|\(0[0-9]|\([0-9]{3}\) )[0-9 ()/.-]{5,20}`)
)

// How many digits a telephone number has at least, and how many runes of a
// text are looked at for one of these shapes.
const (
	leastPhone = 7
	shapeReach = 28
)

// noSum gives where the figures end that begin at text[i] and are no sum, or i.
func (r *reader) noSum(i int) int {
	c := r.text[i]
	if !isDigit(c) && c != '+' && c != '(' || i > 0 && (isDigit(r.text[i-1]) || r.text[i-1] == '.' || r.text[i-1] == ',') {
		return i
	}
	ahead := string(r.text[i:min(len(r.text), i+shapeReach)])
	if c != '+' && c != '(' {
		for _, shape := range []*regexp.Regexp{dayShape, timeShape} {
			if found := shape.FindString(ahead); found != "" {
				return i + len(strings.TrimRightFunc(found, func(r rune) bool { return !isDigit(r) }))
			}
		}
	}
	if found := phoneShape.FindString(ahead); found != "" && digits(found) >= leastPhone {
		return i + len(strings.TrimRight(found, " ()/.-"))
	}
	if found := []rune(sizeShape.FindString(ahead)); len(found) > 0 && !r.signedAt(i, i+len(found)) {
		return i + len(found)
	}
	return i
}

// signedAt tells that a currency stands beside a stretch.
func (r *reader) signedAt(start, end int) bool {
	if n := len(r.items); n > 0 && r.items[n-1].is(kindCurrency) && r.gap(r.items[n-1].end, start, reach, " .:") {
		return true
	}
	for end < len(r.text) && r.text[end] == ' ' {
		end++
	}
	if end == len(r.text) {
		return false
	}
	p, _, ok := r.w.match(r.text, end)
	return ok && len(p.meanings(kindCurrency)) > 0
}

func digits(s string) int {
	n := 0
	for _, c := range s {
		if isDigit(c) {
			n++
		}
	}
	return n
}

// dropMeasures takes out the numbers that count or measure something, "16 ft"
// or "3 bids", and where there are such, the small ones beside them. A sum
// with a currency is none.
func (r *reader) dropMeasures() {
	measured := map[int]bool{}
	for i := range r.sums {
		s := &r.sums[i]
		k := r.itemAt(s.end)
		if !s.signed && s.times == 1 && s.number.dash == "" && k < len(r.items) && r.items[k].is(kindMeasure) && r.gap(s.end, r.items[k].start, 1, " ") && (s.value < 100 || !r.items[k].phrase.small()) {
			measured[i] = true
		}
	}
	if len(measured) == 0 {
		return
	}
	var kept []sum
	for i, s := range r.sums {
		if !measured[i] && (s.signed || s.value >= 100) {
			kept = append(kept, s)
		}
	}
	r.sums = kept
}
