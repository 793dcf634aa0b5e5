package extract

// partsMended says of a part that has been put right that its defect is
// mended, whether or not a fault is told: "deck joint glued again", "all eyelets
// replaced". Only parts do so that nobody mends for another reason.
func (c *clause) partsMended() {
	for i := range c.atoms {
		p := c.partMended(i)
		if p < 0 {
			continue
		}
		for _, j := range c.joinedParts(p) {
			for _, id := range c.atoms[j].as(part).alone {
				c.said = append(c.said, said{item: id, value: "repaired", weight: stated,
					from: min(c.atoms[i].from, c.atoms[j].from), to: max(c.atoms[i].to, c.atoms[j].to)})
			}
		}
	}
}

// partsSound denies the defect of a part that is told to be good and of which
// nothing else is told: "gudgeons in good order".
func (c *clause) partsSound(now float64) {
	for k := range c.things {
		m := &c.things[k]
		if len(m.items) > 0 || !c.tells(m.atom) {
			continue
		}
		value, _, by := verdict(m.states, now)
		if value != "good" {
			continue
		}
		from, to := c.atoms[m.atom].from, c.atoms[m.atom].to
		for _, i := range by {
			from, to = min(from, c.atoms[i].from), max(to, c.atoms[i].to)
		}
		for _, id := range c.atoms[m.atom].as(part).alone {
			if !c.hasSaid(id) {
				c.said = append(c.said, said{item: id, value: "denied", weight: stated, from: from, to: to})
			}
		}
	}
}

// partMended gives the part that a mending at atom i speaks of, -1 if there is
// none: the nearest before it with nothing said between, or the one right
// behind it.
func (c *clause) partMended(i int) int {
	a := &c.atoms[i]
	if !a.is(repaired) && !a.is(renewed) || c.off[i] || c.asked(i) || c.scope[i] == negated || c.scope[i] == sought || c.flips(i) || c.isDue(i) || a.is(needs) || a.is(sound) {
		return -1
	}
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		b := &c.atoms[j]
		if c.tells(j) {
			return j
		}
		if b.is(fault) || b.is(sound) || b.is(quality) || b.is(repaired) || b.is(renewed) || b.is(negation) || b.is(contrast) {
			break
		}
	}
	j := i + 1
	for j < len(c.atoms) && (c.atoms[j].is(quantity) || c.atoms[j].is(numberWord) || c.atoms[j].sign == numberSign) {
		j++ // "replaced two of the eyelets"
	}
	if j < len(c.atoms) && c.part[j] == c.part[i] && c.tells(j) && c.gap(i, j) <= 2 && c.last(i) < 0 {
		return j
	}
	return -1
}

// tells tells that a mending of the part at atom j is told by itself.
func (c *clause) tells(j int) bool {
	p := c.atoms[j].as(part)
	return p != nil && len(p.alone) > 0 && !c.off[j] && c.scope[j] != negated && c.scope[j] != sought
}

// joinedParts gives part p and those that an "and" joins to it before.
func (c *clause) joinedParts(p int) []int {
	out := []int{p}
	for j := p; j >= 2 && c.atoms[j-1].is(and) && c.tells(j-2); j -= 2 {
		out = append(out, j-2)
	}
	return out
}

// mendsOnly tells that a sentence says that something has been put right, and
// not what: "All mended by the yard."
func (c *clause) mendsOnly() bool {
	if len(c.things) > 0 || len(c.s.tokens) > longMending || c.s.has(amountSign) {
		return false
	}
	done := false
	for i := range c.atoms {
		a := &c.atoms[i]
		if a.is(fault) || a.is(offer) || a.is(adKind) && a.as(adKind).value != "for" {
			return false
		}
		if a.is(repaired) || a.is(renewed) {
			if c.off[i] || c.scope[i] == negated || c.scope[i] == sought || c.flips(i) || c.isDue(i) {
				return false
			}
			done = true
		}
	}
	return done
}

// mendsAll tells that a sentence opens with a mending that names nothing and
// stands alone in its part: "All of this has been put right; the deck …".
func (c *clause) mendsAll() bool {
	if len(c.atoms) < 2 || !c.atoms[0].is(repaired) && !c.atoms[0].is(renewed) || c.part[1] == 0 || c.atoms[0].from < 2 || c.atoms[0].from > 3 {
		return false
	}
	return !c.off[0] && c.scope[0] != negated && c.scope[0] != sought && (c.atoms[1].sign == semicolon || c.atoms[1].sign == colon)
}

// longMending is the most tokens of a sentence on a mending that need not name
// what it is of.
const longMending = 14

// mendBefore takes the defects that the sentence before told of for mended.
func (g *reading) mendBefore(p *passage, s *sentence) {
	for i := range g.statements {
		if st := &g.statements[i]; st.sentence == g.sentence-1 && st.value == "present" {
			st.value, st.quote = "repaired", quoteOf(p.text, s.tokens, 0, len(s.tokens))
		}
	}
}

func (c *clause) hasSaid(id string) bool {
	for i := range c.said {
		if c.said[i].item == id {
			return true
		}
	}
	return false
}
