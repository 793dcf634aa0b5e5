package extract

import (
	"cmp"
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
	accented map[string]bool   // those of them that have an accent, as written
	term     map[string]bool   // folded words for terms that stand beside an amount: "VB"
	usual    map[string]string // currency by language, for amounts that name none
}

func newPriceWords(book *knowhow.Book) priceWords {
	w := priceWords{sign: map[string]bool{}, accented: map[string]bool{}, term: map[string]bool{}, usual: map[string]string{}}
	var entries []money.Entry
	for _, p := range book.AllPhrases() {
		entries = append(entries, money.Entry{Kind: p.Kind, For: p.For, Phrase: p.Phrase})
		tokens := lex(p.Phrase)
		switch {
		case p.Kind == "usual_currency":
			w.usual[p.Language] = p.For
		case p.Kind == "currency" && len(tokens) == 1:
			w.sign[tokens[0].fold] = true
			if tokens[0].accented != "" {
				w.accented[tokens[0].accented] = true
			}
		case p.Kind == "price_term" && len(tokens) == 1 && (p.For == "fixed" || p.For == "negotiable"):
			w.term[tokens[0].fold] = true
		}
	}
	w.words = money.NewWords(entries)
	return w
}

// price reads what is asked: the price field counts; title and text count
// where it is empty, a placeholder or without an amount.
func (g *reading) price(row record.Row, batch record.Batch) (boat.Price, []record.Problem) {
	var problems []record.Problem
	cell, _ := row.Get("price")
	h := g.r.hint(row, cell, batch, g.language, g.habits)
	column := money.Parse(cell.Text, g.r.prices.words, h)
	p := boat.Price{Amount: column.Amount, Known: column.Known, Terms: column.Terms, Quote: Mask(column.Quote), At: cell.At}
	if column.Known && column.Ambiguous {
		problems = append(problems, record.Problem{At: cell.At, Field: "price", Wanted: "an amount that can be read in one way", Got: cell.Text, Hint: column.Reason})
	}
	if !column.Known {
		if in, ok := g.priceInText(h); ok {
			if in.Terms == "" {
				in.Terms = p.Terms
			}
			p = in
			g.priceInWords = true
		}
	}
	if p.Known && p.Currency == "" {
		p.Amount = money.Of(p.Major(), g.currencyNamed(h))
	}
	if p.Terms == "" && p.Known {
		p.Terms = g.termsInText(h)
	}
	return p, problems
}

// priceInText finds the boat's price among the amounts of title and text:
// those beside a thing are not it, nor those with words like "new price".
// Without any such, a title or text that gives the boat away costs nothing.
func (g *reading) priceInText(h money.Hint) (boat.Price, bool) {
	var best boat.Price
	score := 0
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if !s.has(amountSign) && !s.has(numberSign) {
				continue
			}
			c := newClause(g.r, s, plainScope)
			for j := range c.atoms {
				now := c.askingScore(j, p.title)
				if now == 0 || now < score {
					continue
				}
				said := quoteOf(p.text, s.tokens, c.atoms[j].from, c.atoms[j].to)
				in := money.Parse(said, g.r.prices.words, h)
				if !in.Known || in.Minor == 0 {
					continue
				}
				if in.Currency == "" {
					in.Amount = money.Of(in.Major(), cmp.Or(g.currencyNamed(h), g.r.prices.usual[h.Language]))
				}
				if now == score && in.Minor <= best.Minor {
					continue // of equals the larger
				}
				start, end := s.tokens[0].start, s.tokens[len(s.tokens)-1].end
				terms := money.Parse(p.text[start:end], g.r.prices.words, h).Terms
				if terms == "free" || terms == "wanted" || terms == "swap" {
					terms = ""
				}
				score = now
				best = boat.Price{Amount: in.Amount, Known: true, Terms: terms, Quote: Mask(said), At: p.at}
			}
		}
	}
	if score == 0 {
		return g.givenAway(h)
	}
	return best, true
}

// askingScore tells how much an amount looks like what is asked for the boat;
// 0 is not at all.
func (c *clause) askingScore(i int, title bool) int {
	bare := false
	if c.atoms[i].sign == numberSign {
		value := roughly(c.s.tokens[c.atoms[i].from].fold)
		bare = value >= leastBare && value <= mostBare
	}
	if c.atoms[i].sign != amountSign && !bare || c.otherPrice(i) || c.off[i] {
		return 0
	}
	if bare && !title && c.leads(i) {
		return 1
	}
	cue := false
	thingBefore, whole := false, false
	for j := i - 1; j >= 0 && (c.part[j] == c.part[i] || c.atoms[i-1].sign == colon || c.atoms[i-1].sign == opening); j-- {
		a := &c.atoms[j]
		if a.is(priceCue) && (!thingBefore || whole) {
			cue, thingBefore = true, false // "price with trailer 2500"
			break
		}
		thingBefore = thingBefore || a.is(item) || a.is(part) || a.is(thing)
		whole = whole || thingBefore && (a.is(boatNoun) || a.is(offer) && a.as(offer).value == "included" || a.is(negation))
		if a.sign == amountSign {
			break
		}
	}
	switch {
	case title && thingBefore:
		return 1
	case thingBefore:
		return 0
	case c.sellsExtra(i):
		return 0
	case bare && !(cue && c.cueBeside(i)):
		return 0
	case cue:
		return 4
	case title:
		return 3
	}
	return 2
}

// leads tells that a sentence is a bare number and little else: "1300 cash",
// "12.800, the sails thrown in".
func (c *clause) leads(i int) bool {
	t := c.s.tokens
	at := c.atoms[i].from
	if len(c.things) > 0 || c.in(i, count) {
		return false
	}
	words := 0
	for _, x := range t {
		if x.kind == word {
			words++
		}
	}
	if len(t)-len(c.atoms) <= 1 {
		return true
	}
	if at > 0 || c.atoms[i].value < leastLeading && !strings.ContainsAny(t[at].fold, ".'") {
		return false
	}
	if next := t[c.atoms[i].to]; next.kind == word && (next.glued || next.end-next.start <= 2 && c.r.stops[next.fold] == 0) {
		return false // "470er", "300 kg"
	}
	return words <= mostLeadWords || len(t[at].fold) >= 5
}

// Bounds of what a number without a currency may be as a price.
const (
	leastLeading  = 200 // at the head of a short sentence
	mostLeadWords = 4
	leastBare     = 100
	mostBare      = 200000
)

// otherPrice tells that words beside an amount make it another price than the
// one asked: "new price 9800", "was 3000", "99 a month".
func (c *clause) otherPrice(i int) bool {
	for j := range c.atoms {
		if c.atoms[j].is(newPrice) && (j < i && c.gap(j, i) <= 5 && c.part[j] >= c.part[i]-1 && !c.amountBetween(j, i) || j > i && c.gap(i, j) <= 1 && c.part[j] == c.part[i]) {
			return true
		}
	}
	return false
}

func (c *clause) amountBetween(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if c.atoms[k].sign == amountSign || c.atoms[k].sign == numberSign && roughly(c.s.tokens[c.atoms[k].from].fold) >= leastBare {
			return true
		}
	}
	return false
}

// cueBeside tells that a word for the price stands right before a number.
func (c *clause) cueBeside(i int) bool {
	for j := i - 1; j >= 0 && c.gap(j, i) <= 4; j-- {
		if c.atoms[j].is(priceCue) {
			return true
		}
		if c.atoms[j].sign == numberSign || c.atoms[j].sign == yearSign {
			return false
		}
	}
	return false
}

// sellsExtra tells that around an amount a thing is offered for more money.
func (c *clause) sellsExtra(i int) bool {
	for j := range c.atoms {
		e := c.atoms[j].as(offer)
		if e == nil || e.value != "at_extra_cost" {
			continue
		}
		if c.part[j] == c.part[i] || c.part[j] == c.part[i]+1 && c.in(j, item) {
			return true
		}
	}
	return false
}

// givenAway finds words that give the boat away in the title or in a sentence
// that speaks of nothing else.
func (g *reading) givenAway(h money.Hint) (boat.Price, bool) {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if s.mentions(item) || s.mentions(thing) && !p.title {
				continue
			}
			start, end := s.tokens[0].start, s.tokens[len(s.tokens)-1].end
			in := money.Parse(p.text[start:end], g.r.prices.words, h)
			if in.Terms == "free" && (p.title || k < 2) {
				currency := cmp.Or(in.Currency, g.currencyNamed(h), g.r.prices.usual[h.Language])
				return boat.Price{Amount: money.Of(0, currency), Known: true, Terms: "free", Quote: Mask(in.Quote), At: p.at}, true
			}
		}
	}
	return boat.Price{}, false
}

// currencyNamed gives the currency of the first amount that names one, "" if
// there is none.
func (g *reading) currencyNamed(h money.Hint) string {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			for j := range s.tokens {
				if !g.r.prices.sign[s.tokens[j].fold] {
					continue
				}
				from, to := max(0, j-1), min(len(s.tokens), j+2)
				if in := money.Parse(quoteOf(p.text, s.tokens, from, to), g.r.prices.words, h); in.Currency != "" {
					return in.Currency
				}
			}
		}
	}
	return ""
}

// termsInText gives the terms that stand beside an amount or a word for the
// price in title or text.
func (g *reading) termsInText(h money.Hint) string {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if !s.has(amountSign) && !(s.mentions(priceCue) && len(s.tokens) <= 4) {
				continue
			}
			start, end := s.tokens[0].start, s.tokens[len(s.tokens)-1].end
			if in := money.Parse(p.text[start:end], g.r.prices.words, h); in.Terms == "fixed" || in.Terms == "negotiable" || in.Terms == "offers" || in.Terms == "auction" {
				return in.Terms
			}
		}
	}
	return ""
}

func (s *sentence) has(sg sign) bool {
	for i := range s.atoms {
		if s.atoms[i].sign == sg {
			return true
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
