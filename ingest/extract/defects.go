package extract

import (
	"slices"
)

// defects puts faults and parts together: "the front beam has a small crack",
// "deck soft", "no soft spots", "hulls dry".
func (c *clause) defects() {
	for i := range c.atoms {
		a := &c.atoms[i]
		if c.off[i] || c.scope[i] == sought || c.asked(i) {
			continue
		}
		f := a.as(fault)
		sign := "present"
		if s := a.as(sound); s != nil && f == nil {
			f, sign = s, "denied"
		}
		if f == nil {
			continue
		}
		ids, parts := c.defectsOf(i, f)
		if len(ids) == 0 {
			continue
		}
		value := c.defectValue(i, sign, parts)
		if value == "" {
			continue
		}
		from, to := a.from, a.to
		for _, p := range parts {
			from, to = min(from, c.atoms[p].from), max(to, c.atoms[p].to)
		}
		if c.scope[i] == negated && c.scopeStart(i) < from {
			from = c.scopeStart(i)
		}
		for _, id := range ids {
			c.said = append(c.said, said{item: id, value: value, weight: stated, from: from, to: to})
		}
	}
}

// defectsOf finds the part that a fault is told of, and what defect the two
// make; without a part, the defect that the fault means by itself.
func (c *clause) defectsOf(i int, f *entry) (ids []string, parts []int) {
	if p := c.atoms[i].as(part); p != nil {
		if both := common(f.items, p.items); len(both) > 0 {
			return both, nil
		}
	}
	if p, both := c.partNear(i, f); p >= 0 {
		ids, parts = both, []int{p}
		for j := p - 1; j > 0 && c.atoms[j].is(and) && c.atoms[j-1].is(part) && !c.ownFault(j-1, i); j -= 2 {
			if more := common(f.items, c.atoms[j-1].as(part).items); len(more) > 0 {
				ids, parts = append(ids, more...), append(parts, j-1)
			}
		}
		for j := p + 1; p > i && j+1 < len(c.atoms) && c.atoms[j].is(and); j++ {
			for j+2 < len(c.atoms) && c.atoms[j+1].is(quantity) {
				j++ // "a soft spot in the deck and one in the side"
			}
			if j++; !c.atoms[j].is(part) || c.ownWords(j) {
				break
			}
			if more := common(f.items, c.atoms[j].as(part).items); len(more) > 0 {
				ids, parts = append(ids, more...), append(parts, j)
			}
		}
		slices.Sort(ids)
		return slices.Compact(ids), parts
	}
	if ids, parts = c.deniedParts(i, f); len(ids) > 0 {
		return ids, parts
	}
	if m := c.last(i); m >= 0 && (c.atoms[i].to == c.atoms[i].from+1 || c.atoms[i].is(quality) || c.ofCloth(m, i)) && !c.things[m].boat && !c.atoms[c.things[m].atom].is(part) && c.scope[i] != negated && c.gap(c.things[m].atom, i) <= 4 && !(c.atoms[i-1].is(and) && c.things[m].atom == i-2) {
		return nil, nil // the fault of another thing
	}
	return f.alone, nil
}

// ofCloth tells that the sails or ropes, which have no defects of their own,
// stand right before atom i: "the mainsail has gone soft".
func (c *clause) ofCloth(m, i int) bool {
	t := &c.things[m]
	return t.atom == i-1 && c.gap(t.atom, i) <= 1 && len(t.items) > 0 && (t.items[0] == "sails" || t.items[0] == "ropes")
}

// deniedParts gives the parts that a denied fault is denied of behind a colon
// or comma: "no cracks: neither in the gelcoat nor in the beams", "no play
// anywhere, neither …".
func (c *clause) deniedParts(i int, f *entry) (ids []string, parts []int) {
	sep := i + 1
	if sep < len(c.atoms) && c.atoms[sep].is(negation) {
		sep++
	}
	if c.scope[i] != negated || sep+1 >= len(c.atoms) || c.atoms[sep].sign != colon && (c.atoms[sep].sign != comma || !c.atoms[sep+1].is(negation)) {
		return nil, nil
	}
	for j := sep + 1; j < len(c.atoms); j++ {
		a := &c.atoms[j]
		if p := a.as(part); p != nil {
			if both := common(f.items, p.items); len(both) > 0 {
				ids, parts = append(ids, both...), append(parts, j)
			}
		} else if !a.is(and) && !a.is(negation) && !a.is(quantity) && !a.is(yearCue) && a.sign != comma {
			break
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids), parts
}

// ownFault tells that a fault other than the one at atom i is told of the part
// at atom p before it: "water in the hulls and the deck is soft".
func (c *clause) ownFault(p, i int) bool {
	for k := p - 1; k >= 0 && c.part[k] == c.part[p]; k-- {
		if f := c.atoms[k].as(fault); f != nil && k != i {
			return len(common(f.items, c.atoms[p].as(part).items)) > 0
		}
	}
	return false
}

// ownWords tells that something is said behind the part at atom j: "no soft
// spots in the deck and the hulls are dry".
func (c *clause) ownWords(j int) bool {
	for k := j + 1; k < len(c.atoms) && c.part[k] == c.part[j]; k++ {
		if a := &c.atoms[k]; a.is(sound) || a.is(quality) || a.is(condition) {
			return true
		}
	}
	return false
}

// partNear finds the nearest part that a fault may be of: before it in the
// same part of the sentence, after it there, or in the parts before.
func (c *clause) partNear(i int, f *entry) (int, []string) {
	try := func(j int) []string {
		if p := c.atoms[j].as(part); p != nil {
			return common(f.items, p.items)
		}
		return nil
	}
	before, after := -1, -1
	for j := i - 1; j >= 0 && c.part[j] == c.part[i]; j-- {
		if len(try(j)) > 0 {
			before = j
			break
		}
	}
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i]; j++ {
		if c.atoms[j].is(fault) {
			break
		}
		if len(try(j)) > 0 {
			after = j
			break
		}
	}
	switch {
	case before >= 0 && after >= 0 && c.gap(i, after) < c.gap(before, i) && c.atoms[i-1].is(negation) && i-1 > before:
		return after, try(after) // "hulls clean without soft spots in the deck"
	case before >= 0 && (after < 0 || c.gap(before, i) <= c.gap(i, after) || !c.partedBetween(before, i)):
		if k := c.subjectBefore(before); k >= 0 && len(try(k)) > 0 && c.gap(k, before) <= 2 {
			before = k // "the deck of the port hull is soft"
		}
		return before, try(before)
	case after >= 0:
		return after, try(after)
	case len(f.alone) > 0 && c.scope[i] == negated:
		if e := c.earlier(i); e >= 0 && c.last(i) < 0 && c.following(i) < 0 {
			if t := c.things[e]; !t.boat && len(t.items) == 0 && c.part[t.atom] == c.part[i]-1 && len(try(t.atom)) > 0 {
				return t.atom, try(t.atom) // "sides stiff, no soft spots"
			}
		}
		return -1, nil
	}
	if m := c.last(i); m >= 0 && !c.things[m].boat && !c.atoms[c.things[m].atom].is(part) {
		return -1, nil // the fault of another thing
	}
	held := 0 // the part of the sentence that names another thing
	for j := i - 1; j >= 0; j-- {
		if c.part[j] < c.part[i]-3 || c.part[j] < held {
			break
		}
		if both := try(j); len(both) > 0 {
			if k := c.subjectBefore(j); k >= 0 && len(try(k)) > 0 {
				return k, try(k) // "the deck gives on the port hull, soft"
			}
			return j, both
		}
		if c.part[j] < c.part[i] && c.at[j] >= 0 && !c.atoms[j].is(part) {
			held = c.part[j]
		}
	}
	return -1, nil
}

// subjectBefore gives the part named before the one at atom j, which a small
// word makes the place where it is, -1 if there is none.
func (c *clause) subjectBefore(j int) int {
	if at := c.atoms[j].from; j == 0 || at == 0 || c.r.stops[c.s.tokens[at-1].fold] == 0 || c.atoms[j-1].to == at && !c.atoms[j-1].is(yearCue) {
		return -1
	}
	for k := j - 1; k >= 0 && c.part[k] == c.part[j]; k-- {
		if c.atoms[k].is(part) {
			return k
		}
		if c.atoms[k].is(and) || c.atoms[k].is(fault) {
			break
		}
	}
	return -1
}

func (c *clause) partedBetween(from, to int) bool {
	for j := from + 1; j < to; j++ {
		if c.atoms[j].is(and) || c.atoms[j].is(fault) || c.atoms[j].is(sound) {
			return true
		}
	}
	return false
}

// defectValue tells how a defect is told: as there, as mended, as not there.
func (c *clause) defectValue(i int, sign string, parts []int) string {
	denied := c.scope[i] == negated || c.flips(i) || c.deniedAfter(i)
	for _, p := range parts {
		denied = denied || c.scope[p] == negated && c.part[p] == c.part[i] && p < i && sign == "present"
	}
	if sign == "denied" && c.scope[i] == negated && !c.flips(i) && c.linkedAfterDenial(i, parts) {
		denied = c.deniedAfter(i)
	}
	switch {
	case sign == "denied" && denied:
		return "present"
	case denied && sign == "present" && c.flips(i) && c.atoms[i-1].as(negation).value == "not" && c.mended(i):
		return "repaired" // "no longer leaks since it was sealed"
	case sign == "denied" || denied:
		return "denied"
	case c.scope[i] == putRight || c.mended(i) || c.mendedBefore(i, parts):
		return "repaired"
	}
	return sign
}

// linkedAfterDenial tells that an "and" or a comma parts a sound part from the
// denial before it: "beams without cracks and deck joint closed".
func (c *clause) linkedAfterDenial(i int, parts []int) bool {
	if len(parts) > 0 {
		i = min(i, parts[0])
	}
	for j := i - 1; j >= 0; j-- {
		if c.atoms[j].is(negation) {
			return false
		}
		if c.atoms[j].is(and) || c.atoms[j].sign == comma {
			return true
		}
	}
	return false
}

// deniedAfter tells that the denial of a fault follows it: "wackelt nichts",
// "Risse im Gelcoat habe ich keine", which is also said of an extra.
func (c *clause) deniedAfter(i int) bool {
	j := i + 1
	if j < len(c.atoms) && c.part[j] == c.part[i] && c.atoms[j].is(negation) && c.gap(i, j) <= 1 && c.closes(j) {
		return true
	}
	for j < len(c.atoms) && c.part[j] == c.part[i] && c.atoms[j].is(part) && !c.atoms[j].is(fault) {
		j++
	}
	if j >= len(c.atoms) || c.part[j] != c.part[i] || c.gap(j-1, j) > 3 {
		return false
	}
	if e := c.atoms[j].as(offer); e != nil {
		return e.value == "absent" && !e.next && c.closes(j)
	}
	e := c.atoms[j].as(negation)
	return e != nil && e.value == "no" && c.closes(j)
}

// faultBetween tells that between two atoms another fault is told, which no
// "and" joins to those before it: "soft deck and soft side mended" mends both.
func (c *clause) faultBetween(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if f := c.atoms[k].as(fault); f != nil && !c.atoms[k-1].is(and) {
			if ids, _ := c.defectsOf(k, f); len(ids) > 0 {
				return true
			}
		}
	}
	return false
}

// ownThing tells that between a fault and a mending in a later part another
// fault or thing is named, which the mending speaks of.
func (c *clause) ownThing(j, i int) bool {
	told := c.atoms[i].as(fault)
	for k := i + 1; k < len(c.atoms) && c.part[k] <= c.part[j]; k++ {
		if c.part[k] == c.part[i] {
			continue
		}
		a := &c.atoms[k]
		if k > j && (k > j+1 || c.gap(j, k) > 1) {
			break // "leaked, cured with a new bung"
		}
		if f := a.as(fault); f != nil {
			if ids, _ := c.defectsOf(k, f); len(ids) > 0 {
				return true
			}
		}
		if a.is(item) && !a.is(part) || a.is(thing) && (c.part[k] == c.part[j] || !c.aloneIn(j)) {
			return true // but "leaked, it was the bung, is sealed"
		}
		if p := a.as(part); p != nil && told != nil && len(p.alone) > 0 && len(common(p.items, told.items)) == 0 {
			return true // "a crack, to be welded; the eyelets I had sewn in again"
		}
	}
	return false
}

// aloneIn tells that the part of the sentence around atom j names no thing.
func (c *clause) aloneIn(j int) bool {
	for k := range c.atoms {
		if c.part[k] == c.part[j] && c.at[k] >= 0 {
			return false
		}
	}
	return true
}

// common gives the strings of a that are in b.
func common(a, b []string) []string {
	var out []string
	for _, s := range a {
		if slices.Contains(b, s) {
			out = append(out, s)
		}
	}
	return out
}
