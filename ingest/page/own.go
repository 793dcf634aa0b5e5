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
	view  *view
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
	if h == nil || !isFirstHeading(h) && !r.inTitle(h) || r.hasOtherHeading(h) {
		return own, false
	}
	if len(kept) > 1 && r.namesSection(h) {
		return own, false
	}
	v := r.viewOf(cards)
	own.view = v
	several := r.statesSeveral(stated)
	if v.listed || !several && len(kept) == 1 && r.holdsElement(cards[kept[0]], h) && len(cards[kept[0]].asks) > 0 && cards[kept[0]].ask().level() < 3 {
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
	if best < rankSaid && !several {
		if words := v.termWords(); words != nil && (own.ask == nil || r.tree.at(words) < own.ask.order) {
			return ownPrice{words: words, view: v}, true
		}
	}
	if own.ask == nil && !several {
		own.ask = v.buttonPrice()
	}
	if own.ask == nil || several && !(v.named && v.standsBefore(own.ask, stated) && (v.isRightBelow(own.ask) || v.isCalledPrice(own.ask))) {
		return own, false
	}
	r.shownOnly = several
	return own, true
}

// standsBefore says whether an amount stands before the elements of all items
// that the page states: those are others.
func (v *view) standsBefore(m *mention, stated []item) bool {
	for _, it := range stated {
		if !it.loose && (!it.scoped || it.order < m.order) {
			return false
		}
	}
	return true
}

// namesSection says whether a heading says that things are for sale and names
// none: "boats for sale".
func (r *reader) namesSection(h *html.Node) bool {
	const few = 4 // words
	text := r.tree.text(h)
	return digits(text) == 0 && len(wordsOf(text)) <= few && r.words.sale.in(text)
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

// termWords gives the first short text close to the heading that is as a whole
// what stands in a price's place, "to give away", or has it behind a label of
// prices. There is none where several such texts of one kind stand on the page:
// they are of the entries of a list, or choices.
func (v *view) termWords() *html.Node {
	if !v.named && !v.titleBegins(v.heading) {
		return nil
	}
	var found *html.Node
	end := v.tree.last[v.tree.at(v.heading)]
	kinds := map[string]int{}
	for i, n := range v.tree.nodes[:v.first] {
		size := v.tree.size[i]
		if i == v.tree.at(v.heading) || size == 0 || size > shortText || unseen(n) || n.Data == "a" {
			continue
		}
		term, labelled := v.termOf(n)
		if !v.words.terms.are(term) {
			continue
		}
		if kind := v.tree.key(n) + " " + attr(n, "class"); v.ownText(n) != "" && i > end {
			if kinds[kind]++; kinds[kind] > 1 {
				return nil
			}
		}
		if i > end && i < end+nearHeading && found == nil && (isBlock(n) || labelled || standsApart(n)) && !hasLink(n) && !v.isApartFrom(n) {
			found = n
		}
	}
	return found
}

// termOf gives the words of an element, those behind a label of prices where it
// begins with one.
func (v *view) termOf(n *html.Node) (term string, labelled bool) {
	text := v.tree.text(n)
	if label, rest, found := strings.Cut(text, ":"); found && v.labelOf(label).field == "price" {
		return rest, true
	}
	return text, false
}

// buttonPrice gives the one amount in a button after the heading and before any
// entries: "ask for it at 3,400".
func (v *view) buttonPrice() *mention {
	var only *mention
	for i := v.tree.at(v.heading) + 1; i < v.first && i < len(v.tree.nodes); i++ {
		n := v.tree.nodes[i]
		if n.Data != "button" || v.isApartFrom(n) || i > v.similar {
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
	if only == nil || !v.named && !v.hasOwnWords() {
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
func (r *reader) ownItem(own ownPrice) item {
	v := own.view
	var apart []card
	for i := range v.cards {
		c := &v.cards[i]
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

// standsApart says whether no words touch an element in the element around it.
func standsApart(n *html.Node) bool {
	for c := n.Parent.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.TextNode && letters(c.Data)+digits(c.Data) > 0 {
			return false
		}
	}
	return true
}
