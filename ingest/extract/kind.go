package extract

import (
	"askance/ingest/boat"
)

// kind tells what is offered: a boat unless title or text say that one is
// wanted, that it is only parts, or that it is to be swapped.
func (g *reading) kind(price boat.Price) boat.Kind {
	if price.Terms == "wanted" {
		return boat.Wanted
	}
	title, text := g.said(true), g.said(false)
	switch {
	case title["sale"]:
	case title["wanted"]:
		return boat.Wanted
	case title["swap"]:
		return boat.Swap
	}
	switch {
	case title["parts"] || g.partsTitle() || text["parts"] || !price.Known && g.pricedApart():
		return boat.Parts
	case title["sale"] || text["sale"] || price.Known && !(text["wanted"] && g.priceInWords):
		return boat.ForSale
	case text["wanted"]:
		return boat.Wanted
	case text["swap"] || price.Terms == "swap" || g.swapInTitle():
		return boat.Swap
	}
	return boat.ForSale
}

// outweighed tells what is offered once the rest of the words are read: where
// they speak of a whole boat, part by part and by its year, a word for parts
// in the text, or for something sought, is about something else.
func (g *reading) outweighed(l *boat.Listing) boat.Kind {
	if l.Kind != boat.Parts && l.Kind != boat.Wanted || !l.Price.Known {
		return l.Kind
	}
	items := map[string]bool{}
	for _, s := range g.statements {
		items[s.item] = true
	}
	title := g.said(true)
	switch {
	case title["parts"] || g.partsTitle():
	case l.Kind == boat.Parts && (len(items) >= 4 || len(items) >= 2 && l.Year.Known):
		return boat.ForSale
	case l.Kind == boat.Wanted && len(items) >= 4 && l.Year.Known:
		return boat.ForSale
	}
	return l.Kind
}

// said gathers the words on what an advertisement is: of its title, or of the
// opening of its text; words for parts count anywhere in the text.
func (g *reading) said(title bool) map[string]bool {
	out := map[string]bool{}
	for i := range g.passages {
		p := &g.passages[i]
		if p.title != title {
			continue
		}
		for k := range p.sentences {
			for j := range p.sentences[k].atoms {
				e := p.sentences[k].atoms[j].as(adKind)
				if e == nil {
					if w := p.sentences[k].atoms[j].as(aside); w != nil && w.value == "wish" && title && k == 0 && j == 0 && p.sentences[k].atoms[j].from == 0 {
						out["wanted"] = true // "looking for a larger boat"
					}
					continue
				}
				if e.value == "parts" && !title && p.sentences[k].question {
					continue // "interested in only the sails?"
				}
				if e.value == "parts" && p.sentences[k].mentions(newPrice) {
					continue // "only the sails cost 1200"
				}
				if e.value == "parts" && (p.sentences[k].tells(j) || g.r.soldWith(&p.sentences[k], j)) {
					continue // "sails only used for one season"
				}
				if e.value == "parts" && j > 0 && orBefore(&p.sentences[k], j) {
					continue // "a project, or for spares"
				}
				if e.value == "wanted" && p.sentences[k].atoms[j].is(newPrice) && !g.boatSoon(&p.sentences[k], j) {
					continue // "bought for 4000", which is also "I buy"
				}
				if next := j + 1; e.value == "wanted" && next < len(p.sentences[k].atoms) && p.sentences[k].atoms[next].sign == amountSign && p.sentences[k].atoms[next].from == p.sentences[k].atoms[j].to {
					continue // "looking for £2000"
				}
				if title && e.value == "wanted" && g.wordsBefore(&p.sentences[k], j) > 0 && g.itemBehind(&p.sentences[k], j) {
					continue // "Skerrik 16 looking for a mainsail"
				}
				if e.value == "swap" && p.sentences[k].atoms[j].is(needs) && g.itemBehind(&p.sentences[k], j) {
					continue // "I would change the shrouds"
				}
				if e.value == "swap" && p.sentences[k].atoms[j].is(quality) && p.sentences[k].itemBefore(j) {
					continue // "ropes to be changed", which is also "to be exchanged"
				}
				if title && e.value == "sale" && p.sentences[k].question && p.sentences[k].wantedBefore(j) {
					continue // "has anybody a cat for sale?"
				}
				if title || k < 2 || e.value == "parts" || e.value == "swap" {
					out[e.value] = true
				}
			}
		}
	}
	return out
}

// tells tells that words right behind atom j go on to an age, a state or work
// that the atom's last word limits.
func (s *sentence) tells(j int) bool {
	const near = 4
	end := s.atoms[j].to
	if end >= len(s.tokens) || s.tokens[end].kind == mark || s.tokens[end].kind == newline {
		return false
	}
	for k := j + 1; k < len(s.atoms) && s.atoms[k].from-end <= near; k++ {
		a := &s.atoms[k]
		if a.is(contrast) || a.is(negation) || a.is(priceCue) {
			return false
		}
		if a.is(ageOf) || a.is(renewed) || a.is(quality) || a.is(yearCue) || a.is(needs) || a.is(repaired) {
			return true
		}
	}
	return false
}

// soldWith tells that the words of atom j, which end in "sold", go on to how
// the boat is sold: "boat sold with trailer", "boat sold as seen for 900 €".
func (r *Reader) soldWith(s *sentence, j int) bool {
	next := j + 1
	if next >= len(s.atoms) || s.atoms[next].from != s.atoms[j].to || r.cells["sold"][s.tokens[s.atoms[j].to-1].fold] == "" {
		return false
	}
	a := &s.atoms[next]
	return a.is(offer) || a.is(negation) || a.is(condition) || a.is(priceCue) || a.is(placeCue) || a.sign == amountSign
}

// orBefore tells that an "or" or an "also" stands right before atom j.
func orBefore(s *sentence, j int) bool {
	if s.atoms[j-1].is(same) && s.atoms[j].from-s.atoms[j-1].to <= 1 {
		return true
	}
	e := s.atoms[j-1].as(and)
	return e != nil && e.value == "or" && s.atoms[j-1].to == s.atoms[j].from
}

// itemBefore tells that the last thing named before atom j is an item, no boat.
func (s *sentence) itemBefore(j int) bool {
	for k := j - 1; k >= 0; k-- {
		if a := &s.atoms[k]; a.is(item) || a.is(boatNoun) || a.is(thing) {
			return a.is(item)
		}
	}
	return false
}

// wantedBefore tells that a word for something wanted stands before atom j.
func (s *sentence) wantedBefore(j int) bool {
	for k := range j {
		if e := s.atoms[k].as(adKind); e != nil && e.value == "wanted" {
			return true
		}
	}
	return false
}

// swapInTitle tells that the title offers the boat in exchange for something.
func (g *reading) swapInTitle() bool {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			for j := range p.sentences[k].atoms {
				if e := p.sentences[k].atoms[j].as(aside); p.title && e != nil && e.value == "swap" {
					return true
				}
			}
		}
	}
	return false
}

// boatSoon tells that a word for the boat follows close behind atom j.
func (g *reading) boatSoon(s *sentence, j int) bool {
	return j+1 < len(s.atoms) && s.atoms[j+1].is(boatNoun) && s.atoms[j+1].from-s.atoms[j].to <= 2
}

// itemBehind tells that a thing is named after atom j, and no boat.
func (g *reading) itemBehind(s *sentence, j int) bool {
	named := false
	for k := j + 1; k < len(s.atoms); k++ {
		if s.atoms[k].is(boatNoun) {
			return false
		}
		named = named || s.atoms[k].is(item) || s.atoms[k].is(thing)
	}
	return named
}

// boats counts the boats on offer: "two boats", "2 x"; lot is true where one
// price is asked for all of them.
func (g *reading) boats() (n int, lot bool) {
	n = 1
	each := false
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if s.ofOthers() {
				continue // "three boats are two too many"
			}
			for j := range s.atoms {
				if e := s.atoms[j].as(count); e != nil && e.value == "each" && (j == 0 || !s.piecesAt(j) || g.manyAt(s, j-1) == 0) {
					each = true
				}
				if m := g.manyAt(s, j); m > n && (p.title || k < 2 || s.mentions(adKind)) {
					n = m
				}
			}
		}
	}
	return n, n > 1 && !each
}

// ofOthers tells that a sentence speaks of boats that are not for sale.
func (s *sentence) ofOthers() bool {
	for j := range s.atoms {
		if e := s.atoms[j].as(aside); e != nil && e.value == "other_boat" {
			return true
		}
	}
	return false
}

// most boats that one advertisement is believed to offer, and most that a
// number behind "x" means.
const (
	mostBoats  = 40
	mostBehind = 9
)

// manyAt reads a number of boats at an atom, 0 if there is none: "two boats",
// "3 identical cats", "two Skerrik 16 catamarans", "2 x". A number behind a
// name belongs to the name.
func (g *reading) manyAt(s *sentence, j int) int {
	a := &s.atoms[j]
	n := 0
	switch {
	case a.sign == numberSign && (a.from == 0 || !s.tokens[a.from-1].upper || g.r.stops[s.tokens[a.from-1].fold] != 0 || s.atomAt(a.from-1)):
		n = s.tokens[a.from].whole()
	case a.is(numberWord):
		n = int(a.as(numberWord).years)
	}
	if j > 0 && a.sign == numberSign && n <= mostBehind && g.timesBefore(s, j) {
		return n
	}
	if n < 2 || n > mostBoats {
		return 0
	}
	if g.namedBehind(s, a.to) {
		return n
	}
	for _, before := range s.atoms[max(0, j-2):j] {
		if before.is(aside) {
			return 0
		}
	}
	for k := j + 1; k < len(s.atoms) && s.atoms[k].from-a.to <= 4; k++ {
		next := &s.atoms[k]
		if e := next.as(boatNoun); e != nil {
			if e.value == "many" {
				return n
			}
			return 0
		}
		if e := next.as(count); e != nil && e.value == "times" && k == j+1 && j == 0 && next.from == a.to && !g.itemSoon(s, k) {
			return n
		}
		if k == j+1 && s.piecesAt(k) {
			continue // "2 pcs. catamarans"
		}
		if !next.is(quality) && !next.is(sellerWord) && !next.is(weakCue) && next.sign != numberSign {
			return 0
		}
	}
	return 0
}

// piecesAt tells that a word for one piece stands right behind the number
// before it.
func (s *sentence) piecesAt(j int) bool {
	e, before := s.atoms[j].as(count), &s.atoms[j-1]
	return e != nil && e.value == "each" && before.to == s.atoms[j].from && (before.sign == numberSign || before.is(numberWord))
}

// timesBefore tells that an atom is how often there is the boat before it:
// "Skerrik 16 x 2".
func (g *reading) timesBefore(s *sentence, j int) bool {
	e := s.atoms[j-1].as(count)
	if e == nil || e.value != "times" || s.atoms[j-1].to != s.atoms[j].from || j < 2 {
		return false
	}
	before, to := &s.atoms[j-2], s.atoms[j].to
	if before.to != s.atoms[j-1].from || !(before.is(boatNoun) || before.sign == numberSign && s.nameAt(g.r, before.from-1)) {
		return false
	}
	return to >= len(s.tokens) || !g.r.isUnit(s.tokens[to])
}

// namedBehind tells that the name of a class follows, a word and a number:
// "two Skerrik 16".
func (g *reading) namedBehind(s *sentence, at int) bool {
	for at < len(s.tokens) && (s.countOrQualityAt(at) || s.tokens[at].fold == "." && s.tokens[at].glued && at > 0 && s.countOrQualityAt(at-1)) {
		at++
	}
	if at+1 < len(s.tokens) && s.tokens[at].kind == word && !s.tokens[at].upper && s.tokens[at+1].upper && g.r.stops[s.tokens[at].fold] == 0 {
		at++ // "two identical Skerrik 16"
	}
	if !s.nameAt(g.r, at) || at+1 >= len(s.tokens) {
		return false
	}
	if v, ok := s.tokens[at+1].decimal(); !ok || v <= 0 || v >= 100 {
		return false
	}
	return at+2 >= len(s.tokens) || !g.r.isUnit(s.tokens[at+2]) && !g.r.prices.sign[s.tokens[at+2].fold]
}

// nameAt tells that a token may be a name: a word that nothing explains.
func (s *sentence) nameAt(r *Reader, t int) bool {
	if t < 0 || t >= len(s.tokens) || s.tokens[t].kind != word || s.tokens[t].end-s.tokens[t].start < 3 || s.atomAt(t) {
		return false
	}
	fold := s.tokens[t].fold
	return r.stops[fold] == 0 && (s.tokens[t].upper || r.unspoken(&s.tokens[t])) && !r.isUnit(s.tokens[t])
}

// countOrQualityAt tells that a token belongs to "times" or to a word on
// state, as in "two used Skerrik 16".
func (s *sentence) countOrQualityAt(t int) bool {
	for i := range s.atoms {
		if a := &s.atoms[i]; a.from <= t && t < a.to {
			return a.is(count) || a.is(quality)
		}
	}
	return false
}

// atomAt tells that a token belongs to a phrase that the grammar knows.
func (s *sentence) atomAt(t int) bool {
	for i := range s.atoms {
		if s.atoms[i].from <= t && t < s.atoms[i].to {
			return true
		}
	}
	return false
}

func (g *reading) itemSoon(s *sentence, j int) bool {
	return j+1 < len(s.atoms) && (s.atoms[j+1].is(item) || s.atoms[j+1].is(thing))
}
