package extract

import "strings"

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
	if next.kind == number || next.kind == word && c.r.stops[next.fold] == 0 && c.r.cells["measure"][next.fold] != "" {
		return false // "451 50 Uddevalla", "1200 members"
	}
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
	if next := t[c.atoms[i].to]; next.kind == word && c.r.stops[next.fold] == 0 && (next.upper || next.end-next.start <= 2) && !c.atomStarts(c.atoms[i].to) {
		return false // "300 kg", "8000 Aarhus"
	}
	if next := i + 1; next < len(c.atoms) && c.atoms[next].is(and) && c.gap(i, next) == 0 && c.sum(i) >= leastLonely && int(c.sum(i))%10 == 0 && len(c.things) == 0 {
		return true // "450 and take it away"
	}
	return words <= mostLeadWords || c.sum(i) >= 10000 || c.eachBeside(i)
}

// sumOfAll tells that a bare number closes a sentence that names the boat
// first and then what comes with it, and says nothing of them: "boat and
// trailer 2900".
func (c *clause) sumOfAll(i int) bool {
	if c.s.question || i == 0 || len(c.things) < 2 || !c.things[0].boat || c.things[0].atom > 0 || c.sum(i) < leastLonely || c.atoms[i].to < len(c.s.tokens)-1 {
		return false
	}
	for j := 1; j < i; j++ {
		if a := &c.atoms[j]; !a.is(and) && a.sign != comma && (c.at[j] < 0 || !c.extraOnly(c.at[j])) {
			return false
		}
	}
	return c.at[i-1] >= 0
}

// sumWith tells that a bare number opens a sentence that goes on to tell what
// comes with the boat, and no more: "2900 with trailer and trolley".
func (c *clause) sumWith(i int) bool {
	if c.s.question || i > 0 || len(c.atoms) < 3 || c.atoms[0].from > 0 || c.sum(i) < leastLonely || int(c.sum(i))%10 != 0 || c.gap(0, 1) > 0 {
		return false
	}
	if e := c.atoms[1].as(offer); e == nil || !e.next || e.value != "included" {
		return false
	}
	for j := 2; j < len(c.atoms); j++ {
		if a := &c.atoms[j]; !a.is(and) && a.sign != comma && !a.is(quantity) && (c.at[j] < 0 || !c.extraOnly(c.at[j])) {
			return false
		}
	}
	return true
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
