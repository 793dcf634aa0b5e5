package extract

import (
	"slices"
	"strings"
)

// A sentence is a stretch of a text that says one thing: up to a full stop,
// a line break or a bullet.
type sentence struct {
	tokens    []token
	atoms     []atom
	question  bool
	colon     bool // ends in a colon: what follows belongs to it
	paragraph bool // a blank line goes before it
	bullet    bool

	clause *clause // see plain
}

// An atom is a part of a sentence that the grammar knows: a phrase with its
// meanings, or a sign.
type atom struct {
	from, to int // tokens of the sentence
	means    []*entry
	roles    uint64 // of its meanings, a bit each
	sign     sign
	value    float64 // of a year, an amount or a number
	month    int     // of a year written "10.1998"
}

// A sign is what an atom is that no words file names.
type sign uint8

const (
	noSign sign = iota
	comma
	semicolon
	colon
	dash
	opening
	closing
	yearSign
	amountSign
	numberSign
)

// as returns what the atom means in a role, nil if nothing.
func (a *atom) as(ro role) *entry {
	if a.roles&(1<<ro) == 0 {
		return nil
	}
	for _, e := range a.means {
		if e.role == ro {
			return e
		}
	}
	return nil
}

func (a *atom) is(ro role) bool { return a.roles&(1<<ro) != 0 }

// nothing tells that the words of an atom mean none of what they would mean
// one by one: "in mare aperto" opens no joint.
func (a *atom) nothing() bool {
	for _, e := range a.means {
		if e.role != noRole {
			return false
		}
	}
	return true
}

// wordsIn counts the words among tokens.
func wordsIn(tokens []token) int {
	n := 0
	for i := range tokens {
		if tokens[i].kind == word {
			n++
		}
	}
	return n
}

// sentences cuts a text up; allowed says whose abbreviations count.
func (r *Reader) sentences(tokens []token, text string, allowed uint16) []sentence {
	out := make([]sentence, 0, 2+len(tokens)/12)
	var cur sentence
	from := 0
	cut := func(to int) {
		cur.tokens = tokens[from:to]
		if len(cur.tokens) > 0 {
			out = append(out, cur)
		}
		cur = sentence{}
	}
	parts := separators(tokens)
	for i, t := range tokens {
		if i < from {
			continue
		}
		switch {
		case parts[i]:
			cut(i)
			from = i + 1
		case t.kind == newline:
			if r.wrapped(tokens, i, from, text) {
				continue
			}
			cut(i)
			from = i + 1
			cur.paragraph = len(t.fold) > 1
			if from < len(tokens) && isBullet(tokens, from) {
				cur.bullet = true
				from++
			}
		case t.kind != mark:
		case (t.fold == "?" || t.fold == "!") && i+1 < len(tokens) && tokens[i+1].fold == ")":
			// it ends the words in brackets alone
		case t.fold == "?" && r.labels(tokens, i, from):
			// what follows speaks of what it names
		case t.fold == "?" || t.fold == "!" || t.fold == "•" || t.fold == "·" || t.fold == "●" || t.fold == "|" || t.fold == "…":
			cur.question = t.fold == "?"
			cut(i + 1)
			from = i + 1
		case t.fold == "." && !r.abbreviated(tokens, i, allowed):
			cut(i + 1)
			from = i + 1
		case t.fold == ":" && i+1 < len(tokens) && tokens[i+1].kind == newline:
			cur.colon = true
		}
	}
	cut(len(tokens))
	return out
}

// separators finds the strokes and dashes that part one statement from the
// next: those that stand free, where a text has several of a sort. A single
// dash on each line, or up to each full stop, parts nothing: "mast - good".
func separators(tokens []token) map[int]bool {
	strokes, dashes := []int{}, []int{}
	row, most := 0, 0 // dashes of the line
	for i, t := range tokens {
		if t.kind == newline || t.fold == "." && i+1 < len(tokens) && !tokens[i+1].glued && tokens[i+1].upper {
			row = 0
		}
		if t.kind != mark || t.glued || i+1 < len(tokens) && tokens[i+1].glued {
			continue
		}
		switch t.fold {
		case "/":
			strokes = append(strokes, i)
		case "-", "–", "—":
			if i > 0 && tokens[i-1].kind != newline { // else a bullet
				dashes, row = append(dashes, i), row+1
				most = max(most, row)
			}
		}
	}
	out := map[int]bool{}
	if len(strokes) >= 2 {
		for _, i := range strokes {
			out[i] = true
		}
	}
	if len(dashes) >= 3 && most >= 2 {
		for _, i := range dashes {
			out[i] = true
		}
	}
	return out
}

// isBullet tells that a line begins with a sign that only opens a list item.
func isBullet(tokens []token, i int) bool {
	t := tokens[i]
	if t.fold == "-" && i+1 < len(tokens) && tokens[i+1].glued && tokens[i+1].kind == number && len(tokens[i+1].fold) == 2 {
		return false // "-90 model"
	}
	return t.kind == mark && (t.fold == "*" || t.fold == ">" || (strings.ContainsAny(t.fold, "-–—+") && (i+1 >= len(tokens) || tokens[i+1].kind != newline)))
}

// wrapped tells that a line break only wraps a long line: the line is long,
// no sign ends it, and the next begins with a small letter, or with a number
// that may be said of its last words. No program wraps lines longer than a
// hundred letters, and a line that opens with a sum of money opens anew, but
// for "a new sail for" before it.
func (r *Reader) wrapped(tokens []token, i, from int, text string) bool {
	if i == 0 || i+1 >= len(tokens) || len(tokens[i].fold) > 1 {
		return false
	}
	before, after := tokens[i-1], tokens[i+1]
	if before.kind == newline {
		return false
	}
	if before.kind == mark && before.fold == "," {
		return true
	}
	line := before.end - (strings.LastIndexByte(text[:before.end], '\n') + 1)
	if before.kind != word {
		return false
	}
	if after.kind == number {
		sum := i+2 < len(tokens) && r.isSign(tokens[i+2])
		return line > 65 && line <= 100 && (!sum || r.stops[before.fold] != 0)
	}
	return line > 55 && after.kind == word && !after.upper
}

// abbreviated tells that the dot at i belongs to the word before it.
func (r *Reader) abbreviated(tokens []token, i int, allowed uint16) bool {
	if i == 0 || !tokens[i].glued {
		return false
	}
	last := tokens[i-1]
	if i+1 < len(tokens) && tokens[i+1].glued && (tokens[i+1].kind != mark || tokens[i+1].fold == "-") && last.kind == number {
		return true // "3.5", "2950.-"
	}
	if last.kind != word {
		return false
	}
	if i+1 == len(tokens) || tokens[i+1].kind == newline {
		return false
	}
	if next := tokens[i+1]; i >= 2 && (tokens[i-2].kind == number && r.prices.sign[last.fold] || r.prices.apiece[last.fold] && numberIn(tokens[max(0, i-7):i])) && next.kind == word && next.upper && !next.glued && wordsAhead(tokens[i+1:]) > remark {
		return false // "for 38 000 kr. The trailer stays with me"
	}
	next := tokens[i+1]
	small := r.stops[last.fold]&allowed != 0 && !last.upper && next.kind == word && next.upper && !next.glued // "sat nye i. Masten"
	return r.short[last.fold]&allowed != 0 || last.end-last.start == 1 && !small
}

func numberIn(tokens []token) bool {
	return slices.ContainsFunc(tokens, func(t token) bool { return t.kind == number })
}

// remark is the number of words up to which what follows an amount may be its
// terms: "11000 kr. Price is firm."
const remark = 3

// wordsAhead counts the words up to the end of the sentence that begins here;
// one that holds a number is no mere remark.
func wordsAhead(tokens []token) int {
	n := 0
	for _, t := range tokens {
		if t.kind == newline || t.fold == "." || t.fold == "!" || t.fold == "?" {
			break
		}
		if t.kind == number {
			return remark + 1 // "Spinnaker +300 kr."
		}
		if t.kind == word {
			n++
		}
	}
	return n
}

// parse finds the atoms of a sentence.
func (r *Reader) parse(s *sentence, allowed uint16, newest int) {
	var room [32]match
	matches := r.match.find(room[:0], s.tokens, allowed)
	means := make([]*entry, 0, len(matches)) // of all atoms, one after the other
	s.atoms = make([]atom, 0, atomsIn(s.tokens, matches))
	k := 0
	for i := 0; i < len(s.tokens); {
		for k < len(matches) && matches[k].from < i {
			k++ // its first word belongs to an amount: "6000 kr/st"
		}
		if k < len(matches) && matches[k].from == i && matches[k].to > i+1 && r.cutsSum(s.tokens, matches[k].to-1) {
			i++ // "in les 2 200 €"
			continue
		}
		if k < len(matches) && matches[k].from == i && r.entries[matches[k].phrase].role == ageOf && (thousands(s.tokens, i) || s.tokens[i].whole() >= leastThousands) {
			k++ // nothing is "1 000 years" old
			continue
		}
		if k < len(matches) && matches[k].from == i && r.prices.compound(s.tokens, i) == 0 {
			a, first := atom{from: i, to: matches[k].to}, len(means)
			for ; k < len(matches) && matches[k].from == i; k++ {
				e := r.entries[matches[k].phrase]
				means = append(means, e)
				a.roles |= 1 << e.role
			}
			a.means = means[first:len(means):len(means)]
			if !a.nothing() {
				s.atoms = append(s.atoms, a)
			}
			i = a.to
			continue
		}
		if a, ok := r.signAt(s.tokens, i, newest, allowed); ok {
			s.atoms = append(s.atoms, a)
			i = a.to
			continue
		}
		i++
	}
	s.dropRemarks()
}

// dropRemarks forgets brackets that tell nothing of a thing, so that what is
// said behind them is said of what stands before: "trailer (checked till 08/27)
// for 650 €".
func (s *sentence) dropRemarks() {
	for i := 0; i < len(s.atoms); i++ {
		if s.atoms[i].sign != opening {
			continue
		}
		j := i + 1
		for j < len(s.atoms) && s.remarks(&s.atoms[j]) {
			j++
		}
		if j < len(s.atoms) && s.atoms[j].sign == closing && s.atoms[j].from-s.atoms[i].to > 1 && i > 0 && j+1 < len(s.atoms) {
			s.atoms = append(s.atoms[:i], s.atoms[j+1:]...)
			i--
		}
	}
}

// remarks tells that an atom in brackets says nothing of a thing.
func (s *sentence) remarks(a *atom) bool {
	switch a.sign {
	case noSign:
		for _, e := range a.means {
			switch e.role {
			case noRole, and, thing, yearCue, adKind, quantity, numberWord, placeCue, count:
			default:
				return false
			}
		}
		return true
	case numberSign, comma, dash:
		return true
	}
	return false
}

// atomsIn bounds the number of atoms that a sentence may have.
func atomsIn(tokens []token, matches []match) int {
	n := 0
	for i := range tokens {
		if tokens[i].kind != word {
			n++
		}
	}
	for i := range matches {
		if i == 0 || matches[i].from != matches[i-1].from {
			n++
		}
	}
	return n
}
