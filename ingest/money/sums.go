package money

import (
	"math"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/currency"
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
	minor      bool   // in cents
	alone      bool   // it is asked where no other is, though a phrase governs it
	now        bool   // words like "now" stand before it
	score      int    // how much it looks like a price
}

// findSums gives each number its thousands and its currency: the sign before
// it unless that is another number's, else the one after.
func (r *reader) findSums() {
	for i, it := range r.items {
		if !it.isNumber || it.taken {
			continue
		}
		s := sum{start: it.start, end: it.end, number: it.number, times: 1}
		before := i > 0 && r.items[i-1].is(kindCurrency) && !r.items[i-1].taken && r.gap(r.items[i-1].end, it.start, reach, " .:-/(\n") && !r.joinsSums(i-1) && !r.strayBefore(i-1, s)
		if !before && i > 0 && r.items[i-1].end == it.start && r.items[i-1].phrase.small() && !r.items[i-1].taken { // "R16"
			continue
		}
		next := i + 1
		if next < len(r.items) && r.isThousand(next, s, before) {
			r.takeThousand(&s, next)
			next++
		}
		sign := -1
		switch {
		case before:
			sign = i - 1
			s.start = r.items[sign].start
		case next < len(r.items) && r.items[next].is(kindCurrency) && r.gap(s.end, r.items[next].start, reach, " .:-/(") && !r.joinsSums(next) && !r.leads(next, s) && !r.stray(next, s):
			sign = next
			s.end = r.items[sign].end
		}
		if sign >= 0 {
			r.items[sign].taken = true
			r.setCurrency(&s, r.items[sign].phrase)
			r.refineCurrency(&s, r.items[sign].phrase)
		}
		r.takeMinor(&s, next)
		if sign < 0 && !s.minor && r.code != "" {
			s.currency, s.told, s.signed = r.code, true, true
		}
		switch {
		case s.currency != "":
		case r.foreignSign(s):
			s.currency, s.unsettled = Unsettled, true
		default:
			r.guessCurrency(&s)
		}
		marks := r.h.Marks
		if s.times > 1000 && len(s.number.marks) == 1 && s.number.mayBeThousands() && (s.times > 1e4 || s.number.marks[0] == '.') { // "1.275 million"
			marks = Marks{Decimal: s.number.marks[0], Long: true}
		}
		value, ok := s.number.value(marks, s.currency)
		if !ok {
			continue
		}
		if value >= 1000 && s.times == 1000 { // "4.900 k.k." means no millions
			s.times = 1
		}
		s.value = value * s.times
		if s.minor {
			s.value /= math.Pow10(MinorDigits(s.currency))
		}
		if fives, ok := r.tail(i); ok { // "4k5"
			s.value += fives * s.times
			s.end = r.items[i+2].end
			r.items[i+2].taken = true
		}
		if cents, ok := r.centsBehind(s, sign > i, max(i, sign)); ok { // "24€95"
			s.value += cents
		}
		if r.negative(s) {
			s.value = -s.value
		}
		r.sums = append(r.sums, s)
	}
}

// onlyCode gives the code of ISO 4217 that three letters of a text are where
// it has no others and they are no word, "" otherwise.
func onlyCode(text string, w *Words) string {
	letters := strings.TrimFunc(text, func(c rune) bool { return !unicode.IsLetter(c) })
	code := strings.ToUpper(letters)
	if len(code) != codeLetters || code == Unsettled {
		return ""
	}
	if p, ok := w.exact(plain(letters)); ok && (letters != code || !p.is(kindCurrency)) {
		return ""
	}
	if _, err := currency.ParseISO(code); err != nil {
		return ""
	}
	return code
}

// joinsSums tells whether phrase i, a currency, stands between two numbers as a
// word for a range: the "e" of "2000 e 3000".
func (r *reader) joinsSums(i int) bool {
	return r.items[i].is(kindRange) && i > 0 && r.items[i-1].isNumber && i+1 < len(r.items) && r.items[i+1].isNumber && r.gap(r.items[i].end, r.items[i+1].start, 1, " ")
}

// stray tells whether phrase i, a currency of one letter, is none of a sum's.
func (r *reader) stray(i int, s sum) bool {
	return r.items[i].phrase.small() && (s.end != r.items[i].start || s.times > 1) && !s.number.written() && len(s.number.groups[0]) < 3
}

// leads tells whether phrase i, a currency after a number, belongs to the next
// number: it touches that one only, or the number before is one or two bare
// digits as in a name, and the next a larger one: "Model 14 £600".
func (r *reader) leads(i int, s sum) bool {
	if i+1 >= len(r.items) || !r.items[i+1].isNumber || s.end == r.items[i].start {
		return false
	}
	next := r.items[i+1]
	bare := !s.number.written() && s.times == 1
	if next.start == r.items[i].end {
		return bare
	}
	small := bare && len(s.number.groups[0]) <= 2
	return small && next.start == r.items[i].end+1 && (next.number.written() || len(next.number.groups[0]) >= 3)
}

func (r *reader) setCurrency(s *sum, sign phrase) {
	s.currency = settle(string(sign.form), sign.meanings(kindCurrency), r.h)
	s.signed = true
	s.told = s.currency != Unsettled
	s.unsettled = !s.told
}

// refineCurrency takes a second currency beside the sum that is written with
// the same sign, since it tells more: "$5,250 CAD".
func (r *reader) refineCurrency(s *sum, sign phrase) {
	before, after := r.itemAt(s.start)-1, r.itemAt(s.end)
	for _, i := range []int{before, after} {
		if i < 0 || i >= len(r.items) || !r.items[i].is(kindCurrency) || r.items[i].taken || slices.Equal(r.items[i].phrase.form, sign.form) {
			continue
		}
		it := r.items[i]
		if !r.gap(it.end, s.start, 1, " ") && !r.gap(s.end, it.start, 1, " ") {
			continue
		}
		for _, code := range it.phrase.meanings(kindCurrency) {
			if narrowSign(code) == strings.TrimRight(string(sign.form), ".") || !r.running && r.isCode(i, code) && !r.isCodeForm(sign) && !r.numberBehind(i) {
				s.currency, s.told, s.unsettled = code, true, false
				r.items[i].taken = true
				s.start, s.end = min(s.start, it.start), max(s.end, it.end)
				return
			}
		}
	}
}

// isCode tells whether phrase i is the code itself.
func (r *reader) isCode(i int, code string) bool {
	return strings.EqualFold(string(r.items[i].phrase.form), code)
}

func (r *reader) isCodeForm(p phrase) bool {
	return slices.ContainsFunc(p.meanings(kindCurrency), func(code string) bool { return strings.EqualFold(code, string(p.form)) })
}

// numberBehind tells whether a number follows item i.
func (r *reader) numberBehind(i int) bool {
	return i+1 < len(r.items) && r.items[i+1].isNumber && r.gap(r.items[i].end, r.items[i+1].start, reach, " .:")
}

// most gives the bound of what may be a price: more where it is written as a
// sum with its currency, for some units are small.
func (s *sum) most() float64 {
	if s.times > 1 || s.signed && s.number.written() {
		return mostTold
	}
	return most
}

// guessCurrency takes the one currency that the text names anywhere, else the
// hinted one, else one that a dash such as ",-" stands for.
func (r *reader) guessCurrency(s *sum) {
	switch {
	case r.named != "" && !r.running:
		s.currency, s.told = r.named, true
	case r.h.Currency != "":
		s.currency = r.h.Currency
	default:
		if p, ok := r.w.exact([]rune(s.number.dash)); ok && len(p.meanings(kindCurrency)) == 1 {
			s.currency = p.meanings(kindCurrency)[0]
		}
	}
}

// foreignSign tells whether a currency sign that is none of the words stands
// beside the sum.
func (r *reader) foreignSign(s sum) bool {
	before, after := s.start-1, s.end
	for before >= 0 && r.text[before] == ' ' {
		before--
	}
	for after < len(r.text) && r.text[after] == ' ' {
		after++
	}
	return before >= 0 && unicode.Is(unicode.Sc, r.text[before]) || after < len(r.text) && unicode.Is(unicode.Sc, r.text[after])
}

// namedCurrency gives the one currency that the text names.
func (r *reader) namedCurrency() string {
	found := ""
	for _, it := range r.items {
		if !it.is(kindCurrency) || it.phrase.apartOnly() {
			continue
		}
		c := settle(string(it.phrase.form), it.phrase.meanings(kindCurrency), r.h)
		if c == Unsettled || found != "" && found != c {
			return ""
		}
		found = c
	}
	return found
}

// negative tells whether a minus stands before the sum: touching it, after
// nothing or a space, and not between two numbers.
func (r *reader) negative(s sum) bool {
	for _, at := range []int{s.start, s.number.start} {
		if at == 0 || r.text[at-1] != '-' {
			continue
		}
		before := at - 2
		for before >= 0 && strings.ContainsRune(" (:", r.text[before]) {
			before--
		}
		if before < 0 || before < at-2 && !isDigit(r.text[before]) {
			return true
		}
		if at == s.number.start && at-1 == s.start+1 { // a sign of one character, then the minus: "€-50"
			return true
		}
	}
	return false
}
