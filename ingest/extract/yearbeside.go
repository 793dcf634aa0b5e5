package extract

// ofUnknown tells that the year at atom i stands right behind a "from" at atom
// j, and that right behind a word that nothing explains, which it may be of.
func (c *clause) ofUnknown(i, j int) bool {
	if j < 0 || j >= i || c.gap(j, i) > 0 || c.atoms[j].to > c.atoms[j].from+1 || !c.atoms[j].is(adKind) || c.atoms[j].from == 0 {
		return false
	}
	before := &c.s.tokens[c.atoms[j].from-1]
	return before.kind == word && !before.upper && !c.s.atomAt(c.atoms[j].from-1) && c.r.stops[before.fold] == 0
}

// newFrom tells that what a word for the year speaks of is something new or
// mended: "new from August 2025".
func (c *clause) newFrom(j int) bool {
	if j > 0 && c.atoms[j-1].is(yearCue) && c.gap(j-1, j) == 1 {
		j-- // "de agosto de"
	}
	if j < 1 || c.gap(j-1, j) > 0 {
		return false
	}
	a := &c.atoms[j-1]
	if e := a.as(yearCue); e != nil && e.value == "other" && c.doneBefore(j) {
		return true // "shrouds renewed in the spring of 2025"
	}
	return a.is(renewed) || a.is(repaired) || a.is(quality) && a.as(quality).value == "new"
}

// oldBehind tells that a number counts years of age: "a year or 20 old".
func (c *clause) oldBehind(i int) bool {
	return i+1 < len(c.atoms) && c.gap(i, i+1) == 0 && c.atoms[i+1].is(quality) && c.atoms[i+1].as(quality).value == "worn"
}

// suffixed tells that an ending of a year touches a number: "a 2005'er",
// "93:a". A short number is a year of the last century only.
func (c *clause) suffixed(i int) bool {
	a, t := &c.atoms[i], c.s.tokens
	at := a.to
	if at < len(t) && t[at].fold == ":" && t[at].glued {
		at++
	}
	if at >= len(t) || !t[at].glued || t[at].kind != word || c.r.cells["year_suffix"][t[at].fold] == "" {
		return false
	}
	return a.sign == yearSign || len(t[a.from].fold) == 2 && t[a.from].whole() >= leastShort
}

// leastShort keeps "18:a" from being a year.
const leastShort = 60

// pricedYear tells that words on another price stand close to a year: "paid
// 4000 in 2019".
func (c *clause) pricedYear(i int) bool {
	for j := range c.atoms {
		if c.part[j] == c.part[i] && c.atoms[j].is(newPrice) && c.gap(min(i, j), max(i, j)) <= 6 {
			return true
		}
	}
	return false
}

// behindName tells that a year stands alone between commas behind nothing but
// a name: "Skerrik 16, 2011, good sails".
func (c *clause) behindName(i int) bool {
	for j := range i {
		if s := c.atoms[j].sign; s != comma && s != numberSign {
			return false
		}
	}
	return i >= 1 && c.atoms[i-1].sign == comma && i+1 < len(c.atoms) && c.atoms[i+1].sign == comma && c.gap(i-1, i+1) == 1
}

// leadsText tells that a year is the first word of a sentence and no thing
// follows it at once, or that it is short, as behind a dash, where no thing is
// named before it: "2008, good order, furler", "well kept racer -17".
func (c *clause) leadsText(i int) bool {
	if m := c.following(i); m >= 0 && c.nextThing(i, m) || c.doneBefore(i) {
		return false
	}
	a := &c.atoms[i]
	return a.from == 0 || a.to-a.from == 2 && c.last(i) < 0 && c.earlier(i) < 0
}

// bracketed tells that a year stands alone in brackets and not behind a thing:
// "my Skerrik 16 (2012)".
func (c *clause) bracketed(i int) bool {
	if i == 0 || i+1 >= len(c.atoms) || c.atoms[i-1].sign != opening || c.atoms[i+1].sign != closing {
		return false
	}
	if i < 2 {
		return true
	}
	before := &c.atoms[i-2]
	return (c.at[i-2] < 0 && !before.is(quality) && !before.is(renewed) && !before.is(repaired)) || c.gap(i-2, i-1) > 1
}

// doneBefore tells that before atom i in its part something is told as mended
// or renewed: "mended 2019", not "2005, mended".
func (c *clause) doneBefore(i int) bool {
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		if c.atoms[j].is(renewed) || c.atoms[j].is(repaired) {
			return true
		}
	}
	return false
}

// thingBeside tells that a "built" speaks of a part: "sails built 2019".
func (c *clause) thingBeside(i, j int) bool {
	for k := min(i, j) - 1; k >= 0 && c.part[k] == c.part[min(i, j)]; k-- {
		if m := c.at[k]; m >= 0 {
			return !c.things[m].boat && !c.atoms[k].is(boatNoun) && (c.atoms[k].is(item) || c.atoms[k].is(thing)) && c.gap(k, min(i, j)) <= 2 && (!c.extraOnly(m) || c.ownYear(k, j))
		}
	}
	return false
}

// ownYear tells that a word for the year touches an extra at atom k, and no
// boat is named that it may speak of: "spinnaker from 2021".
func (c *clause) ownYear(k, j int) bool {
	between := j == k+1 && c.gap(k, j) == 0 || j == k+2 && c.atoms[k+1].is(adKind) && c.gap(k, j) <= 2 // "sails for reserve from 2019"
	if !between || c.atoms[j].to > c.atoms[j].from+1 || c.boats() > 0 {
		return false
	}
	for n := range k {
		if c.part[n] == c.part[k] && c.atoms[n].sign == numberSign {
			return false
		}
	}
	return true
}

// thingAt tells that a year stands beside a thing that it may be of.
func (c *clause) thingAt(i int) bool {
	if m := c.last(i); m >= 0 && !c.things[m].boat {
		a, far := c.things[m].atom, 3
		if len(c.things[m].items) == 0 && !c.atoms[a].is(part) {
			far = 1 // "16 regatta or leisure 2013"
		}
		if c.gap(a, i) <= far {
			return true
		}
	}
	m := c.following(i)
	return m >= 0 && !c.things[m].boat && c.nextThing(i, m)
}

// boatRightBefore tells that a word for the boat stands right before atom i.
func (c *clause) boatRightBefore(i int) bool {
	return i > 0 && c.gap(i-1, i) == 0 && c.atoms[i-1].is(boatNoun) && c.atoms[i-1].as(boatNoun).value == "one"
}

// boatBeside tells that a year stands beside a word for the boat.
func (c *clause) boatBeside(i int) bool {
	if m := c.last(i); m >= 0 {
		return c.things[m].boat && c.gap(c.things[m].atom, i) <= 3
	}
	if i >= 2 && (c.atoms[i-1].sign == opening || c.betweenCommas(i)) && c.at[i-2] >= 0 && c.gap(i-2, i-1) == 0 {
		return c.things[c.at[i-2]].boat // "the boat (2008)", "catamaran, 2008, in good order"
	}
	m := c.following(i)
	return m >= 0 && c.things[m].boat && c.gap(i, c.things[m].atom) <= 2
}

// betweenCommas tells that atom i is all that stands between two commas.
func (c *clause) betweenCommas(i int) bool {
	return c.atoms[i-1].sign == comma && c.gap(i-1, i) == 0 && i+1 < len(c.atoms) && c.atoms[i+1].sign == comma && c.gap(i, i+1) == 0
}
