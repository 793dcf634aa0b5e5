package extract

import (
	"strconv"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
)

// figureWords are the words that numbers are spelled with, of all languages:
// their values by folded words, or by parts of words where a language writes
// them in one.
type figureWords struct {
	value   map[string][]figure
	longest int // letters of the longest
}

// A figure is the value of one such word, and the languages that have it. A
// filler, "and", has none.
type figure struct {
	value  float64
	spoken uint16
}

func newFigureWords(r *Reader, book *knowhow.Book) figureWords {
	w := figureWords{value: map[string][]figure{}}
	for _, p := range book.Phrases("figure") {
		v, err := strconv.ParseFloat(p.For, 64)
		key := fold(p.Phrase)
		if err != nil || key == "" {
			continue
		}
		w.value[key] = append(w.value[key], figure{v, r.language(p.Language)})
		w.longest = max(w.longest, len(key))
	}
	return w
}

// parts cuts a word into number words, the longest first: "zwei|tausend".
// Nothing but number words may be in it.
func (w *figureWords) parts(s string, allowed uint16, out []float64) ([]float64, bool) {
	if s == "" {
		return out, true
	}
	for n := min(len(s), w.longest); n > 0; n-- {
		for _, f := range w.value[s[:n]] {
			if f.spoken&allowed == 0 {
				continue
			}
			if all, ok := w.parts(s[n:], allowed, append(out, f.value)); ok {
				return all, true
			}
		}
	}
	return out, false
}

// spelled reads the number that words spell from a token on, and where it
// ends: "two thousand five hundred", "zweitausendfünfhundert".
func (w *figureWords) spelled(tokens []token, i int, allowed uint16) (value float64, end int) {
	var all []float64
	end = i
	for j := i; j < len(tokens) && tokens[j].kind == word; j++ {
		more, ok := w.parts(tokens[j].fold, allowed, nil)
		if !ok {
			break
		}
		if more[len(more)-1] != 0 {
			end = j + 1
			all = append(all, more...)
		} else if j == i {
			break // a number begins with no "and"
		}
	}
	return compose(all), end
}

// compose puts the values of number words together.
func compose(all []float64) float64 {
	total, current := 0.0, 0.0
	for _, v := range all {
		switch {
		case v == 1000:
			total += max(current, 1) * 1000
			current = 0
		case v == 100:
			current = max(current, 1) * 100
		default:
			current += v
		}
	}
	return total + current
}

// priceInFigures finds an amount in words beside a currency: "two thousand
// pounds"; where cued is set, only behind a word for the price.
func (g *reading) priceInFigures(h money.Hint, cued bool) (boat.Price, bool) {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if s.question || cued && !s.mentions(priceCue) {
				continue
			}
			for j := 1; j <= len(s.tokens); j++ {
				sign := j < len(s.tokens) && g.r.isSign(s.tokens[j])
				if !sign && !g.roundly(s, j) {
					continue
				}
				for from := max(0, j-mostFigures); from < j; from++ {
					value, end := g.r.figures.spelled(s.tokens, from, g.allowed)
					if end != j || value < leastBare || value > mostBare || g.beside(s, from, j, cued) || !sign && from > 0 && !s.mentions(priceCue) {
						continue
					}
					currency, to := g.currencyFor(h), j
					if sign {
						currency, to = g.r.currencyOf(s.tokens[j].fold, h), j+1
					}
					return boat.Price{Amount: money.Of(value, currency), Known: true,
						Terms: sellingTerms(money.Parse(p.text[s.tokens[0].start:s.tokens[len(s.tokens)-1].end], g.r.prices.words, h).Terms),
						Quote: Mask(quoteOf(p.text, s.tokens, from, to)), At: p.at}, true
				}
			}
		}
	}
	return boat.Price{}, false
}

// roundly tells that a word for thousands ends before a token that goes on
// with something else than what is counted: "two grand and it's yours".
func (g *reading) roundly(s *sentence, j int) bool {
	before := s.tokens[j-1]
	if t := g.r.prices.thousand[before.fold]; before.kind != word || before.letter() || t.times != 1000 || t.spoken&g.allowed == 0 {
		return false
	}
	return j == len(s.tokens) || s.tokens[j].kind == mark || s.tokens[j].kind == word && g.r.stops[s.tokens[j].fold] != 0
}

// mostFigures is how many words a number in words may have.
const mostFigures = 8

// beside tells that words on another price, or a thing alone, stand before
// the tokens of an amount in words; or no word for the price where one must.
func (g *reading) beside(s *sentence, from, to int, cued bool) bool {
	thing, whole, cue := false, false, false
	for j := range s.atoms {
		a := &s.atoms[j]
		switch {
		case a.is(newPrice) && (a.to <= from && from-a.to <= 5 || a.from >= to && a.from-to <= 1):
			return true
		case a.to <= from && a.is(item):
			thing = true
		case a.to <= from && (a.is(boatNoun) || a.is(priceCue)):
			whole, cue = true, cue || a.is(priceCue)
		}
	}
	return thing && !whole || cued && !cue
}
