package extract

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

// most boats that one advertisement is believed to offer, and most that a
// number behind "x" means.
const (
	mostBoats  = 40
	mostBehind = 9
)
