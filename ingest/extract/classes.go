package extract

import (
	"cmp"
	"slices"
	"strings"

	"askance/ingest/boat"
)

// Classes finds class and maker for listings that have none, once the whole
// market is read, and gives every class one spelling. Names come from class
// columns, from the book, and from the titles: a word with a number behind it
// that several titles share, or a word that many titles begin with. It
// returns new listings.
func (r *Reader) Classes(listings []boat.Listing) []boat.Listing {
	out := slices.Clone(listings)
	names := r.knownNames(out)
	r.addTitleNames(names, out)
	makers := map[string]map[string]int{}
	for i := range out {
		l := &out[i]
		if l.Class.Known {
			if n := names.find(nameTokens(l.Class.Value)); n != nil {
				l.Class.Value = n.name
			}
		} else {
			names.settle(l)
		}
		if l.Class.Known && l.Maker.Known {
			if makers[l.Class.Value] == nil {
				makers[l.Class.Value] = map[string]int{}
			}
			makers[l.Class.Value][l.Maker.Value]++
		}
	}
	for i := range out {
		l := &out[i]
		if l.Maker.Known || !l.Class.Known {
			continue
		}
		maker := names.maker(l.Class.Value)
		if maker == "" {
			maker = commonest(makers[l.Class.Value])
		}
		if maker != "" {
			l.Maker = boat.Know(maker, l.Class.From, l.Class.Said, l.Class.At)
		}
	}
	return out
}

// A className is one class with the ways to write it.
type className struct {
	name, maker string
	spellings   map[string]int
	tokens      []string
}

// classNames finds names by their first token.
type classNames struct {
	byKey   map[string]*className
	byFirst map[string][]*className // longest first
}

// nameTokens folds a name: "Skerrik16", "SKERRIK-16" and "skerrik 16" are one.
func nameTokens(s string) []string {
	var out []string
	for _, t := range lex(s) {
		if t.kind == word || t.kind == number {
			out = append(out, t.fold)
		}
	}
	return out
}

func (n *classNames) add(tokens []string, c *className) {
	key := strings.Join(tokens, "")
	if key == "" || n.byKey[key] != nil {
		return
	}
	n.byKey[key] = c
	first := tokens[0]
	alias := *c
	alias.tokens = tokens
	list := append(n.byFirst[first], &alias)
	slices.SortStableFunc(list, func(a, b *className) int { return cmp.Compare(len(b.tokens), len(a.tokens)) })
	n.byFirst[first] = list
}

// knownNames gathers the classes of the book and of class columns.
func (r *Reader) knownNames(listings []boat.Listing) *classNames {
	n := &classNames{byKey: map[string]*className{}, byFirst: map[string][]*className{}}
	for _, c := range r.book.Classes {
		known := &className{name: c.Name, maker: c.Maker}
		for _, spelling := range append([]string{c.Name, c.ID}, c.Also...) {
			n.add(nameTokens(spelling), known)
		}
	}
	var columns []*className
	byKey := map[string]*className{}
	for _, l := range listings {
		if !l.Class.Known {
			continue
		}
		tokens := nameTokens(l.Class.Value)
		key := strings.Join(tokens, "")
		if byKey[key] == nil {
			byKey[key] = &className{tokens: tokens, spellings: map[string]int{}}
			columns = append(columns, byKey[key])
		}
		byKey[key].spellings[l.Class.Value]++
	}
	for _, c := range columns {
		c.name = commonest(c.spellings)
		n.add(c.tokens, c)
	}
	return n
}

// How many titles must share a name.
const (
	sharedWithNumber = 2
	sharedAtStart    = 3
)

// addTitleNames adds names that recur in titles.
func (r *Reader) addTitleNames(n *classNames, listings []boat.Listing) {
	var order []*className
	byKey := map[string]*className{}
	note := func(tokens []string, said string) {
		key := strings.Join(tokens, "")
		if byKey[key] == nil {
			byKey[key] = &className{tokens: tokens, spellings: map[string]int{}}
			order = append(order, byKey[key])
		}
		byKey[key].spellings[said]++
	}
	for _, l := range listings {
		if l.Class.Known {
			continue
		}
		for _, c := range r.titleNames(l.Title) {
			note(c.tokens, c.name)
		}
	}
	numbered := map[string]bool{}
	for _, c := range order {
		if len(c.tokens) > 1 && total(c.spellings) >= sharedWithNumber {
			c.name = commonest(c.spellings)
			n.add(c.tokens, c)
			numbered[c.tokens[0]] = true
		}
	}
	for _, c := range order {
		if len(c.tokens) == 1 && !numbered[c.tokens[0]] && total(c.spellings) >= sharedAtStart {
			c.name = commonest(c.spellings)
			n.add(c.tokens, c)
		}
	}
}

// titleNames lists what may be a class in a title: words that nothing in the
// book explains with a number behind them, and the first word.
func (r *Reader) titleNames(title string) []className {
	tokens := lex(title)
	known := make([]bool, len(tokens))
	for _, m := range r.match.find(nil, tokens, r.all) {
		for i := m.from; i < m.to; i++ {
			known[i] = true
		}
	}
	var out []className
	seen := map[string]bool{}
	for i, t := range tokens {
		if t.kind != word || known[i] || r.stops[t.fold] != 0 || t.end-t.start < 3 || r.cells["month"][t.fold] != "" || r.isUnit(t) || r.prices.sign[t.fold] {
			continue
		}
		if i+1 < len(tokens) && tokens[i+1].kind == number && !known[i+1] && !r.isFigure(tokens, i+1) {
			name := className{tokens: []string{t.fold, tokens[i+1].fold}, name: title[t.start:tokens[i+1].end]}
			if key := strings.Join(name.tokens, ""); !seen[key] {
				seen[key] = true
				out = append(out, name)
			}
			continue
		}
		if i+2 < len(tokens) && tokens[i+1].fold == "-" && tokens[i+2].kind == number && !r.isFigure(tokens, i+2) {
			out = append(out, className{tokens: []string{t.fold, tokens[i+2].fold}, name: title[t.start:tokens[i+2].end]})
			continue
		}
		if i == 0 && t.upper {
			out = append(out, className{tokens: []string{t.fold}, name: title[t.start:t.end]})
		}
	}
	return out
}

// isFigure tells that a number is a year, a measure or an amount, not part of
// a name.
func (r *Reader) isFigure(tokens []token, i int) bool {
	if y := tokens[i].whole(); len(tokens[i].fold) == 4 && y >= oldest && y < 2100 {
		return true
	}
	if i+1 < len(tokens) && (r.prices.sign[tokens[i+1].fold] || r.isUnit(tokens[i+1])) {
		return true
	}
	return false
}

// find gives the class of a whole name, nil if none.
func (n *classNames) find(tokens []string) *className { return n.byKey[strings.Join(tokens, "")] }

// settle finds a class in a listing's title, else in its text.
func (n *classNames) settle(l *boat.Listing) {
	for _, text := range []string{l.Title, l.Text} {
		tokens := lex(text)
		for i := range tokens {
			for _, c := range n.byFirst[tokens[i].fold] {
				if end, ok := follows(tokens, i, c.tokens); ok {
					l.Class = boat.Know(c.name, "text", text[tokens[i].start:tokens[end-1].end], l.Source.At)
					return
				}
			}
		}
	}
}

// follows tells whether a name stands at token i, and where it ends.
func follows(tokens []token, i int, name []string) (end int, ok bool) {
	for _, want := range name {
		for i < len(tokens) && tokens[i].fold == "-" {
			i++
		}
		if i >= len(tokens) || tokens[i].fold != want {
			return 0, false
		}
		i++
	}
	return i, true
}

// maker gives the maker that the book names for a class.
func (n *classNames) maker(class string) string {
	if c := n.find(nameTokens(class)); c != nil {
		return c.maker
	}
	return ""
}

func total(counts map[string]int) int {
	n := 0
	for _, c := range counts {
		n += c
	}
	return n
}

// commonest gives the key counted most often, of equals the first in order
// of letters; "" if there is none.
func commonest(counts map[string]int) string {
	best := ""
	for k, n := range counts {
		if best == "" || n > counts[best] || n == counts[best] && k < best {
			best = k
		}
	}
	return best
}
