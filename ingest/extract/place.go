package extract

import (
	"strings"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// placeWords are the names of countries and of well-known places, by the
// folded words that they consist of.
type placeWords struct {
	country map[string]string // ISO 3166 by words joined with spaces
	first   map[string]bool   // the first words of these names
	longest int               // words of the longest name
	phone   map[string]string // ISO 3166 by the prefix of telephone numbers, "+47"
}

func newPlaceWords(book *knowhow.Book) placeWords {
	w := placeWords{country: map[string]string{}, first: map[string]bool{}, phone: map[string]string{}}
	for _, p := range book.Phrases("country") {
		if strings.HasPrefix(p.Phrase, "+") {
			w.phone[p.Phrase] = p.For
			continue
		}
		tokens := lex(p.Phrase)
		w.first[tokens[0].fold] = true
		w.country[joined(tokens)] = p.For
		w.longest = max(w.longest, len(tokens))
	}
	return w
}

// countryNamed gives the country of the first place that a text names with a
// capital letter, "" if there is none.
func (w *placeWords) countryNamed(tokens []token) string {
	for i := range tokens {
		if tokens[i].kind != word || !tokens[i].upper || !w.first[tokens[i].fold] {
			continue
		}
		for end := min(len(tokens), i+w.longest); end > i; end-- {
			if c := w.country[joined(tokens[i:end])]; c != "" {
				return c
			}
		}
	}
	return ""
}

// countryOfPhone gives the country of the first telephone number with a known
// prefix, "" if there is none.
func (w *placeWords) countryOfPhone(text string) string {
	for {
		i := strings.IndexByte(text, '+')
		if i < 0 {
			return ""
		}
		text = text[i:]
		for end := min(len(text), 5); end > 2; end-- {
			if c := w.phone[text[:end]]; c != "" {
				return c
			}
		}
		text = text[1:]
	}
}

// country gives the country of a listing whose address tells none: that of its
// place or its telephone number. What its words name counts only in a language
// of several countries, and where the words may be those of a language that is
// written nearly so.
func (g *reading) country(row record.Row, language string) string {
	c := g.r.places.countryNamed(lex(row.Text("place")))
	if c == "" { // the passages have their telephone numbers masked
		c = g.r.places.countryOfPhone(row.Text("title") + "\n" + row.Text("text"))
	}
	if c != "" {
		return c
	}
	told := g.countryTold(row)
	if g.r.prices.oneCountry(language) && g.r.prices.usual[nearly[language]] != money.OfCountry(told) {
		return ""
	}
	return told
}

// nearly are the languages whose words are told for those of another, by the
// other.
var nearly = map[string]string{"da": "no"}

// countryTold gives the country of a listing by its place, else by the places
// that its words name.
func (g *reading) countryTold(row record.Row) string {
	if c := g.r.places.countryNamed(lex(row.Text("place"))); c != "" {
		return c
	}
	for i := range g.passages {
		for k := range g.passages[i].sentences {
			if c := g.r.places.countryNamed(g.passages[i].sentences[k].tokens); c != "" {
				return c
			}
		}
	}
	return ""
}

// KronerByWords tells that only its words made a listing's "kr" Danish, though
// they may be Norwegian ones: nothing else, such as an address, a place or the
// file, tells the country.
func (r *Reader) KronerByWords(l *boat.Listing, batch record.Batch) bool {
	said := strings.ToLower(l.Price.Quote)
	if !l.Price.Known || l.Price.Currency != "DKK" || !strings.Contains(said, "kr") || strings.Contains(said, "d") {
		return false
	}
	told := batch.Language != "" || batch.Currency != "" || countryOf(l.Source.URL, batch.URL) != ""
	return !told && r.places.countryNamed(lex(l.Place.Value)) == ""
}
