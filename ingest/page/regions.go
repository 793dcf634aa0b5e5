package page

import (
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// Reasons for which a price is no listing of the page's own.
const (
	whyNav      = "navigation"
	whySimilar  = "similar items"
	whyAd       = "advertisement"
	whyTop      = "listings in paid places"
	whyAside    = "beside the page's content"
	whyUntitled = "a price without a title"
	whyAmount   = "an amount that is no asking price"
)

// judge marks the cards that are no listings: those in navigation, under a
// heading over similar items, and advertisements. What class names say does
// not count where it would hold for most of the cards: a page may call its
// listings "ad".
func (r *reader) judge(cards []card) {
	under := r.similarHeadings(cards)
	found := make([]map[*html.Node]string, len(cards))
	covers := map[*html.Node]int{}
	called := map[int]bool{} // cards that class names call an advertisement
	for i, c := range cards {
		found[i] = map[*html.Node]string{}
		for e := outermost(c); e != nil && e.Type == html.ElementNode; e = e.Parent {
			why := r.region(e)
			if why == whyTop && slices.Contains(c.nodes, e) {
				cards[i].paid = true
				continue
			}
			if why != "" {
				found[i][e] = why
				covers[e]++
				if why == whyAd {
					called[i] = true
				}
			}
		}
	}
	own := 0 // cards that nothing else speaks against
	for i, c := range cards {
		other := under[i] || len(c.asks) > 0 && c.ask().bound
		for _, why := range found[i] {
			other = other || why == whyNav || why == whySimilar
		}
		own += btoi(!other)
	}
	ads := r.labelled(cards, r.words.ad)
	for i := range cards {
		c := &cards[i]
		if c.why != "" {
			continue
		}
		switch {
		case under[i]:
			c.why = whySimilar
		case ads[i]:
			c.why = whyAd
		}
		for e := outermost(*c); e != nil && c.why == ""; e = e.Parent {
			why := found[i][e]
			most := 2*covers[e] > len(cards)
			if why == "" || why == whySimilar && covers[e] == len(cards) || why == whyAd && 2*len(called) > own || why == whyNav && most && !isFurniture(e) || (why == whyAside || why == whyTop) && most {
				continue
			}
			c.why = why
		}
	}
}

// outermost gives the element from which a card's regions are looked up.
func outermost(c card) *html.Node {
	if n := c.nodes[0]; n.Type == html.ElementNode && len(c.nodes) == 1 {
		return n
	}
	return c.nodes[0].Parent
}

// isFurniture says whether an element's tag or role makes it navigation.
func isFurniture(n *html.Node) bool {
	role := attr(n, "role")
	return n.Data == "nav" || n.Data == "footer" || n.Data == "menu" || role == "navigation" || role == "contentinfo"
}

// isOrnament says whether an element is a block that is hidden from who hears
// the page and holds nothing that an entry has: a chart, the marks of a slider.
func (r *reader) isOrnament(n *html.Node) bool {
	return attr(n, "aria-hidden") == "true" && isBlock(n) && !r.holdsEntries(n)
}

// region gives why an element's content is not the page's own, "" if nothing
// says so.
func (r *reader) region(n *html.Node) string {
	if r.regions == nil {
		r.regions = make([]*string, len(r.tree.nodes))
	}
	at := r.tree.at(n)
	if r.regions[at] == nil {
		why := r.regionOf(n)
		r.regions[at] = &why
	}
	return *r.regions[at]
}

func (r *reader) regionOf(n *html.Node) string {
	if isFurniture(n) || attr(n, "role") == "search" {
		return whyNav
	}
	if n.Data != "body" && n.Data != "html" {
		words := marks(n) + " " + strings.ToLower(attr(n, "aria-label"))
		if isOwnElement(n) {
			words += " " + strings.Join(wordsOf(n.Data), " ") + " " + strings.ToLower(attr(n, "heading")+" "+attr(n, "label")+" "+attr(n, "title"))
		}
		switch {
		case words == " ":
		case r.words.similar.in(words) || r.words.similar.stemmed(words):
			return whySimilar
		case r.words.ad.in(words):
			return whyAd
		case r.words.top.in(words):
			return whyTop
		case r.words.nav.name(n):
			return whyNav
		}
	}
	if n.Data == "header" && n.Parent != nil && n.Parent.Data == "body" && !r.holdsMain(card{nodes: []*html.Node{n}}) {
		return whyNav
	}
	if n.Data == "tfoot" {
		return whyAmount
	}
	if n.Data == "aside" || attr(n, "role") == "complementary" {
		return whyAside
	}
	return ""
}

// labelled says which cards bear one of some labels or a link marked as
// sponsored, while most cards do not.
func (r *reader) labelled(cards []card, labels phrases) []bool {
	ads := make([]bool, len(cards))
	n := 0
	for i, c := range cards {
		for _, top := range c.nodes {
			if top.Type == html.ElementNode && r.bears(top, labels) {
				ads[i] = true
			}
		}
		if ads[i] {
			n++
		}
	}
	if 2*n > len(cards) {
		return make([]bool, len(cards))
	}
	return ads
}

func (r *reader) bears(top *html.Node, labels phrases) bool {
	i := r.tree.at(top)
	for _, e := range r.tree.nodes[i : r.tree.last[i]+1] {
		if e.Data == "a" && strings.Contains(" "+strings.ToLower(attr(e, "rel"))+" ", " sponsored ") {
			return true
		}
		if r.tree.size[r.tree.at(e)] <= 40 && !labels.empty() && !unseen(e) {
			for c := e.FirstChild; c != nil; c = c.NextSibling {
				if c.Type == html.TextNode && labels.are(c.Data) {
					return true
				}
			}
		}
	}
	return false
}

// similarHeadings says which cards stand under a heading over similar items:
// those after it, in the smallest element around it that holds any, up to the
// next heading of its rank that is outside the cards. The page's main heading
// is over its own listings, whatever it says.
func (r *reader) similarHeadings(cards []card) []bool {
	under := make([]bool, len(cards))
	if r.words.similar.empty() {
		return under
	}
	inCard := make([]bool, len(r.tree.nodes))
	for _, c := range cards {
		for _, n := range c.nodes {
			if i, isElement := r.tree.find(n); isElement {
				for k := i; k <= r.tree.last[i] && !inCard[k]; k++ {
					inCard[k] = true
				}
			}
		}
	}
	main := r.mainHeading()
	for _, at := range r.similarCaptions() {
		h := r.tree.nodes[at]
		if inCard[at] {
			for i, c := range cards { // a card made of what stands below the caption
				under[i] = under[i] || len(c.asks) > 0 && c.asks[0].order > at && r.holdsElement(c, h) && !hasLink(h) && !r.holdsMain(c)
			}
			continue
		}
		end := at
		for e := h.Parent; e != nil && e.Type == html.ElementNode && end == at; e = e.Parent {
			for _, c := range cards {
				if i := r.at(c); i > at && i <= r.tree.last[r.tree.at(e)] {
					end = r.tree.last[r.tree.at(e)]
				}
			}
		}
		for i := at + 1; i <= end; i++ {
			if n := r.tree.nodes[i]; isHeading(n) && isHeading(h) && n.Data <= h.Data && (!inCard[i] || n == main) {
				end = i - 1
			}
		}
		for i, c := range cards {
			if k := r.at(c); k > at && k <= end && (len(c.asks) == 0 || c.asks[0].order <= end) {
				under[i] = true
			}
		}
	}
	return under
}

// similarCaptions gives the places of the captions that speak of similar
// items.
func (r *reader) similarCaptions() []int {
	if r.similarSought || r.words.similar.empty() {
		return r.similarAt
	}
	r.similarSought = true
	main := r.mainHeading()
	for i, h := range r.tree.nodes {
		if h != main && r.isCaption(h) && r.words.similar.in(r.tree.text(h)) {
			r.similarAt = append(r.similarAt, i)
		}
	}
	return r.similarAt
}

// isCaption says whether an element may be the caption over a block: a
// heading, or a short element without elements of its own but for inline ones.
func (r *reader) isCaption(n *html.Node) bool {
	size := r.tree.size[r.tree.at(n)]
	if size == 0 || size > 2*shortText || unseen(n) {
		return false
	}
	if isHeading(n) || n.Data == "legend" || n.Data == "caption" || n.Data == "summary" {
		return true
	}
	switch n.Data {
	case "p", "div", "strong", "b", "span", "dt":
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.Type == html.ElementNode {
				return false
			}
		}
		return size <= 40
	}
	return false
}
