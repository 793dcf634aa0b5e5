package extract

import (
	"askance/ingest/boat"
	"askance/ingest/money"
)

// How much an amount in the words looks like what is asked.
const (
	askedByCue  = 40 // "asking 2950"
	askedTitle  = 30
	askedPlain  = 20 // an amount that stands beside no thing
	askedWhole  = 18 // "boat, trailer and trolley 1500 €"
	askedParts  = 15 // beside a thing, where only things are for sale
	askedBare   = 10 // a number that is nearly all of its sentence
	askedThing  = 10 // beside a thing in the title
	askedFor    = 8  // a round number behind "for"
	askedSide   = 6  // behind words on something else: "180 € plus postage"
	askedLonely = 3  // a round number that nothing else explains

	perBoat = 3 // more for the price of one of several boats, or of one without an extra
)

// priceInText finds the boat's price among the amounts of title and text:
// those beside a thing are not it, nor those with words like "new price". Of
// equals the larger is taken, or the last that is called the price. Without
// any, words that spell an amount count, else a title or text that gives the
// boat away. Of parts with a price each, none is that of all. Where the words
// say that no price is named, only one called so counts; least is the least
// score that does.
func (g *reading) priceInText(h money.Hint, least int) (boat.Price, bool) {
	var best boat.Price
	var place struct {
		c *clause
		p *passage
		i int
	}
	score, priced := 0, 0
	if title := g.said(true); title["swap"] && !title["sale"] {
		return boat.Price{}, false // what it is worth is not asked
	}
	ask := asking{parts: g.forParts(), words: g.r.prices.words, hint: h}
	boats, lot := g.boats()
	ask.boats, ask.each = boats, boats > 1 && !lot
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if !s.hasNumber() {
				continue
			}
			c := s.plain(g.r)
			for j := range c.atoms {
				now := ask.score(c, j, p)
				if now == askedParts {
					priced++
				}
				if now == 0 || now < score {
					continue
				}
				said := quoteOf(p.text, s.tokens, c.atoms[j].from, c.atoms[j].to)
				in := money.Parse(said, g.r.prices.words, h)
				if !in.Known || in.Minor == 0 {
					continue
				}
				if low, ok := ask.ranged(c, j, p); ok {
					in.Amount = low
				}
				if in.Currency == "" {
					in.Amount = money.Of(in.Major(), g.currencyFor(h))
				}
				if now == score && in.Minor <= best.Minor && now < askedByCue {
					continue
				}
				score = now
				place.c, place.p, place.i = c, p, j
				best = boat.Price{Amount: in.Amount, Known: true, Quote: Mask(said), At: p.at}
			}
		}
	}
	if score < least || score < askedByCue && g.namesNoPrice() {
		return g.givenAway(h, false)
	}
	if score == 0 || ask.parts && score < askedByCue && priced > 1 {
		if spelled, ok := g.priceInFigures(h, false); ok && !ask.parts {
			return spelled, true
		}
		return g.givenAway(h, false)
	}
	if score < askedByCue {
		if spelled, ok := g.priceInFigures(h, true); ok && !ask.parts {
			return spelled, true
		}
		if gift, ok := g.givenAway(h, true); ok {
			return gift, true
		}
	}
	best.Terms = g.termsBeside(place.c, place.i, place.p, h)
	return best, true
}

// asking is what is known of an advertisement before its amounts are weighed.
type asking struct {
	parts bool // only things are for sale
	boats int
	each  bool // several boats, each with its price
	words *money.Words
	hint  money.Hint
}

// score tells how much an amount looks like what is asked; 0 is not at all.
func (k *asking) score(c *clause, i int, p *passage) int {
	bare := c.atoms[i].sign != amountSign && !c.inOffer(i)
	if bare && !c.mayBePrice(i) || c.otherPrice(i) || c.setAsideAt(i) || c.s.bullet && c.boats() == 0 && c.priceBehind(i) || k.parts && c.eachBeside(i) && c.hintBefore(i) {
		return 0
	}
	if bare && c.atoms[i].sign == numberSign && (k.termed(c, i, p) || c.withoutExtra(i)) {
		bare = false
	}
	b := c.before(i)
	b.cue = b.cue || c.soughtFor(i)
	cue := b.cue || c.cueBehind(i)
	score := 0
	switch {
	case bare && c.atoms[i].sign == yearSign:
		if b.cue && c.cueBeside(i) {
			score = askedByCue
		}
	case bare && (b.cue && c.cueBeside(i) || (!b.thing || b.whole) && cue && !b.cue || c.together(i) && (!b.thing || b.whole)):
		score = askedByCue
	case bare && (!b.thing || b.whole || k.parts) && k.boats > 1 && c.eachBeside(i):
		score = askedPlain
	case bare && !p.title && (!b.thing && c.leads(i) || c.sumOfAll(i) || c.sumWith(i)):
		score = askedBare
	case bare && (!b.thing || b.whole || k.parts) && (c.behindFor(i) || c.hinted(i)):
		score = askedFor
	case bare && (!p.title || c.endsTitle(i)) && !b.thing && c.lonely(i):
		score = askedLonely
	case bare:
	case c.sellsExtra(i) && !k.parts:
	case cue && !(b.thing && !b.whole):
		score = askedByCue
	case p.title && b.thing:
		score = askedThing
	case b.whole:
		score = askedWhole
	case b.thing && k.parts:
		score = askedParts
	case b.thing:
	case c.deliveredBehind(i) || c.off[i] || c.atoms[i].sign != amountSign && c.inOffer(i):
		score = askedSide
	case p.title:
		score = askedTitle
	default:
		score = askedPlain
	}
	if score == askedPlain && k.parts && len(c.things) > 0 {
		score = askedParts
	}
	if score > 0 && k.each && c.together(i) {
		score = askedSide
	}
	if score > 0 && (k.boats > 1 && c.eachBeside(i) || c.withoutExtra(i)) {
		score += perBoat
	}
	if score > perBoat && c.withExtra(i) {
		score -= perBoat
	}
	return score
}

// ranged gives what is asked where an amount is one of a pair: the lower end
// of "2000 to 2500", the second of "from 2400 to 1950".
func (k *asking) ranged(c *clause, i int, p *passage) (money.Amount, bool) {
	for _, pair := range [2][2]int{{i - 1, i}, {i, i + 1}} {
		a, b := pair[0], pair[1]
		for a > 0 && c.sum(a) < leastBare {
			a--
		}
		for b < len(c.atoms)-1 && c.sum(b) < leastBare {
			b++
		}
		if a < 0 || b >= len(c.atoms) || c.part[a] != c.part[b] || c.gap(a, b) > 3 || c.sum(a) < leastBare || c.sum(b) < leastBare || c.atoms[a].sign == yearSign || c.atoms[b].sign == yearSign {
			continue
		}
		from := c.atoms[a].from
		if from > 0 && c.s.tokens[from-1].kind == word {
			from-- // "between"
		}
		both := money.Parse(quoteOf(p.text, c.s.tokens, from, c.atoms[b].to), k.words, k.hint)
		if both.Known && (both.High.Minor > 0 || c.sum(b) < c.sum(a) && both.Major() == c.sum(b)) {
			return both.Amount, true
		}
	}
	return money.Amount{}, false
}

// termed tells that a price term stands beside a bare number: "1500 fixed
// price".
func (k *asking) termed(c *clause, i int, p *passage) bool {
	from, to := max(0, c.atoms[i].from-2), min(len(c.s.tokens), c.atoms[i].to+4)
	in := money.InText(quoteOf(p.text, c.s.tokens, from, to), k.words, k.hint)
	return in.Known && in.Major() == c.sum(i)
}

// sum gives the value of an amount or a bare number.
func (c *clause) sum(i int) float64 {
	a := &c.atoms[i]
	if a.sign == numberSign && a.to-a.from == 1 {
		return roughly(c.s.tokens[a.from].fold)
	}
	return a.value
}
