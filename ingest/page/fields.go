package page

import (
	"net/url"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// elements gives the elements of a card in page order.
func (r *reader) elements(c card) []*html.Node {
	if len(c.nodes) == 1 && c.nodes[0].Type == html.ElementNode {
		i := r.tree.at(c.nodes[0])
		end := r.tree.last[i] + 1
		return r.tree.nodes[i:end:end]
	}
	var out []*html.Node
	for _, n := range c.nodes {
		if n.Type == html.ElementNode {
			i := r.tree.at(n)
			out = append(out, r.tree.nodes[i:r.tree.last[i]+1]...)
		}
	}
	return out
}

// cardItem reads the cells of a card.
func (r *reader) cardItem(c card, g group) item {
	it := item{order: r.at(c), promoted: c.paid}
	titleNode, title := r.cardTitle(c, g)
	shown := title
	for _, m := range c.asks {
		said := m.el == titleNode && (titleNode.Data == "a" || isHeading(titleNode))
		if !said && (titleNode == nil || r.tree.contains(titleNode, m.el)) {
			title = withoutAmount(title, m.quote)
		}
	}
	it.title = title
	it.add("title", tagOf(titleNode), "", title, "card")
	priceNode := r.cardPrice(&it, c, g, shown)
	link := r.cardLink(c, titleNode)
	it.url, it.link = resolve(r.about.base, link), sameURL(resolve(firstURL(r.about.base, anywhere), link))
	it.add("url", "href", "", it.url, "card")
	r.hintedCells(&it, c, titleNode)
	pairs, _ := r.attributes(c.nodes)
	addPairs(&it, pairs)
	date, place := r.addDate(&it, c, g), r.addPlace(&it, c, g)
	text := r.cardText(c, titleNode, priceNode, shown, g)
	for _, said := range []string{date, place} { // they have cells of their own
		if said != "" {
			text = withoutSaid(text, said)
		}
	}
	it.lines = strings.Split(text, "\n")
	it.add("text", "", "", clip(text, r.opts.Limits.CellBytes), "card")
	return it
}

// withoutAmount takes an amount out of a title, with the marks that set it
// apart on one side.
func withoutAmount(title, quote string) string {
	before, after, _ := strings.Cut(title, quote)
	if quote == "" || before == title {
		return trimMarks(title)
	}
	if first, _ := utf8.DecodeRuneInString(strings.TrimSpace(after)); isMark(first) {
		return trimMarks(strings.TrimRightFunc(before, isMark) + after)
	}
	return trimMarks(before + after)
}

func tagOf(n *html.Node) string {
	if n == nil {
		return ""
	}
	return n.Data
}

// trimMarks drops white space and separating marks around a text.
func trimMarks(s string) string {
	return strings.TrimFunc(fold(s), isMark)
}

// isButton says whether an element is a link that leads nowhere.
func isButton(n *html.Node) bool {
	href := attr(n, "href")
	return n.Data == "a" && hasAttr(n, "href") && (href == "" || href == "#" || strings.HasPrefix(strings.ToLower(href), "javascript:"))
}

func isMark(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("–—-|·•,;:/", r) }

// cardLink gives where a card's listing leads to, as written: the link of its
// title, else of the card itself, else the first inside, else a data attribute.
func (r *reader) cardLink(c card, title *html.Node) string {
	leads := func(href string) bool {
		return !strings.HasPrefix(href, "#") && resolve(firstURL(r.about.base, anywhere), href) != ""
	}
	link := func(n *html.Node) string {
		if href := attr(n, "href"); (n.Data == "a" || n.Data == "area") && leads(href) {
			return href
		}
		return ""
	}
	if title != nil {
		for e := title; e != nil && r.holdsElement(c, e); e = e.Parent {
			if u := link(e); u != "" {
				return u
			}
		}
		i := r.tree.at(title)
		for _, e := range r.tree.nodes[i : r.tree.last[i]+1] {
			if u := link(e); u != "" {
				return u
			}
		}
	}
	for _, e := range r.elements(c) {
		if u := link(e); u != "" {
			return u
		}
	}
	for e := outermost(c); e != nil && e.Type == html.ElementNode; e = e.Parent {
		if u := link(e); u != "" {
			return u
		}
	}
	for _, e := range r.elements(c) {
		for _, a := range e.Attr {
			if (a.Key == "data-href" || a.Key == "data-url" || a.Key == "data-link") && leads(a.Val) {
				return a.Val
			}
		}
	}
	return ""
}

// anywhere stands for the address of a page that names none, so that its own
// relative links can be told apart.
var anywhere = &url.URL{Scheme: "http", Host: "page.invalid", Path: "/"}

func firstURL(a, b *url.URL) *url.URL {
	if a != nil {
		return a
	}
	return b
}

// hintedCells adds cells for what markup names in a card: columns with a
// header, class names, data attributes and times.
func (r *reader) hintedCells(it *item, c card, title *html.Node) {
	for _, e := range r.elements(c) {
		i := r.tree.at(e)
		if l, ok := r.columns[i]; ok {
			if l.field != "title" && l.field != "price" && l.field != "url" && l.field != "text" {
				it.add(l.field, l.text, l.unit, r.tree.text(e), "card")
			}
			continue
		}
		for _, a := range e.Attr {
			if key, ok := strings.CutPrefix(a.Key, "data-"); ok && a.Val != "" && len(a.Val) < 200 {
				if field, _ := r.keyField(key); field != "" && field != "title" && field != "price" && field != "url" && field != "text" {
					it.addOnce(field, a.Key, fold(a.Val))
				}
			}
		}
		if e == title || unseen(e) {
			continue
		}
		if e.Data == "time" {
			it.addOnce("listed", "time", firstOf(attr(e, "datetime"), r.tree.text(e)))
			continue
		}
		if field := r.hint(e); field != "" && r.tree.size[i] <= 120 && r.tree.size[i] > 0 {
			if field != "title" && field != "price" {
				it.addOnce(field, attr(e, "class"), firstOf(r.tree.text(e), attr(e, "content")))
			}
		}
	}
}

func (it *item) addOnce(field, header, text string) {
	if it.get(field) == "" {
		it.add(field, header, "", fold(text), "card")
	}
}

// cardText gives the words of a card without its title, its amounts, and the
// links and headings that most cards repeat. Blocks are parted by newlines.
func (r *reader) cardText(c card, titleNode, priceNode *html.Node, title string, g group) string {
	drop := map[*html.Node]bool{}
	if len(c.asks) == 0 && priceNode != nil {
		drop[priceNode] = true
	}
	if titleNode != nil && titleNode.Data != "img" && fold(r.tree.text(titleNode)) == title {
		drop[titleNode] = true
	}
	for _, m := range c.amounts() {
		if m.whole {
			drop[m.el] = true
		}
	}
	text := linesOf(func(n *html.Node) bool {
		if drop[n] || n.Data == "time" && n.Type == html.ElementNode {
			return true
		}
		if i, numbered := r.tree.find(n); numbered {
			if l, ok := r.columns[i]; ok && l.field != "text" && !(l.field == "title" && titleNode != n && titleNode != nil && r.tree.contains(n, titleNode)) {
				return true // it has a cell of its own
			}
		}
		if n.Type != html.ElementNode || n.Data != "a" && !isHeading(n) || r.tree.size[r.tree.at(n)] > 200 {
			return false
		}
		s := r.tree.text(n)
		return isButton(n) || g.usual(s) || n.Data == "a" && r.words.nav.are(s)
	}, c.nodes...)
	if len(c.asks) > 0 && !c.ask().whole && c.ask().beside() == 0 {
		text = strings.Replace(text, c.ask().quote, "", 1)
	}
	if len(drop) == 0 || !drop[titleNode] {
		text = strings.Replace(text, title, "", 1)
	}
	return strings.TrimFunc(foldLines(text), isMark)
}
