package extract

// forParts tells that only parts are for sale, by the words alone.
func (g *reading) forParts() bool {
	return g.said(true)["parts"] || g.partsTitle() || g.said(false)["parts"] || g.pricedApart()
}

// pricedApart tells that things which a boat cannot do without, a mast or
// rudders, have a price each, and nothing else has one.
func (g *reading) pricedApart() bool {
	n := 0
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if !s.has(amountSign) {
				continue
			}
			c := newClause(g.r, s, plainScope)
			for j := range c.atoms {
				switch {
				case c.atoms[j].sign != amountSign, len(c.things) == 0 && j > 0 && c.atoms[j-1].is(sound):
				case len(c.things) == 0 || c.things[0].atom > j || c.things[0].boat || c.otherPrice(j) || s.mentions(renewed) || s.mentions(repaired) || s.mentions(priceCue):
					return false
				case !c.extraOnly(max(0, c.last(j))):
					n++
				}
			}
		}
	}
	return n >= leastApart
}

// leastApart is how many such things make an advertisement one for parts.
const leastApart = 2

// partsTitle tells that the title names a part and nothing for it to be a
// part of, or says what it is for: "trampoline for a 16-footer".
func (g *reading) partsTitle() bool {
	for i := range g.passages {
		p := &g.passages[i]
		if !p.title || len(p.sentences) == 0 {
			continue
		}
		s := &p.sentences[0]
		if g.listsParts(s) {
			return true
		}
		named, boats, meant, vague := false, false, false, true
		for j := range s.atoms {
			a := &s.atoms[j]
			switch e := a.as(adKind); {
			case g.manyAt(s, j) > 1:
				return false
			case e != nil && e.value == "for" && named:
				meant = true
			case a.is(boatNoun):
				meant = meant || j == 1 && s.atoms[0].from == 0 && s.atoms[0].is(item) && s.atoms[0].as(item).items[0] != "sails" && s.atoms[0].to == a.from // "hulls catamaran", but "sail boat"
				boats = boats || !meant
				if !named {
					return false
				}
			case g.onlyMarks(a): // "red", which a hull may be faded from
			case a.is(thing) && a.is(yearCue) && !a.is(item) && !a.is(part): // "regatta"
			case a.is(item), a.is(part), a.is(thing):
				if !named && g.wordsBefore(s, j) > 0 && !g.endsInPart(s, j) {
					return false
				}
				named, vague = true, vague && !a.is(item) && !a.is(part)
			case a.is(offer), a.is(negation), a.is(condition), a.is(needs):
				if e := a.as(offer); !named || e != nil && e.value == "absent" {
					return false
				}
			}
		}
		return named && (meant || !boats) && !(vague && g.opensWithBoat())
	}
	return false
}

// opensWithBoat tells that the opening words of the text put a boat on sale,
// whatever the title speaks of: "Sun and sea", "Selling my catamaran".
func (g *reading) opensWithBoat() bool {
	for i := range g.passages {
		p := &g.passages[i]
		for k := 0; !p.title && k < min(2, len(p.sentences)); k++ {
			sale := false
			for j := range p.sentences[k].atoms {
				a := &p.sentences[k].atoms[j]
				if e := a.as(adKind); e != nil && e.value == "sale" {
					sale = true
				}
				if a.is(boatNoun) {
					return sale
				}
				if a.is(item) || a.is(thing) || a.is(part) {
					return false
				}
			}
		}
	}
	return false
}

// listsParts tells that a title lists things that a boat cannot do without,
// and nothing else: "Skerrik 16 bits: mast, rudders".
func (g *reading) listsParts(s *sentence) bool {
	n := 0
	for j := range s.atoms {
		a := &s.atoms[j]
		switch e := a.as(item); {
		case a.is(boatNoun), a.is(quality), a.is(condition), a.is(offer), a.is(negation), a.is(renewed), a.is(repaired), a.is(needs), a.sign == yearSign:
			return false
		case e != nil && g.r.isExtra(e.items[0]):
			return false
		case e != nil:
			n++
		}
	}
	return n >= leastApart
}

// endsInPart tells that a title is a name, its number and a thing that a boat
// cannot do without: "Skerrik 16 mast".
func (g *reading) endsInPart(s *sentence, j int) bool {
	e := s.atoms[j].as(item)
	return e != nil && s.atoms[j].to == len(s.tokens) && len(s.tokens) <= 4 && j > 0 && s.atoms[j-1].sign == numberSign && s.atoms[j-1].to == s.atoms[j].from && !g.r.isExtra(e.items[0])
}

// onlyMarks tells that an atom names no thing but what a defect shows on.
func (g *reading) onlyMarks(a *atom) bool {
	e := a.as(part)
	if e == nil || a.is(item) || a.is(thing) {
		return false
	}
	for _, id := range e.items {
		if !g.r.isDefect(id) {
			return false
		}
	}
	return true
}

// wordsBefore counts the words before atom j that the grammar does not know:
// a name that the title begins with.
func (g *reading) wordsBefore(s *sentence, j int) int {
	n := 0
	for t, a := 0, 0; t < s.atoms[j].from; t++ {
		for a < j && s.atoms[a].to <= t {
			a++
		}
		if s.atoms[a].from <= t && t < s.atoms[a].to {
			continue
		}
		if s.tokens[t].kind == word && g.r.stops[s.tokens[t].fold] == 0 {
			n++
		}
	}
	return n
}
