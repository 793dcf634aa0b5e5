package page

import (
	"slices"
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/record"
)

// priceless reads a page about one item that names no amount: the page's title
// names the main heading, and below it markup calls a few words without a
// number the price, "on request". ok is false where it is not so.
func (r *reader) priceless(cards []card) (it item, ok bool) {
	h := r.mainHeading()
	if h == nil || !r.inTitle(h) && !r.titleBegins(h) {
		return item{}, false
	}
	words := r.pricelessWords(h, cards)
	if words == nil {
		return item{}, false
	}
	return r.pricelessItem(words, cards), true
}

// pricelessItem reads a page about one item with words in its price's place.
func (r *reader) pricelessItem(words *html.Node, cards []card) item {
	it := r.wholeItem(nil, cards)
	it.cells = slices.DeleteFunc(it.cells, func(c record.Cell) bool { return c.Field == "price" && c.From == "card" })
	it.add("price", tagOf(words), "", r.tree.text(words), "card")
	return it
}

const nearHeading = 15 // elements after a heading that stand close to it

// pricelessWords gives the first short element after a heading that markup, or
// close to it its first word, calls a price and that has words but no number,
// outside cards and regions that are not the page's own.
func (r *reader) pricelessWords(h *html.Node, cards []card) *html.Node {
	for i, n := range r.tree.nodes[r.tree.at(h)+1:] {
		size := r.tree.size[r.tree.at(n)]
		if size == 0 || size > shortText || unseen(n) || n.Data == "a" || isHeading(n) {
			continue
		}
		text := r.tree.text(n)
		first, _, more := strings.Cut(text, " ")
		if !r.isPrice(n) && !(more && i < nearHeading && isBlock(n) && attr(n, "class") != "" && r.ownText(n) != "" && r.labelOf(first).field == "price") {
			continue
		}
		if letters(text) < 3 || digits(text) > 0 || r.labelOf(text).field == "price" || r.isApart(n) ||
			slices.ContainsFunc(cards, func(c card) bool { return r.holdsElement(c, n) && !r.holdsElement(c, h) }) {
			continue
		}
		return n
	}
	return nil
}

// isApart says whether an element stands in a region that is not the page's
// own.
func (r *reader) isApart(n *html.Node) bool {
	for e := n; !isOuter(e); e = e.Parent {
		if r.region(e) != "" {
			return true
		}
	}
	return false
}

// titleBegins says whether the page's title and a heading begin with the same
// words.
func (r *reader) titleBegins(h *html.Node) bool {
	return leading(wordsOf(r.about.title), wordsOf(r.tree.text(h))) >= 2
}
