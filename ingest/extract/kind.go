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

func (g *reading) itemSoon(s *sentence, j int) bool {
	return j+1 < len(s.atoms) && (s.atoms[j+1].is(item) || s.atoms[j+1].is(thing))
}
