package money

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// The kinds of words that Parse knows.
const (
	kindCurrency    = "currency"
	kindTerm        = "price_term"
	kindThousand    = "thousand"
	kindNewPrice    = "new_price"
	kindOldPrice    = "old_price"
	kindPerPeriod   = "per_period"
	kindDelivery    = "delivery"
	kindPlaceholder = "placeholder"
	kindNow         = "now_price"
	kindRange       = "range"
	kindMeasure     = "measure"
)

// An Entry is one word or phrase that small ads use about money.
//
//	currency     For is an ISO 4217 code; one sign may stand for several, told in as many entries or joined by +
//	price_term   For is fixed, negotiable, offers, wanted, swap, free, auction or no_amount
//	thousand     after a number: so many thousands
//	new_price, old_price, per_period, delivery
//	             the number beside it is not what is asked
//	now_price    the number after it is what is asked
//	range        between two numbers: "to", or "and" after "between"; For is to, and or between
//	measure      behind a number that is no sum: "km", "bids"
//	placeholder  a number that stands for no price at all, or words to that effect
//
// Entries of other kinds are passed over.
type Entry struct{ Kind, For, Phrase string }

// Words are the words of small ads, made ready for Parse. They are never
// changed once made.
type Words struct {
	byStart      map[start][]phrase // longest first
	placeholders map[float64]string
}

// A start is the first runes of a form: up to mostStart of them, and none
// behind a space, for there may be more spaces in a text.
type start uint64

const mostStart = 3

func startOf(form []rune) start {
	var s start
	for _, r := range form[:min(len(form), mostStart)] {
		s = s<<21 | start(r) // no rune has more bits
		if r == ' ' {
			break
		}
	}
	return s
}

// forms collects phrases in the order in which they come.
type forms struct {
	list   []phrase
	byForm map[string]int
}

func (f *forms) add(form []rune, u use) {
	i, ok := f.byForm[string(form)]
	if !ok {
		f.byForm[string(form)] = len(f.list)
		f.list = append(f.list, phrase{form, []use{u}})
		return
	}
	if !slices.Contains(f.list[i].uses, u) {
		f.list[i].uses = append(f.list[i].uses, u)
	}
}

// A phrase is one form with all that it may stand for.
type phrase struct {
	form []rune
	uses []use
}

type use struct{ kind, meaning string }

// Kinds lists the kinds of words that Parse knows.
func Kinds() []string {
	return []string{kindCurrency, kindTerm, kindThousand, kindNewPrice, kindOldPrice, kindPerPeriod, kindDelivery, kindPlaceholder, kindNow, kindRange, kindMeasure}
}

// NewWords makes entries ready. Letter case does not matter; a space stands
// for one or more.
func NewWords(entries []Entry) *Words {
	w := &Words{byStart: map[start][]phrase{}, placeholders: map[float64]string{0: "", 1: ""}}
	all := &forms{byForm: make(map[string]int, len(entries))}
	kinds := Kinds()
	for _, e := range entries {
		if !slices.Contains(kinds, e.Kind) {
			continue
		}
		form := []rune(strings.Join(strings.Fields(string(plain(e.Phrase))), " "))
		if len(form) == 0 {
			continue
		}
		if e.Kind == kindPlaceholder && isDigit(form[0]) {
			if value, ok := scanNumber(form, 0).value(Marks{}, ""); ok {
				w.placeholders[value] = e.For
			}
			continue
		}
		all.add(form, use{e.Kind, e.For})
	}
	all.addBare()
	for _, p := range all.list {
		w.byStart[startOf(p.form)] = append(w.byStart[startOf(p.form)], p)
	}
	for _, list := range w.byStart {
		slices.SortStableFunc(list, func(a, b phrase) int { return len(b.form) - len(a.form) })
	}
	return w
}

// small tells whether the phrase is one letter, which stands for a currency
// only where it touches a sum or the sum is no small number: "16 E."
func (p phrase) small() bool { return len(p.form) == 1 && unicode.IsLetter(p.form[0]) }

// addBare adds the forms that lack their accents, where that makes no other
// phrase. The kinds that govern a sum nearby are left out: "costó" is not
// "costo".
func (f *forms) addBare() {
	order := make([]int, len(f.list)) // by first letter, of equals as they came
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(f.list[a].form[0], f.list[b].form[0]), cmp.Compare(a, b))
	})
	governs := []string{kindNewPrice, kindOldPrice, kindNow, kindRange, kindMeasure}
	for _, i := range order {
		p := f.list[i]
		form := bare(p.form)
		if _, taken := f.byForm[string(form)]; taken {
			continue
		}
		for _, u := range p.uses {
			if !slices.Contains(governs, u.kind) {
				f.add(form, u)
			}
		}
	}
}

// meanings gives what the phrase stands for as one kind of word.
func (p phrase) meanings(kind string) []string {
	var list []string
	for _, u := range p.uses {
		if u.kind == kind {
			list = append(list, u.meaning)
		}
	}
	return list
}

// is tells whether the phrase may stand as one kind of word.
func (p phrase) is(kind string) bool {
	for i := range p.uses {
		if p.uses[i].kind == kind {
			return true
		}
	}
	return false
}

// mayTouch tells whether a number may touch the phrase without a space.
func (p phrase) mayTouch() bool {
	return slices.ContainsFunc(p.uses, func(u use) bool { return u.kind != kindRange && u.kind != kindNow })
}

// match gives the longest phrase that stands at text[i:] as a word of its own,
// and where it ends. A digit may touch it: "EUR3450", "4k".
func (w *Words) match(text []rune, i int) (phrase, int, bool) {
	if i > 0 && unicode.IsLetter(text[i]) && unicode.IsLetter(text[i-1]) {
		return phrase{}, i, false
	}
	for n := min(mostStart, len(text)-i); n > 0; n-- {
		if p, end, ok := matchOne(w.byStart[startOf(text[i:i+n])], text, i); ok {
			return p, end, true
		}
	}
	return phrase{}, i, false
}

// matchOne gives the first phrase of a list that stands at text[i:].
func matchOne(list []phrase, text []rune, i int) (phrase, int, bool) {
	for k := range list {
		form := list[k].form
		end, ok := follow(text, i, form)
		if !ok || unicode.IsLetter(form[len(form)-1]) && end < len(text) && unicode.IsLetter(text[end]) {
			continue
		}
		return list[k], end, true
	}
	return phrase{}, i, false
}

// follow reads a form at text[i:]; its spaces stand for one or more.
func follow(text []rune, i int, form []rune) (end int, ok bool) {
	for _, r := range form {
		if i >= len(text) || text[i] != r {
			return i, false
		}
		i++
		for r == ' ' && i < len(text) && text[i] == ' ' {
			i++
		}
	}
	return i, true
}

// exact gives the phrase of just this form.
func (w *Words) exact(form []rune) (phrase, bool) {
	if len(form) == 0 {
		return phrase{}, false
	}
	for _, p := range w.byStart[startOf(form)] {
		if slices.Equal(p.form, form) {
			return p, true
		}
	}
	return phrase{}, false
}

// plain gives the text rune by rune in lower case, with every dash, apostrophe
// and space written the common way, so that places in it are places in the
// text.
func plain(text string) []rune {
	rs := []rune(text)
	for i, r := range rs {
		rs[i] = plainRune(r)
	}
	return rs
}

func plainRune(r rune) rune {
	if r >= 0xFF01 && r <= 0xFF5E { // full-width forms
		r -= 0xFEE0
	}
	switch r {
	case '\n', '\r':
		return '\n'
	case '’', '‘', 'ʼ', '´', '`', '′':
		return '\''
	case '‐', '‑', '‒', '–', '—', '−':
		return '-'
	case '٫':
		return ','
	}
	if unicode.IsSpace(r) || r == '\u2060' || r == '\ufeff' {
		return ' '
	}
	return unicode.ToLower(r)
}

// bare gives a plain form without accents, as people in a hurry write it.
func bare(form []rune) []rune {
	if !slices.ContainsFunc(form, func(r rune) bool { return r >= 0xC0 }) {
		return form
	}
	out := slices.Clone(form)
	for i, r := range out {
		switch parts := norm.NFD.PropertiesString(string(r)).Decomposition(); {
		case r == 'ł':
			out[i] = 'l'
		case r >= 0xC0 && r < 0x250 && len(parts) > 0:
			out[i], _ = utf8.DecodeRune(parts) // é is e and a mark
		}
	}
	return out
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }
