package money

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// isThousand tells whether phrase i multiplies the sum before it. One that is
// a measure too, the "m" of "£1.2m", does so beside a currency only, or in
// capitals.
func (r *reader) isThousand(i int, s sum, signed bool) bool {
	p := r.items[i].phrase
	if !p.is(kindThousand) || !r.gap(s.end, r.items[i].start, reach, " .") {
		return false
	}
	if !p.is(kindMeasure) || signed {
		return true
	}
	return !r.running && unicode.IsUpper(r.written[r.items[i].start]) ||
		i+1 < len(r.items) && r.items[i+1].is(kindCurrency) && r.gap(r.items[i].end, r.items[i+1].start, 1, " ")
}

// takeMinor takes a word for cents behind the sum.
func (r *reader) takeMinor(s *sum, i int) {
	if i >= len(r.items) || !r.items[i].is(kindMinor) || r.items[i].taken || s.times > 1 || len(s.number.groups[0]) > 3 || s.signed && (s.end == r.items[i].start || s.number.cents()) || !r.gap(s.end, r.items[i].start, 1, " ") {
		return
	}
	p := r.items[i].phrase
	s.minor, s.end = true, r.items[i].end
	r.items[i].taken = true
	if s.signed {
		return
	}
	s.signed = true
	meanings := slices.DeleteFunc(p.meanings(kindMinor), func(c string) bool { return len(c) != codeLetters || c == anyCurrency })
	if len(meanings) == 0 {
		return
	}
	s.currency = settle("", meanings, r.h)
	s.told = s.currency != Unsettled
	s.unsettled = !s.told
}

// anyCurrency is what cents of many currencies stand for.
const anyCurrency = "any"

// joinParts makes one sum of two that follow each other as parts of one: "1
// million 250 thousand", "12万8000円", "5 zł 99 gr".
func (r *reader) joinParts() {
	var joined []sum
	for _, s := range r.sums {
		if n := len(joined); n > 0 {
			a := &joined[n-1]
			touch := s.start == a.end
			near := touch || r.gap(a.end, s.start, 2, " ")
			parts := near && a.times > 1 && s.value >= 0 && s.value < a.times && !(a.signed && a.end > a.number.end && s.signed) &&
				(s.times > 1 && s.times < a.times || touch && unspaced(r.text[a.end-1]))
			cents := near && a.signed && !a.minor && s.minor && a.times == 1 && s.value < 1 && a.end > a.number.end && !a.number.cents()
			if parts || cents {
				a.value += s.value
				a.end = s.end
				if !a.signed || a.currency == "" {
					a.currency, a.told, a.signed, a.unsettled = s.currency, s.told, s.signed, s.unsettled
				}
				continue
			}
		}
		joined = append(joined, s)
	}
	r.sums = joined
}

// strayBefore tells whether phrase i, a currency of one letter before a
// number, is none: it is not in capitals, or the number is small and not the
// only one of the text.
func (r *reader) strayBefore(i int, s sum) bool {
	p := r.items[i].phrase
	if !p.small() {
		return false
	}
	if !slices.ContainsFunc(p.uses, func(u use) bool { return u.kind == kindCurrency && u.capitals != "" }) {
		return true
	}
	rest := string(r.text[:r.items[i].start]) + string(r.text[s.number.end:])
	return !s.number.written() && len(s.number.groups[0]) < 3 && strings.ContainsAny(rest, "0123456789")
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
		if c, ok := r.w.exact(rest); ok && (len(rest) > 1 || rest[0] > 'z' || rest[0] == '$') && c.is(kindCurrency) {
			r.setCurrency(s, c)
			return
		}
	}
}

// tail reads the digits that touch the thousands of number i: the 5 of "4k5".
func (r *reader) tail(i int) (float64, bool) {
	if i+2 >= len(r.items) || !r.items[i+1].is(kindThousand) || !r.items[i+1].taken || !r.items[i+2].isNumber || unspaced(r.items[i+1].phrase.form[0]) {
		return 0, false
	}
	n := r.items[i+2].number
	if r.items[i+1].start != r.items[i].end || r.items[i+1].end != n.start || len(n.groups) > 1 || len(n.groups[0]) > 3 {
		return 0, false
	}
	v, err := strconv.ParseFloat("0."+n.groups[0], 64)
	return v, err == nil
}

// centsBehind reads the two digits behind item i, the sign of a sum or its
// number, that are its cents: "24€95", or on a line of their own at the end.
func (r *reader) centsBehind(s sum, signLast bool, i int) (float64, bool) {
	if !s.signed || s.minor || s.times > 1 || len(s.number.marks) > 0 && strings.ContainsRune(".,", s.number.marks[len(s.number.marks)-1]) && len(s.number.groups[len(s.number.groups)-1]) != 3 {
		return 0, false
	}
	if i+1 >= len(r.items) || !r.items[i+1].isNumber {
		return 0, false
	}
	next := &r.items[i+1]
	touches := signLast && s.end == next.start && s.number.end+1 == s.end
	apart := !signLast && next.start == s.end+1 && r.text[s.end] == '\n' && next.end == len(r.text)
	if !touches && !apart || len(next.number.groups) > 1 || len(next.number.groups[0]) != 2 || next.number.dash != "" {
		return 0, false
	}
	if next.end < len(r.text) && (r.text[next.end] == ' ' || unicode.IsLetter(r.text[next.end])) && i+2 < len(r.items) && r.items[i+2].is(kindCurrency) && r.gap(next.end, r.items[i+2].start, 1, " ") {
		return 0, false // another sum
	}
	v, err := strconv.ParseFloat("0."+next.number.groups[0], 64)
	next.taken = true
	return v, err == nil
}
