package extract

import (
	"math/bits"
	"slices"
	"strings"

	"askance/ingest/record"
)

// A reading is what one listing's words say, before it is weighed.
type reading struct {
	r          *Reader
	now        float64 // the listing's date as a year
	statements []statement
	overall    []overallSaid
	passages   []passage
	allowed    uint16
	sentence   int // the number of the sentence at hand

	priceInWords bool // the price stands in title or text
	placed       bool // the country for its currency is only that of a place in the words
	language     string
	habits       habits // of the file
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

// take reads one text, which is cut into tokens.
func (g *reading) take(text string, tokens []token, at record.Pos, title bool) {
	if strings.TrimSpace(text) == "" {
		return
	}
	p := passage{text: text, at: at, title: title, sentences: g.r.sentences(tokens, text, g.allowed)}
	for i := range p.sentences {
		s := &p.sentences[i]
		g.r.parse(s, g.allowed|g.r.foreign(s.tokens, g.allowed), int(g.now)+1)
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
	sum := 0.0
	var lead []stateSaid // what the heading of the list at hand says of all in it
	for i := range p.sentences {
		s := &p.sentences[i]
		g.sentence++
		if s.paragraph && listed > 0 {
			list, listed, lead = plainScope, 0, nil
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
		h, heads := opens(s)
		if heads {
			list, listed, lead = h, 0, nil
		} else {
			listed++
		}
		c := newClause(g.r, s, list)
		c.sumBefore, sum = sum, c.soleSum()
		pending := c.offered()
		if !p.title {
			c.priced()
		}
		c.answered()
		c.trailing()
		for _, o := range c.attach(g.now) {
			if v := overallValue(o.value); v != "" {
				a := c.atoms[o.atom]
				g.overall = append(g.overall, overallSaid{value: v, quote: quoteOf(p.text, s.tokens, a.from, a.to), at: p.at, title: p.title})
			}
		}
		c.led(lead)
		if states := c.lead(g.now); states != nil {
			list, listed, lead = plainScope, 0, states
		}
		c.extras()
		c.wear(g.now)
		c.grades()
		c.partsMended()
		c.defects()
		c.partsSound(g.now)
		if pending != "" && !s.heads() && !(heads && s.paragraph) && last >= 0 && g.sentence-g.statements[last].sentence <= 2 && len(c.things) == 0 && len(s.tokens) <= 14 && !s.has(amountSign) && !s.mentions(priceCue) {
			g.statements[last].value, g.statements[last].weight, g.statements[last].passing = pending, stated, false
			g.statements[last].quote = quoteOf(p.text, s.tokens, 0, len(s.tokens))
		}
		if len(c.said) == 0 && c.mendsOnly() || c.mendsAll() {
			g.mendBefore(p, s)
		}
		last = g.keep(p, s, c.said, last)
	}
}

// heads tells that a sentence ends in a colon.
func (s *sentence) heads() bool {
	n := len(s.atoms)
	return s.colon || n > 0 && s.atoms[n-1].sign == colon
}

// opens tells that a sentence is the heading of a list that follows.
func opens(s *sentence) (scope, bool) {
	if len(s.atoms) == 0 {
		return plainScope, false
	}
	end := s.heads()
	words := 0
	for _, t := range s.tokens {
		if t.kind == word {
			words++
		}
	}
	list, found := plainScope, end && words <= shortHeading
	for k := range s.atoms {
		a := &s.atoms[k]
		h := plainScope
		switch e := a.as(heading); {
		case e != nil && (end || words == wordsOf(s, a)):
			h, found = scopeOf(e.value), true
		case a.is(offer) && end && (words <= longHeading || words <= longestHeading && s.namesNothing()):
			h, found = scopeOf(a.as(offer).value), true
			if h == offeredIn && slices.ContainsFunc(s.atoms[:k], func(b atom) bool { return b.is(negation) }) {
				h = offeredNot // "none of these is included:"
			}
		case a.is(repaired) && end && words <= longHeading:
			h, found = putRight, true
		}
		if list == plainScope || h == offeredExtra {
			list = h // "not included, but I can add:"
		}
	}
	return list, found
}

// The most words of a line with a colon that heads the list below whatever it
// says, and of one that does so by a word on offers or mendings.
// A line that names no thing may be longer.
const (
	shortHeading   = 3
	longHeading    = 5
	longestHeading = 9
)

// namesNothing tells that a sentence names no thing and no part of one.
func (s *sentence) namesNothing() bool {
	return !s.mentions(item) && !s.mentions(thing) && !s.mentions(part) && !s.mentions(boatNoun)
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
		st := statement{item: x.item, value: x.value, weight: x.weight, passing: x.defaulted, priced: s.priced(), sentence: g.sentence,
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

// priced tells that an amount stands in a sentence, or a number that may be one.
func (s *sentence) priced() bool {
	for i := range s.atoms {
		if a := &s.atoms[i]; a.sign == amountSign || a.sign == numberSign && a.value >= leastThousands {
			return true
		}
	}
	return false
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

// languages scores each language by the small words of rows of tokens: a word
// counts the less, the more languages have it.
func (r *Reader) languages(rows ...[]token) (scores [16]float64) {
	for _, tokens := range rows {
		for i := range tokens {
			if tokens[i].kind != word || len(tokens[i].fold) == 1 {
				continue
			}
			symbol := r.match.look(&tokens[i])
			set, share := r.small[symbol], 1.0
			if set == 0 {
				set, share = r.match.spoken[symbol], phraseShare
			}
			share /= float64(bits.OnesCount16(set))
			for ; set != 0; set &= set - 1 {
				scores[bits.TrailingZeros16(set)] += share
			}
		}
	}
	return scores
}

// unspoken tells that no phrase holds a word.
func (r *Reader) unspoken(t *token) bool { return r.match.spoken[r.match.look(t)] == 0 }

// How much of the strongest language's score another needs to count beside it
// in a listing, and how far another must lead in a single sentence.
const (
	phraseShare  = 0.05 // what a word of a phrase counts against a small word
	besideShare  = 0.6
	sentenceLead = 1.5
)

// spoken tells by their scores in which languages a listing is; all of them where no small
// word tells.
func (r *Reader) spoken(scores [16]float64) uint16 {
	most := slices.Max(scores[:])
	if most == 0 {
		return r.all
	}
	var out uint16
	for k, n := range scores {
		if n >= besideShare*most {
			out |= 1 << k
		}
	}
	return out
}

// foreign tells in which other languages a single sentence is.
func (r *Reader) foreign(tokens []token, allowed uint16) uint16 {
	scores := r.languages(tokens)
	own := 0.0
	for k, n := range scores {
		if allowed&(1<<k) != 0 {
			own = max(own, n)
		}
	}
	var out uint16
	for k, n := range scores {
		if n >= own+sentenceLead {
			out |= 1 << k
		}
	}
	return out
}

// mainLanguage names by their scores the one language of a text, "" where none stands out.
func (r *Reader) mainLanguage(scores [16]float64) string {
	best, twice := 0, false
	for k := 1; k < len(scores); k++ {
		switch {
		case scores[k] > scores[best]:
			best, twice = k, false
		case scores[k] == scores[best]:
			twice = true
		}
	}
	if scores[best] == 0 || twice {
		return ""
	}
	return r.langs[best]
}
