package extract

// listGoesOn tells whether a list reaches past the comma at i: what follows
// is a bare name, and for a weak opener an "or" or "and" closes the list or
// all that follows are faults. Where offers are listed, "a" and "some" may
// stand before the names.
func (c *clause) listGoesOn(i int, weak, offers bool) bool {
	next := i + 1
	if next >= len(c.atoms) || !c.bare(next, offers) {
		return false
	}
	if !weak && !offers && !c.faultIn(c.part[i]-1) && c.faultIn(c.part[i]) {
		return false // "without a furler, a crack in the rudder"
	}
	if !weak {
		return !c.faultIn(c.part[i]-1) || !c.itemJudged(c.part[i])
	}
	faults := true
	for j := next; j < len(c.atoms); j++ {
		a := &c.atoms[j]
		switch {
		case a.is(and):
			return true
		case a.sign == comma:
			if j+1 < len(c.atoms) && !c.bare(j+1, offers) {
				return false
			}
		case a.is(fault):
		case a.is(part):
		case a.is(item), a.is(thing):
			faults = false
		}
	}
	return faults
}

// faultIn tells that a fault is named in a part of the sentence.
func (c *clause) faultIn(part int) bool {
	for j := range c.atoms {
		if c.part[j] == part && c.atoms[j].is(fault) {
			return true
		}
	}
	return false
}

// itemJudged tells that a part of the sentence names a thing and says what its
// state is: "without torn eyelets, halyards and sheets in good order".
func (c *clause) itemJudged(part int) bool {
	named := false
	for j := range c.atoms {
		if c.part[j] != part {
			continue
		}
		if a := &c.atoms[j]; named && (a.is(quality) || a.is(condition)) {
			return true
		}
		named = named || c.at[j] >= 0 && len(c.things[c.at[j]].items) > 0
	}
	return false
}

// bare tells that the part of a sentence that begins at i only names things,
// or some of them if counted is true.
func (c *clause) bare(i int, counted bool) bool {
	names := 0
	for j := i; j < len(c.atoms) && c.part[j] == c.part[i]; j++ {
		a := &c.atoms[j]
		switch {
		case a.is(item), a.is(thing), a.is(fault), a.is(part):
			names++
		case a.is(and):
			if j > i && c.predicated(j) {
				return names > 0
			}
		case a.sign == comma:
		case c.content(a), a.is(negation), a.is(needs), a.is(quantity) && !counted, a.is(aside), a.is(contrast), a.is(grade), a.is(ageOf), a.sign != noSign:
			return false
		}
	}
	return names > 0
}

// predicated tells that what follows an "and" has words of its own.
func (c *clause) predicated(i int) bool {
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i]; j++ {
		if c.atoms[j].is(quality) || c.atoms[j].is(offer) || c.atoms[j].is(condition) || c.atoms[j].sign == yearSign {
			return true
		}
	}
	return false
}

// group gives the mentions joined to m by "and" before it, and the bare names
// between commas before those: in "sails, trampoline and ropes are new" all
// three.
func (c *clause) group(m int) []int {
	first, linked := m, false
	for first > 0 && c.things[first].joined && !c.judgedBefore(first) {
		first, linked = first-1, true
	}
	for linked && first > 0 {
		a, b := c.things[first-1].atom, c.things[first].atom
		for b > a && (c.atoms[b-1].is(quantity) || c.atoms[b-1].sign == numberSign || c.atoms[b-1].is(numberWord)) {
			b-- // "trapeze, a set of sails and trolley"
		}
		if b-a != 2 || c.atoms[a+1].sign != comma || c.deniedIn(c.part[a]) {
			break
		}
		first--
	}
	var out []int
	for i := first; i <= m; i++ {
		out = append(out, i)
	}
	return out
}

// deniedIn tells that a part of the sentence denies something by itself: "no
// water in the hulls, …".
func (c *clause) deniedIn(part int) bool {
	for j := range c.atoms {
		if c.part[j] == part && (c.atoms[j].is(negation) || c.atoms[j].is(sound)) {
			return true
		}
	}
	return false
}

// judgedBefore tells that the thing before m has words on its state of its
// own before the "and": "hulls worn and mast bent".
func (c *clause) judgedBefore(m int) bool {
	for _, s := range c.things[m-1].states {
		if s.value != "" && s.atom < c.things[m-1].atom && c.part[s.atom] == c.part[c.things[m].atom] {
			return true // "scratches on the hulls and the ropes need replacing"
		}
	}
	for j := c.things[m-1].atom + 1; j < c.things[m].atom && !c.atoms[j].is(and); j++ {
		if a := &c.atoms[j]; a.is(quality) || a.is(condition) || a.is(renewed) {
			return true
		}
	}
	return false
}

// listOnward gives m, the mentions joined to it and those of the bare names
// that go on behind commas: "for extra money trailer, cover or harnesses".
func (c *clause) listOnward(m int) []int {
	out := c.onward(m)
	for next := out[len(out)-1] + 1; next < len(c.things); next = out[len(out)-1] + 1 {
		at := c.things[next].atom
		if before := c.things[next-1].atom; at-before != 2 || c.atoms[at-1].sign != comma || !c.listGoesOn(at-1, false, true) || len(c.things[next].items) == 0 {
			break
		}
		out = append(out, c.onward(next)...)
	}
	return out
}

// onward gives m and the mentions joined to it by "and" after it.
func (c *clause) onward(m int) []int {
	out := []int{m}
	for m+1 < len(c.things) && c.things[m+1].joined && c.part[c.things[m+1].atom] == c.part[c.things[m].atom] {
		m++
		out = append(out, m)
	}
	return out
}
