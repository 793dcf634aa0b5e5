package extract

import (
	"strings"

	"askance/ingest/record"
)

// A reading is what one listing's words say, before it is weighed.
type reading struct {
	r          *Reader
	now        float64 // the listing's date as a year with a fraction dropped
	asOf       record.Pos
	statements []statement
	overall    []overallSaid
	passages   []passage
	allowed    uint16
	language   string
}

// A passage is one text of a listing: its title, its text, or a cell.
type passage struct {
	text      string
	at        record.Pos
	title     bool
	sentences []sentence
}

// overallSaid is a word on the condition of the boat as a whole.
type overallSaid struct {
	value, quote string
	at           record.Pos
	title        bool
}

// take reads one text.
func (g *reading) take(text string, at record.Pos, title bool) {
	if strings.TrimSpace(text) == "" {
		return
	}
	tokens := lex(text)
	p := passage{text: text, at: at, title: title, sentences: g.r.sentences(tokens, text)}
	for i := range p.sentences {
		s := &p.sentences[i]
		g.r.parse(s, g.allowed|g.r.spoken(s.tokens), int(g.now)+1)
	}
	g.passages = append(g.passages, p)
}

// resolve lets the grammar loose on every passage.
func (g *reading) resolve() {
	for i := range g.passages {
		g.resolvePassage(&g.passages[i])
	}
}

func (g *reading) resolvePassage(p *passage) {
	list, listed := plainScope, 0
	last := -1 // the statement on an extra that a following sentence may speak of
	for i := range p.sentences {
		s := &p.sentences[i]
		if s.paragraph && listed > 0 {
			list, listed = plainScope, 0
		}
		if len(s.atoms) == 0 {
			if s.colon {
				list, listed = plainScope, 0
			}
			continue
		}
		if s.question {
			continue
		}
		if h, ok := opens(s); ok {
			list, listed = h, 0
		} else {
			listed++
		}
		c := newClause(g.r, s, list)
		pending := c.offered()
		c.priced()
		c.answered()
		for _, o := range c.attach(g.now) {
			if v := overallValue(o.value); v != "" {
				a := c.atoms[o.atom]
				g.overall = append(g.overall, overallSaid{value: v, quote: quoteOf(p.text, s.tokens, a.from, a.to), at: p.at, title: p.title})
			}
		}
		c.extras()
		c.wear(g.now)
		c.grades()
		c.defects()
		if pending != "" && last >= 0 && len(c.things) == 0 && len(s.tokens) <= 14 {
			g.statements[last].value, g.statements[last].weight, g.statements[last].passing = pending, stated, false
			g.statements[last].quote = quoteOf(p.text, s.tokens, 0, len(s.tokens))
		}
		last = g.keep(p, s, c.said, last)
	}
}

// opens tells that a sentence is the heading of a list that follows.
func opens(s *sentence) (scope, bool) {
	if len(s.atoms) == 0 {
		return plainScope, false
	}
	n := len(s.atoms)
	end := s.colon || n > 0 && s.atoms[n-1].sign == colon
	words := 0
	for _, t := range s.tokens {
		if t.kind == word {
			words++
		}
	}
	for k := range s.atoms {
		a := &s.atoms[k]
		if e := a.as(heading); e != nil && (end || words == wordsOf(s, a)) {
			return scopeOf(e.value), true
		}
		if e := a.as(offer); e != nil && end && words <= 5 {
			return scopeOf(e.value), true
		}
	}
	if end && words <= 3 {
		return plainScope, true
	}
	return plainScope, false
}

func wordsOf(s *sentence, a *atom) int {
	n := 0
	for _, t := range s.tokens[a.from:a.to] {
		if t.kind == word {
			n++
		}
	}
	return n
}

// keep stores what a sentence said and gives the place of its last extra.
func (g *reading) keep(p *passage, s *sentence, all []said, last int) int {
	first := true
	for _, x := range all {
		st := statement{item: x.item, value: x.value, weight: x.weight, passing: x.defaulted,
			quote: quoteOf(p.text, s.tokens, x.from, x.to), at: p.at}
		g.statements = append(g.statements, st)
		if g.r.isExtra(x.item) {
			last, first = len(g.statements)-1, false
		}
	}
	if first && len(all) > 0 {
		return -1
	}
	return last
}

// overallValue turns a word on state into a value of the boat's condition.
func overallValue(v string) string {
	switch v {
	case "new", "very_good", "good", "fair", "poor":
		return v
	case "fresh":
		return "very_good"
	case "worn":
		return "fair"
	case "replace":
		return "poor"
	}
	return ""
}

// spoken tells in which languages a row of tokens is, by its small words; 0
// where none tells.
func (r *Reader) spoken(tokens []token) uint16 {
	var count [16]int
	most := 0
	for _, t := range tokens {
		if t.kind != word {
			continue
		}
		for bits, k := r.stops[t.fold], 0; bits != 0; bits, k = bits>>1, k+1 {
			if bits&1 != 0 {
				count[k]++
				most = max(most, count[k])
			}
		}
	}
	var out uint16
	for k, n := range count {
		if n > 0 && 2*n >= most {
			out |= 1 << k
		}
	}
	return out
}

// mainLanguage names the one language of a text, "" where none stands out.
func (r *Reader) mainLanguage(tokens []token) string {
	var count [16]int
	for _, t := range tokens {
		for bits, k := r.stops[t.fold], 0; bits != 0; bits, k = bits>>1, k+1 {
			if bits&1 != 0 {
				count[k]++
			}
		}
	}
	best, twice := 0, false
	for k := 1; k < len(count); k++ {
		switch {
		case count[k] > count[best]:
			best, twice = k, false
		case count[k] == count[best]:
			twice = true
		}
	}
	if count[best] == 0 || twice {
		return ""
	}
	return r.langs[best]
}
