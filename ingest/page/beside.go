package page

import (
	"fmt"
	"slices"

	"golang.org/x/net/html"
)

// unpriced finds the elements beside the cards that are of their kind and
// shape and have a title but no asking price.
func (f *finder) unpriced(cards []card, all, others []*mention) []card {
	var out []card
	groups := map[string][]card{}
	var parents []*html.Node
	seen := map[*html.Node]bool{}
	taken := map[*html.Node]bool{}
	for _, c := range cards {
		groups[c.key] = append(groups[c.key], c)
		for _, n := range c.nodes {
			taken[n] = true
		}
		if p := c.nodes[0].Parent; len(c.nodes) == 1 && !seen[p] {
			seen[p] = true
			parents = append(parents, p)
		}
	}
	for _, p := range parents {
		model := f.model(p, taken, groups)
		if model == nil {
			continue
		}
		for e := p.FirstChild; e != nil; e = e.NextSibling {
			if e.Type != html.ElementNode || taken[e] || e.Data != model.Data || unseen(e) || f.count(e) > 0 || !sharesClass(e, model) {
				continue
			}
			if e.Data == "tr" && len(cellsOf(e)) != len(cellsOf(model)) && len(cellsOf(e)) < 2 {
				continue // a note
			}
			least := 0.4
			if !f.hasTitle(e) {
				if f.hasTitle(model) {
					continue
				}
				least = 0.8
			}
			if f.likeness(e, model) < least {
				continue
			}
			c := card{nodes: []*html.Node{e}, key: f.tree.key(model)}
			if words, _ := f.termIn(c, nil); words != nil || len(f.within(e, all)) > 0 {
				out = append(out, c) // with the words for its price, or with a bound
				continue
			}
			if f.hasRate(e) || slices.ContainsFunc(f.within(e, others), func(m *mention) bool { return m.purpose == perPeriod }) {
				c.why = whyAmount
			}
			out = append(out, c)
		}
	}
	return out
}

// model gives a card of a group of at least two among the children of an
// element. Without a class name, two must be among them: rows of any table
// are alike.
func (f *finder) model(p *html.Node, taken map[*html.Node]bool, groups map[string][]card) *html.Node {
	var first *html.Node
	for e := p.FirstChild; e != nil; e = e.NextSibling {
		if e.Type != html.ElementNode || !taken[e] || len(groups[f.tree.key(e)]) < 2 {
			continue
		}
		if first != nil || attr(e, "class") != "" {
			return e
		}
		first = e
	}
	return nil
}

// hasRate says whether a short element inside shows a number with the words
// of a rate.
func (f *finder) hasRate(n *html.Node) bool {
	i := f.tree.at(n)
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if size := f.tree.size[f.tree.at(e)]; size > 0 && size <= shortText && !unseen(e) {
			if s := f.tree.text(e); digits(s) > 0 && f.words.perPeriod.in(s) {
				return true
			}
		}
	}
	return false
}

func sharesClass(a, b *html.Node) bool {
	as, bs := namedClasses(attr(a, "class")), namedClasses(attr(b, "class"))
	if len(as) == 0 || len(bs) == 0 {
		return len(as) == len(bs)
	}
	for _, x := range as {
		for _, y := range bs {
			if x == y {
				return true
			}
		}
	}
	return false
}

// likeness compares the shapes of two elements: the share of pairs of tag and
// parent's tag that they have in common.
func (f *finder) likeness(a, b *html.Node) float64 {
	x, y := f.shape(a), f.shape(b)
	common, all := 0, len(y)
	for k := range x {
		if y[k] {
			common++
		} else {
			all++
		}
	}
	if all == 0 {
		return 1
	}
	return float64(common) / float64(all)
}

func (f *finder) shape(n *html.Node) map[string]bool {
	pairs := map[string]bool{}
	i := f.tree.at(n)
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if e != n {
			pairs[e.Parent.Data+">"+e.Data] = true
		}
	}
	return pairs
}

// lead adds to cards without a title the element before them that has one,
// where it is so for two thirds of the cards of one parent: a table row with
// the title over a row with the price.
func (f *finder) lead(cards []card) {
	isCard := map[*html.Node]bool{}
	bare, led := map[*html.Node]int{}, map[*html.Node]int{} // by parent
	for _, c := range cards {
		for _, n := range c.nodes {
			isCard[n] = true
		}
	}
	leader := func(c card) *html.Node {
		s := previousElement(c.nodes[0])
		if s == nil || isCard[s] || unseen(s) || f.count(s) > 0 || !f.hasTitle(s) {
			return nil
		}
		return s
	}
	for _, c := range cards {
		if len(c.nodes) == 1 && !f.hasTitle(c.nodes[0]) {
			p := c.nodes[0].Parent
			bare[p]++
			led[p] += btoi(leader(c) != nil)
		}
	}
	for i := range cards {
		c := &cards[i]
		if len(c.nodes) > 1 || f.hasTitle(c.nodes[0]) {
			continue
		}
		if p := c.nodes[0].Parent; led[p] >= 2 && 3*led[p] >= 2*bare[p] {
			if s := leader(*c); s != nil {
				c.nodes = []*html.Node{s, c.nodes[0]}
			}
		}
	}
}

// attach adds to cards the neighbours that belong to them: a kind of element
// with words that follows two thirds of the cards of one parent (the second
// row of a table, a paragraph), and the heading before cards that have none.
func (f *finder) attach(cards []card) {
	at := map[*html.Node]int{}
	byParent := map[*html.Node]int{}
	for i, c := range cards {
		if len(c.nodes) == 1 {
			at[c.nodes[0]] = i
			byParent[c.nodes[0].Parent]++
		}
	}
	isCard := func(n *html.Node) bool { _, ok := at[n]; return ok }
	after, before := map[string]int{}, map[string]int{} // by parent's number and kind
	name := func(n *html.Node) string { return fmt.Sprint(f.tree.at(n.Parent), " ", tagKey(n)) }
	for n := range at {
		if s := nextElement(n); f.mayAttach(s) && !isCard(s) {
			after[name(s)]++
		}
		if s := previousElement(n); s != nil && isHeading(s) && !f.hasTitle(n) {
			before[name(s)]++
		}
	}
	for i := range cards {
		if len(cards[i].nodes) != 1 {
			continue
		}
		n := cards[i].nodes[0]
		most := func(k int) bool { return k >= 2 && 3*k >= 2*byParent[n.Parent] }
		if s := nextElement(n); f.mayAttach(s) && !isCard(s) && most(after[name(s)]) {
			cards[i].nodes = append(cards[i].nodes, s)
		}
		if s := previousElement(n); s != nil && isHeading(s) && !f.hasTitle(n) && most(before[name(s)]) {
			cards[i].nodes = append([]*html.Node{s}, cards[i].nodes...)
		}
	}
}

// mayAttach says whether an element may belong to the card before it: it has
// words, and no price, title or heading of its own.
func (f *finder) mayAttach(n *html.Node) bool {
	return n != nil && f.tree.size[f.tree.at(n)] > 0 && !unseen(n) && !isHeading(n) && f.count(n) == 0 && !f.hasTitle(n)
}

func previousElement(n *html.Node) *html.Node {
	for s := n.PrevSibling; s != nil; s = s.PrevSibling {
		if s.Type == html.ElementNode {
			return s
		}
	}
	return nil
}
