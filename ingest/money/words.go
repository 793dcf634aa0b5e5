package money

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
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
	kindMinor       = "minor_unit"
	kindMonth       = "month"
)

// An Entry is one word or phrase that small ads use about money.
//
//	currency     For is an ISO 4217 code; one sign may stand for several, told in as many entries or joined by +
//	minor_unit   cents and the like; For is the currency, several joined by +, or any
//	price_term   For is fixed, negotiable, offers, wanted, swap, free, auction or no_amount
//	thousand     after a number: so many thousands
//	new_price, old_price, per_period, delivery
//	             the number beside it is not what is asked; where For is alone, it is if there is no other;
//	             label: the bare number behind it is none of money; plus, after: the number behind it only
//	now_price    the number after it is what is asked
//	range        between two numbers: "to", or "and" after "between"; For is to, and or between
//	measure      behind a number that is no sum: "km", "bids"
//	placeholder  a number that stands for no price at all, or words to that effect
//
//	month        beside a day or a year: these are no sums
//
// Entries of other kinds are passed over.
type Entry struct {
	Kind, For, Phrase string
	// Apart is set for words that count in a text about nothing but a price,
	// since in running text they mean something else: "Ft", "R", "m". In
	// capitals they count only so: "KM" is no "km".
	Apart bool
}

// Words are the words of small ads, made ready for Parse. They are never
// changed once made.
type Words struct {
	byStart      phraseTable
	inText       phraseTable // without the words that stand apart
	placeholders map[float64]string
}

// A phraseTable holds phrases by their start, the longest first.
type phraseTable map[start][]phrase

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
	uses := f.list[i].uses
	for k := range uses {
		if uses[k].kind == u.kind && uses[k].meaning == u.meaning {
			if !u.apart || u.capitals == "" && uses[k].apart {
				uses[k] = u // the wider one
			}
			return
		}
	}
	f.list[i].uses = append(uses, u)
}

// A phrase is one form with all that it may stand for.
type phrase struct {
	form []rune
	uses []use
}

type use struct {
	kind, meaning string
	apart         bool
	capitals      string // the phrase as written where it counts only so, else ""
}

// Kinds lists the kinds of words that Parse knows.
func Kinds() []string {
	return []string{kindCurrency, kindTerm, kindThousand, kindNewPrice, kindOldPrice, kindPerPeriod, kindDelivery, kindPlaceholder, kindNow, kindRange, kindMeasure, kindMinor, kindMonth}
}

// NewWords makes entries ready. Letter case does not matter; a space stands
// for one or more.
func NewWords(entries []Entry) *Words {
	w := &Words{byStart: phraseTable{}, inText: phraseTable{}, placeholders: map[float64]string{0: "", 1: ""}}
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
		for _, meaning := range strings.Split(e.For, "+") {
			all.add(form, use{e.Kind, meaning, e.Apart, capitals(e)})
		}
	}
	all.addBare()
	for _, p := range all.list {
		w.byStart.add(p)
		p.uses = slices.DeleteFunc(slices.Clone(p.uses), func(u use) bool { return u.apart })
		if len(p.uses) > 0 {
			w.inText.add(p)
		}
	}
	w.byStart.sort()
	w.inText.sort()
	return w
}

// mostCapitals is how many letters a word has at most that counts only where
// it is written in the capitals of its entry.
const mostCapitals = 2

// capitals gives the words of an entry where they count only as written.
func capitals(e Entry) string {
	letters := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return r
		}
		return -1
	}, e.Phrase)
	if !e.Apart || letters == "" || len(letters) > mostCapitals || letters != strings.ToUpper(letters) {
		return ""
	}
	return e.Phrase
}

func (t phraseTable) add(p phrase) { t[startOf(p.form)] = append(t[startOf(p.form)], p) }

func (t phraseTable) sort() {
	for _, list := range t {
		slices.SortStableFunc(list, func(a, b phrase) int { return len(b.form) - len(a.form) })
	}
}

// asWritten leaves of a phrase that is written so the uses that it may have.
func (p phrase) asWritten(written string) phrase {
	if slices.ContainsFunc(p.uses, func(u use) bool { return u.capitals != "" && u.capitals != written }) {
		p.uses = slices.DeleteFunc(slices.Clone(p.uses), func(u use) bool { return u.capitals != "" && u.capitals != written })
	}
	return p
}

// small tells whether the phrase is one letter, which stands for a currency
// only where it touches a sum or the sum is no small number: "16 E."
func (p phrase) small() bool {
	return len(p.form) == 1 && unicode.IsLetter(p.form[0]) && !unspaced(p.form[0])
}

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

// apartOnly tells whether the phrase is one of a few letters that counts in a
// text about a price only: alone it names nothing.
func (p phrase) apartOnly() bool {
	return len(p.form) <= mostCapitals && !slices.ContainsFunc(p.uses, func(u use) bool { return u.kind == kindCurrency && !u.apart })
}

// mayTouch tells whether a number may touch the phrase without a space.
func (p phrase) mayTouch() bool {
	return slices.ContainsFunc(p.uses, func(u use) bool { return u.kind != kindRange && u.kind != kindNow })
}

// match gives the longest phrase that stands at text[i:] as a word of its own,
// and where it ends. A digit may touch it: "EUR3450", "4k".
func (t phraseTable) match(text []rune, i int) (phrase, int, bool) {
	if i > 0 && oneWord(text[i-1], text[i]) {
		return phrase{}, i, false
	}
	for n := min(mostStart, len(text)-i); n > 0; n-- {
		if p, end, ok := matchOne(t[startOf(text[i:i+n])], text, i); ok {
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
		if !ok || end < len(text) && oneWord(form[len(form)-1], text[end]) {
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
