package page

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// cardTitle finds the title of a card and the element that shows it, nil
// where it is part of a text. In this order: what markup calls a title, a
// heading with a link, a heading, the longest link, the words of a picture or
// a link's title, words in bold, the first words.
func (r *reader) cardTitle(c card, g group) (*html.Node, string) {
	if c.title == nil {
		return r.findTitle(c, g)
	}
	return c.title.node, c.title.text
}

// A title is what a card is called, and the element that shows it.
type title struct {
	node *html.Node
	text string
}

func (r *reader) findTitle(c card, g group) (*html.Node, string) {
	if n := r.onlyOfKind(c); n != nil && letters(r.tree.text(n)) >= 3 && !g.usual(r.tree.text(n)) {
		return n, uncut(n, fold(r.titleText(n)))
	}
	type candidate struct {
		n    *html.Node
		text string
		rank int
	}
	var best candidate
	offer := func(n *html.Node, text string, rank int) {
		text = fold(text)
		if letters(text) < 3 || len(text) > 300 || r.onlyPrice(text, c) {
			return
		}
		if g.usual(text) {
			if !isHeading(n) {
				return
			}
			rank = 1
		}
		if rank > best.rank || rank == best.rank && rank == 4 && len(text) > len(best.text) {
			best = candidate{n, text, rank}
		}
	}
	if cell := r.titleCell(c); cell != nil {
		return r.leadIn(cell)
	}
	for _, e := range r.elements(c) {
		size := r.tree.size[r.tree.at(e)]
		switch {
		case e.Data == "img":
			offer(e, attr(e, "alt"), 3)
		case unseen(e) || size == 0 || size > 300:
		case isHeading(e) || attr(e, "role") == "heading":
			offer(e, r.titleText(e), 5+btoi(hasLink(e)))
		case r.hint(e) == "title" && !slices.Contains(c.nodes, e) && !holdsHeading(e) && !r.holdsAsk(e, c) && size <= 150:
			offer(e, r.titleText(e), 7)
		case e.Data == "a" && attr(e, "href") != "":
			whole := r.holdsAsk(e, c) && !isAskedIn(e, c) || len(c.asks) == 0 && 10*size > 9*r.shownSize(c)
			if !whole || r.ownText(e) != "" {
				offer(e, r.titleText(e), 4-2*btoi(whole))
			}
		case e.Data == "b", e.Data == "strong", e.Data == "dt", e.Data == "th":
			if text := r.titleText(e); !g.repeats(text) && !r.isLabel(text) {
				offer(e, text, 2)
			}
		}
		if e.Data == "a" {
			offer(e, firstOf(attr(e, "title"), attr(e, "aria-label")), 3)
		}
		for _, key := range []string{"data-title", "data-name"} {
			offer(e, attr(e, key), 3)
		}
	}
	if best.rank == 3 {
		if n, text := r.shownPart(c, g, best.text); n != nil {
			return n, text
		}
	}
	if best.n == nil {
		if n, text := r.leafTitle(c, g); n != nil {
			return n, text
		}
		return nil, r.firstWords(c)
	}
	return best.n, uncut(best.n, best.text)
}

// titleCell gives the cell of a card below a header of titles or, failing that,
// below one of classes, nil if there is none.
func (r *reader) titleCell(c card) *html.Node {
	if len(r.columns) == 0 {
		return nil
	}
	var class *html.Node
	for _, e := range r.elements(c) {
		switch l := r.columns[r.tree.at(e)]; {
		case l.field == "title":
			return e
		case l.field == "class" && class == nil && letters(r.tree.text(e)) >= 3:
			class = e
		}
	}
	return class
}

// isLabel says whether a text is the name of a fact, "Length", and no title.
func (r *reader) isLabel(text string) bool {
	field := r.labelOf(text).field
	return field != "" && field != "title" && field != "class" && field != "maker"
}

// uncut gives the whole of a title that is cut short with an ellipsis, where
// an attribute of its element or of one around it has it.
func uncut(n *html.Node, title string) string {
	begun := strings.TrimRight(title, "….\u00a0 ")
	if !strings.HasSuffix(title, "…") && !strings.HasSuffix(title, "...") || letters(begun) < besideWords/2 {
		return title
	}
	for e, up := n, 0; e != nil && e.Type == html.ElementNode && up < 3; e, up = e.Parent, up+1 {
		for _, key := range []string{"title", "aria-label", "data-title", "alt"} {
			if whole := fold(attr(e, key)); strings.HasPrefix(whole, begun) {
				return whole
			}
		}
	}
	return title
}

// titleText gives the words of a title's element, without those that are
// there only for who hears the page, unless there are no others.
func (r *reader) titleText(n *html.Node) string {
	all := r.tree.text(n)
	if n.FirstChild == nil || n.FirstChild.NextSibling == nil && n.FirstChild.Type == html.TextNode {
		return all
	}
	if seen := textOf(heardOnly, n); letters(seen) >= 3 {
		return seen
	}
	return all
}

// heardOnly says whether an element is shown to nobody but read out, by the
// class names that style sheets commonly give this.
func heardOnly(n *html.Node) bool {
	if n.Type != html.ElementNode {
		return false
	}
	for _, name := range strings.Fields(attr(n, "class")) {
		switch strings.TrimPrefix(name, "u-") {
		case "sr-only", "visually-hidden", "visuallyhidden", "screen-reader-text", "screen-reader-only", "screenreader", "a11y-hidden", "hidden-visually", "clipped":
			return true
		}
	}
	return false
}

// onlyOfKind gives the element of the kind that shows the titles of most like
// cards, if there is just one or titles are the first of their kind.
func (r *reader) onlyOfKind(c card) *html.Node {
	if c.titled == "" {
		return nil
	}
	var only *html.Node
	for _, e := range r.elements(c) {
		if r.tree.key(e) == c.titled && e.Data != "img" {
			if c.first {
				return e
			}
			if only != nil {
				return nil
			}
			only = e
		}
	}
	return only
}

// isFirstOfKind says whether an element is the first of its kind in a card.
func (r *reader) isFirstOfKind(n *html.Node, c card) bool {
	for _, e := range r.elements(c) {
		if r.tree.key(e) == r.tree.key(n) {
			return e == n
		}
	}
	return false
}

// leadIn gives the link, heading or bold words with which the cell of a title
// begins, else the cell.
func (r *reader) leadIn(cell *html.Node) (*html.Node, string) {
	text := r.tree.text(cell)
	i := r.tree.at(cell)
	for _, e := range r.tree.nodes[i+1 : r.tree.last[i]+1] {
		if e.Data == "a" || e.Data == "b" || e.Data == "strong" || isHeading(e) {
			if lead := r.tree.text(e); letters(lead) >= 3 && strings.HasPrefix(text, lead) {
				return e, lead
			}
		}
	}
	return cell, text
}

// shownPart gives the longest text that a card shows of the words of an
// attribute, if it is half of them or more or they begin with it: words for those who do not see the
// picture often add a place or a category to the title.
func (r *reader) shownPart(c card, g group, words string) (*html.Node, string) {
	var best *html.Node
	longest := ""
	for _, e := range r.elements(c) {
		size := r.tree.size[r.tree.at(e)]
		if size < 3 || size > len(words) || unseen(e) {
			continue
		}
		text := r.ownText(e)
		rest, begins := strings.CutPrefix(words, text)
		next, _ := utf8.DecodeRuneInString(rest)
		begins = begins && letters(text) >= 4 && !isWord(next) && !g.repeats(text)
		if len(text) > len(longest) && (2*len(text) >= len(words) && strings.Contains(words, text) || begins) && !r.onlyPrice(text, c) {
			best, longest = e, text
		}
	}
	return best, longest
}

// aPlace is a postal code before a name, "8805 Ostholm", or a bare number.
var aPlace = regexp.MustCompile(`^(?:\p{Lu}{1,2}[- ])?\d{3,5}(?: ?\p{Lu}{2})?(?: \p{Lu}.*)?$`)

// leafTitle gives the first element of a card with words of its own that are
// no date, no place behind a postal code, and not what most cards say.
func (r *reader) leafTitle(c card, g group) (*html.Node, string) {
	for _, e := range r.elements(c) {
		size := r.tree.size[r.tree.at(e)]
		if size == 0 || size > 2*shortText || unseen(e) {
			continue
		}
		text := trimMarks(r.ownText(e))
		if letters(text) < 3 || r.isLabel(text) || r.dateIn(e) != "" || g.usual(text) || g.leaves[text] > 1 || aPlace.MatchString(text) || r.onlyPrice(text, c) {
			continue
		}
		if field := r.hint(e); field != "" && field != "title" {
			continue
		}
		return e, text
	}
	return nil, ""
}

// firstWords gives the first line of a card that is more than its price.
func (r *reader) firstWords(c card) string {
	for _, line := range strings.Split(linesOf(nil, c.nodes...), "\n") {
		for _, m := range c.asks {
			line = withoutAmount(line, m.quote)
		}
		if line = trimMarks(line); letters(line) >= 3 && !r.words.beside(line) {
			return clip(line, 200)
		}
	}
	return ""
}

func hasLink(n *html.Node) bool {
	for e := n; e != nil && e.Type == html.ElementNode; e = e.Parent {
		if e.Data == "a" {
			return true
		}
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.ElementNode && (c.Data == "a" || c.FirstChild != nil && c.FirstChild.Data == "a") {
			return true
		}
	}
	return false
}

func holdsHeading(n *html.Node) bool {
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if isHeading(c) || c.Type == html.ElementNode && holdsHeading(c) {
			return true
		}
	}
	return false
}

func (r *reader) holdsAsk(n *html.Node, c card) bool {
	for _, m := range c.asks {
		if r.tree.contains(n, m.el) {
			return true
		}
	}
	return false
}

// isAskedIn says whether a price stands among more words of an element's own.
func isAskedIn(n *html.Node, c card) bool {
	for _, m := range c.asks {
		if m.el == n && letters(textOf(nil, n))-letters(m.quote) > besideWords/3 {
			return true
		}
	}
	return false
}

// onlyPrice says whether a text is no more than a card's price.
func (r *reader) onlyPrice(text string, c card) bool {
	for _, ms := range [][]*mention{c.asks, c.others} {
		for _, m := range ms {
			if before, after, found := strings.Cut(text, m.quote); found {
				rest := trimMarks(before + " " + after)
				if letters(rest) < 3 || r.labelOf(rest).field == "price" || r.words.beside(rest) {
					return true
				}
			}
		}
	}
	return false
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
