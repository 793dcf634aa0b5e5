package extract

// targets finds the things that a word on state speaks of; whole is true for
// the boat as a whole.
func (c *clause) targets(i int, general bool, s stateSaid) (things []int, whole bool) {
	back, ahead := c.owner(c.last(i)), c.following(i)
	if back < 0 && ahead < 0 && c.headed(i) {
		if s.value == "" && (c.atoms[i].from > 2 || c.gap(i, min(i+1, len(c.atoms)-1)) > 0) && !c.renewedBefore(i) {
			return nil, false // "checked this spring: …"
		}
		if list := c.listed(i); len(list) > 0 && !((general || s.value == "replace" || s.value == "worn") && c.faultsBehind(i)) {
			return list, false
		}
	}
	before := ahead >= 0 && c.nextThing(i, ahead) && !general && !c.postposed(i, back, ahead)
	switch {
	case before:
		if c.things[ahead].boat {
			return nil, false // "new boat", "2009 Skerrik"
		}
		return c.onward(ahead), false
	case back >= 0 && c.things[back].boat:
		if ahead >= 0 && !general {
			return c.onward(ahead), false
		}
		return nil, general || c.things[back].state || s.value != "" && !s.renewed
	case back >= 0:
		if general && (len(c.things[back].items) == 0 && !c.atoms[c.things[back].atom].is(thing) || c.extraOnly(back) && c.boatBefore(back)) {
			return nil, true
		}
		return c.group(back), false
	case ahead >= 0 && !general && !(len(c.things[ahead].items) == 0 && c.earlier(i) >= 0):
		if c.things[ahead].boat {
			return nil, c.things[ahead].state
		}
		return c.onward(ahead), false
	case ahead >= 0 && c.things[ahead].boat:
		return nil, true
	}
	e := c.earlier(i)
	if e < 0 {
		return nil, general
	}
	t := c.things[e]
	switch {
	case t.boat:
		return nil, general || t.state && s.value != ""
	case general && (c.extraOnly(e) || len(t.items) == 0 || c.judged(e) && !c.atoms[i-1].is(contrast) && !c.alone(e, i)):
		return nil, true
	}
	return c.group(e), false
}

// renewedBefore tells that something is told as new or renewed up to atom i.
func (c *clause) renewedBefore(i int) bool {
	for j := range i + 1 {
		if c.atoms[j].is(renewed) || c.atoms[j].is(quality) {
			return true
		}
	}
	return false
}

// alone tells that the parts before atom i speak of thing m only, and only
// behind it: "ropes are fine, in good condition".
func (c *clause) alone(m, i int) bool {
	next := c.part[c.things[m].atom] + 1
	if at := c.things[m].atom + 1; at < len(c.atoms) && c.atoms[at].sign == colon {
		next++ // "hulls: fine, in good condition"
	}
	if len(c.things) > 1 || c.part[i] > next {
		return false
	}
	for _, s := range c.things[m].states {
		if s.atom < c.things[m].atom {
			return false
		}
	}
	return true
}

// boatBefore tells that a word for the boat goes before a mention: "cat with
// trailer in good condition" is about the cat.
func (c *clause) boatBefore(m int) bool {
	for m--; m >= 0; m-- {
		if c.things[m].boat {
			return true
		}
	}
	return false
}

// owner gives the thing that a bare part belongs to, if it stands before it:
// in "shrouds have no broken strands and are good" the shrouds are good.
func (c *clause) owner(m int) int {
	if m < 0 || len(c.things[m].items) > 0 || c.things[m].boat {
		return m
	}
	at := c.things[m].atom
	p := c.atoms[at].as(part)
	if p == nil || c.atoms[at].is(thing) {
		return m
	}
	for k := m - 1; k >= 0 && c.part[c.things[k].atom] == c.part[at]; k-- {
		whole := c.atoms[c.things[k].atom].as(part)
		if len(c.things[k].items) > 0 && whole != nil && len(common(whole.items, p.items)) > 0 {
			return k
		}
	}
	return m
}

// faultsBehind tells that faults are told behind atom i: "bad condition: deck
// soft, mast bent" is about the boat.
func (c *clause) faultsBehind(i int) bool {
	for j := i + 1; j < len(c.atoms); j++ {
		if c.atoms[j].is(fault) || c.atoms[j].is(sound) {
			return true
		}
	}
	return false
}

// listed gives the things of the list that an atom heads: "new: sails, ropes".
func (c *clause) listed(i int) []int {
	var out []int
	for j := i + 1; j < len(c.atoms); j++ {
		a := &c.atoms[j]
		if a.is(quality) || a.is(renewed) || a.is(condition) || a.is(offer) || a.sign == semicolon {
			break
		}
		if c.at[j] >= 0 && !c.things[c.at[j]].boat {
			out = append(out, c.at[j])
		}
	}
	return out
}

// judged tells that a word on its state has been said already.
func (c *clause) judged(m int) bool {
	for _, s := range c.things[m].states {
		if s.value != "" {
			return true
		}
	}
	return false
}

// nextThing tells that a thing follows closely enough for the word before it
// to describe it: "new white sails".
func (c *clause) nextThing(i, ahead int) bool {
	t := c.things[ahead].atom
	if t <= i {
		return false
	}
	for j := i + 1; j < t; j++ {
		a := &c.atoms[j]
		if !a.is(quality) && !a.is(spare) && !a.is(grade) && a.sign != yearSign && a.sign != numberSign {
			return false
		}
	}
	if c.gap(i, t) > 2 {
		return false
	}
	for k := c.atoms[t-1].to; k < c.atoms[t].from; k++ {
		if c.r.stops[c.s.tokens[k].fold] != 0 {
			return false // "fine for the club"
		}
	}
	return true
}

// postposed tells that a word between two things, without a comma, speaks of
// the one before: "sails good trampoline new".
func (c *clause) postposed(i, back, ahead int) bool {
	if back < 0 || c.things[back].boat || c.judged(back) {
		return false
	}
	return c.things[back].atom == i-1 && c.gap(i-1, i) <= 1 && !c.things[ahead].joined
}
