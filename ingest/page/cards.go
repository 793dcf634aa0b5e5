package page

import (
	"slices"
	"sort"
	"strings"

	"golang.org/x/net/html"
)

// A card is a part of the page that shows one listing: an element, or several
// neighbours where no element encloses them.
type card struct {
	nodes  []*html.Node
	asks   []*mention // what is asked; the first counts
	others []*mention // old prices, rates, delivery
	key    string     // of the group of like cards
	why    string     // why it is no listing, "" if it is one
}

// cards finds the cards from the shape of the tree. A card is the largest
// element with one asking price; where that holds no words (prices side by
// side in one card, or a list without elements around its entries) the
// element around is taken, or parted. Then cards are aligned with the groups
// of like elements, and like elements without a price join them.
//
// Elements that microdata or RDFa mark as an item are cards as they stand.
func (r *reader) cards(ms []*mention, stated []item) []card {
	var asks, others []*mention
	for _, m := range ms {
		if m.purpose == asking {
			asks = append(asks, m)
		} else {
			others = append(others, m)
		}
	}
	f := finder{reader: r, asks: asks, captions: r.similarCaptions()}
	scoped := f.scoped(stated)
	cards := append(f.unscoped(), scoped...)
	f.lead(cards)
	cards = append(cards, f.unpriced(cards, others)...)
	f.attach(cards)
	sort.SliceStable(cards, func(i, j int) bool { return r.at(cards[i]) < r.at(cards[j]) })
	for i := range cards {
		for _, n := range cards[i].nodes {
			cards[i].others = append(cards[i].others, r.within(n, others)...)
		}
	}
	return cards
}

// at gives where a card begins.
func (r *reader) at(c card) int {
	for _, n := range c.nodes {
		if n.Type == html.ElementNode {
			return r.tree.index[n]
		}
	}
	if len(c.asks) > 0 {
		return c.asks[0].order
	}
	return r.tree.index[c.nodes[0].Parent]
}

func (r *reader) holdsElement(c card, el *html.Node) bool {
	for _, n := range c.nodes {
		if n.Type == html.ElementNode && r.tree.contains(n, el) {
			return true
		}
	}
	return false
}

type finder struct {
	*reader
	asks     []*mention
	captions []int // over similar items
}

// scoped makes the cards of marked items that hold a price, and takes their
// prices out of the search. An element with many prices is more than an item.
func (f *finder) scoped(stated []item) []card {
	var cards []card
	for _, it := range stated {
		n := f.tree.nodes[it.order]
		if asks := f.inside(n); it.scoped && !isOuter(n) && len(asks) > 0 && len(asks) <= 4 {
			cards = append(cards, card{nodes: []*html.Node{n}, asks: asks, key: key(n)})
		}
	}
	held := f.holders(cards)
	f.asks = slices.DeleteFunc(slices.Clone(f.asks), func(m *mention) bool { return held[m] })
	return cards
}

// unscoped finds the cards. The prices that stand out most make them: those
// that markup calls a price, else those alone in their element, else those
// with a few words beside them; the first of these of which some are alike.
// Other prices count only where no card is: in an element like the cards, or
// elsewhere on the page. If none are alike, all prices count.
func (f *finder) unscoped() []card {
	all := f.asks
	for level := range 3 {
		f.asks = slices.DeleteFunc(slices.Clone(all), func(m *mention) bool { return m.level() > level })
		if len(f.asks) == len(all) {
			break
		}
		if cards := f.align(f.largest(f.asks)); len(countKeys(cards)) < len(cards) {
			f.asks = all
			return f.fill(cards, all)
		}
	}
	f.asks = all
	return f.align(f.largest(all))
}

// level says how much a price stands out, 0 the most.
func (m *mention) level() int {
	switch {
	case m.hinted:
		return 0
	case m.whole && m.beside() == 0:
		return 1
	case m.whole:
		return 2
	}
	return 3
}

// fill adds the cards of the prices that no card holds.
func (f *finder) fill(cards []card, all []*mention) []card {
	count := countKeys(cards)
	placed := map[*html.Node]int{}
	var rest []*mention
	holders := f.holders(cards)
	for _, m := range all {
		if holders[m] {
			continue
		}
		like := m.el
		for !isOuter(like) && count[key(like)] < 2 {
			like = like.Parent
		}
		switch i, seen := placed[like]; {
		case isOuter(like):
			rest = append(rest, m)
		case seen:
			cards[i].asks = append(cards[i].asks, m)
		default:
			placed[like] = len(cards)
			cards = append(cards, card{nodes: []*html.Node{like}, asks: []*mention{m}, key: key(like)})
		}
	}
	return append(cards, f.align(f.largest(rest))...)
}

// holders says which prices stand inside a card.
func (f *finder) holders(cards []card) map[*mention]bool {
	held := map[*mention]bool{}
	for _, c := range cards {
		for _, m := range c.asks {
			held[m] = true
		}
		for _, n := range c.nodes {
			for _, m := range f.inside(n) {
				held[m] = true
			}
		}
	}
	return held
}

func countKeys(cards []card) map[string]int {
	count := map[string]int{}
	for _, c := range cards {
		if len(c.nodes) == 1 {
			count[key(c.nodes[0])]++
		}
	}
	return count
}

// within gives the mentions inside an element, of a list in page order.
func (r *reader) within(n *html.Node, ms []*mention) []*mention {
	i, isElement := r.tree.index[n]
	if !isElement {
		return nil
	}
	lo := sort.Search(len(ms), func(k int) bool { return ms[k].order >= i })
	hi := lo + sort.Search(len(ms)-lo, func(k int) bool { return ms[lo+k].order > r.tree.last[i] })
	return ms[lo:hi:hi]
}

// inside gives the asking prices in an element.
func (f *finder) inside(n *html.Node) []*mention { return f.within(n, f.asks) }

func (f *finder) count(n *html.Node) int { return len(f.inside(n)) }

// isOuter says whether an element is too far out to be a card.
func isOuter(n *html.Node) bool {
	return n == nil || n.Type != html.ElementNode || n.Data == "body" || n.Data == "html"
}

// largest makes the first, unaligned cards of some prices.
func (f *finder) largest(ms []*mention) []card {
	var cards []card
	taken := map[*html.Node]bool{}
	for _, m := range ms {
		top, worded := f.top(m)
		if worded {
			cards = append(cards, card{nodes: []*html.Node{top}, asks: []*mention{m}})
			continue
		}
		around := m.el
		if top != nil {
			around = top.Parent
		}
		for !isOuter(around) && !f.hasWords(around) {
			around = around.Parent
		}
		if around == nil || around.Type != html.ElementNode || taken[around] {
			continue
		}
		taken[around] = true
		asks := f.inside(around)
		if run := f.mainRun(around, m, asks); run != nil {
			cards = append(cards, card{nodes: run, asks: []*mention{m}})
			continue
		}
		if parts := f.part(around, asks); parts != nil {
			cards = append(cards, parts...)
		} else if len(asks) <= 4 && !f.several(around, asks) {
			cards = append(cards, card{nodes: []*html.Node{around}, asks: asks})
		} else {
			for _, m := range asks {
				f.skip(m.order, m.text, "a price whose title could not be told")
			}
		}
	}
	return cards
}

// top gives the largest element with one price, and whether it holds words.
func (f *finder) top(m *mention) (top *html.Node, worded bool) {
	for e := m.el; !isOuter(e) && f.count(e) == 1 && !(top != nil && f.captioned(e)); e = e.Parent {
		top = e
	}
	return top, top != nil && f.hasWords(top)
}

// mainRun gives the children around the one price of an element that stands
// in no card of its own, where the page's main heading is among them: the item
// that the page is about, with a list of others below. Nil if it is not so.
func (f *finder) mainRun(around *html.Node, m *mention, asks []*mention) []*html.Node {
	main := f.mainHeading()
	if len(asks) < 2 || main == nil || m.el == around {
		return nil
	}
	for _, other := range asks {
		if _, worded := f.top(other); other != m && !worded {
			return nil
		}
	}
	var run []*html.Node
	holds, heading := false, false
	for c := around.FirstChild; c != nil; c = c.NextSibling {
		isElement := c.Type == html.ElementNode
		switch {
		case !isElement && c.Type != html.TextNode:
			continue
		case isElement && f.tree.contains(c, m.el):
			holds = true
		case isElement && (f.count(c) > 0 || f.captioned(c)):
			if holds && heading {
				return run
			}
			run, heading, holds = nil, false, false
			continue
		}
		run = append(run, c)
		heading = heading || isElement && f.tree.contains(c, main)
	}
	if holds && heading {
		return run
	}
	return nil
}

// captioned says whether an element holds a caption over similar items.
func (f *finder) captioned(n *html.Node) bool {
	i := f.tree.index[n]
	k := sort.SearchInts(f.captions, i)
	return k < len(f.captions) && f.captions[k] <= f.tree.last[i]
}

// several says whether an element with several amounts shows as many links
// with words, so that it is no single listing.
func (f *finder) several(around *html.Node, asks []*mention) bool {
	links := map[string]bool{}
	i := f.tree.index[around]
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if e.Data == "a" && !isButton(e) && letters(textOf(nil, e)) >= 3 {
			links[attr(e, "href")] = true
		}
	}
	for _, m := range asks[1:] {
		if m.amount != asks[0].amount {
			return len(links) >= len(asks) && !isOuter(around)
		}
	}
	return false
}

// hasWords says whether an element shows more than prices: letters outside
// the asking prices, or a picture with words.
func (f *finder) hasWords(n *html.Node) bool {
	if f.tree.size[f.tree.index[n]] > 400 {
		return true
	}
	rest := textOf(nil, n)
	for _, m := range f.inside(n) {
		rest = strings.Replace(rest, m.quote, "", 1)
	}
	if letters(rest) >= 3 && !f.words.beside(rest) {
		return true
	}
	i := f.tree.index[n]
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if e.Data == "img" && letters(attr(e, "alt")) >= 3 || e.Data == "a" && letters(attr(e, "title")) >= 3 {
			return true
		}
	}
	return false
}

// key names the kind of an element by its tag and classes and its parent's;
// class names with digits are left out.
func key(n *html.Node) string {
	own := tagKey(n)
	if n.Parent != nil && n.Parent.Type == html.ElementNode {
		return own + "<" + tagKey(n.Parent)
	}
	return own
}

func tagKey(n *html.Node) string {
	var classes []string
	if c := attr(n, "class"); len(c) < 1000 {
		for _, w := range strings.Fields(c) {
			if digits(w) == 0 {
				classes = append(classes, w)
			}
		}
	}
	sort.Strings(classes)
	return n.Data + "." + strings.Join(classes, ".")
}

// align moves cards to the element of their chain that is like other cards:
// a row with one card only, a day with one entry.
func (f *finder) align(cards []card) []card {
	count := countKeys(cards)
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
		c.nodes, c.key = []*html.Node{n}, key(n)
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
		k := key(e)
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
	case count[key(top)] >= 2:
		return top
	}
	for e := top.Parent; !isOuter(e); e = e.Parent {
		if count[key(e)] >= 2 && f.count(e) <= 4 {
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
	i := f.tree.index[n]
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if (isHeading(e) || e.Data == "a" && attr(e, "href") != "") && letters(textOf(nil, e)) >= 3 {
			return true
		}
		if e.Data == "img" && letters(attr(e, "alt")) >= 3 {
			return true
		}
		if f.columns[f.tree.index[e]].field == "title" && letters(textOf(nil, e)) >= 3 {
			return true
		}
	}
	return false
}

func (r *reader) skip(order int, title, reason string) {
	r.skipped = append(r.skipped, skipped{order, title, reason})
}
