package extract

// offerSaid is what is said of whether a thing comes with the boat.
type offerSaid struct {
	value    string
	explicit bool
	from, to int // tokens
}

// offered reads the words that follow a thing: "trailer not included", and
// those that name no thing of their own, which speak of the thing before.
func (c *clause) offered() (pending string) {
	for i := range c.atoms {
		e := c.atoms[i].as(offer)
		if e == nil || c.asked(i) || c.off[i] && (e.value != "at_extra_cost" || i > c.wants) {
			continue
		}
		value := e.value
		if value == "included" && i > 0 && c.atoms[i-1].sign == amountSign && c.gap(i-1, i) == 0 && c.last(i-1) >= 0 {
			value = "at_extra_cost" // "trailer 300 € on top"
		}
		if c.deniedBetween(i) || c.reply(i) == "no" {
			if value != "included" {
				continue
			}
			value = "absent"
		}
		var targets []int
		switch m, n := c.last(i), c.following(i); {
		case e.next && (n >= 0 || e.value == "included"):
			continue // the scope has it
		case m >= 0 && !c.things[m].boat:
			if k := c.lastExtra(i); k >= 0 && len(c.things[m].items) == 0 {
				m = k
			}
			targets = c.group(m)
		case c.headed(i) && c.last(i) < 0 && n < 0 && c.namesLater(i):
			continue // the scope has it
		case n >= 0 && c.off[c.things[n].atom]:
			continue // "on offer in exchange for a roller"
		case n >= 0:
			targets = c.listOnward(n)
		case value == "at_extra_cost" && c.extraBehindComma(i) >= 0:
			targets = c.onward(c.extraBehindComma(i))
		case c.earlier(i) >= 0:
			targets = c.group(c.extraBy(c.earlier(i)))
		default:
			if value != "included" {
				pending = value
			}
			continue
		}
		for _, t := range targets {
			m := &c.things[t]
			if m.offers.explicit && c.part[m.atom] == c.part[i] && m.offers.value != "included" && value == "included" {
				continue
			}
			from, to := min(c.atoms[m.atom].from, c.atoms[i].from), max(c.atoms[m.atom].to, c.atoms[i].to)
			if value == "absent" && e.value == "included" {
				to = max(to, c.atoms[i].to)
			}
			m.offers = offerSaid{value: value, explicit: true, from: from, to: to}
			c.off[m.atom] = c.off[m.atom] && value != "at_extra_cost"
		}
	}
	return pending
}

// extraBehindComma gives the extra that alone stands between commas behind an
// offer that opens its part: "for 100 € more, the furler; …", -1 if none does.
func (c *clause) extraBehindComma(i int) int {
	if i > 0 && c.part[i-1] == c.part[i] && c.atoms[i-1].sign != semicolon || i+2 >= len(c.atoms) || c.atoms[i+1].sign != comma {
		return -1
	}
	j := i + 2
	for j+1 < len(c.atoms) && c.atoms[j].is(quantity) {
		j++
	}
	if c.at[j] < 0 || !c.extraOnly(c.at[j]) || !c.closes(j) {
		return -1
	}
	return c.at[j]
}

// namesLater tells that a thing is named after atom i.
func (c *clause) namesLater(i int) bool {
	n := len(c.things)
	return n > 0 && c.things[n-1].atom > i
}

// extraBy gives mention m, or where it is no item of the knowhow the extra
// that stands before it in its part: "the spares in my garage, sold apart".
func (c *clause) extraBy(m int) int {
	if len(c.things[m].items) == 0 {
		if k := c.lastExtra(c.things[m].atom); k >= 0 {
			return k
		}
	}
	return m
}

// trailing reads a denial that stands behind the thing: "trailer no", "Rollfock
// gibt es nicht", "Ersatzteile hab ich keine mehr".
func (c *clause) trailing() {
	for i := range c.atoms {
		if !c.atoms[i].is(negation) || c.off[i] || !c.closes(i) {
			continue
		}
		m := c.lastExtra(i)
		if m < 0 || c.things[m].offers.explicit || c.contentBetween(c.things[m].atom, i) {
			continue
		}
		for _, k := range c.group(m) {
			t := &c.things[k]
			t.offers = offerSaid{value: "absent", explicit: true, from: c.atoms[t.atom].from, to: c.atoms[i].to}
		}
	}
}

// closes tells that nothing that could be said or denied follows atom i in its
// part.
func (c *clause) closes(i int) bool {
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i]; j++ {
		if a := &c.atoms[j]; c.content(a) || c.at[j] >= 0 || a.sign == amountSign || a.is(aside) {
			return false
		}
	}
	return true
}

func (c *clause) contentBetween(from, to int) bool {
	for j := from + 1; j < to; j++ {
		if c.content(&c.atoms[j]) && !c.atoms[j].is(item) || c.atoms[j].is(negation) {
			return true
		}
	}
	return false
}

// lastExtra gives the extra mentioned nearest before atom i in its part.
func (c *clause) lastExtra(i int) int {
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		if m := c.at[j]; m >= 0 && c.extraOnly(m) {
			return m
		}
	}
	return -1
}

// answered reads marks behind a colon or a dash: "trolley: yes".
func (c *clause) answered() {
	for i := 1; i < len(c.atoms); i++ {
		if c.atoms[i].sign != colon && c.atoms[i].sign != dash || c.at[i-1] < 0 || c.atoms[i].to >= len(c.s.tokens) {
			continue
		}
		c.answer(c.at[i-1], c.atoms[i].to)
	}
	for m := range c.things {
		if at := c.atoms[c.things[m].atom].to; at < len(c.s.tokens) && c.s.tokens[at].kind == word && c.extraOnly(m) {
			c.answer(m, at) // "trolley yes, cover no"
		}
	}
}

// answer reads a yes or no at a token for a thing, where nothing follows it.
func (c *clause) answer(m, at int) {
	end := at + 1
	if c.asked(c.things[m].atom) {
		return // "trailer included? Ask me"
	}
	if end < len(c.s.tokens) && c.s.tokens[end].kind == word {
		return
	}
	value := ""
	switch c.r.yesNo(c.s.tokens[at].fold) {
	case "yes":
		value = "included"
	case "no":
		value = "absent"
	default:
		return
	}
	if c.reply(c.things[m].atom) == "no" {
		value = "absent" // "buoyancy aids with it? No."
	}
	for _, t := range c.group(m) {
		x := &c.things[t]
		if x.offers.explicit && value == "included" {
			continue // "trailer available, it costs 500 more"
		}
		x.offers = offerSaid{value: value, explicit: true, from: c.atoms[x.atom].from, to: end}
	}
}

// deniedBetween tells that a "not" stands before atom i in its part, after
// the thing that it speaks of, or directly before it.
func (c *clause) deniedBetween(i int) bool {
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		if c.atoms[j].is(negation) {
			return true
		}
		if c.at[j] >= 0 && !c.things[c.at[j]].boat || c.atoms[j].is(and) {
			return false
		}
	}
	return false
}

// in tells that the part of the sentence around atom i holds a role.
func (c *clause) in(i int, ro role) bool {
	for j := range c.atoms {
		if c.part[j] == c.part[i] && c.atoms[j].is(ro) {
			return true
		}
	}
	return false
}

// extras says of each extra mentioned whether it comes with the boat.
func (c *clause) extras() {
	for k := range c.things {
		m := &c.things[k]
		if m.dropped || c.off[m.atom] || len(m.items) == 0 || c.scope[m.atom] == sought || c.asked(m.atom) && !m.offers.explicit {
			continue
		}
		for _, id := range m.items {
			if !c.r.isExtra(id) {
				continue
			}
			c.said = append(c.said, c.extra(m, id))
		}
	}
	c.twoPrices()
}

func (c *clause) count(sg sign) int {
	n := 0
	for i := range c.atoms {
		if c.atoms[i].sign == sg {
			n++
		}
	}
	return n
}

func (c *clause) extra(m *mention, id string) said {
	a := c.atoms[m.atom]
	s := said{item: id, value: "included", weight: inPassing, from: a.from, to: a.to, defaulted: true}
	scoped := c.scope[m.atom]
	if scoped == negated && c.deniedOther(m.atom) {
		scoped = plainScope
	}
	switch scoped {
	case negated, offeredNot:
		s.value, s.weight, s.defaulted = "absent", stated, false
		s.from = c.scopeStart(m.atom)
	case offeredExtra:
		s.value, s.weight, s.defaulted = "at_extra_cost", stated, false
		s.from = c.scopeStart(m.atom)
	case offeredIn:
		s.weight = byDate
		s.from = c.scopeStart(m.atom)
	}
	if m.offers.explicit && !(s.value == "absent" && m.offers.value == "included") {
		s.value, s.weight, s.defaulted = m.offers.value, stated, false
		s.from, s.to = m.offers.from, m.offers.to
	}
	return s
}

// deniedOther tells that what a "no" before a thing denies is something said of
// it: "no rust on the trailer".
func (c *clause) deniedOther(i int) bool {
	said := -1
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		a := &c.atoms[j]
		switch {
		case a.is(and):
			return false
		case a.is(negation):
			if said < 0 || a.as(negation).value != "no" {
				return false
			}
			for k := c.atoms[said].to; k < c.atoms[i].from; k++ {
				if c.r.stops[c.s.tokens[k].fold] != 0 {
					return true
				}
			}
			return false
		case said < 0 && (a.is(fault) || a.is(quality)):
			said = j
		}
	}
	return false
}

// scopeStart gives the first token of the words that a scope comes from, or
// of the atom itself when they stand too far off.
func (c *clause) scopeStart(i int) int {
	for j := i - 1; j >= 0; j-- {
		if c.atoms[j].is(negation) || c.atoms[j].is(offer) || c.atoms[j].is(heading) {
			return c.atoms[j].from
		}
	}
	return c.atoms[i].from
}

func (r *Reader) isExtra(id string) bool  { it, _ := r.book.Item(id); return it.Kind == "extra" }
func (r *Reader) isWear(id string) bool   { it, _ := r.book.Item(id); return it.Kind == "wear" }
func (r *Reader) isDefect(id string) bool { it, _ := r.book.Item(id); return it.Kind == "defect" }
