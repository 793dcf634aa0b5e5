package money

import (
	"maps"
	"regexp"
	"slices"
	"strings"
)

// Shapes of figures that are no sums: days, times of day, sizes of two
// numbers, and telephone numbers.
var (
	dayShape    = regexp.MustCompile(`^(?:[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}|[0-9]{1,2}\. [0-9]{1,2}\. (?:19|20)[0-9]{2}|[0-9]{1,2}[/-][0-9]{1,2}[/-](?:[0-9]{4}|[0-9]{2}))(?:[^0-9]|$)`)
	timeShape   = regexp.MustCompile(`^[0-9]{1,2}:[0-9]{2}(?:[^0-9:-]|-[0-9]{1,2}:|$)`)
	ratingShape = regexp.MustCompile(`^[0-9][.,][0-9] ?\([0-9.,]+\)`)
	pairsShape  = regexp.MustCompile(`^[0-9]{2}(?:[ .-][0-9]{2}){3,5}(?:[^0-9.,]|$)`)
	localShape  = regexp.MustCompile(`^(?:1[ .-])?[0-9]{3}[.-][0-9]{3}[.-][0-9]{4}(?:[^0-9]|$)|^[0-9]{3}-0[0-9]{3}(?:[^0-9]|$)`)
	placeShape  = regexp.MustCompile(`^(?:[0-9]{5} \p{Lu}\p{Ll}+|[0-9]{4} [A-Z]{2} \p{Lu}\p{Ll}+)`)
	sizeShape   = regexp.MustCompile(`^[0-9]{1,4}(?:[.,][0-9]+)? ?[x×/] ?[0-9]{1,4}(?:[.,][0-9]+)?`)
	phoneShape  = regexp.MustCompile(`^(?:\+[0-9]|0[0-9]|\(0[0-9]|\([0-9]{3}\) )[0-9 ()/.-]{5,20}`)
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
		for _, shape := range []*regexp.Regexp{dayShape, timeShape, ratingShape, pairsShape, localShape} {
			if found := shape.FindString(ahead); found != "" {
				return i + len(strings.TrimRightFunc(found, func(r rune) bool { return !isDigit(r) }))
			}
		}
	}
	if found := phoneShape.FindString(ahead); found != "" && digits(found) >= leastPhone {
		return i + len(strings.TrimRight(found, " ()/.-"))
	}
	if !r.running && r.placeAt(i) {
		return i + len(strings.TrimRightFunc(ahead[:5], func(c rune) bool { return !isDigit(c) }))
	}
	if found := []rune(sizeShape.FindString(ahead)); len(found) > 0 && !r.signedAt(i, i+len(found)) {
		return i + len(found)
	}
	return i
}

// placeAt tells whether a postcode and the name of a place begin at text[i]:
// five digits, or four and two letters, at the beginning or behind a comma, and
// a word that is none about prices.
func (r *reader) placeAt(i int) bool {
	if i > 0 && strings.Trim(string(r.text[max(0, i-2):i]), " ,\n(") != "" {
		return false
	}
	found := []rune(placeShape.FindString(string(r.written[i:min(len(r.text), i+shapeReach)])))
	if len(found) == 0 {
		return false
	}
	word := i + slices.Index(found, ' ') + 1
	_, _, known := r.phraseAt(word)
	return !known
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
	p, _, ok := r.phraseAt(end)
	return ok && len(p.meanings(kindCurrency)) > 0 && !p.small()
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
// with a currency is none, unless the sign may be the measure: the "ft" of
// forints.
func (r *reader) dropMeasures() {
	measured := map[int]bool{}
	for i := range r.sums {
		s := &r.sums[i]
		if s.times > 1 || s.number.dash != "" {
			continue
		}
		k := r.itemAt(s.end)
		behind := k < len(r.items) && r.items[k].is(kindMeasure) && r.gap(s.end, r.items[k].start, 1, " ")
		switch {
		case !s.signed && behind:
			measured[i] = s.value < 100 || !r.items[k].phrase.small()
		case s.signed && k > 0 && s.end > s.number.end && r.items[k-1].is(kindMeasure) && !s.minor:
			measured[i] = s.value < 100 && !s.number.written()
		}
	}
	if !slices.Contains(slices.Collect(maps.Values(measured)), true) {
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

// dropDays takes out the days and years beside the name of a month.
func (r *reader) dropDays() {
	r.sums = slices.DeleteFunc(r.sums, func(s sum) bool {
		if s.signed || s.times > 1 || s.number.written() || s.value > 31 && !s.mayBeYear() {
			return false
		}
		k := r.itemAt(s.end)
		return k < len(r.items) && r.items[k].is(kindMonth) && r.gap(s.end, r.items[k].start, reach, " .") ||
			k > 1 && r.items[k-2].is(kindMonth) && r.gap(r.items[k-2].end, s.start, reach, " .,")
	})
}
