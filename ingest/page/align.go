package page

import (
	"slices"
	"sort"
	"strings"

	"golang.org/x/net/html"
)

func (f *finder) countKeys(cards []card) map[string]int {
	count := map[string]int{}
	for _, c := range cards {
		if len(c.nodes) == 1 {
			count[f.tree.key(c.nodes[0])]++
		}
	}
	return count
}

// keyOf names the kind of an element by its tag and classes and its parent's;
// class names with digits are left out.
func keyOf(n *html.Node) string {
	own := tagKey(n)
	if n.Parent != nil && n.Parent.Type == html.ElementNode {
		return own + "<" + tagKey(n.Parent)
	}
	return own
}

// namedClasses gives the class names that say what an element is: those without
// digits, and what stands before a number or the mark of a generated name,
// "row1", "card__x7f2".
func namedClasses(class string) []string {
	var names []string
	for _, w := range strings.Fields(class) {
		if i := strings.LastIndex(w, "__"); i > 0 && digits(w[i:]) > 0 {
			w = w[:i]
		}
		if name := strings.TrimRight(strings.TrimRight(w, "0123456789"), "-_"); letters(name) >= 3 {
			w = name // "row0", "row1"
		}
		if digits(w) == 0 {
			names = append(names, w)
		}
	}
	return names
}

func tagKey(n *html.Node) string {
	var classes []string
	if c := attr(n, "class"); len(c) < 1000 {
		classes = namedClasses(c)
	}
	sort.Strings(classes)
	return n.Data + "." + strings.Join(classes, ".")
}

// align moves cards to the element of their chain that is like other cards:
// a row with one card only, a day with one entry.
func (f *finder) align(cards []card) []card {
	count := f.countKeys(cards)
	var out []card
	placed := map[*html.Node]int{}
	for _, c := range cards {
		if len(c.nodes) != 1 {
			c.key = "flat"
			out = append(out, c)
			continue
		}
		n := f.chosen(c, count)
		if i, seen := placed[n]; seen {
			out[i].asks = append(out[i].asks, c.asks...)
			continue
		}
		placed[n] = len(out)
		c.nodes, c.key = []*html.Node{n}, f.tree.key(n)
		out = append(out, c)
	}
	return out
}

// chosen gives the element on the chain of a card, from its price to the card,
// of the lowest established kind that has a title: the largest of that kind.
// Failing that, the card or one above it.
func (f *finder) chosen(c card, count map[string]int) *html.Node {
	top := c.nodes[0]
	var best *html.Node
	kind := ""
	for e := c.asks[0].el; !isOuter(e); e = e.Parent {
		k := f.tree.key(e)
		if count[k] >= 2 && (best == nil || k == kind) && f.hasTitle(e) && f.holdsAll(e, c.asks) {
			best, kind = e, k
		}
		if e == top {
			break
		}
	}
	switch {
	case best != nil:
		return best
	case count[f.tree.key(top)] >= 2:
		return top
	}
	for e := top.Parent; !isOuter(e); e = e.Parent {
		if count[f.tree.key(e)] >= 2 && f.count(e) <= 4 {
			return e
		}
	}
	return top
}

func (f *finder) holdsAll(e *html.Node, ms []*mention) bool {
	for _, m := range ms {
		if !f.tree.contains(e, m.el) {
			return false
		}
	}
	return true
}

// hasTitle says whether an element holds a heading or a link with words.
func (f *finder) hasTitle(n *html.Node) bool {
	i := f.tree.at(n)
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if (isHeading(e) || e.Data == "a" && attr(e, "href") != "") && letters(f.tree.text(e)) >= 3 {
			return true
		}
		if e.Data == "img" && letters(attr(e, "alt")) >= 3 {
			return true
		}
		if f.columns[f.tree.at(e)].field == "title" && letters(f.tree.text(e)) >= 3 {
			return true
		}
	}
	return false
}

// unnest narrows cards that are mostly other cards to the part around their
// price that holds none.
func (f *finder) unnest(cards []card) []card {
	order := slices.Clone(cards)
	slices.SortFunc(order, func(a, b card) int { return f.at(a) - f.at(b) })
	starts, sums := make([]int, len(order)), make([]int, len(order)+1) // sums of the sizes before
	for i, c := range order {
		starts[i], sums[i+1] = f.at(c), sums[i]+f.shownSize(c)
	}
	// within says which cards, by their order, begin in an element.
	within := func(n *html.Node) (from, to int) {
		i := f.tree.at(n)
		return sort.SearchInts(starts, i), sort.SearchInts(starts, f.tree.last[i]+1)
	}
	holds := func(n *html.Node) int {
		from, to := within(n)
		return to - from
	}
	for k := range cards {
		c := &cards[k]
		if len(c.nodes) != 1 || len(c.asks) == 0 || c.nodes[0].Type != html.ElementNode || holds(c.nodes[0]) < 2 {
			continue
		}
		outer, top := c.nodes[0], c.asks[0].el
		for e := top; e != outer && holds(e) == 0; e = e.Parent {
			top = e
		}
		from, to := within(outer)
		inner := sums[to] - sums[from] - f.shownSize(*c)
		if main := f.mainHeading(); 2*inner < f.shownSize(*c) && (main == nil || !f.tree.contains(top, main)) {
			continue // an item with a few amounts beside it
		}
		var asks []*mention
		for _, m := range c.asks {
			if f.tree.contains(top, m.el) {
				asks = append(asks, m)
			}
		}
		c.nodes, c.asks, c.key = []*html.Node{top}, asks, f.tree.key(top)
	}
	return cards
}

// lift moves cards without a title to the smallest element around that has one,
// and with them the other cards in it, where there are two or more such
// elements of a kind that hold several cards each: the rows of a list of amounts
// inside each entry, or a second price beside the title, become the entry.
func (f *finder) lift(cards []card) []card {
	candidates := map[*html.Node]bool{}
	for _, c := range cards {
		if len(c.nodes) != 1 || len(c.asks) == 0 || f.hasTitle(c.nodes[0]) {
			continue
		}
		e := c.nodes[0].Parent
		for !isOuter(e) && f.count(e) <= 4 && !f.hasTitle(e) {
			e = e.Parent
		}
		if !isOuter(e) && f.count(e) <= 4 {
			candidates[e] = true
		}
	}
	if len(candidates) < 2 {
		return cards
	}
	entry := make([]*html.Node, len(cards)) // of each card, nil for none
	held := map[*html.Node]int{}
	for i, c := range cards {
		if len(c.nodes) != 1 || len(c.asks) == 0 {
			continue
		}
		for e := c.nodes[0]; !isOuter(e) && entry[i] == nil; e = e.Parent {
			if candidates[e] {
				entry[i] = e
				held[e]++
			}
		}
	}
	kinds := map[string]int{}
	for e, n := range held {
		if n >= 2 {
			kinds[f.tree.key(e)]++
		}
	}
	var out []card
	placed := map[*html.Node]int{}
	for i, c := range cards {
		e := entry[i]
		if e == nil || held[e] < 2 || kinds[f.tree.key(e)] < 2 {
			out = append(out, c)
		} else if at, seen := placed[e]; seen {
			out[at].asks = append(out[at].asks, c.asks...)
		} else {
			placed[e] = len(out)
			whole := e
			for up := e.Parent; !isOuter(up) && f.count(up) == f.count(e) && !f.captioned(up); up = up.Parent {
				whole = up
			}
			out = append(out, card{nodes: []*html.Node{whole}, asks: c.asks, key: f.tree.key(whole)})
		}
	}
	return out
}
