package extract

import "slices"

// priced finds amounts that stand beside a thing: it costs them on top.
func (c *clause) priced() {
	for i := range c.atoms {
		if c.atoms[i].sign != amountSign && !c.listedAmount(i) || c.in(i, newPrice) || c.in(i, priceCue) {
			continue
		}
		m := c.last(i)
		if n := c.paidFor(i); n >= 0 {
			m = n
		}
		if m < 0 && i > 0 && (c.atoms[i-1].sign == opening || c.atoms[i-1].sign == colon || c.atoms[i-1].sign == comma && c.priceBehind(i)) {
			m = c.earlier(i)
		}
		if k := c.lastExtra(i); m >= 0 && k >= 0 && len(c.things[m].items) == 0 {
			m = k // "furler for the jib 60"
		}
		if m < 0 {
			continue
		}
		t := &c.things[m]
		if c.count(amountSign) == 1 && c.deniedAtOnce(m) && c.gap(t.atom, i) <= 1 {
			continue // "without trailer 3250 €" is the boat
		}
		if t.joined && c.sum(i) >= leastThousands && c.listWithBoat(i) {
			continue // "boat, trailer and trolley: 3300 €"
		}
		if t.offers.explicit || c.gap(min(t.atom, i), max(t.atom, i)) > 4 || c.scope[t.atom] == offeredIn && !c.dearer(i) && !c.underHeading(t.atom) || len(t.items) == 0 {
			continue
		}
		t.offers = offerSaid{value: "at_extra_cost", explicit: true,
			from: min(c.atoms[t.atom].from, c.atoms[i].from), to: max(c.atoms[t.atom].to, c.atoms[i].to)}
	}
}

// listWithBoat tells that the words before atom i only list things, and the
// boat first.
func (c *clause) listWithBoat(i int) bool {
	for j := i - 1; j >= 0; j-- {
		a := &c.atoms[j]
		switch {
		case c.at[j] >= 0:
			if j == 0 {
				return c.things[0].boat && !c.things[0].state
			}
		case a.is(and), a.is(quantity), a.sign == comma, a.sign == colon, a.sign == dash:
		default:
			return false
		}
	}
	return false
}

// deniedAtOnce tells that a denial stands right before thing m, or before the
// one that an "and" joins it to.
func (c *clause) deniedAtOnce(m int) bool {
	first := m
	if c.things[m].joined {
		first--
	}
	at := c.things[first].atom
	return c.scope[c.things[m].atom] == negated && at > 0 && c.atoms[at-1].is(negation)
}

// paidFor gives the extra that an amount is for, -1 if there is none: "2000
// for the boat, 300 for the trailer".
func (c *clause) paidFor(i int) int {
	if opens := i == 0 || c.atoms[i-1].sign == comma; opens && c.count(amountSign) > 1 && i+1 < len(c.atoms) && c.part[i+1] == c.part[i] && c.gap(i, i+1) <= 1 && c.at[i+1] >= 0 && c.extraOnly(c.at[i+1]) && c.closes(i+1) {
		return c.at[i+1] // "2000 the boat, 300 the trailer"
	}
	if k := c.behindWith(i); k >= 0 && c.dearer(i) {
		return c.at[k] // "1450, or 1700 with the trailer"
	}
	if i+2 >= len(c.atoms) || c.gap(i, i+1) > 0 || c.gap(i+1, i+2) > 1 || c.at[i+2] < 0 || !c.extraOnly(c.at[i+2]) {
		return -1
	}
	if e := c.atoms[i+1].as(adKind); e == nil || e.value != "for" {
		return -1
	}
	return c.at[i+2]
}

// behindWith gives the atom of the extra that an amount is with, -1 if there
// is none.
func (c *clause) behindWith(i int) int {
	if i+2 >= len(c.atoms) || c.gap(i, i+1) > 0 || c.gap(i+1, i+2) > 1 || c.part[i+2] != c.part[i] || c.at[i+2] < 0 || !c.extraOnly(c.at[i+2]) {
		return -1
	}
	if e := c.atoms[i+1].as(offer); e == nil || !e.next || e.value != "included" {
		return -1
	}
	return i + 2
}

// underHeading tells that what offers a thing is only a heading such as
// "extras", under which each may have its price.
func (c *clause) underHeading(i int) bool {
	for j := i - 1; j >= 0; j-- {
		switch a := &c.atoms[j]; {
		case a.is(heading) && !a.is(offer) && c.headed(j), a.is(offer) && c.headed(j) && c.count(amountSign) > 1:
			return true
		case a.is(offer), a.is(negation):
			return false
		}
	}
	return false
}

// priceBehind tells that the amount behind a comma is that of the extra before
// it: in an item of a list, for each, or of what the seller has too.
func (c *clause) priceBehind(i int) bool {
	m := c.earlier(i)
	if m < 0 || !c.extraOnly(m) || c.part[c.things[m].atom] != c.part[i]-1 {
		return false
	}
	if c.s.bullet || i+1 < len(c.atoms) && c.atoms[i+1].is(count) {
		return true
	}
	for j := c.things[m].atom + 1; j < i; j++ {
		if c.atoms[j].is(same) {
			return true // "I have a trailer too, 300 €"
		}
	}
	return false
}

// boats counts the words for the boat.
func (c *clause) boats() int {
	n := 0
	for m := range c.things {
		if c.things[m].boat {
			n++
		}
	}
	return n
}

// dearer tells that a smaller amount stands in another part than the one at
// atom i, behind it only without the thing: "21500 kr, with trailer 25500 kr",
// "with trailer 1750 €, without 1400 €".
func (c *clause) dearer(i int) bool {
	if c.sumBefore > 0 && c.atoms[i].value > c.sumBefore && c.atoms[i].value <= mostDearer*c.sumBefore {
		return true // "21500 kr. With trailer 25500 kr."
	}
	for j := range c.atoms {
		a := &c.atoms[j]
		if c.part[j] == c.part[i] || a.sign != amountSign || a.value < leastThousands || a.value >= c.atoms[i].value || c.in(j, newPrice) {
			continue
		}
		if j < i || c.in(j, negation) {
			return true
		}
	}
	return false
}

// listedAmount tells that a bare number is a price in a list: "cover 110,
// harness: 85, trolley +80".
func (c *clause) listedAmount(i int) bool {
	a := &c.atoms[i]
	if a.sign != numberSign || i == 0 {
		return false
	}
	if value := c.sum(i); value < leastAmount || value > mostListed {
		return false
	}
	before := i - 1
	if b := &c.atoms[before]; b.sign == colon || b.is(and) || b.sign == opening || b.is(adKind) && b.as(adKind).value == "for" {
		before--
	}
	if before < 0 || c.at[before] < 0 || !c.extraOnly(c.at[before]) || c.gap(before, i) > 2 {
		return false
	}
	if i+1 < len(c.atoms) && c.atoms[i+1].is(and) && c.gap(i, i+1) == 0 {
		return true
	}
	return a.to == len(c.s.tokens) || c.s.tokens[a.to].kind == mark && c.s.tokens[a.to].fold != "x" && c.s.tokens[a.to].fold != "%"
}

// mostDearer is how many times what the boat costs it may cost with a thing.
const mostDearer = 2

// mostListed bounds what a single extra may cost.
const mostListed = 20000

// twoPrices reads "1500 without trailer, 1900 with trailer": the thing costs
// extra.
func (c *clause) twoPrices() {
	c.withAndWithout()
	if amounts := c.count(amountSign); amounts < 2 {
		return
	}
	for i := range c.said {
		for j := range i {
			a, b := &c.said[j], &c.said[i]
			if a.item == b.item && a.value != b.value && (a.value == "absent" || b.value == "absent") {
				a.value, b.value = "at_extra_cost", "at_extra_cost"
				a.weight, b.weight = stated, stated
				a.defaulted, b.defaulted = false, false
			}
		}
	}
}

// withAndWithout reads "1500 without trailer, 1900 with it", where one of the
// two names no thing: the thing costs extra.
func (c *clause) withAndWithout() {
	with, without := -1, -1 // parts of the sentence
	for i := range c.atoms {
		a := &c.atoms[i]
		if a.sign != amountSign && (a.sign != numberSign || c.sum(i) < leastThousands) {
			continue
		}
		for j := range c.atoms {
			b := &c.atoms[j]
			switch {
			case c.part[j] != c.part[i]:
			case b.is(negation) && b.as(negation).value == "without":
				without = c.part[i]
			case b.is(offer) && b.as(offer).next && b.as(offer).value == "included":
				with = c.part[i]
			}
		}
	}
	if with < 0 || without < 0 || with == without {
		return
	}
	for i := range c.said {
		s := &c.said[i]
		for m := range c.things {
			at := c.things[m].atom
			if c.r.isExtra(s.item) && slices.Contains(c.things[m].items, s.item) && (c.part[at] == with || c.part[at] == without) {
				s.value, s.weight, s.defaulted = "at_extra_cost", stated, false
			}
		}
	}
}

// soleSum gives the only amount of a sentence that names no thing but the
// boat, 0 if there is none.
func (c *clause) soleSum() float64 {
	sum := 0.0
	for i := range c.atoms {
		switch a := &c.atoms[i]; {
		case a.sign == amountSign && sum > 0, c.at[i] >= 0 && !c.things[c.at[i]].boat, a.is(newPrice):
			return 0
		case a.sign == amountSign:
			sum = a.value
		}
	}
	return sum
}
