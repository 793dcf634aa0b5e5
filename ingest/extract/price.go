package extract

import (
	"cmp"
	"strconv"
	"strings"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// priceWords are the words about money.
type priceWords struct {
	words    *money.Words
	sign     map[string]bool   // folded words and signs that stand for a currency
	terms    map[string]bool   // first words of terms that may stand in a part of a sentence
	signs    map[string]bool   // those of several tokens, joined by spaces: "u $ s"
	accented map[string]bool   // those of them that have an accent, as written
	term     map[string]bool   // folded words for terms that stand beside an amount: "VB"
	usual    map[string]string // currency by language, for amounts that name none
	apiece   map[string]bool   // folded last words of what says that a price is for each: "stk"

	thousand map[string]thousand // by folded words behind a number, joined by spaces: "k", "t kr"
}

// thousand is a word for thousands: how many, and in which languages.
type thousand struct {
	times  float64
	spoken uint16
}

func newPriceWords(r *Reader, book *knowhow.Book) priceWords {
	w := priceWords{sign: map[string]bool{}, signs: map[string]bool{}, terms: map[string]bool{}, accented: map[string]bool{}, term: map[string]bool{}, usual: map[string]string{}, apiece: map[string]bool{}, thousand: map[string]thousand{}}
	var entries []money.Entry
	for _, p := range book.Phrases(append(money.Kinds(), "usual_currency")...) {
		entries = append(entries, money.Entry{Kind: p.Kind, For: p.For, Phrase: p.Phrase})
		tokens := lex(p.Phrase)
		if p.Kind == "price_term" && (p.For == "fixed" || p.For == "negotiable") && len(tokens) > 0 {
			w.terms[tokens[0].fold] = true
		}
		switch {
		case p.Kind == "usual_currency":
			w.usual[p.Language] = p.For
		case p.Kind == "currency" && (len(tokens) == 1 || len(tokens) == 2 && tokens[1].fold == "."):
			w.sign[tokens[0].fold] = true
			if tokens[0].accented != "" {
				w.accented[tokens[0].accented] = true
			}
		case p.Kind == "currency":
			w.signs[joined(tokens)] = true
		case p.Kind == "price_term" && len(tokens) == 1 && (p.For == "fixed" || p.For == "negotiable"):
			w.term[tokens[0].fold] = true
		case p.Kind == "thousand":
			if times, err := strconv.ParseFloat(p.For, 64); err == nil {
				w.thousand[joined(tokens)] = thousand{times, w.thousand[joined(tokens)].spoken | r.language(p.Language)}
			}
		}
	}
	for _, p := range book.Phrases("count") {
		if tokens := lex(strings.TrimSuffix(p.Phrase, ".")); p.For == "each" && len(tokens) > 0 {
			w.apiece[tokens[len(tokens)-1].fold] = true
		}
	}
	for _, p := range book.WorldwidePhrases() {
		entries = append(entries, money.Entry{Kind: p.Kind, For: p.For, Phrase: p.Phrase, Apart: true})
	}
	w.words = money.NewWords(entries)
	return w
}

// oneCountry tells that a language is mostly of one country, which then need
// not be told by a place: its usual currency is no other language's.
func (w *priceWords) oneCountry(language string) bool {
	own := w.usual[language]
	for l, other := range w.usual {
		if l != language && other == own {
			return false
		}
	}
	return own != ""
}

// joined gives folded tokens with spaces between, without dots.
func joined(tokens []token) string {
	var words []string
	for _, t := range tokens {
		if t.fold != "." {
			words = append(words, t.fold)
		}
	}
	return strings.Join(words, " ")
}

// compound counts the tokens of a sign at a token that consists of several
// without spaces, "US$" or "U$S"; 0 is none.
func (w *priceWords) compound(tokens []token, i int) int {
	if i+1 >= len(tokens) || !tokens[i+1].glued || tokens[i].kind == number || tokens[i+1].kind != mark && tokens[i].kind != mark {
		return 0
	}
	for end := min(len(tokens), i+3); end > i+1; end-- {
		if tokens[end-1].glued && tokens[end-1].kind != number && w.signs[joined(tokens[i:end])] {
			return end - i
		}
	}
	return 0
}

// times reads the word for thousands at a token: how many tokens it has, and
// what it multiplies by. A single letter counts only where it touches the
// number or a sign follows.
func (w *priceWords) times(tokens []token, i int, allowed uint16) (n int, by float64) {
	for end := min(len(tokens), i+3); end > i; end-- {
		word, ok := w.thousand[joined(tokens[i:end])]
		if !ok || word.spoken&allowed == 0 || tokens[end-1].fold == "." {
			continue
		}
		if end == i+1 && tokens[i].letter() && !tokens[i].glued {
			return 0, 0
		}
		return end - i, word.times
	}
	return 0, 0
}

// price reads what is asked: the price field counts; title and text count
// where it is empty, a placeholder or without an amount.
func (g *reading) price(row record.Row, batch record.Batch) (boat.Price, []record.Problem) {
	var problems []record.Problem
	cell, _ := row.Get("price")
	h := g.r.hint(row, cell, batch, g.language, g.habits)
	if base, _, _ := strings.Cut(h.Language, "-"); h.Country == "" {
		h.Country = g.country(row, base)
		g.placed = h.Country != ""
	}
	column := money.Parse(cell.Text, g.r.prices.words, h)
	p := boat.Price{Amount: column.Amount, Known: column.Known, Terms: column.Terms, Quote: Mask(column.Quote), At: cell.At}
	if column.Known && column.Ambiguous {
		problems = append(problems, record.Problem{At: cell.At, Field: "price", Wanted: "an amount that can be read in one way", Got: cell.Text, Hint: column.Reason})
	}
	if !column.Known {
		if h.Currency == "" {
			h.Currency = g.r.currencyOfCell(cell.Text, h) // "£1" and "£0" name it still
		}
		if in, ok := g.priceInText(h, leastBeside(cell.Text, column)); ok {
			if in.Terms == "" {
				in.Terms = p.Terms
			}
			p = in
			g.priceInWords = true
		}
	}
	if p.Known && p.Currency == "" {
		p.Amount = money.Of(p.Major(), g.r.currencyOfCell(cell.Text, h)) // "£0" and "free to collect"
	}
	if p.Known && p.Currency == "" {
		currency := g.currencyFor
		if h.Usual != "" { // the file's other prices settle it, all at once
			currency = g.currencyNamed
		}
		p.Amount = money.Of(p.Major(), currency(h))
	}
	if p.Terms == "" && p.Known {
		p.Terms = g.termsInText(p.Major(), h)
	}
	return p, problems
}

// leastBeside tells how much an amount in the words must look like what is
// asked beside a price cell without one: "swap" leaves room for what is called
// the price only, other words, "on request", not for a bare number.
func leastBeside(cell string, read money.Reading) int {
	switch {
	case strings.TrimSpace(cell) == "" || strings.ContainsAny(cell, "0123456789"):
		return 0
	case read.Terms == "swap" || read.Terms == "wanted":
		return askedByCue
	case read.Terms == "":
		return askedBare + 1
	}
	return 0
}

// currencyOfCell gives the currency of the first sign in a cell, "" if it has
// none.
func (r *Reader) currencyOfCell(text string, h money.Hint) string {
	for _, t := range lex(text) {
		if r.prices.sign[t.fold] && !t.letter() {
			return r.currencyOf(t.fold, h)
		}
	}
	return ""
}

// givenAway finds words that give the boat away in the title or in a sentence
// that speaks of nothing else; where surely is set, in the title or at the
// very beginning.
func (g *reading) givenAway(h money.Hint, surely bool) (boat.Price, bool) {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if s.mentions(item) || s.mentions(thing) && !p.title || surely && (s.hasNumber() || k > 0) {
				continue
			}
			said := p.text[s.tokens[0].start:s.tokens[len(s.tokens)-1].end]
			in := money.Parse(said, g.r.prices.words, h)
			if p.title && in.Terms != "free" && !s.has(amountSign) { // "FREE Skerrik 16", "dinghy of 1978 free to a good home"
				if in = money.Parse(strings.Map(withoutDigits, said), g.r.prices.words, h); !strings.HasPrefix(said, in.Quote) && !strings.HasSuffix(said, in.Quote) {
					continue
				}
			}
			if in.Terms == "free" && (p.title || k < 2) {
				currency := cmp.Or(in.Currency, g.currencyFor(h))
				return boat.Price{Amount: money.Of(0, currency), Known: true, Terms: "free", Quote: Mask(in.Quote), At: p.at}, true
			}
		}
	}
	return boat.Price{}, false
}

// withoutDigits puts spaces in the place of digits.
func withoutDigits(c rune) rune {
	if c >= '0' && c <= '9' {
		return ' '
	}
	return c
}

// currencyFor gives the currency of an amount that names none: the one that
// the words name elsewhere, else that of the file's other prices, of the
// country of its address, or of the language of the file.
func (g *reading) currencyFor(h money.Hint) string {
	base, _, _ := strings.Cut(cmp.Or(g.habits.language, h.Language), "-")
	usual := g.r.prices.usual[base]
	if usual == "" || !g.placed {
		usual = cmp.Or(money.OfCountry(h.Country), usual)
	}
	return cmp.Or(g.currencyNamed(h), h.Usual, usual)
}

// currencyNamed gives the currency of the first amount that names one, "" if
// there is none.
func (g *reading) currencyNamed(h money.Hint) string {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			for j := range s.tokens {
				if !g.r.prices.sign[s.tokens[j].fold] || s.tokens[j].accented != "" && !g.r.isSign(s.tokens[j]) {
					continue
				}
				if s.tokens[j].letter() || !numberBeside(s.tokens, j) {
					continue
				}
				if said := g.r.currencyOf(s.tokens[j].fold, h); said != "" {
					return said
				}
			}
		}
	}
	return ""
}

// numberBeside tells that a number stands on either side of a token.
func numberBeside(tokens []token, i int) bool {
	return i > 0 && tokens[i-1].kind == number || i+1 < len(tokens) && tokens[i+1].kind == number
}

func (s *sentence) has(sg sign) bool {
	for i := range s.atoms {
		if s.atoms[i].sign == sg {
			return true
		}
	}
	return false
}

func (s *sentence) hasNumber() bool {
	for i := range s.tokens {
		if s.tokens[i].kind == number {
			return true
		}
	}
	return false
}

// namesNoPrice tells that a sentence without a number says that no price is
// named: "price by arrangement".
func (g *reading) namesNoPrice() bool {
	for i := range g.passages {
		for k := range g.passages[i].sentences {
			if s := &g.passages[i].sentences[k]; s.mentions(unpriced) && !s.hasNumber() {
				return true
			}
		}
	}
	return false
}

func (s *sentence) mentions(ro role) bool {
	for i := range s.atoms {
		if s.atoms[i].is(ro) {
			return true
		}
	}
	return false
}
