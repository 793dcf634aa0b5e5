// Package extract reads a row of words into a listing: what is offered, for
// how much, how old it is, and what its words say of each item of the
// knowhow. It holds no word of any language itself; what the words stand for
// comes from the knowhow's words files.
//
// The text is cut into tokens (lex.go), the knowhow's phrases are found in
// one pass (matcher.go), the phrases of one sentence become its parts of
// speech (sentence.go), and a small grammar tells what is said of which thing
// and how (clause.go, lists.go, leads.go, states.go, targets.go, wear.go, needs.go,
// grades.go, offers.go, defects.go).
// What is said in several places is weighed in merge.go.
package extract

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"askance/ingest/knowhow"
	"askance/ingest/money"
)

// A Reader reads listings by the words of one book. It holds no state that
// reading changes: one Reader may serve several goroutines.
type Reader struct {
	book  *knowhow.Book
	match *matcher
	langs []string // by bit
	all   uint16

	entries []*entry          // by phrase of the matcher
	stops   map[string]uint16 // folded small words that tell a language
	small   []uint16          // the same, by symbol of the matcher
	short   map[string]uint16 // folded words whose dot ends no sentence
	cells   map[string]map[string]string

	soldWords int // of the longest phrase that says "sold"

	prices  priceWords
	dates   dateWords
	places  placeWords
	accents accents
	figures figureWords
}

// An entry is what a phrase stands for, parsed once.
type entry struct {
	role    role
	items   []string // item, part, fault, sound
	alone   []string // the defects that a fault or a sound means without a part
	value   string   // state, value, polarity, …
	next    bool     // of an offer: it speaks of what follows
	years   float64  // age, number
	perUnit bool     // the age is to be multiplied by the number
	// of a seller: it tells only where it is a whole cell, since in a text it
	// may be anybody
	cellOnly bool
}

// A role is what a phrase does in a sentence.
type role uint8

const (
	noRole role = iota
	item
	directValue
	thing
	boatNoun
	part
	fault
	sound
	quality
	condition
	renewed
	repaired
	needs
	negation
	offer
	contrast
	and
	quantity
	aside
	heading
	adKind
	count
	yearCue
	ageOf
	numberWord
	sellerWord
	lengthCue
	placeCue
	priceCue
	weakCue
	newPrice
	unpriced
	grade
	spare
	same
)

// rolesByKind names the kinds of phrases that the grammar works with.
func rolesByKind() map[string]role {
	return map[string]role{
		"item": item, "value": directValue, "thing": thing, "boat": boatNoun, "part": part, "fault": fault, "sound": sound,
		"quality": quality, "condition": condition, "renewed": renewed, "repaired": repaired, "needs": needs, "negation": negation,
		"offer": offer, "contrast": contrast, "and": and, "quantity": quantity, "aside": aside, "heading": heading, "ad": adKind,
		"count": count, "year": yearCue, "age": ageOf, "number": numberWord, "seller": sellerWord, "length": lengthCue,
		"place": placeCue, "price_cue": priceCue, "now_price": priceCue, "unpriced": unpriced, "new_price": newPrice, "old_price": newPrice, "delivery": newPrice, "per_period": newPrice,
		"grade": grade, "spare": spare, "same": same, "nothing": noRole,
	}
}

// New compiles the words of a book; those of the built-in one only once.
func New(book *knowhow.Book) *Reader {
	if book.IsBuiltin() {
		return builtinReader()
	}
	return compile(book)
}

// builtinReader is the compiled form of the embedded words.
var builtinReader = sync.OnceValue(func() *Reader {
	book, _ := knowhow.Load(nil) // it is loaded already
	return compile(book)
})

func compile(book *knowhow.Book) *Reader {
	phrases := slices.DeleteFunc(slices.Clone(book.AllPhrases()), func(p knowhow.Phrase) bool { return p.Language == knowhow.Worldwide })
	r := &Reader{book: book, match: newMatcher(len(phrases)), stops: map[string]uint16{}, short: map[string]uint16{}}
	for i := range phrases {
		if i == 0 || phrases[i].Language != phrases[i-1].Language {
			r.language(phrases[i].Language)
		}
	}
	var beside sync.WaitGroup
	beside.Go(r.takeCells)
	r.takePhrases(phrases)
	beside.Wait()
	return r
}

// takePhrases makes what finds phrases in sentences and tells languages.
func (r *Reader) takePhrases(phrases []knowhow.Phrase) {
	roles := rolesByKind()
	parsed := map[[2]string]*entry{}
	var ro role
	var grammar bool
	var lang uint16
	for i := range phrases {
		p := &phrases[i]
		if i == 0 || p.Kind != phrases[i-1].Kind {
			ro, grammar = roles[p.Kind]
		}
		if i == 0 || p.Language != phrases[i-1].Language {
			lang = r.language(p.Language)
		}
		switch {
		case !grammar:
			r.match.hear(p.Phrase, lang)
		case r.match.add(p, r.spokenIn(p, lang)):
			r.entries = append(r.entries, entryOf(parsed, ro, p))
		}
	}
	for _, p := range r.book.Phrases("stopword") {
		key := fold(p.Phrase)
		r.match.word(key)
		r.stops[key] |= r.language(p.Language)
	}
	for _, p := range r.book.Phrases("abbreviation") {
		r.short[fold(strings.TrimSuffix(p.Phrase, "."))] |= r.language(p.Language)
	}
	r.match.close()
	r.small = make([]uint16, r.match.symbols)
	for w, langs := range r.stops {
		r.small[r.match.exact[w]] = langs
	}
}

// spokenIn gives the languages in which a phrase counts. "/mån" behind an
// amount is no word of another language.
func (r *Reader) spokenIn(p *knowhow.Phrase, lang uint16) uint16 {
	if p.Kind == "per_period" && strings.HasPrefix(p.Phrase, "/") {
		return r.all
	}
	return lang
}

// takeCells makes what reads prices, days, places and whole cells.
func (r *Reader) takeCells() {
	r.cells = cellsOf(r.book)
	for _, p := range r.book.Phrases("sold") {
		r.soldWords = max(r.soldWords, wordsIn(lex(p.Phrase)))
	}
	r.prices = newPriceWords(r, r.book)
	r.dates = newDateWords(r.book)
	r.places = newPlaceWords(r.book)
	r.accents = newAccents(r, r.book)
	r.figures = newFigureWords(r, r.book)
}

// MoneyWords gives the book's words about money.
func (r *Reader) MoneyWords() *money.Words { return r.prices.words }

// language gives the bit of a language.
func (r *Reader) language(name string) uint16 {
	i := slices.Index(r.langs, name)
	if i < 0 {
		i = min(len(r.langs), 15)
		r.langs = append(r.langs, name)
		r.all |= 1 << i
	}
	return 1 << i
}

// cellsOf gathers what whole cells, or words by themselves, stand for: by
// kind and folded words. Only these kinds are asked for so.
func cellsOf(book *knowhow.Book) map[string]map[string]string {
	cells := map[string]map[string]string{}
	for _, kind := range []string{"yes", "no", "sold", "seller", "unit", "month", "year_suffix", "measure"} {
		cells[kind] = map[string]string{}
		for _, p := range book.Phrases(kind) {
			if key := cellKey(p.Phrase); cells[kind][key] == "" {
				cells[kind][key] = strings.TrimSuffix(p.For, ":cell")
			}
		}
	}
	return cells
}

// entryOf parses what a phrase stands for; phrases that say the same share
// one entry.
func entryOf(parsed map[[2]string]*entry, ro role, p *knowhow.Phrase) *entry {
	key := [2]string{p.Kind, p.For}
	if ro == ageOf || ro == numberWord {
		key[1] += p.Phrase
	}
	e := parsed[key]
	if e == nil {
		e = parseEntry(ro, p)
		parsed[key] = e
	}
	return e
}

func parseEntry(ro role, p *knowhow.Phrase) *entry {
	e := &entry{role: ro, value: p.For}
	switch ro {
	case priceCue:
		if p.For == "weak" {
			e.role = weakCue
		}
	case item, part, fault, sound:
		for id := range strings.SplitSeq(p.For, "+") {
			if plain, marked := strings.CutSuffix(id, "!"); marked {
				e.alone = append(e.alone, plain)
				id = plain
			}
			e.items = append(e.items, id)
		}
	case directValue, grade:
		id, value, _ := strings.Cut(p.For, ":")
		e.items, e.value = []string{id}, value
	case offer:
		e.value, e.next = strings.CutSuffix(p.For, ":next")
	case sellerWord:
		e.value, e.cellOnly = strings.CutSuffix(p.For, ":cell")
	case ageOf, numberWord:
		e.years, _ = strconv.ParseFloat(p.For, 64)
		e.perUnit = strings.Contains(p.Phrase, "#")
	}
	return e
}

// cellKey makes the ways of writing one cell equal.
func cellKey(s string) string {
	s = fold(s)
	if !spacedOnce(s) {
		s = strings.Join(strings.Fields(s), " ")
	}
	return strings.Trim(s, ".:;!")
}

// spacedOnce tells that a text has no white space but single spaces between
// others of its letters and signs, all plain ones.
func spacedOnce(s string) bool {
	before := byte(' ')
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] >= utf8.RuneSelf || s[i] == ' ' && before == ' ' {
			return false
		}
		before = s[i]
	}
	return before != ' ' || s == ""
}
