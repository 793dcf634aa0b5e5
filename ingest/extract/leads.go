package extract

// lead reads the heading of a list that tells the state of all below it: "new
// in 2025:", "needs replacing:". What only needs something done is to be
// replaced where the list names it as new, which renewed marks. nil is none.
func (c *clause) lead(now float64) []stateSaid {
	if !c.s.heads() || !c.s.namesNothing() || c.s.question {
		return nil
	}
	var out []stateSaid
	told, due := false, false
	for i := range c.atoms {
		a := &c.atoms[i]
		if c.off[i] || a.is(negation) || a.is(newPrice) || a.is(offer) || a.is(repaired) {
			return nil
		}
		due = due || a.is(needs)
		if q := a.as(quality); q != nil && q.value != "new" && q.value != "fresh" && q.value != "replace" {
			return nil
		}
		s, ok := c.stateAt(i, now)
		if y := a.as(yearCue); y != nil && y.value == "bought_new" {
			s, ok = stateSaid{value: "new"}, true // "new in"
		}
		if ok {
			told = told || s.value != "" || a.is(ageOf)
			out = append(out, s)
		}
	}
	switch {
	case due:
		return []stateSaid{{value: "replace", renewed: !told}}
	case !told:
		return nil
	}
	return out
}

// headsList tells that a sentence is the heading of a list of what is new, whose
// year is not the boat's.
func (c *clause) headsList() bool { return c.s.heads() && c.s.namesNothing() }

// led says of the things in an item of a list what its heading says of all,
// unless words of its own tell their state.
func (c *clause) led(lead []stateSaid) {
	if len(lead) == 0 || !c.s.bullet && !(len(c.atoms) > 0 && c.bare(0, true)) {
		return
	}
	for m := range c.things {
		if c.things[m].boat {
			continue
		}
		wanted := lead[0].value == "replace" && c.toldNew(m)
		switch {
		case wanted:
			c.things[m].states = nil // "to do: new sails"
		case c.judged(m), lead[0].value == "replace" && lead[0].renewed:
			continue
		}
		for _, s := range lead {
			s.renewed = false
			s.atom = c.things[m].atom
			c.things[m].states = append(c.things[m].states, s)
		}
	}
}

// toldNew tells that nothing but "new" is said of the state of a thing.
func (c *clause) toldNew(m int) bool {
	for _, s := range c.things[m].states {
		if s.value != "new" {
			return false
		}
	}
	return len(c.things[m].states) > 0
}
