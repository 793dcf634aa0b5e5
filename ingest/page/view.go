package page

import (
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/money"
)

// A view is what stands around the main heading of a page.
type view struct {
	*reader
	heading *html.Node
	named   bool // the page's title names it, or that which its meta tags give
	cards   []card
	near    map[string]int                   // cards of one kind in one place
	of      map[*mention][]int               // the cards of an amount, by number
	told    map[money.Amount]map[string]bool // by amount: the kinds of cards that ask it
	similar int                              // where the first caption over similar items after the heading stands
	first   int                              // where the first entry after the heading begins
	strip   int                              // entries on the page, of similar items too
	shown   int                              // size of their words
	listed  bool                             // entries stand before the heading
}

// viewOf gives what stands around the main heading, which the page has.
func (r *reader) viewOf(cards []card) *view {
	v := &view{
		reader: r, heading: r.mainHeading(), cards: cards, first: len(r.tree.nodes), similar: len(r.tree.nodes),
		near: map[string]int{}, of: map[*mention][]int{}, told: map[money.Amount]map[string]bool{},
	}
	title := sameTitle(r.tree.text(v.heading))
	v.named = r.inTitle(v.heading) || letters(title) >= besideWords/2 && strings.Contains(sameTitle(r.about.meta["og:title"]), title)
	at := v.tree.at(v.heading)
	for i, c := range v.cards {
		place := v.placeOf(c)
		v.near[place]++
		for _, m := range c.asks {
			v.of[m] = append(v.of[m], i)
		}
		if len(c.asks) > 0 {
			if v.told[c.ask().amount] == nil {
				v.told[c.ask().amount] = map[string]bool{}
			}
			v.told[c.ask().amount][place] = true
		}
	}
	for _, i := range v.similarCaptions() {
		if i > at {
			v.similar = i
			break
		}
	}
	for _, c := range v.cards {
		if !v.isEntry(c) {
			continue
		}
		if c.why != "" && c.why != whySimilar {
			continue
		}
		v.strip++
		v.shown += v.shownSize(c)
		if i := v.at(c); i > at {
			v.first = min(v.first, i)
		} else if c.why == "" && !v.holdsElement(c, v.heading) {
			v.listed = true
		}
	}
	return v
}

// isEntry says whether a card is one of several alike that have a link, a
// picture, a heading or bold words: an entry of a list, no row of facts.
func (v *view) isEntry(c card) bool {
	if v.near[v.placeOf(c)] < 2 || v.holdsElement(c, v.heading) {
		return false
	}
	return v.leads(c) || v.hasPicture(c) || !v.isFact(c) && v.marksTitle(c)
}

// isFact says whether a card is a row of a table or of a list of definitions
// that has no link.
func (v *view) isFact(c card) bool {
	if v.leads(c) || v.hasPicture(c) {
		return false
	}
	for _, e := range v.elements(c) {
		if isHeading(e) {
			return false
		}
	}
	for _, e := range c.nodes {
		if e.Data == "tr" || e.Data == "dt" || e.Data == "dd" || e.Data == "td" || e.Data == "dl" || e.Data == "table" || e.Parent.Data == "dl" {
			return true
		}
	}
	return false
}

// rank tells how likely an amount is what is asked for the item.
func (v *view) rank(m *mention) int {
	if m.purpose != asking || m.bound || !m.known || m.amount.Minor <= 0 {
		return rankNone
	}
	if !v.isNear(m) || v.isApartFrom(m.el) || m.order > v.similar {
		return rankNone
	}
	fact, called := false, v.isCalledPrice(m)
	for _, i := range v.of[m] {
		c := v.cards[i]
		if v.isEntry(c) || v.isFeatured(c, m) && !(called && v.strip == 0 && v.named) {
			return rankNone
		}
		fact = fact || v.isFact(c)
	}
	switch {
	case m.hinted || called:
		return rankSaid
	case v.strip == 0 && !(v.named && v.isRepeated(m)) || m.level() > 1 || !v.standsAlone(m, fact) || !v.hasOwnWords() && !(v.named && v.isRightBelow(m)):
		return rankNone
	}
	return rankAlone
}

// isRepeated says whether an amount stands once more on the page, in a card of
// another kind: the highest bid in a list of bids.
func (v *view) isRepeated(m *mention) bool {
	places := len(v.told[m.amount])
	for _, i := range v.of[m] {
		if v.told[m.amount][v.placeOf(v.cards[i])] {
			places--
			break
		}
	}
	return places > 0
}

const mostBeside = 12 // entries that stand beside one item

// isNear says whether an amount stands after the heading and before the entries
// of a list, or close before the heading. A labelled one may stand below a few
// entries on a page that says more than they do.
func (v *view) isNear(m *mention) bool {
	at := v.tree.at(v.heading)
	if m.order > at {
		return m.order < v.first || v.strip <= mostBeside && v.ownSize() >= v.shown && v.named && v.isCalledPrice(m)
	}
	p := v.heading.Parent
	return at-v.tree.last[m.order] <= nearHeading && (!isOuter(p) && p.Data != "main" && v.tree.contains(p, m.el) || v.tree.last[m.order] == at-1)
}

// isApartFrom says whether an element stands in a region that is not the
// page's own and does not hold the main heading.
func (v *view) isApartFrom(n *html.Node) bool {
	for e := n; !isOuter(e) && !v.tree.contains(e, v.heading); e = e.Parent {
		if v.region(e) != "" {
			return true
		}
	}
	return false
}

// isFeatured says whether a card of no kind with others is an entry: it has a
// picture that leads somewhere, or a heading or link before its price.
func (v *view) isFeatured(c card, m *mention) bool {
	if v.near[v.placeOf(c)] > 1 || v.holdsElement(c, v.heading) || !v.leads(c) {
		return false
	}
	node, text := v.cardTitle(c, group{})
	if node == nil || sameTitle(text) == sameTitle(v.tree.text(v.heading)) {
		return false
	}
	return v.hasPicture(c) || (isHeading(node) || node.Data == "a") && v.tree.at(node) <= m.order
}

// labelBefore gives what labels an amount: the words before it in its text or
// beside it, else the kind of its element.
func (v *view) labelBefore(m *mention) string {
	before, _, _ := strings.Cut(m.text, m.quote)
	s := scanner{reader: v.reader}
	for _, label := range []string{before, s.neighbour(m.el, true)} {
		if label = trimMarks(label); letters(label) > 0 && digits(label) == 0 {
			return label
		}
	}
	return v.tree.key(m.el)
}

// isCalledPrice says whether the label before an amount, in an element of its
// own or in the same text, is one of prices.
func (v *view) isCalledPrice(m *mention) bool {
	before, _, _ := strings.Cut(m.text, m.quote)
	if label := trimMarks(before); letters(label) > 0 {
		return v.labelOf(label).field == "price"
	}
	return v.labelOf(trimMarks(upToDigit(m.quote))).field == "price" || v.isLabelled(m)
}

// standsAlone says whether an amount close to the heading has a line of its own,
// or is the first of the facts below it.
func (v *view) standsAlone(m *mention, fact bool) bool {
	if d := m.order - v.tree.last[v.tree.at(v.heading)]; d > nearHeading {
		return false
	}
	if fact {
		return v.named
	}
	block := m.el
	for !isBlock(block) && !isOuter(block.Parent) {
		block = block.Parent
	}
	return letters(v.tree.text(block))-letters(m.quote) <= besideWords || v.tree.contains(block, v.heading)
}

// isRightBelow says whether the element after the heading shows no more than an
// amount.
func (v *view) isRightBelow(m *mention) bool {
	n := nextElement(v.heading)
	return n != nil && v.tree.contains(n, m.el) && letters(v.tree.text(n))-letters(m.quote) <= besideWords
}

// hasOwnWords says whether the page says something of its item besides the
// entries: the page's title names it, or there are as many words as in the
// entries or a text of some length.
func (v *view) hasOwnWords() bool {
	if v.named && v.strip > 0 && v.ownSize() >= v.shown/4 {
		return true
	}
	return v.ownSize() >= max(v.shown/2, 2*shortText)
}

func (v *view) ownSize() int {
	return v.tree.size[v.tree.at(v.content()[0])] - v.shown
}
