package extract

// A clause is the grammar's view of one sentence while it is resolved.
type clause struct {
	r      *Reader
	s      *sentence
	atoms  []atom
	part   []int     // by atom, the number of the part between commas that it stands in
	scope  []scope   // by atom, what a word before it says of it
	off    []bool    // by atom, it speaks of something that is not for sale here
	wants  int       // the atom from which on it speaks of what is looked for, as many as there are if none
	things []mention // in order
	at     []int     // by atom, the index of its mention, -1 if none
	said   []said

	sumBefore float64 // the only amount of the sentence before, which names no thing
}

// A mention is a thing that a sentence speaks of.
type mention struct {
	atom    int
	items   []string // of the knowhow; none for a thing that only draws words to itself
	boat    bool
	state   bool // it is the word for a state: "condition"
	joined  bool // linked by "and" to the mention before it
	states  []stateSaid
	offers  offerSaid
	dropped bool
}

// said is one statement on one item.
type said struct {
	item, value string
	weight      int // how specific
	from, to    int // tokens of the sentence
	defaulted   bool
}

// Weights of statements: a word in passing, a date, and a plain statement.
const (
	inPassing = 1
	byDate    = 2
	stated    = 3
)

// A scope is what a word before an atom says of it.
type scope uint8

const (
	plainScope scope = iota
	negated
	offeredIn
	offeredNot
	offeredExtra
	sought
	putRight
)

func newClause(r *Reader, s *sentence, inherited scope) *clause {
	c := &clause{r: r, s: s, atoms: s.atoms}
	n := len(s.atoms)
	numbers := make([]int, 2*n)
	c.part, c.at, c.scope, c.off = numbers[:n:n], numbers[n:], make([]scope, n), make([]bool, n)
	c.number()
	c.mention()
	c.wants = n
	c.setAside()
	c.spread(inherited)
	c.answerNo()
	return c
}

// plain gives the view of a sentence that stands in no list. It is made once,
// and not to be changed.
func (s *sentence) plain(r *Reader) *clause {
	if s.clause == nil {
		s.clause = newClause(r, s, plainScope)
	}
	return s.clause
}

// number gives each atom the number of its part of the sentence.
func (c *clause) number() {
	k := 0
	for i := range c.atoms {
		a := &c.atoms[i]
		switch {
		case a.sign == comma, a.sign == semicolon, a.sign == dash, a.sign == opening, a.sign == closing, a.sign == colon, a.is(contrast):
			k++
		}
		c.part[i] = k
	}
}

// mostUnread is how many unknown words may stand before an "and" that joins
// two things: more of them are what is said of the first.
const mostUnread = 3

// mention lists the things that the sentence speaks of.
func (c *clause) mention() {
	linked, told := false, false
	c.things = make([]mention, 0, c.countOf(1<<item|1<<thing|1<<part|1<<boatNoun))
	for i := range c.atoms {
		c.at[i] = -1
		a := &c.atoms[i]
		m := mention{atom: i}
		switch {
		case a.is(item):
			m.items = a.as(item).items
		case a.is(thing), a.is(part):
		case a.is(boatNoun):
			m.boat = true
			m.state = a.as(boatNoun).value == "state"
		default:
			told = told || a.is(sound) || a.is(fault)
			if a.is(and) {
				linked = !told && (i == 0 || c.gap(i-1, i) <= mostUnread)
			} else if !a.is(quality) && a.sign != numberSign && !a.is(quantity) && !a.is(grade) && !a.is(spare) {
				linked = false
			}
			continue
		}
		m.joined = linked && len(c.things) > 0
		linked, told = false, a.is(sound) || a.is(fault) // "mast straight"
		if i > 0 && c.atoms[i-1].is(spare) && len(m.items) > 0 {
			m.items = spareOf(m.items)
		}
		c.at[i] = len(c.things)
		c.things = append(c.things, m)
	}
}

// countOf counts the atoms that have one of some roles, a bit each.
func (c *clause) countOf(roles uint64) int {
	n := 0
	for i := range c.atoms {
		if c.atoms[i].roles&roles != 0 {
			n++
		}
	}
	return n
}

// spareOf gives what a spare of an item is.
func spareOf(items []string) []string {
	if items[0] == "sails" || items[0] == "spare_sails" {
		return []string{"spare_sails"}
	}
	return []string{"spare_parts"}
}

// setAside marks what is wished for, belongs to another boat, or is only
// supposed.
func (c *clause) setAside() {
	for i := range c.atoms {
		e := c.atoms[i].as(aside)
		if e == nil || i+1 < len(c.atoms) && c.atoms[i+1].sign == amountSign && c.gap(i, i+1) == 0 {
			continue // "looking for £2000"
		}
		from := i
		if e.value == "wish" || e.value == "swap" {
			c.wants = min(c.wants, i)
		}
		if e.value == "other_boat" && !c.givenUp(i) {
			from = 0
			for c.runOn() && c.part[from] < c.part[i] {
				from++
			}
		}
		for j := from; j < len(c.atoms); j++ {
			if (e.value == "if" || c.runOn()) && c.part[j] > c.part[i] {
				break
			}
			c.off[j] = true
		}
	}
}

// runOn tells that commas stand where full stops should: then each part is a
// statement of its own, and what is set aside ends with it.
func (c *clause) runOn() bool {
	return len(c.part) > 0 && c.part[len(c.part)-1] >= runOnParts
}

// runOnParts is how many commas make a sentence run on.
const runOnParts = 6

// givenUp tells that a thing does not come with the boat, and goes to the
// other boat named at atom i: "the trailer stays with me for my new boat".
func (c *clause) givenUp(i int) bool {
	for j := range i {
		if e := c.atoms[j].as(offer); e != nil && e.value == "absent" {
			return true
		}
	}
	return false
}

// spread carries what words before a list say along the list.
func (c *clause) spread(inherited scope) {
	active, listed := inherited, inherited != plainScope
	sticky := listed
	weak := false // a negation that needs an "or" to reach past a comma
	once := false // a negation of the next word alone
	var outside []scope
	for i := range c.atoms {
		a := &c.atoms[i]
		switch {
		case a.is(heading) && c.headed(i):
			active, sticky, weak, once = c.headScope(i, scopeOf(a.as(heading).value)), true, false, false
		case a.is(repaired) && a.to <= longHeading && c.headed(i) && c.last(i) < 0:
			active, sticky, weak, once = putRight, true, false, false
		case a.is(negation):
			v := a.as(negation).value
			active, weak, once = negated, v == "no", v == "not"
			if sticky = c.headed(i) && !(v == "no" && i+1 < len(c.atoms) && c.gap(i, i+1) > 0); sticky {
				weak, once = false, false // "what it does not have: …", but "nothing fancy: …"
			}
		case a.is(offer) && a.as(offer).next:
			active, weak, once = scopeOf(a.as(offer).value), false, false
			if active == offeredIn && c.flips(i) {
				active = offeredNot // "does not come with"
			}
			sticky = c.headed(i)
		case a.is(offer) && c.headed(i) && c.last(i) < 0:
			h := scopeOf(a.as(offer).value)
			if h == offeredIn && active == negated {
				h = offeredNot // "none of these is included: …"
			}
			active, sticky, weak, once = h, true, false, false
		case a.is(contrast):
			active, sticky = c.turned(i, active), false
		case a.sign == opening:
			outside = append(outside, active)
			if active == negated {
				active = plainScope
			}
		case a.sign == closing:
			if n := len(outside); n > 0 {
				active, outside = outside[n-1], outside[:n-1]
			}
		case a.sign == semicolon, a.sign == dash:
			if !sticky {
				active = plainScope
			}
		case a.sign == colon && active == negated && !sticky:
			active = plainScope // "nothing for racers: plastic blades"
		case a.sign == comma:
			if !sticky && active != plainScope && !c.listGoesOn(i, weak || once, active == offeredIn || active == offeredNot || active == offeredExtra) {
				active = plainScope
			}
		case a.is(quantity) && weak && i > 0 && c.atoms[i-1].sign == comma:
			active = plainScope
		}
		c.scope[i] = active
		if once && active == negated && c.content(a) && !(i+1 < len(c.atoms) && c.atoms[i+1].is(and)) {
			active, once = plainScope, false
		}
	}
}

// turned gives the scope after a "but" or an "except": what all the rest has,
// the exception has not.
func (c *clause) turned(i int, active scope) scope {
	if c.atoms[i].as(contrast).value != "except" {
		return plainScope
	}
	if active == negated {
		return offeredIn
	}
	for j := range i {
		if e := c.atoms[j].as(offer); e != nil && e.value == "included" {
			return offeredNot
		}
	}
	return plainScope
}

// headScope gives the scope of the heading at atom i, which brackets behind it
// may correct: "extras (not included): …".
func (c *clause) headScope(i int, h scope) scope {
	if h != offeredIn || i+1 >= len(c.atoms) || c.atoms[i+1].sign != opening {
		return h
	}
	for j := i + 2; j < len(c.atoms) && c.atoms[j].sign != closing; j++ {
		if e := c.atoms[j].as(offer); e != nil {
			h = scopeOf(e.value)
			if h == offeredIn && c.atoms[j-1].is(negation) {
				h = offeredNot
			}
		}
	}
	return h
}

// headed tells that a word opens a list: a colon or dash follows, or it is
// all that the sentence holds.
func (c *clause) headed(i int) bool {
	if i+1 < len(c.atoms) && c.atoms[i+1].sign == opening {
		for i++; i+1 < len(c.atoms) && c.atoms[i].sign != closing; i++ {
		}
		if c.atoms[i].sign != closing {
			return false
		}
	}
	if i+1 < len(c.atoms) && (c.atoms[i+1].sign == colon || c.atoms[i+1].sign == dash) {
		return true
	}
	return i == len(c.atoms)-1 && c.s.colon
}

func scopeOf(value string) scope {
	switch value {
	case "included":
		return offeredIn
	case "absent":
		return offeredNot
	case "at_extra_cost":
		return offeredExtra
	case "aside", "needs":
		return sought
	case "repaired":
		return putRight
	}
	return plainScope
}

// content tells that an atom is something that can be said or denied.
func (c *clause) content(a *atom) bool {
	return a.is(fault) || a.is(sound) || a.is(quality) || a.is(condition) || a.is(item) || a.is(repaired) || a.is(renewed) || a.is(offer)
}

// last gives the mention nearest before atom i in the same part, -1 if none.
func (c *clause) last(i int) int {
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		if c.at[j] >= 0 {
			return c.at[j]
		}
	}
	return -1
}

// following gives the mention nearest after atom i in the same part.
func (c *clause) following(i int) int {
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i]; j++ {
		if c.at[j] >= 0 {
			return c.at[j]
		}
	}
	return -1
}

// earlier gives the last mention of the parts before that of atom i.
func (c *clause) earlier(i int) int {
	for j := i - 1; j >= 0; j-- {
		if c.part[j] < c.part[i] && c.at[j] >= 0 {
			return c.at[j]
		}
	}
	return -1
}

// gap counts the tokens between two atoms.
func (c *clause) gap(i, j int) int { return c.atoms[j].from - c.atoms[i].to }
