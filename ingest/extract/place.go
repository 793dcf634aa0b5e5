package extract

import (
	"askance/ingest/knowhow"
	"askance/ingest/record"
)

// placeWords are the names of countries and of well-known places, by the
// folded words that they consist of.
type placeWords struct {
	country map[string]string // ISO 3166 by words joined with spaces
	first   map[string]bool   // the first words of these names
	longest int               // words of the longest name
}

func newPlaceWords(book *knowhow.Book) placeWords {
	w := placeWords{country: map[string]string{}, first: map[string]bool{}}
	for _, p := range book.Phrases("country") {
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
