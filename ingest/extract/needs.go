package extract

// toDo reads what a thing needs: "needs a new trampoline", "sails should be
// replaced". It marks the words that it used up.
func (c *clause) toDo() []bool {
	taken := make([]bool, len(c.atoms))
	for i := range c.atoms {
		if !c.atoms[i].is(needs) || c.off[i] || c.atoms[i].is(quality) && c.closes(i) {
			continue // "trampoline due" is said of its state
		}
		denied := c.flips(i) || c.scope[i] == negated
		taken[i] = true
		if c.closes(i) {
			c.trailingNeed(i, denied, taken)
		}
		for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i]; j++ {
			a := &c.atoms[j]
			switch {
			case a.is(renewed), a.is(quality) && a.as(quality).value == "replace":
				taken[j] = true
				c.due(i, j, denied)
				j = len(c.atoms)
			case a.is(quality) && a.as(quality).value == "new" && c.closes(j) && c.last(i) >= 0 && !c.things[c.last(i)].boat:
				taken[j] = true
				c.due(i, j, denied) // "the net will have to be a new one"
				j = len(c.atoms)
			case a.is(repaired):
				taken[j] = true
				j = len(c.atoms)
			case c.at[j] >= 0:
				if last := c.newBehindList(j); last >= 0 && !denied {
					taken[last] = true
					c.allDue(j, last)
				} else {
					c.sought(i, c.at[j], denied, taken)
				}
				j = len(c.atoms)
			case a.is(quality), a.is(condition):
				taken[j] = true
			}
		}
	}
	return taken
}

// newBehindList gives the "new" that closes a list of things, which begins at
// atom j and holds a comma, -1 if none does: "needs sails, shrouds and lines
// new".
func (c *clause) newBehindList(j int) int {
	listed := false
	for k := j; k < len(c.atoms); k++ {
		a := &c.atoms[k]
		switch {
		case a.sign == comma:
			listed = true
		case c.at[k] >= 0, a.is(and), a.is(quantity):
		case listed && a.is(quality) && a.as(quality).value == "new" && c.at[k-1] >= 0:
			if k+1 == len(c.atoms) {
				return k
			}
			return -1
		default:
			return -1
		}
	}
	return -1
}

// allDue says of the wear parts between two atoms that they are to be
// replaced.
func (c *clause) allDue(from, to int) {
	for k := from; k < to; k++ {
		if c.at[k] < 0 {
			continue
		}
		t := &c.things[c.at[k]]
		if len(t.items) > 0 && c.r.isWear(t.items[0]) {
			t.states = append(t.states, stateSaid{value: "replace", atom: from})
		}
		t.dropped = true
	}
}

// trailingNeed reads a need that stands behind the new thing that it is for:
// "heeft een nieuw grootzeil nodig".
func (c *clause) trailingNeed(i int, denied bool, taken []bool) {
	m := c.last(i)
	if m < 0 || denied || len(c.things[m].items) == 0 || !c.r.isWear(c.things[m].items[0]) {
		return
	}
	before := c.things[m].atom - 1
	if before < 0 || c.part[before] != c.part[i] || !c.atoms[before].is(quality) || c.atoms[before].as(quality).value != "new" {
		return
	}
	taken[before] = true
	c.things[m].states = append(c.things[m].states, stateSaid{value: "replace", atom: i})
}

// due says that the things before a "should be replaced" are to be replaced.
func (c *clause) due(i, j int, denied bool) {
	if denied {
		return
	}
	var targets []int
	if m := c.last(i); m >= 0 {
		targets = c.group(m)
	} else if m := c.following(i); m >= 0 {
		targets = c.onward(m)
	} else if m := c.earlier(i); m >= 0 {
		targets = c.group(m)
	}
	for _, t := range targets {
		c.things[t].states = append(c.things[t].states, stateSaid{value: "replace", atom: j})
	}
}

// sought says of the things after a "needs" that they are to be replaced, or,
// where they are no wear parts, that they are not there.
func (c *clause) sought(i, m int, denied bool, taken []bool) {
	first := c.things[m]
	if c.gap(i, first.atom) > 6 {
		return
	}
	for k := i + 1; k < first.atom; k++ {
		if c.atoms[k].is(negation) || c.atoms[k].is(offer) {
			return // "need to find your own trolley"
		}
	}
	for k := i + 1; k < first.atom; k++ {
		taken[k] = true
	}
	for ; m < len(c.things); m++ {
		t := &c.things[m]
		if t.atom > first.atom && !t.joined && c.part[t.atom] == c.part[t.atom-1] {
			break
		}
		if t.atom > first.atom && !t.joined && !c.listGoesOn(t.atom-1, true, false) {
			break
		}
		if !denied && len(t.items) > 0 && c.r.isWear(t.items[0]) {
			t.states = append(t.states, stateSaid{value: "replace", atom: i})
		}
		t.dropped = true
	}
}
