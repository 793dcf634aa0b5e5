package page

import (
	"strings"

	"golang.org/x/net/html"
)

// holdsMain says whether a card holds the page's main heading.
func (r *reader) holdsMain(c card) bool {
	h := r.mainHeading()
	return h != nil && r.holdsElement(c, h)
}

// aboutItem gives the card that holds the page's main heading where it has more
// words than all the others together, or is named by the page's title beside
// others that lead nowhere, none of which is alike: an item with a list of bids,
// of choices or of others below. -1 if there is none.
func (r *reader) aboutItem(cards []card, kept []int) int {
	h := r.mainHeading()
	if h == nil || !isFirstHeading(h) && !r.inTitle(h) {
		return -1
	}
	own, others, lead := -1, 0, false
	for _, i := range kept {
		if own < 0 && r.holdsElement(cards[i], h) {
			own = i
			continue
		}
		others += r.shownSize(cards[i])
		lead = lead || r.leads(cards[i])
	}
	if own < 0 || len(cards[own].asks) == 0 || others > r.shownSize(cards[own]) && (lead || !r.inTitle(h)) {
		return -1
	}
	for _, i := range kept {
		if i != own && (len(cards[own].nodes) == 1 || len(cards[i].nodes) > 1) && cards[i].key == cards[own].key {
			return -1
		}
	}
	return own
}

// inTitle says whether the page's title names what a heading names.
func (r *reader) inTitle(h *html.Node) bool {
	text := sameTitle(r.tree.text(h))
	return letters(text) >= besideWords/2 && strings.Contains(sameTitle(r.about.title), text)
}

// aboutHeading keeps only the card that holds the page's main heading, if one
// does and no two cards are alike: the others are prices on a page about one
// item. Where the heading is outside, cards of one amount count once.
func (r *reader) aboutHeading(cards []card, kept []int) []int {
	h := r.mainHeading()
	if len(kept) < 2 || h == nil || !isFirstHeading(h) && !r.inTitle(h) {
		return kept
	}
	if own := r.aboutItem(cards, kept); own >= 0 {
		return beside(cards, kept, own)
	}
	if own := r.titledAs(h, cards, kept); own >= 0 {
		return beside(cards, kept, own)
	}
	alike := map[string]bool{}
	own, equal := -1, true
	for _, i := range kept {
		if alike[cards[i].key] || len(cards[i].asks) == 0 {
			return kept
		}
		alike[cards[i].key] = true
		if r.holdsElement(cards[i], h) {
			own = i
		}
		first := cards[kept[0]].ask()
		equal = equal && first.known && cards[i].ask().amount == first.amount
	}
	if own < 0 && equal {
		own = kept[0]
	}
	if own < 0 {
		return kept
	}
	return beside(cards, kept, own)
}

// titledAs gives the card that holds a heading which the page's title names,
// or else the first that has its words for a title, where a card has: -1 if
// none.
func (r *reader) titledAs(h *html.Node, cards []card, kept []int) int {
	if !r.inTitle(h) {
		return -1
	}
	title, own, named := sameTitle(r.tree.text(h)), -1, false
	for _, i := range kept {
		_, shown := r.cardTitle(cards[i], group{})
		same := sameTitle(shown) == title && len(cards[i].asks) > 0
		named = named || same && !r.holdsElement(cards[i], h)
		if same && own < 0 || r.holdsElement(cards[i], h) {
			own = i
		}
	}
	if !named {
		return -1
	}
	return own
}

// aboutUntitled says whether a page is about one item whose price stands under
// the main heading with no more than its label: the page's title names the
// heading, the price is called one, and most words of the page stand outside
// the cards, all of which come later.
func (r *reader) aboutUntitled(cards []card, kept []int) (own int, ok bool) {
	h := r.mainHeading()
	if len(kept) == 0 || h == nil || !r.inTitle(h) {
		return 0, false
	}
	at, shown := r.tree.at(h), 0
	for _, i := range kept {
		if r.at(cards[i]) < at {
			return 0, false
		}
		shown += r.shownSize(cards[i])
	}
	body := r.content()[0]
	if r.tree.size[r.tree.at(body)] < 2*shown {
		return 0, false
	}
	for i, c := range cards {
		if c.why != whyUntitled && c.why != whyAmount || exactAsks(c) != 1 || r.at(c) < at || r.at(c) > r.at(cards[kept[0]]) {
			continue
		}
		m := c.ask()
		before, after, _ := strings.Cut(m.text, m.quote)
		_, title := r.cardTitle(c, group{})
		if m.known && (m.hinted || r.labelOf(trimMarks(before+" "+after)).field == "price" || r.labelOf(title).field == "price") {
			return i, true
		}
	}
	return 0, false
}

// exactAsks counts the prices of a card that are no bounds.
func exactAsks(c card) int {
	n := 0
	for _, m := range c.asks {
		n += btoi(!m.bound)
	}
	return n
}

// aboutStated keeps only the card of the one product that the page states,
// where the page's own title or main heading names it: the others are prices
// on a page about one item. No card is kept where none shows that product.
func (r *reader) aboutStated(cards []card, stated []item, kept []int) []int {
	var one *item
	for i := range stated {
		if it := &stated[i]; it.single && it.priced && !it.summary && !it.loose {
			if one != nil {
				return kept
			}
			one = it
		}
	}
	if one == nil || len(kept) < 2 || letters(one.title) < 3 {
		return kept
	}
	title := sameTitle(one.title)
	if !r.isNamed(title) {
		return kept
	}
	own := -1
	for _, i := range kept {
		if _, shown := r.cardTitle(cards[i], group{}); own < 0 && (sameTitle(shown) == title || r.holdsMain(cards[i])) {
			own = i
		}
	}
	if own < 0 {
		own = r.nextToHeading(cards, kept)
	}
	rest := beside(cards, kept, own)
	if own < 0 {
		return nil
	}
	return rest
}

// ownStated leaves out, of what a page states, all but the one product that the
// page's main heading names word by word: the others are of the same seller, or
// alike.
func (r *reader) ownStated(stated []item) []item {
	h := r.mainHeading()
	if h == nil || !isFirstHeading(h) || len(stated) < 2 || r.hasOtherHeading(h) {
		return stated
	}
	title, own := sameTitle(r.tree.text(h)), -1
	for i := range stated {
		it := &stated[i]
		if it.loose || it.summary || it.many || !it.priced || sameTitle(it.title) != title {
			continue
		}
		if own >= 0 || it.key != "" || it.scoped && !r.tree.contains(r.tree.nodes[it.order], h) {
			return stated
		}
		own = i
	}
	if own < 0 || letters(title) < 3 {
		return stated
	}
	kept := stated[own : own+1 : own+1]
	for i := range stated {
		if it := &stated[i]; it.loose {
			kept = append(kept, *it)
		} else if i != own && it.priced {
			r.skip(it.order, it.title, whyBeside)
		}
	}
	kept[0].single = true
	return kept
}

// nextToHeading gives the card that begins right after the main heading with a
// price that stands out, -1 if there is none.
func (r *reader) nextToHeading(cards []card, kept []int) int {
	h := r.mainHeading()
	if h == nil {
		return -1
	}
	at := r.tree.last[r.tree.at(h)]
	for _, i := range kept {
		if c := cards[i]; len(c.asks) > 0 && c.ask().level() < 3 && r.at(c) > at && r.at(c) <= at+nearHeading {
			return i
		}
	}
	return -1
}

// beside leaves out all cards but one.
func beside(cards []card, kept []int, own int) []int {
	for _, i := range kept {
		if i != own {
			cards[i].why = whyBeside
		}
	}
	return []int{own}
}
