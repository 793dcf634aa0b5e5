package page

import (
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/money"
)

// An ownPrice is what a page about one item asks for it: an amount, or the words
// that stand in its place.
type ownPrice struct {
	ask   *mention
	words *html.Node
}

const whyBeside = "beside the page's one item"

// Ranks of an amount as the price of what the main heading names.
const (
	rankNone  = iota
	rankAlone // it stands by itself close to the heading
	rankSaid  // a label or markup calls it the price
)

// ownPrice finds the price of the one item that a page is about: the one near
// its main heading that stands in no entry of its own, above all that markup or
// a label calls one. It beats strips of other items further down, under captions
// of any wording, and the facts, bids and fees around it. ok is false for a list
// under a heading.
func (r *reader) ownPrice(ms []*mention, cards []card, kept []int, stated []item) (own ownPrice, ok bool) {
	h := r.mainHeading()
	if h == nil || !isFirstHeading(h) && !r.inTitle(h) || r.hasOtherHeading(h) || r.statesSeveral(stated) {
		return own, false
	}
	v := view{reader: r, heading: h, cards: cards, kept: kept, near: map[string]int{}}
	v.learn()
	if v.listed || len(kept) == 1 && r.holdsElement(cards[kept[0]], h) && len(cards[kept[0]].asks) > 0 && cards[kept[0]].ask().level() < 3 {
		return own, false
	}
	best := rankNone
	said := map[string]map[money.Amount]bool{} // by their label
	for _, m := range ms {
		rank := v.rank(m)
		if rank == rankSaid {
			label := v.labelBefore(m)
			if said[label] == nil {
				said[label] = map[money.Amount]bool{}
			}
			if said[label][m.amount] = true; len(said[label]) > 2 {
				return own, false // a list, each entry with its price
			}
		}
		if rank > best {
			own.ask, best = m, rank
		}
	}
	if best < rankSaid {
		if words := v.termWords(); words != nil && (own.ask == nil || r.tree.at(words) < own.ask.order) {
			return ownPrice{words: words}, true
		}
	}
	if own.ask == nil {
		if own.ask = v.buttonPrice(); own.ask == nil {
			return own, false
		}
	}
	return own, true
}

// hasOtherHeading says whether a page has a further main heading with other
// words.
func (r *reader) hasOtherHeading(h *html.Node) bool {
	text := sameTitle(r.tree.text(h))
	for _, n := range r.tree.nodes {
		if n != h && isFirstHeading(n) && !unseen(n) {
			if other := sameTitle(r.tree.text(n)); letters(other) >= 3 && other != text {
				return true
			}
		}
	}
	return false
}

// statesSeveral says whether structured data states several items for sale.
func (r *reader) statesSeveral(stated []item) bool {
	n := 0
	for _, it := range stated {
		n += btoi(it.priced && !it.loose && !it.summary)
	}
	return n > 1
}

// A view is what stands around the main heading of a page.
type view struct {
	*reader
	heading *html.Node
	cards   []card
	kept    []int
	near    map[string]int // cards of one kind in one place
	first   int            // where the first entry after the heading begins
	strip   int            // entries on the page, of similar items too
	shown   int            // size of their words
	listed  bool           // entries stand before the heading
}

func (v *view) learn() {
	v.first = len(v.tree.nodes)
	at := v.tree.at(v.heading)
	for _, c := range v.cards {
		v.near[v.placeOf(c)]++
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
	if !v.isNear(m) || v.isApartFrom(m.el) || v.isSimilarAt(m.order) {
		return rankNone
	}
	fact := false
	for _, c := range v.cards {
		if !v.holdsAsk(c.nodes[0], card{asks: []*mention{m}}) && !v.holdsElement(c, m.el) {
			continue
		}
		if v.isEntry(c) || v.isFeatured(c, m) {
			return rankNone
		}
		fact = fact || v.isFact(c)
	}
	switch {
	case m.hinted || v.isCalledPrice(m):
		return rankSaid
	case v.strip == 0 || m.level() > 1 || !v.standsAlone(m, fact) || !v.hasOwnWords():
		return rankNone
	}
	return rankAlone
}

// isNear says whether an amount stands after the heading and before the entries
// of a list, or close before the heading.
func (v *view) isNear(m *mention) bool {
	at := v.tree.at(v.heading)
	if m.order > at {
		return m.order < v.first
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

// isSimilarAt says whether a caption over similar items stands between the main
// heading and a place.
func (v *view) isSimilarAt(at int) bool {
	from := v.tree.at(v.heading)
	for _, i := range v.similarCaptions() {
		if i > from && i < at {
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
	return v.isLabelled(m)
}

// standsAlone says whether an amount close to the heading has a line of its own,
// or is the first of the facts below it.
func (v *view) standsAlone(m *mention, fact bool) bool {
	if d := m.order - v.tree.last[v.tree.at(v.heading)]; d > nearHeading {
		return false
	}
	if fact {
		return v.inTitle(v.heading)
	}
	block := m.el
	for !isBlock(block) && !isOuter(block.Parent) {
		block = block.Parent
	}
	return letters(v.tree.text(block))-letters(m.quote) <= besideWords || v.tree.contains(block, v.heading)
}

// hasOwnWords says whether the page says something of its item besides the
// entries: the page's title names it, or there are as many words as in the
// entries or a text of some length.
func (v *view) hasOwnWords() bool {
	if v.inTitle(v.heading) && v.strip > 0 && v.ownSize() >= v.shown/4 {
		return true
	}
	return v.ownSize() >= max(v.shown/2, 2*shortText)
}

func (v *view) ownSize() int {
	return v.tree.size[v.tree.at(v.content()[0])] - v.shown
}

// termWords gives the first short text close to the heading that is as a whole
// what stands in a price's place, "to give away", behind a label of prices too.
// A text that stands in several elements of one kind is of the entries of a
// list.
func (v *view) termWords() *html.Node {
	if !v.inTitle(v.heading) && !v.titleBegins(v.heading) {
		return nil
	}
	var found *html.Node
	end := v.tree.last[v.tree.at(v.heading)]
	kinds := map[string]int{}
	for i, n := range v.tree.nodes {
		size := v.tree.size[i]
		if size == 0 || size > shortText || unseen(n) || n.Data == "a" || !v.words.terms.are(v.termOf(n)) {
			continue
		}
		kinds[v.tree.key(n)]++
		if i > end && i < end+nearHeading && i < v.first && found == nil && (isBlock(n) || isHeading(n)) && !hasLink(n) && !v.isApartFrom(n) {
			found = n
		}
	}
	if found == nil || kinds[v.tree.key(found)] > 1 {
		return nil
	}
	return found
}

// termOf gives the words of an element behind a label of prices.
func (v *view) termOf(n *html.Node) string {
	text := v.tree.text(n)
	if label, rest, found := strings.Cut(text, ":"); found && v.labelOf(label).field == "price" {
		return rest
	}
	return text
}

// buttonPrice gives the one amount in a button after the heading and before any
// entries: "ask for it at 3,400".
func (v *view) buttonPrice() *mention {
	var only *mention
	for i := v.tree.at(v.heading) + 1; i < v.first && i < len(v.tree.nodes); i++ {
		n := v.tree.nodes[i]
		if n.Data != "button" || v.isApartFrom(n) || v.isSimilarAt(i) {
			continue
		}
		text := buttonText(n)
		amount, quote, ok := v.opts.Price(text)
		if !ok || amount.Minor <= 0 || letters(text) > titleWords {
			continue
		}
		if only != nil && only.amount != amount {
			return nil
		}
		if only == nil {
			only = &mention{el: n, order: i, text: quote, quote: quote, amount: amount, known: true, whole: true}
		}
	}
	if only == nil || !v.inTitle(v.heading) && !v.hasOwnWords() {
		return nil
	}
	return only
}

// buttonText gives the words in a button.
func buttonText(n *html.Node) string {
	var parts []*html.Node
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		parts = append(parts, c)
	}
	return textOf(nil, parts...)
}

// ownItem reads a page about one item whose price is known. Its text is without
// the entries of a list and rows of further amounts.
func (r *reader) ownItem(own ownPrice, cards []card, kept []int) item {
	v := view{reader: r, heading: r.mainHeading(), cards: cards, kept: kept, near: map[string]int{}}
	v.learn()
	var apart []card
	for i := range cards {
		c := &cards[i]
		if c.why == "" {
			c.why = whyBeside
		}
		if v.isBeside(*c) && !r.holdsElement(*c, v.heading) {
			apart = append(apart, *c)
		}
	}
	if own.words != nil {
		return r.pricelessItem(own.words, apart)
	}
	at := len(apart)
	apart = append(apart, card{nodes: []*html.Node{own.ask.el}, asks: []*mention{own.ask}, own: true})
	return r.wholeItem([]int{at}, apart)
}

// isBeside says whether a card is no part of what a page says of its item: an
// entry, one of a region or caption apart, or one of three rows or more with an
// amount that stands alone.
func (v *view) isBeside(c card) bool {
	switch c.why {
	case whySimilar, whyAd, whyTop, whyNav, whyAside:
		return true
	}
	return v.isEntry(c) || v.near[v.placeOf(c)] >= 3 && len(c.asks) > 0 && c.ask().level() < 2
}
