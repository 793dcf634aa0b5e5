package page

import (
	"slices"
	"sort"

	"golang.org/x/net/html"
)

// A card is a part of the page that shows one listing: an element, or several
// neighbours where no element encloses them.
type card struct {
	nodes  []*html.Node
	asks   []*mention // what is asked; the first counts
	others []*mention // old prices, rates, delivery
	key    string     // of the group of like cards
	title  *title     // as found, nil if it was not looked for
	titled string     // kind of element that shows the title in most cards of the group, if known
	first  bool       // it is the first of its kind there
	why    string     // why it is no listing, "" if it is one
	paid   bool       // its element is called a paid place
	own    bool       // it is the price of the page's one item
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
	all := asks
	if exact := slices.DeleteFunc(slices.Clone(asks), func(m *mention) bool { return m.bound }); len(exact) > 0 {
		asks = exact // bounds make no cards beside prices
	}
	f := finder{reader: r, asks: asks, captions: r.similarCaptions()}
	scoped := f.scoped(stated)
	cards := append(f.unscoped(), scoped...)
	cards = f.lift(f.unnest(cards))
	f.lead(cards)
	cards = append(cards, f.unpriced(cards, all, others)...)
	f.attach(cards)
	cards = append(cards, f.headed(cards)...)
	f.giveBounds(cards, all)
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
			return r.tree.at(n)
		}
	}
	for n := c.nodes[0].PrevSibling; n != nil; n = n.PrevSibling {
		if n.Type == html.ElementNode {
			return r.tree.at(n)
		}
	}
	if len(c.asks) > 0 {
		return c.asks[0].order
	}
	return r.tree.at(c.nodes[0].Parent)
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
			cards = append(cards, card{nodes: []*html.Node{n}, asks: asks, key: f.tree.key(n)})
		}
	}
	held := f.holders(cards)
	f.asks = slices.DeleteFunc(slices.Clone(f.asks), func(m *mention) bool { return held[m] })
	return cards
}

// unscoped finds the cards. The prices that stand out most make them: those
// that markup calls a price, else those alone in their element, else those
// with a few words beside them; the first of these of which some are alike,
// unless they are few among many that are.
// Other prices count only where no card is: in an element like the cards, or
// elsewhere on the page. If none are alike, all prices count. Those under a
// caption over similar items do not say which stand out.
func (f *finder) unscoped() []card {
	all := f.asks
	apart := f.underCaptions(all)
	for level := range 3 {
		f.asks = slices.DeleteFunc(slices.Clone(all), func(m *mention) bool { return m.level() > level || apart[m] })
		if len(f.asks) == len(all) {
			break
		}
		few := 10*len(f.asks) < 9*len(all)
		cards := f.align(f.largest(f.asks))
		alike := f.alike(cards)
		if len(alike) > 0 && !(few && len(f.alikeBeside(alike, all, apart)) > len(alike)) {
			f.asks = all
			return f.fill(cards, all)
		}
	}
	f.asks = all
	return f.align(f.largest(all))
}

// giveBounds gives cards the bounds of prices that stand inside them, and tells
// of the others.
func (f *finder) giveBounds(cards []card, all []*mention) {
	if len(f.asks) == len(all) {
		return
	}
	f.asks = all
	given := map[*mention]bool{}
	for i := range cards {
		c := &cards[i]
		for _, n := range c.nodes {
			for _, m := range f.inside(n) {
				if m.bound && !given[m] {
					c.asks = append(c.asks, m)
					given[m] = true
				}
			}
		}
	}
	for _, m := range all {
		if m.bound && !given[m] {
			f.skip(m.order, m.text, whyNav)
		}
	}
}

// alike gives the cards that are of a kind with another: of one key, or of
// several neighbours each.
func (f *finder) alike(cards []card) []card {
	count, flat := f.countKeys(cards), 0
	for _, c := range cards {
		flat += btoi(len(c.nodes) > 1)
	}
	return slices.DeleteFunc(slices.Clone(cards), func(c card) bool {
		return len(c.nodes) > 1 && flat < 2 || len(c.nodes) == 1 && count[f.tree.key(c.nodes[0])] < 2
	})
}

// alikeBeside gives those among the cards of the prices that no card holds.
func (f *finder) alikeBeside(cards []card, all []*mention, apart map[*mention]bool) []card {
	asks := f.asks
	defer func() { f.asks = asks }()
	f.asks = all
	held := f.holders(cards)
	f.asks = slices.DeleteFunc(slices.Clone(all), func(m *mention) bool { return held[m] || apart[m] })
	return f.alike(f.align(f.largest(f.asks)))
}

// underCaptions says which prices stand under a caption over similar items: in
// the smallest element around it that holds any, up to the next heading of its
// rank. None do where all would.
func (f *finder) underCaptions(ms []*mention) map[*mention]bool {
	under := map[*mention]bool{}
	covered := -1
	for _, at := range f.captions {
		if at <= covered {
			continue
		}
		h := f.tree.nodes[at]
		for e := h.Parent; e != nil && e.Type == html.ElementNode; e = e.Parent {
			end := f.tree.last[f.tree.at(e)]
			for i := at + 1; i <= end && isHeading(h); i++ {
				if n := f.tree.nodes[i]; isHeading(n) && n.Data <= h.Data {
					end = i - 1
				}
			}
			first := sort.Search(len(ms), func(k int) bool { return ms[k].order > at })
			if first == len(ms) || ms[first].order > end {
				continue
			}
			for _, m := range ms[first:] {
				if m.order > end {
					break
				}
				under[m] = true
			}
			covered = end
			break
		}
	}
	if len(under) == len(ms) {
		return nil
	}
	return under
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
	count := f.countKeys(cards)
	placed := map[*html.Node]int{}
	var rest []*mention
	holders := f.holders(cards)
	for _, m := range all {
		if holders[m] {
			continue
		}
		like := m.el
		for !isOuter(like) && count[f.tree.key(like)] < 2 {
			like = like.Parent
		}
		switch i, seen := placed[like]; {
		case isOuter(like):
			rest = append(rest, m)
		case seen:
			cards[i].asks = append(cards[i].asks, m)
		default:
			placed[like] = len(cards)
			cards = append(cards, card{nodes: []*html.Node{like}, asks: []*mention{m}, key: f.tree.key(like)})
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

// within gives the mentions inside an element, of a list in page order.
func (r *reader) within(n *html.Node, ms []*mention) []*mention {
	i, isElement := r.tree.find(n)
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

func (r *reader) skip(order int, title, reason string) {
	r.skipped = append(r.skipped, skipped{order, title, reason})
}
