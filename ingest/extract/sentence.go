package extract

import "strings"

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
// dash on each line parts nothing: "mast - good".
func separators(tokens []token) map[int]bool {
	strokes, dashes := []int{}, []int{}
	row, most := 0, 0 // dashes of the line
	for i, t := range tokens {
		if t.kind == newline {
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
	return t.kind == mark && (t.fold == "*" || t.fold == ">" || (strings.ContainsAny(t.fold, "-–—+") && (i+1 >= len(tokens) || tokens[i+1].kind != newline)))
}

// wrapped tells that a line break only wraps a long line: the line is long,
// no sign ends it, and the next begins with a small letter.
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
	return line > 55 && before.kind == word && (after.kind == word && !after.upper || after.kind == number && line > 65)
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
	if next := tokens[i+1]; i >= 2 && tokens[i-2].kind == number && r.prices.sign[last.fold] && next.kind == word && next.upper && !next.glued && wordsAhead(tokens[i+1:]) > remark {
		return false // "for 38 000 kr. The trailer stays with me"
	}
	return r.short[last.fold]&allowed != 0 || last.end-last.start == 1
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

// signAt reads the sign, year, amount or number at a token.
func (r *Reader) signAt(tokens []token, i, newest int, allowed uint16) (atom, bool) {
	t := tokens[i]
	a := atom{from: i, to: i + 1}
	switch {
	case t.kind == number:
		return r.numberAt(tokens, i, newest, allowed)
	case t.kind == newline:
		return a, false
	}
	if at := i + max(1, r.prices.compound(tokens, i)); at > i+1 || r.prices.sign[t.fold] && !t.letter() || r.prices.term[t.fold] {
		if at < len(tokens) && tokens[at].fold == "." {
			at++ // "Kr. 18.500"
		}
		if at < len(tokens) && tokens[at].kind == number && roughly(tokens[at].fold) >= leastAmount {
			a.sign, a.to, a.value = amountSign, at+1, roughly(tokens[at].fold)
			if thousands(tokens, at) {
				a.to, a.value = at+2, a.value*1000+roughly(tokens[at+1].fold)
			}
			return a, true
		}
		if at < len(tokens) && tokens[at].kind == number {
			if n, times := r.prices.times(tokens, at+1, allowed); n > 0 {
				v, _ := tokens[at].decimal()
				a.sign, a.to, a.value = amountSign, at+1+n, v*times // "£3.5k"
				return a, true
			}
		}
	}
	if t.kind != mark {
		return a, false
	}
	if (t.fold == "'" || t.fold == "’") && i+1 < len(tokens) && tokens[i+1].glued {
		if y, ok := shortYear(tokens[i+1], newest-1); ok {
			a.sign, a.value, a.to = yearSign, float64(y), i+2
			return a, true
		}
	}
	if y, ok := dashedYear(tokens, i, newest-1); ok {
		a.sign, a.value, a.to = yearSign, float64(y), i+2
		return a, true
	}
	switch t.fold {
	case ",":
		a.sign = comma
	case ";":
		a.sign = semicolon
	case ":", "=", "?":
		a.sign = colon
	case "(", "[":
		a.sign = opening
	case ")", "]":
		a.sign = closing
	case "-", "–", "—":
		a.sign = dash
	default:
		return a, false
	}
	return a, true
}

// dashedYear reads the last two digits of a year behind a dash: "sails -22",
// "Skerrik 16 -03". A larger number behind a number is the end of a range.
func dashedYear(tokens []token, i, newest int) (int, bool) {
	if t := tokens[i]; i == 0 || t.fold != "-" && t.fold != "–" || t.glued || i+1 >= len(tokens) || !tokens[i+1].glued {
		return 0, false
	}
	if before := tokens[i-1]; before.kind == number && before.whole() <= tokens[i+1].whole() {
		return 0, false
	}
	if i+2 < len(tokens) {
		if after := tokens[i+2]; after.glued && after.fold != "," && after.fold != "." && after.fold != ")" && after.fold != ":" {
			return 0, false // "-20%"
		}
	}
	return shortYear(tokens[i+1], newest)
}

// numberAt tells whether a number is an amount of money, a year, or neither.
func (r *Reader) numberAt(tokens []token, i, newest int, allowed uint16) (atom, bool) {
	t := tokens[i]
	a := atom{from: i, to: i + 1, sign: numberSign}
	a.value, _ = t.decimal()
	if n, times := r.prices.times(tokens, i+1, allowed); n > 0 && a.value > 0 && a.value < leastThousands {
		a.sign, a.value, a.to = amountSign, a.value*times, i+1+n
		if a.to < len(tokens) && r.isSign(tokens[a.to]) {
			a.to++ // "3.5 k€"
		}
		return a, true
	}
	if thousands(tokens, i) && i+2 < len(tokens) && r.isSign(tokens[i+2]) && !(i > 0 && tokens[i-1].upper && r.unspoken(&tokens[i-1]) && r.short[tokens[i-1].fold] == 0) {
		a.sign, a.value, a.to = amountSign, roughly(t.fold)*1000+roughly(tokens[i+1].fold), i+3
		return a, true
	}
	if i+1 < len(tokens) && r.prices.term[tokens[i+1].fold] && a.value >= leastAmount && !(i+2 < len(tokens) && tokens[i+2].kind == number) {
		a.sign, a.value, a.to = amountSign, roughly(t.fold), i+2
		return a, true
	}
	if n := r.prices.compound(tokens, i+1); n > 0 {
		a.sign, a.value, a.to = amountSign, roughly(t.fold), i+1+n
		return a, true
	}
	if i+1 < len(tokens) {
		if n := tokens[i+1]; r.isSign(n) && !signOfNext(tokens, i+1) || (n.fold == "," || n.fold == ":" || n.fold == ".") && i+2 < len(tokens) && tokens[i+2].fold == "-" && tokens[i+2].glued && n.glued {
			a.sign, a.value, a.to = amountSign, roughly(t.fold), i+2
			if !r.isSign(n) {
				a.to = i + 3
				if i+3 < len(tokens) && r.prices.sign[tokens[i+3].fold] {
					a.to = i + 4
				}
			}
			return a, true
		}
	}
	if month, year, found := strings.Cut(t.fold, "."); found && len(month) <= 2 && len(year) == 4 {
		m, y := (token{kind: number, fold: month}).whole(), (token{kind: number, fold: year}).whole()
		if m >= 1 && m <= 12 && y >= oldest && y <= newest {
			a.sign, a.value, a.month = yearSign, float64(y), m
			return a, true
		}
	}
	if y := t.whole(); len(t.fold) == 4 && y >= oldest && y <= newest && !(i+1 < len(tokens) && r.measured(tokens[i+1])) {
		a.sign, a.value = yearSign, float64(y)
	}
	if a.sign == numberSign && r.grouped(tokens, i) {
		a.value, a.to = roughly(t.fold)*1000+roughly(tokens[i+1].fold), i+2
	}
	return a, true
}

// cutsSum tells that a phrase that ends with a number leaves the rest of a sum
// behind: "pour les 2 | 200 €".
func (r *Reader) cutsSum(tokens []token, last int) bool {
	return tokens[last].kind == number && thousands(tokens, last) && (r.grouped(tokens, last) || last+2 < len(tokens) && r.isSign(tokens[last+2]))
}

// grouped tells that two bare numbers are one round sum of thousands, "25 000",
// and neither the end of a name nor part of a telephone number.
func (r *Reader) grouped(tokens []token, i int) bool {
	if !thousands(tokens, i) || !strings.HasSuffix(tokens[i+1].fold, "0") || strings.HasPrefix(tokens[i].fold, "0") {
		return false
	}
	if i > 0 && (tokens[i-1].kind == number || tokens[i].glued || tokens[i-1].upper && r.unknown(tokens[i-1])) {
		return false
	}
	if i+2 == len(tokens) {
		return true
	}
	next := tokens[i+2]
	return next.kind != number && !r.isUnit(next) && !(next.glued && next.kind == mark && next.fold == "-")
}

// unknown tells that no words file has a word.
func (r *Reader) unknown(t token) bool {
	return r.unspoken(&t) && r.short[t.fold] == 0 && r.stops[t.fold] == 0
}

// signOfNext tells that a sign touches the number behind it and not the one
// before: "Skerrik 16 £600".
func signOfNext(tokens []token, i int) bool {
	return !tokens[i].glued && i+1 < len(tokens) && tokens[i+1].kind == number && tokens[i+1].glued
}

// isSign tells that a token behind a number stands for a currency: a single
// letter only without a space, so that "75e" is money and "16 e 18" is not,
// and an accent only where the sign has it, so that "1988 års" is none.
func (r *Reader) isSign(t token) bool {
	return r.prices.sign[t.fold] && (t.accented == "" || r.prices.accented[t.accented]) && !(t.letter() && !t.glued)
}

// letter tells that a token is a word of one letter.
func (t token) letter() bool { return t.kind == word && len(t.fold) == 1 }

// Bounds of what is read as an amount.
const (
	leastAmount    = 20  // keeps "2 fixed" and "in 3 firm" from being amounts
	leastThousands = 500 // no number from here on counts thousands
)

// thousands tells that two numbers are one: "7 800".
func thousands(tokens []token, i int) bool {
	return i+1 < len(tokens) && tokens[i+1].kind == number && len(tokens[i+1].fold) == 3 && !tokens[i+1].glued && len(tokens[i].fold) <= 3 && tokens[i].whole() > 0
}

// oldest is the first year that may be a boat's; small boats of the kind read
// here are younger.
const oldest = 1930

func (r *Reader) isUnit(t token) bool { return t.kind == word && r.cells["unit"][t.fold] != "" }

// measured tells that a number of four digits before a token is a length.
// Nothing is so many inches long, and their short form is a small word of
// several languages: "2004 in good order".
func (r *Reader) measured(t token) bool { return r.isUnit(t) && r.cells["unit"][t.fold] != "in" }

// roughly reads an amount whose decimals do not matter.
func roughly(s string) float64 {
	if i := strings.LastIndexAny(s, ".,'"); i >= 0 && len(s)-i-1 != 3 {
		s = s[:i]
	}
	v := 0.0
	for _, c := range s {
		if c >= '0' && c <= '9' {
			v = v*10 + float64(c-'0')
		}
	}
	return v
}
