package extract

import (
	"strings"

	"askance/ingest/money"
)

// termsBeside gives the terms of the sentence that holds a price, less what is
// said of its parts one by one: "650 € the lot, or make an offer for a single
// piece".
func (g *reading) termsBeside(c *clause, i int, p *passage, h money.Hint) string {
	t := c.s.tokens
	to, last := len(t), len(t)
	for j := i + 1; j < len(c.atoms); j++ {
		if isCount(&c.atoms[j], "together") && c.eachBeside(i) {
			last = min(last, c.atoms[j].from) // "450 each, all five by agreement"
		}
		if !isCount(&c.atoms[j], "each") || c.gap(i, j) < 1 || to < len(t) {
			continue
		}
		to = c.atoms[j].from
		for k := i + 1; k < j && c.part[j] > c.part[i]; k++ {
			if c.part[k] == c.part[j] {
				to = c.atoms[k].from
				break
			}
		}
	}
	whole := money.Parse(p.text[t[0].start:t[last-1].end], g.r.prices.words, h).Terms
	if whole == "offers" && to < len(t) {
		whole = money.Parse(p.text[t[0].start:t[to-1].end], g.r.prices.words, h).Terms
	}
	return sellingTerms(whole)
}

// firstSum gives the first atom that is an amount or a number large enough.
func (c *clause) firstSum() int {
	for i := range c.atoms {
		if c.atoms[i].sign == amountSign || c.atoms[i].sign == numberSign && c.sum(i) >= leastBare {
			return i
		}
	}
	return len(c.atoms)
}

// sellingTerms passes over terms that say how something else is got.
func sellingTerms(terms string) string {
	switch terms {
	case "fixed", "negotiable", "offers", "auction":
		return terms
	}
	return ""
}

// termsInText gives the terms that stand beside an amount, the price itself or
// a word for it in title or text, or that are a short sentence of their own.
func (g *reading) termsInText(asked float64, h money.Hint) string {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			priced := s.has(amountSign) && !s.onlyPlaceholders() || s.holds(asked)
			told := s.has(amountSign) || s.question || s.mentions(item) || s.mentions(thing)
			long := len(s.tokens) > fewTokens && !(len(s.tokens) <= mostTermTokens && s.mentions(priceCue))
			if !priced && (told || long) {
				if terms := g.termsOfPart(s, p, h); terms != "" {
					return terms
				}
				continue // it does not speak of terms alone
			}
			start, end := s.tokens[0].start, s.tokens[len(s.tokens)-1].end
			terms := sellingTerms(money.Parse(p.text[start:end], g.r.prices.words, h).Terms)
			if terms == "offers" && priced {
				c := s.plain(g.r)
				terms = g.termsBeside(c, c.firstSum(), p, h)
			}
			switch {
			case terms == "":
				if terms := g.termsOfPart(s, p, h); terms != "" {
					return terms
				}
			case priced, s.mentions(priceCue), terms != "auction":
				return terms
			}
		}
	}
	return ""
}

// holds tells that a sentence holds a number of the size of the price asked.
func (s *sentence) holds(asked float64) bool {
	for i := range s.tokens {
		if s.tokens[i].kind == number && asked >= leastBare && roughly(s.tokens[i].fold) == asked {
			return true
		}
	}
	return false
}

// termsOfPart gives the terms that a short part between commas tells, which
// names no thing: "a bit negotiable, no swaps".
func (g *reading) termsOfPart(s *sentence, p *passage, h money.Hint) string {
	if s.question {
		return ""
	}
	from := 0
	for t := 0; t <= len(s.tokens); t++ {
		if t < len(s.tokens) && !(s.tokens[t].kind == mark && strings.ContainsAny(s.tokens[t].fold, ",;()")) {
			continue
		}
		if n := t - from; n > 0 && n <= fewTokens && g.mayBeTerms(s.tokens[from:t]) && !s.namesIn(from, t) {
			terms := sellingTerms(money.Parse(quoteOf(p.text, s.tokens, from, t), g.r.prices.words, h).Terms)
			if terms == "negotiable" || terms == "fixed" && !g.oneWordTerm(s.tokens[from:t]) {
				return terms
			}
		}
		from = t + 1
	}
	return ""
}

// oneWordTerm tells that among tokens is a term of one word, which may be said
// of something else: "hulls firm".
func (g *reading) oneWordTerm(tokens []token) bool {
	for i := range tokens {
		if g.r.prices.term[tokens[i].fold] {
			return true
		}
	}
	return false
}

// mayBeTerms tells that one of the tokens is the first word of terms.
func (g *reading) mayBeTerms(tokens []token) bool {
	for i := range tokens {
		if g.r.prices.terms[tokens[i].fold] {
			return true
		}
	}
	return false
}

// namesIn tells that a thing or an amount is named among tokens.
func (s *sentence) namesIn(from, to int) bool {
	for i := range s.atoms {
		a := &s.atoms[i]
		if a.from < to && a.to > from && (a.is(item) || a.is(thing) || a.is(part) || a.sign == amountSign || a.sign == numberSign) {
			return true
		}
	}
	return false
}

// How long a sentence on terms alone may be: with a word for the price, and
// without.
const (
	mostTermTokens = 12
	fewTokens      = 5
)

// onlyPlaceholders tells that the amounts of a sentence are none that anybody
// asks: "no use bidding on that 1 euro".
func (s *sentence) onlyPlaceholders() bool {
	for i := range s.atoms {
		if s.atoms[i].sign == amountSign && s.atoms[i].value > 1 {
			return false
		}
	}
	return true
}
