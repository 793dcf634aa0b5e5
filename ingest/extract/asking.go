package extract

import (
	"strings"

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
// equals the larger is taken. Without any, a title or text that gives the
// boat away costs nothing. Of parts with a price each, none is that of all.
func (g *reading) priceInText(h money.Hint) (boat.Price, bool) {
	var best boat.Price
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
				if now == score && in.Minor <= best.Minor {
					continue
				}
				score = now
				best = boat.Price{Amount: in.Amount, Known: true, Terms: g.termsBeside(c, j, p, h), Quote: Mask(said), At: p.at}
			}
		}
	}
	if score == 0 || ask.parts && score < askedByCue && priced > 1 {
		return g.givenAway(h, false)
	}
	if score < askedByCue {
		if gift, ok := g.givenAway(h, true); ok {
			return gift, true
		}
	}
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
	if bare && !c.mayBePrice(i) || c.otherPrice(i) || c.setAsideAt(i) || k.parts && c.eachBeside(i) && c.hintBefore(i) {
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
	case bare && !p.title && !b.thing && c.leads(i):
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

// inOffer tells that an amount among words that offer a thing for more money
// is one of its own: they stand before words such as "postage", or where there
// is no thing.
func (c *clause) inOffer(i int) bool {
	a := &c.atoms[i]
	if e := a.as(offer); e == nil || e.value != "at_extra_cost" {
		return false
	}
	for _, t := range c.s.tokens[a.from:a.to] {
		if t.kind == number && roughly(t.fold) >= leastBare {
			return len(c.things) == 0 || i+1 < len(c.atoms) && c.gap(i, i+1) == 0 && c.atoms[i+1].is(newPrice) && onTop(c.atoms[i+1].as(newPrice))
		}
	}
	return false
}

// hinted tells that beside a bare number stands a word that prices are often
// told with: "first 900 takes it", "1450 cash".
func (c *clause) hinted(i int) bool {
	if c.atoms[i].sign != numberSign || c.s.question {
		return false
	}
	for _, j := range []int{i - 1, i + 1} {
		if j >= 0 && j < len(c.atoms) && c.atoms[j].is(weakCue) && c.part[j] == c.part[i] && c.gap(min(i, j), max(i, j)) <= 2 {
			return true
		}
	}
	return false
}

// hintBefore tells that such a word stands right before an amount: "from 30
// each".
func (c *clause) hintBefore(i int) bool {
	return i > 0 && c.atoms[i-1].is(weakCue) && c.gap(i-1, i) <= 1
}

// behindFor tells that a round number stands right behind "for".
func (c *clause) behindFor(i int) bool {
	if i == 0 || c.atoms[i].sign != numberSign || c.gap(i-1, i) > 0 || int(c.sum(i))%10 != 0 || c.s.question {
		return false
	}
	e := c.atoms[i-1].as(adKind)
	return e != nil && e.value == "for"
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

// mayBePrice tells that a bare number, or one that looks like a year, is in
// the bounds of a price and counts or measures nothing.
func (c *clause) mayBePrice(i int) bool {
	a := &c.atoms[i]
	if a.sign != numberSign && a.sign != yearSign || a.month > 0 {
		return false
	}
	if value := c.sum(i); value < leastBare || value > mostBare {
		return false
	}
	if a.from > 0 && c.s.tokens[a.from].glued && c.s.tokens[a.from-1].kind == word {
		return false // "ab1234"
	}
	if a.to == len(c.s.tokens) {
		return true
	}
	next := c.s.tokens[a.to]
	return !c.r.measured(next) && !(next.kind == word && next.glued) && next.fold != "%" && next.fold != "°"
}

// Bounds of what a number without a currency may be as a price.
const (
	leastBare     = 100
	mostBare      = 200000
	leastLeading  = 200 // at the head of a short sentence
	leastLonely   = 300
	mostLeadWords = 4
)

// setAsideAt tells that what is wished for or another boat's stands in the
// same part as an amount, before it.
func (c *clause) setAsideAt(i int) bool {
	if !c.off[i] {
		return false
	}
	for j := i - 1; j >= 0; j-- {
		if e := c.atoms[j].as(aside); e != nil && !c.atoms[j].is(priceCue) && !c.atoms[j].is(weakCue) {
			return (c.part[j] == c.part[i] || e.value == "other_boat" || e.value == "wish") && !c.soughtFor(i)
		}
	}
	return false
}

// soughtFor tells that a wish is for the very amount behind it: "looking for
// £2,350".
func (c *clause) soughtFor(i int) bool {
	return i > 0 && c.atoms[i].sign == amountSign && c.gap(i-1, i) <= 1 && c.atoms[i-1].is(aside) && c.atoms[i-1].as(aside).value == "wish"
}

// standing is what stands before an amount.
type standing struct {
	cue   bool // a word for the price that speaks of it
	thing bool // a thing that it may be the price of
	whole bool // the things come with the boat: "boat, trailer and trolley"
}

// before looks back from an amount over its part of the sentence, and over
// the parts before as far as they go on with a list of things.
func (c *clause) before(i int) standing {
	var b standing
	told, at := false, c.part[i]
	from := i - 1
	if i > 0 && c.atoms[i-1].sign == closing && c.gap(i-1, i) == 0 {
		for from > 0 && c.atoms[from].sign != opening {
			from--
		}
		from--
		at = c.part[max(from, 0)]
	}
	for j := from; j >= 0; j-- {
		a := &c.atoms[j]
		if c.part[j] < at && c.atoms[j+1].is(contrast) && c.gap(j+1, i) == 0 && !b.thing {
			at = c.part[j] // "a new sail costs, though, 700"
		}
		if c.part[j] < at && c.atoms[i-1].sign != colon && c.atoms[i-1].sign != opening {
			if !b.thing || told || c.atoms[j+1].sign != comma || !c.namesOnly(c.part[j]) {
				break
			}
			at = c.part[j]
		}
		if a.sign == amountSign || a.sign == numberSign && c.sum(j) >= leastBare {
			break
		}
		if a.is(priceCue) && (!b.thing || b.whole) {
			b.cue, b.thing = true, !b.whole && c.subjectExtra(j) // "price with trailer 2500"
			break
		}
		if a.is(item) || a.is(part) || a.is(thing) && !a.is(sellerWord) {
			b.thing = true
		}
		told = told || a.is(fault) || a.is(needs) && c.gap(j, i) > 1 || a.is(renewed) || a.is(repaired)
		included := a.is(offer) && a.as(offer).value == "included" || a.is(heading) && a.as(heading).value == "included"
		sale := a.is(adKind) && a.as(adKind).value == "sale"
		boats := a.is(boatNoun) && a.as(boatNoun).value != "state"
		b.whole = b.whole || !told && (b.thing && (boats || included || sale || a.is(negation)) || included && c.gap(j, i) <= 3 || isCount(a, "together"))
	}
	return b
}

// subjectExtra tells that right before a word for the price, in its part,
// stands an extra that it speaks of: "the trailer can go for 700".
func (c *clause) subjectExtra(j int) bool {
	if j == 0 || c.part[j-1] != c.part[j] || c.gap(j-1, j) > 1 || c.at[j-1] < 0 || !c.extraOnly(c.at[j-1]) {
		return false
	}
	for k := j - 2; k >= 0 && c.part[k] == c.part[j]; k-- {
		a := &c.atoms[k]
		if a.is(boatNoun) || a.is(negation) || a.is(offer) || a.is(heading) || a.is(and) {
			return false
		}
	}
	return true
}

// namesOnly tells that a part of a sentence names things or the boat and says
// nothing of them.
func (c *clause) namesOnly(part int) bool {
	named := false
	for j := range c.atoms {
		if c.part[j] != part {
			continue
		}
		a := &c.atoms[j]
		if a.is(fault) || a.is(needs) || a.is(renewed) || a.is(repaired) || a.is(sound) || a.is(condition) || a.sign == amountSign {
			return false
		}
		named = named || c.at[j] >= 0
	}
	return named
}

func isCount(a *atom, value string) bool {
	e := a.as(count)
	return e != nil && e.value == value
}

// cueBehind tells that a word for the price stands behind an amount: "2500 is
// the price".
func (c *clause) cueBehind(i int) bool {
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i] && c.gap(i, j) <= 2; j++ {
		if c.atoms[j].is(priceCue) {
			return j+1 >= len(c.atoms) || c.gap(j, j+1) > 2 || c.atoms[j+1].sign != amountSign && c.atoms[j+1].sign != numberSign
		}
	}
	return false
}

// cueBeside tells that a word for the price stands right before a number.
func (c *clause) cueBeside(i int) bool {
	for j := i - 1; j >= 0 && c.gap(j, i) <= 6; j-- {
		if c.atoms[j].is(priceCue) {
			return c.gap(j, i) <= 4 || c.atoms[i-1].sign == colon
		}
		if c.atoms[j].sign == numberSign || c.atoms[j].sign == yearSign {
			return false
		}
	}
	return false
}

// together tells that words beside a number speak of all that is for sale:
// "2500 the lot".
func (c *clause) together(i int) bool {
	return i+1 < len(c.atoms) && isCount(&c.atoms[i+1], "together") && c.gap(i, i+1) <= 2 && c.part[i+1] == c.part[i] ||
		i > 0 && isCount(&c.atoms[i-1], "together") && c.gap(i-1, i) <= 2
}

// eachBeside tells that an amount is the price of one of several.
func (c *clause) eachBeside(i int) bool {
	return i+1 < len(c.atoms) && isCount(&c.atoms[i+1], "each") && c.gap(i, i+1) <= 1 ||
		i > 0 && isCount(&c.atoms[i-1], "each") && c.gap(i-1, i) <= 1
}

// withoutExtra tells that of two amounts of a sentence this is the one of the
// boat alone: "1500 without trailer, 1900 with trailer".
func (c *clause) withoutExtra(i int) bool {
	amounts := 0
	for j := range c.atoms {
		if c.atoms[j].sign == amountSign || c.atoms[j].sign == numberSign && c.sum(j) >= leastBare {
			amounts++
		}
	}
	if amounts < 2 {
		return false
	}
	for j := range c.atoms {
		if c.part[j] == c.part[i] && c.atoms[j].is(negation) && c.atoms[j].as(negation).value == "without" {
			return true
		}
	}
	return false
}

// leads tells that a sentence is a bare number and little else: "1300 cash",
// "12.800, the sails thrown in".
func (c *clause) leads(i int) bool {
	t := c.s.tokens
	at := c.atoms[i].from
	if c.s.question || len(c.things) > 0 && c.part[c.things[0].atom] == c.part[i] || c.in(i, count) && !c.eachBeside(i) && !c.together(i) {
		return false
	}
	words := 0
	for _, x := range t {
		if x.kind == word {
			words++
		}
	}
	if len(t)-len(c.atoms) <= 1 && len(c.things) == 0 {
		return true
	}
	if at > 0 || c.sum(i) < leastLeading && !strings.ContainsAny(t[at].fold, ".'") {
		return false
	}
	if c.atoms[i].to == len(t) {
		return true
	}
	if next := t[c.atoms[i].to]; next.kind == word && next.end-next.start <= 2 && c.r.stops[next.fold] == 0 {
		return false // "300 kg"
	}
	return words <= mostLeadWords || c.sum(i) >= 10000 || c.eachBeside(i)
}

// lonely tells that a round number stands where nothing explains it: "whoever
// brings 1450 may take it".
func (c *clause) lonely(i int) bool {
	a := &c.atoms[i]
	value := c.sum(i)
	if a.sign != numberSign || c.s.question || value < leastLonely || int(value)%10 != 0 || c.in(i, item) || c.in(i, thing) || c.in(i, yearCue) && value < 2100 {
		return false
	}
	if a.from > 0 {
		if before := c.s.tokens[a.from-1]; before.kind == word && before.upper && a.from > 1 || before.kind == number || before.kind == mark && before.glued && c.s.tokens[a.from].glued {
			return false // a name, or a telephone number
		}
	}
	if a.to == len(c.s.tokens) || c.atomStarts(a.to) {
		return true
	}
	next := c.s.tokens[a.to]
	if next.kind != word {
		return !next.glued || strings.ContainsAny(next.fold, ",.;:)!?")
	}
	return !next.upper && (c.r.stops[next.fold] != 0 || int(value)%50 == 0 && next.end-next.start > 2)
}

// endsTitle tells that a number is the last word of a title and no name's:
// "18 ft cat for sale 2500".
func (c *clause) endsTitle(i int) bool {
	a := &c.atoms[i]
	return a.to == len(c.s.tokens) && i > 0 && c.gap(i-1, i) == 0 && !c.atoms[i-1].is(boatNoun) && c.atoms[i-1].sign != numberSign
}

// atomStarts tells that a phrase that the grammar knows begins at a token.
func (c *clause) atomStarts(t int) bool {
	for i := range c.atoms {
		if c.atoms[i].from == t {
			return true
		}
	}
	return false
}

// otherPrice tells that words beside an amount make it another price than the
// one asked: "new price 9800", "was 3000", "99 a month".
func (c *clause) otherPrice(i int) bool {
	for j := range c.atoms {
		e := c.atoms[j].as(newPrice)
		if e == nil {
			continue
		}
		switch {
		case j < i && e.value == "number":
			if c.gap(j, i) <= 2 {
				return true
			}
		case j < i && c.gap(j, i) <= 5 && c.part[j] >= c.part[i]-1 && !c.amountBetween(j, i) && !c.cueBetween(j, i):
			return true
		case j > i && c.gap(i, j) <= 1 && c.part[j] == c.part[i] && !onTop(e) && !c.amountSoon(j):
			return true
		}
	}
	return false
}

func (c *clause) amountBetween(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if c.atoms[k].sign == amountSign || c.atoms[k].sign == numberSign && c.sum(k) >= leastBare {
			return true
		}
	}
	return false
}

func (c *clause) cueBetween(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if c.atoms[k].is(priceCue) && c.gap(k-1, k) > 0 {
			return true
		}
	}
	return false
}

// amountSoon tells that an amount follows close behind an atom, which is then
// what it speaks of.
func (c *clause) amountSoon(j int) bool {
	for k := j + 1; k < len(c.atoms) && c.part[k] == c.part[j] && c.gap(j, k) <= 3; k++ {
		if c.atoms[k].sign == amountSign {
			return true
		}
	}
	return false
}

// onTop tells that a word behind an amount speaks of what comes on top of it:
// delivery, or tax.
func onTop(e *entry) bool { return e.value == "delivery" || e.value == "net" }

// deliveredBehind tells that words on delivery or tax follow an amount.
func (c *clause) deliveredBehind(i int) bool {
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i] && c.gap(i, j) <= 1; j++ {
		if e := c.atoms[j].as(newPrice); e != nil && onTop(e) {
			return true
		}
	}
	return false
}

// sellsExtra tells that around an amount a thing is offered for more money,
// and for no other amount than this.
func (c *clause) sellsExtra(i int) bool {
	for j := range c.atoms {
		e := c.atoms[j].as(offer)
		if j == i || e == nil || e.value != "at_extra_cost" || c.pricedItself(j, i) || c.atoms[j].is(priceCue) && c.last(j) < 0 {
			continue
		}
		if c.part[j] == c.part[i] || c.part[j] == c.part[i]+1 && c.in(j, item) {
			return true
		}
	}
	return false
}

// pricedItself tells that an offer at atom j has another amount than that at
// atom i: among its own words, or nearer.
func (c *clause) pricedItself(j, i int) bool {
	for _, t := range c.s.tokens[c.atoms[j].from:c.atoms[j].to] {
		if t.kind == number {
			return true
		}
	}
	for k := range c.atoms {
		if k == i || c.part[k] != c.part[j] || c.atoms[k].sign != amountSign && !(c.atoms[k].sign == numberSign && c.sum(k) >= leastAmount) {
			continue
		}
		if c.part[i] != c.part[j] || (j > i) == (j > k) && (k > i) == (j > i) {
			return true
		}
	}
	return false
}
