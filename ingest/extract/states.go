package extract

// stateSaid is one word, or year, on the state of a thing.
type stateSaid struct {
	value   string // "new", "fresh", "very_good", "good", "fair", "worn", "poor", "replace", or "" for a year alone
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
	case (a.sign == yearSign || a.is(ageOf)) && c.in(i, repaired) && !c.in(i, renewed) && !c.in(i, quality):
		return s, false // when it was mended, not how old it is
	case a.sign == yearSign:
		if cue, _ := c.yearCue(i); cue == "other" && !c.in(i, renewed) && !c.in(i, quality) {
			return s, false // when it was checked, or raced with
		}
		s.year = a.value
		return s, true
	case a.is(ageOf):
		e := a.as(ageOf)
		s.year = now - e.years*c.factor(i, e)
		return s, true
	default:
		return s, false
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
			case a.is(repaired):
				taken[j] = true
				j = len(c.atoms)
			case c.at[j] >= 0:
				c.sought(i, c.at[j], denied, taken)
				j = len(c.atoms)
			case a.is(quality), a.is(condition):
				taken[j] = true
			}
		}
	}
	return taken
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

// targets finds the things that a word on state speaks of; whole is true for
// the boat as a whole.
func (c *clause) targets(i int, general bool, s stateSaid) (things []int, whole bool) {
	back, ahead := c.owner(c.last(i)), c.following(i)
	if back < 0 && ahead < 0 && c.headed(i) {
		if list := c.listed(i); len(list) > 0 && !(general && c.faultsBehind(i)) {
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

// alone tells that the parts before atom i speak of thing m only, and only
// behind it: "ropes are fine, in good condition".
func (c *clause) alone(m, i int) bool {
	if len(c.things) > 1 || c.part[i] != c.part[c.things[m].atom]+1 {
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

// wear says of each wear part mentioned what its state is.
func (c *clause) wear(now float64) {
	for k := range c.things {
		m := &c.things[k]
		if len(m.items) == 0 || c.off[m.atom] || !c.r.isWear(m.items[0]) || c.scope[m.atom] == sought {
			continue
		}
		if c.scope[m.atom] == negated && !m.dropped {
			continue
		}
		value, weight, by := verdict(m.states, now)
		if value == "" || value == "fresh" && c.costs(m) {
			continue
		}
		from, to := c.atoms[m.atom].from, c.atoms[m.atom].to
		for _, i := range by {
			from, to = min(from, c.atoms[i].from), max(to, c.atoms[i].to)
		}
		for _, id := range m.items {
			c.said = append(c.said, said{item: id, value: value, weight: weight, from: from, to: to})
		}
	}
}

// costs tells that what is said of a thing is what a new one costs.
func (c *clause) costs(m *mention) bool {
	for j := m.atom + 1; j < len(c.atoms) && c.part[j] == c.part[m.atom]; j++ {
		if a := &c.atoms[j]; a.sign == amountSign || a.sign == numberSign && a.value >= leastPrice && c.newBeside(m.atom) && c.closes(j) {
			return true
		}
	}
	return false
}

// leastPrice is the least bare number that is what a wear part costs.
const leastPrice = 100

// newBeside tells that "new" stands right beside atom i.
func (c *clause) newBeside(i int) bool {
	for _, j := range []int{i - 1, i + 1} {
		if j >= 0 && j < len(c.atoms) && c.part[j] == c.part[i] && c.atoms[j].is(quality) && c.atoms[j].as(quality).value == "new" {
			return true
		}
	}
	return false
}

// freshYears is the age up to which a part counts as fresh.
const freshYears = 3

// verdict weighs the words and the year of one thing: to be replaced comes
// first, then a part of at most three years is fresh, then the words count;
// a year alone that is older says nothing.
func verdict(states []stateSaid, now float64) (value string, weight int, by []int) {
	words, year := "", 0.0
	isNew := false
	for _, s := range states {
		by = append(by, s.atom)
		switch {
		case s.year > 0:
			year = max(year, s.year)
		case words == "replace" || s.value == "":
		case s.value == "new":
			isNew = true
			if words == "" {
				words = "new"
			}
		default:
			words = s.value
		}
	}
	old := year > 0 && now-year > freshYears
	recent := year > 0 && !old
	switch {
	case words == "replace":
		return "replace", stated, by
	case recent:
		if isNew || words != "" {
			return "fresh", stated, by
		}
		return "fresh", byDate, by
	case words == "worn" || words == "poor" || words == "fair":
		return "worn", stated, by
	case words == "good" || words == "very_good":
		if isNew && !old {
			return "fresh", stated, by
		}
		return "good", stated, by
	case words == "fresh":
		return "fresh", stated, by
	case words == "new" && !old:
		return "fresh", stated, by
	}
	return "", 0, nil
}

// extraOnly tells that a mention is of an extra.
func (c *clause) extraOnly(m int) bool {
	return len(c.things[m].items) > 0 && c.r.isExtra(c.things[m].items[0])
}
