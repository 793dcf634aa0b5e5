package extract

// grades says of blades and blocks what they are made of.
func (c *clause) grades() {
	for i := range c.atoms {
		a := &c.atoms[i]
		if c.off[i] || c.scope[i] == negated || c.scope[i] == offeredNot || c.scope[i] == sought {
			continue // "not the plastic ones"
		}
		for _, e := range a.means {
			switch e.role {
			case directValue:
				if c.isDue(i) {
					continue // "needs new eyelets"
				}
				c.said = append(c.said, said{item: e.items[0], value: e.value, weight: stated, from: a.from, to: a.to})
			case grade:
				if !c.bettered(i, e) {
					c.graded(i, e)
				}
			}
		}
	}
}

// bettered tells that a better grade stands right before the one at atom i:
// "epoxy and glass" is epoxy.
func (c *clause) bettered(i int, e *entry) bool {
	j := i - 1
	if j > 0 && c.atoms[j].is(and) && c.gap(j, i) == 0 {
		j--
	}
	if j < 0 || c.part[j] != c.part[i] || c.gap(j, i) > 1 {
		return false
	}
	before := c.atoms[j].as(grade)
	if before == nil || before.items[0] != e.items[0] {
		return false
	}
	it, _ := c.r.book.Item(e.items[0])
	for _, level := range it.Levels {
		if level.ID == e.value {
			return before.value != e.value
		}
		if level.ID == before.value {
			return false
		}
	}
	return false
}

// partOf tells that a thing may belong to an item: a block to the mainsheet.
func (c *clause) partOf(m int, id string) bool {
	e := c.atoms[c.things[m].atom].as(thing)
	return e != nil && e.value == id
}

// faultDenied tells that what is denied before atom i is a fault of it: "no
// cracks in the edges of the blades, which are of glass".
func (c *clause) faultDenied(i int) bool {
	for j := i - 1; j >= 0 && !c.atoms[j].is(negation); j-- {
		if c.atoms[j].is(fault) {
			return true
		}
	}
	return false
}

// graded looks for the thing that a material or a make-up speaks of.
func (c *clause) graded(i int, e *entry) {
	if c.in(i, repaired) {
		return
	}
	for _, m := range []int{c.following(i), c.last(i), c.earlier(i)} {
		if m < 0 || len(c.things[m].items) != 1 || c.things[m].items[0] != e.items[0] {
			if m >= 0 && c.nextThing(i, m) && c.things[m].atom > i && !c.partOf(m, e.items[0]) {
				return // it describes another thing
			}
			continue
		}
		if c.things[m].dropped || c.off[c.things[m].atom] || c.scope[c.things[m].atom] == negated && !c.faultDenied(c.things[m].atom) {
			return
		}
		t := c.atoms[c.things[m].atom]
		c.said = append(c.said, said{item: e.items[0], value: e.value, weight: stated,
			from: min(t.from, c.atoms[i].from), to: max(t.to, c.atoms[i].to)})
		return
	}
	for _, m := range []int{c.following(i), c.last(i), c.earlier(i)} {
		if m >= 0 && c.partOf(m, e.items[0]) {
			c.gradedWhole(i, m, e)
			return
		}
	}
	if m := c.earlier(i); c.last(i) < 0 && m > 0 && len(c.things[m].items) == 0 && len(c.things[m-1].items) == 1 && c.things[m-1].items[0] == e.items[0] && c.part[c.things[m-1].atom] == c.part[c.things[m].atom] {
		c.gradedWhole(i, m, e) // "mainsheet block with bearings, can be switched"
	}
}

// gradedWhole says of an item what is said of a part of it elsewhere in the
// sentence: "plain block for the mainsheet".
func (c *clause) gradedWhole(i, m int, e *entry) {
	for k := range c.things {
		whole := &c.things[k]
		if len(whole.items) != 1 || whole.items[0] != e.items[0] || whole.dropped || c.off[whole.atom] || c.scope[whole.atom] == negated {
			continue
		}
		a, b, t := c.atoms[whole.atom], c.atoms[c.things[m].atom], c.atoms[i]
		c.said = append(c.said, said{item: e.items[0], value: e.value, weight: stated,
			from: min(a.from, b.from, t.from), to: max(a.to, b.to, t.to)})
		return
	}
}
