package extract

import (
	"slices"
)

// setAsideAt tells that what is wished for or another boat's stands in the
// same part as an amount, before it.
func (c *clause) setAsideAt(i int) bool {
	if !c.off[i] {
		return false
	}
	for j := i - 1; j >= 0; j-- {
		if e := c.atoms[j].as(aside); e != nil && !c.atoms[j].is(priceCue) && !c.atoms[j].is(weakCue) {
			return (c.part[j] == c.part[i] || e.value == "other_boat") && !c.soughtFor(i)
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
		included := a.is(offer) && a.as(offer).value != "at_extra_cost" || a.is(heading) && a.as(heading).value == "included"
		sale := a.is(adKind) && a.as(adKind).value == "sale"
		boats := a.is(boatNoun) && a.as(boatNoun).value != "state"
		b.whole = b.whole || !told && (b.thing && (boats || included || sale || a.is(negation)) || included && c.gap(j, i) <= 3 || isCount(a, "together"))
	}
	if b.thing && !b.cue && !told {
		b.whole = b.whole || c.leftOut(i)
	}
	return b
}

// leftOut tells that an amount is that which a thing is not part of: "the
// trailer is, in the 2200, not included", "is not in the 2200".
func (c *clause) leftOut(i int) bool {
	if i+1 < len(c.atoms) && c.part[i+1] == c.part[i] && c.gap(i, i+1) <= 1 && c.atoms[i+1].is(offer) && c.atoms[i+1].as(offer).value == "absent" {
		return true
	}
	return i > 1 && c.atoms[i-1].is(negation) && c.gap(i-1, i) >= 1 && c.gap(i-1, i) <= 3 && c.at[i-2] >= 0
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

// withExtra tells that of two amounts of a sentence this is the one with more
// to it: "3250, or 3600 with the trailer".
func (c *clause) withExtra(i int) bool {
	if i == 0 || c.count(amountSign) < 2 || i+2 >= len(c.atoms) || c.gap(i, i+1) > 1 {
		return false
	}
	e := c.atoms[i+1].as(offer)
	return e != nil && e.next && e.value == "included" && c.at[i+2] >= 0 && c.extraOnly(c.at[i+2]) && c.part[i+2] == c.part[i]
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

// sellsExtra tells that around an amount a thing is offered for more money,
// and for no other amount than this.
func (c *clause) sellsExtra(i int) bool {
	for j := range c.atoms {
		e := c.atoms[j].as(offer)
		if j == i || e == nil || e.value != "at_extra_cost" || c.pricedItself(j, i) || c.termBehind(j, i) || c.atoms[j].is(priceCue) && c.last(j) < 0 || c.sellsBoat(j) {
			continue
		}
		if c.part[j] == c.part[i] || c.part[j] == c.part[i]+1 && c.in(j, item) {
			return true
		}
		m := c.last(j)
		if m < 0 {
			m = c.earlier(j)
		}
		if c.part[j] == c.part[i]-1 && c.atoms[i-1].sign == comma && c.gap(i-1, i) == 0 && m >= 0 && c.extraOnly(m) && c.closes(i) && c.boats() == 0 {
			return true // "spinnaker for sale apart, 300 €"
		}
	}
	return false
}

// sellsBoat tells that words for a sale at atom j are said of the boat: "the
// boat can be had for 1800 €".
func (c *clause) sellsBoat(j int) bool {
	if e := c.atoms[j].as(adKind); e == nil || e.value != "sale" {
		return false
	}
	if m := c.last(j); m >= 0 {
		return c.things[m].boat
	}
	return len(c.things) == 0 && slices.ContainsFunc(c.atoms, func(a atom) bool { return a.is(newPrice) })
}

// termBehind tells that an offer at atom j is a term of the price right before
// it at atom i, where no thing stands before both: "4800 negotiable".
func (c *clause) termBehind(j, i int) bool {
	return j == i+1 && c.gap(i, j) <= 1 && c.last(i) < 0 && c.r.prices.term[c.s.tokens[c.atoms[j].from].fold]
}

// pricesBehind tells that atom k stands in brackets, or behind a colon, right
// behind atom j: "trailer at extra cost (600 €)".
func (c *clause) pricesBehind(j, k int) bool {
	return k == j+2 && c.gap(j, k) <= 1 && (c.atoms[j+1].sign == opening || c.atoms[j+1].sign == colon)
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
		if k == i || c.part[k] != c.part[j] && !c.pricesBehind(j, k) || c.atoms[k].sign != amountSign && !(c.atoms[k].sign == numberSign && c.sum(k) >= leastAmount) {
			continue
		}
		if c.part[i] != c.part[j] || (j > i) == (j > k) && (k > i) == (j > i) {
			return true
		}
	}
	return false
}
