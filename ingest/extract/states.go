package extract

// stateSaid is one word, or year, on the state of a thing.
type stateSaid struct {
	value   string // "new", "fresh", "very_good", "good", "usable", "fair", "worn", "poor", "replace", or "" for a year alone
	year    float64
	renewed bool
	atom    int
	flipped bool
}

// states attaches words on state, years and ages to the things they speak of.
// overall collects what is said of the boat as a whole.
func (c *clause) attach(now float64) (overall []stateSaid) {
	taken := c.toDo()
	for i := range c.atoms {
		a := &c.atoms[i]
		if taken[i] || c.off[i] || c.asked(i) || c.reply(i) == "no" || a.is(renewed) && (c.mends(i) || c.partMended(i) >= 0) {
			continue
		}
		if a.is(same) {
			c.likewise(i)
			continue
		}
		s, ok := c.stateAt(i, now)
		if !ok {
			continue
		}
		targets, whole := c.targets(i, a.is(condition), s)
		if whole && a.is(fault) && !a.is(condition) || c.faultOfPart(i) {
			continue // "she was faded", "the tramp had ripped three grommets"
		}
		if whole && s.value == "new" && c.longAgo(i, now) {
			continue // "bought brand new in 2015"
		}
		if whole {
			overall = append(overall, s)
			continue
		}
		for _, t := range targets {
			if !c.faultOf(i, t) && !(c.judged(t) && c.excepted(i)) {
				c.things[t].states = append(c.things[t].states, s)
			}
		}
	}
	return overall
}

// longAgo tells that a year stands beside atom i that is over.
func (c *clause) longAgo(i int, now float64) bool {
	for j := range c.atoms {
		if a := &c.atoms[j]; c.part[j] == c.part[i] && a.sign == yearSign && now-a.value >= 2 {
			return true
		}
	}
	return false
}

// likewise says of the things at a "too" what was said of the thing before
// them: "the sails are good, the ropes too", "as are the ropes".
func (c *clause) likewise(i int) {
	var targets []int
	switch back, ahead := c.last(i), c.following(i); {
	case c.closes(i) && back >= 0 && c.gap(c.things[back].atom, i) <= 1:
		targets = c.group(back)
	case ahead >= 0 && c.gap(i, c.things[ahead].atom) <= 1:
		targets = c.onward(ahead)
	default:
		return
	}
	for m := targets[0] - 1; m >= 0; m-- {
		if !c.judged(m) {
			continue
		}
		for _, t := range targets {
			if !c.judged(t) {
				c.things[t].states = append(c.things[t].states, c.things[m].states...)
			}
		}
		return
	}
}

// excepted tells that a word stands behind an "except", and so tells of the
// lesser part: "good apart from the usual scratches".
func (c *clause) excepted(i int) bool {
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		if e := c.atoms[j].as(contrast); e != nil {
			return e.value == "except"
		}
	}
	return false
}

// faultOf tells that a word makes or denies a defect of the very thing that it
// speaks of, and so says nothing of its wear: "faded hulls", "stiff hulls".
func (c *clause) faultOf(i, m int) bool {
	f, p := c.atoms[i].as(fault), c.atoms[c.things[m].atom].as(part)
	if s := c.atoms[i].as(sound); f == nil && c.atoms[i].is(quality) && c.atoms[i].as(quality).value == "worn" {
		f = s
	}
	return f != nil && p != nil && len(common(f.items, p.items)) > 0
}

// faultOfPart tells that a word on state is a fault of a part, which is no item.
func (c *clause) faultOfPart(i int) bool {
	f := c.atoms[i].as(fault)
	if f == nil || !c.atoms[i].is(quality) {
		return false
	}
	_, parts := c.defectsOf(i, f)
	for _, p := range parts {
		if c.atoms[p].is(item) {
			return false
		}
	}
	return len(parts) > 0
}

// stateAt reads an atom as a word on state, a year or an age.
func (c *clause) stateAt(i int, now float64) (stateSaid, bool) {
	a := &c.atoms[i]
	s := stateSaid{atom: i}
	switch {
	case a.is(quality):
		s.value = a.as(quality).value
	case a.is(condition):
		s.value = a.as(condition).value
	case a.is(renewed):
		s.value, s.renewed = "new", true
	case a.is(repaired), a.is(yearCue):
		return s, false
	case (a.sign == yearSign || a.is(ageOf)) && c.aloneIn(i) && c.datesMending(i):
		return s, false // "eyelets torn, replaced last spring"
	case (a.sign == yearSign || a.is(ageOf)) && c.in(i, repaired) && !c.in(i, renewed) && !c.in(i, quality):
		return s, false // when it was mended, not how old it is
	case a.sign == yearSign:
		if cue, j := c.yearCue(i); cue == "other" && !c.in(i, renewed) && !c.in(i, quality) && !c.bought(j) {
			return s, false // when it was checked, or raced with
		}
		s.year = a.value
		return s, true
	case a.is(ageOf):
		if cue, j := c.yearCue(i); cue == "other" && (j < i || c.gap(i, j) == 0) && !c.in(i, renewed) && !c.in(i, quality) && !c.bought(j) {
			return s, false // "checked last spring"
		}
		e := a.as(ageOf)
		s.year = now - e.years*c.factor(i, e)
		return s, true
	default:
		return s, false
	}
	if c.scope[i] == negated && !c.flips(i) && s.value == "worn" && c.joinedDenial(i) {
		return s, false // "no holes or patches"
	}
	if c.flips(i) {
		s.flipped = true
		switch s.value {
		case "worn", "poor", "replace":
			return s, false
		default:
			if s.renewed {
				return s, false
			}
			s.value = "worn"
		}
	}
	return s, true
}

// bought tells that atom j tells of the purchase of a wear part right before
// it, or names one itself: "mainsail bought 2024", "the sails are from 2024".
func (c *clause) bought(j int) bool {
	if k := c.at[j]; k >= 0 && len(c.things[k].items) > 0 && c.r.isWear(c.things[k].items[0]) {
		return true
	}
	m := c.last(j)
	return c.atoms[j].is(newPrice) && m >= 0 && len(c.things[m].items) > 0 && c.r.isWear(c.things[m].items[0]) && c.gap(c.things[m].atom, j) <= 1
}

// datesMending tells that a year or an age stands right beside a renewal that
// puts a fault right.
func (c *clause) datesMending(i int) bool {
	for _, j := range []int{i - 1, i + 1} {
		if j >= 0 && j < len(c.atoms) && c.part[j] == c.part[i] && c.atoms[j].is(renewed) && c.mends(j) {
			return true
		}
	}
	return false
}

// factor gives the number that an age is to be multiplied by: the one inside
// the phrase, or the word for a number before it.
func (c *clause) factor(i int, e *entry) float64 {
	if !e.perUnit {
		return 1
	}
	for _, t := range c.s.tokens[c.atoms[i].from:c.atoms[i].to] {
		if v, ok := t.decimal(); ok {
			return v
		}
	}
	return 1
}

// flips tells that a word on state is denied: "not new".
func (c *clause) flips(i int) bool {
	j := i - 1
	return j >= 0 && c.part[j] == c.part[i] && c.atoms[j].is(negation) && c.gap(j, i) <= 2
}

// joinedDenial tells that an "or" joins atom i to what a denial before it
// speaks of.
func (c *clause) joinedDenial(i int) bool {
	return i > 0 && c.atoms[i-1].is(and) && c.atoms[i-1].as(and).value == "or"
}
