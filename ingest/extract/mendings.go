package extract

// mendedBefore tells that the part of a fault has been put right in the words
// before it: "renewed the eyelets, two were torn out".
func (c *clause) mendedBefore(i int, parts []int) bool {
	if c.mendedWhy(i) {
		return true
	}
	for _, p := range parts {
		if c.part[p] >= c.part[i] {
			continue
		}
		done := false
		for j := range i {
			a := &c.atoms[j]
			switch {
			case a.is(contrast) && j > p:
				return false
			case c.part[j] == c.part[p] && (a.is(repaired) || a.is(renewed)) && !c.off[j] && !c.flips(j) && !c.isDue(j):
				done = true
			}
		}
		if done {
			return true
		}
	}
	return false
}

// mended tells that the words around a fault say that it has been put right.
func (c *clause) mended(i int) bool { return c.mending(i) >= 0 }

// mending gives the atom that says that the fault at i has been put right, -1
// if none does.
func (c *clause) mending(i int) int {
	for j := range c.atoms {
		a := &c.atoms[j]
		if !a.is(repaired) && !a.is(renewed) || c.off[j] || c.flips(j) || c.isDue(j) {
			continue
		}
		if c.part[j] == c.part[i] {
			if c.faultBetween(min(i, j), max(i, j)) {
				continue
			}
			return j
		}
		if c.part[j] > c.part[i] && !c.ownThing(j, i) {
			return j
		}
	}
	return -1
}

// mends tells that a renewal puts a fault right, and so is none of the whole
// thing: "two eyelets of the trampoline were torn, replaced".
func (c *clause) mends(j int) bool {
	for i := range c.atoms {
		f := c.atoms[i].as(fault)
		if f == nil || c.off[i] || c.scope[i] == negated || c.mending(i) != j {
			continue
		}
		if ids, _ := c.defectsOf(i, f); len(ids) > 0 {
			return true
		}
	}
	return false
}

// isDue tells that a mending is still to be done: "needs repairing".
func (c *clause) isDue(j int) bool {
	for k := j - 1; k >= 0 && c.part[k] == c.part[j]; k-- {
		if c.atoms[k].is(needs) {
			return true
		}
	}
	return false
}

// mendedWhy tells that the part of the sentence right before a fault speaks of
// a mending and of nothing else, for which the fault is the reason: "painted
// in 2016, because the red had faded".
func (c *clause) mendedWhy(i int) bool {
	done := false
	for j := i - 1; j >= 0 && c.part[j] >= c.part[i]-1; j-- {
		a := &c.atoms[j]
		if a.is(contrast) {
			return false
		}
		if c.part[j] == c.part[i] {
			continue
		}
		if c.at[j] >= 0 && !c.things[c.at[j]].boat || a.is(fault) || a.is(sound) && !a.is(repaired) {
			return false
		}
		done = done || a.is(repaired) && !c.off[j] && !c.flips(j) && !c.isDue(j)
	}
	return done
}
