package page

import (
	"strings"
	"unicode"

	"golang.org/x/net/html"

	"askance/ingest/record"
)

// A group is what the cards of one kind have in common.
type group struct {
	cards int
	said  map[string]int // in how many cards a link, a picture or a heading says this
	price map[string]int // how many prices stand in an element of this kind
}

func (g group) usual(text string) bool {
	return g.cards >= 2 && 2*g.said[text] > g.cards
}

// groupsOf counts what links, pictures and headings say in each kind of card;
// what most of them say is no title.
func (r *reader) groupsOf(cards []card) map[string]group {
	groups := map[string]group{}
	for _, c := range cards {
		g, ok := groups[c.key]
		if !ok {
			g.said, g.price = map[string]int{}, map[string]int{}
		}
		if len(c.asks) > 0 && c.ask().whole {
			g.price[key(r.frame(c.ask().el))]++
		}
		g.cards++
		seen := map[string]bool{}
		for _, e := range r.elements(c) {
			text := ""
			switch {
			case e.Data == "img":
				text = attr(e, "alt")
			case (e.Data == "a" || isHeading(e)) && r.tree.size[r.tree.index[e]] <= 200:
				text = textOf(nil, e)
			}
			if text != "" && !seen[text] {
				seen[text] = true
				g.said[text]++
			}
		}
		groups[c.key] = g
	}
	return groups
}

// frame gives the outermost element that shows no more than an element.
func (r *reader) frame(n *html.Node) *html.Node {
	for !isOuter(n.Parent) && r.tree.size[r.tree.index[n.Parent]] == r.tree.size[r.tree.index[n]] {
		n = n.Parent
	}
	return n
}

// elements gives the elements of a card in page order.
func (r *reader) elements(c card) []*html.Node {
	var out []*html.Node
	for _, n := range c.nodes {
		if n.Type == html.ElementNode {
			i := r.tree.index[n]
			out = append(out, r.tree.nodes[i:r.tree.last[i]+1]...)
		}
	}
	return out
}

// cardItem reads the cells of a card.
func (r *reader) cardItem(c card, g group) item {
	it := item{order: r.at(c)}
	titleNode, title := r.cardTitle(c, g)
	for _, m := range c.asks {
		if titleNode == nil || m.el == titleNode || r.tree.contains(titleNode, m.el) {
			title = trimMarks(strings.Replace(title, m.quote, "", 1))
		}
	}
	it.title = title
	it.add("title", tagOf(titleNode), "", title, "card")
	priceNode := r.cardPrice(&it, c, g)
	it.url = r.cardLink(c, titleNode)
	it.add("url", "href", "", it.url, "card")
	r.hintedCells(&it, c, titleNode)
	pairs, _ := r.attributes(c.nodes)
	addPairs(&it, pairs)
	text := r.cardText(c, titleNode, priceNode, title, g)
	it.lines = strings.Split(text, "\n")
	it.add("text", "", "", clip(text, r.opts.Limits.CellBytes), "card")
	return it
}

// ask gives the price of a card: what markup calls a price before what it
// does not, then the amount with the fewest other words beside it.
func (c card) ask() *mention {
	best := c.asks[0]
	for _, m := range c.asks[1:] {
		if m.hinted && !best.hinted || m.hinted == best.hinted && m.beside() < best.beside() {
			best = m
		}
	}
	return best
}

// amounts gives the amounts of a card that are no part of its description:
// its price and the amounts that are for something else.
func (c card) amounts() []*mention {
	if len(c.asks) == 0 {
		return c.others
	}
	return append([]*mention{c.ask()}, c.others...)
}

// beside counts the letters beside an amount in its piece of text.
func (m *mention) beside() int { return letters(m.text) - letters(m.quote) }

// cardPrice adds what is asked. Several amounts of the same standing in a
// card are told as a problem.
// Where none is stated it adds the words that stand in a price's place. The
// element that shows it is given.
func (r *reader) cardPrice(it *item, c card, g group) *html.Node {
	if len(c.asks) == 0 {
		e, words := r.priceWords(c, g)
		it.add("price", tagOf(e), "", words, "card")
		return e
	}
	m := c.ask()
	for _, other := range c.asks {
		if other != m && other.amount != m.amount && other.beside() <= m.beside() && other.hinted == m.hinted {
			it.problems = append(it.problems, record.Problem{Field: "price", Wanted: "one price in a card", Got: m.text + " / " + other.text, Hint: "the first was taken"})
			break
		}
	}
	text := m.text
	if !m.whole && letters(text) > letters(m.quote)+besideWords {
		text = m.quote
	}
	it.add("price", tagOf(m.el), "", text, "card")
	if m.known {
		it.setAmount(m.amount)
	}
	return m.el
}

// priceWords gives the words that stand where a card's price would be: in an
// element that markup calls a price, or of the kind that holds most prices of
// the other cards.
func (r *reader) priceWords(c card, g group) (*html.Node, string) {
	for _, e := range r.elements(c) {
		if (r.isPrice(e) || 2*g.price[key(e)] > g.cards && attr(e, "class") != "") && r.tree.size[r.tree.index[e]] <= shortText {
			if s := textOf(nil, e); s != "" {
				return e, s
			}
		}
	}
	return nil, ""
}

func tagOf(n *html.Node) string {
	if n == nil {
		return ""
	}
	return n.Data
}

// cardTitle finds the title of a card and the element that shows it, nil
// where it is part of a text. In this order: what markup calls a title, a
// heading with a link, a heading, the longest link, the words of a picture or
// a link's title, words in bold, the first words.
func (r *reader) cardTitle(c card, g group) (*html.Node, string) {
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
	for _, e := range r.elements(c) {
		if l, ok := r.columns[r.tree.index[e]]; ok && l.field == "title" {
			return e, textOf(nil, e)
		}
		size := r.tree.size[r.tree.index[e]]
		switch {
		case e.Data == "img":
			offer(e, attr(e, "alt"), 3)
		case unseen(e) || size == 0 || size > 300:
		case isHeading(e):
			offer(e, textOf(nil, e), 5+btoi(hasLink(e)))
		case r.hint(e) == "title" && !holdsHeading(e) && !r.holdsAsk(e, c) && size <= 150:
			offer(e, textOf(nil, e), 7)
		case e.Data == "a" && attr(e, "href") != "":
			offer(e, textOf(nil, e), 4-2*btoi(r.holdsAsk(e, c)))
		case e.Data == "b", e.Data == "strong", e.Data == "dt", e.Data == "th":
			offer(e, textOf(nil, e), 2)
		}
		if e.Data == "a" {
			offer(e, firstOf(attr(e, "title"), attr(e, "aria-label")), 3)
		}
		for _, key := range []string{"data-title", "data-name"} {
			offer(e, attr(e, key), 3)
		}
	}
	if best.n != nil && best.rank > 2 {
		if best.n.Data == "img" || best.text != textOf(nil, best.n) {
			return best.n, best.text
		}
		return best.n, best.text
	}
	if best.n == nil {
		lines := strings.Split(linesOf(nil, c.nodes...), "\n")
		for _, line := range lines {
			for _, m := range c.asks {
				line = strings.Replace(line, m.quote, "", 1)
			}
			if line = trimMarks(line); letters(line) >= 3 && !r.opts.Words.onlyBeside(line) {
				return nil, clip(line, 200)
			}
		}
	}
	return best.n, best.text
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

// onlyPrice says whether a text is no more than a card's price.
func (r *reader) onlyPrice(text string, c card) bool {
	for _, ms := range [][]*mention{c.asks, c.others} {
		for _, m := range ms {
			if strings.Contains(text, m.quote) && letters(text)-letters(m.quote) < 3 || text == m.text {
				return true
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

// cardLink gives the address of a card's listing: the link of its title, else
// of the card itself, else the first inside, else a data attribute.
func (r *reader) cardLink(c card, title *html.Node) string {
	link := func(n *html.Node) string {
		if n.Data == "a" || n.Data == "area" {
			href := attr(n, "href")
			if !strings.HasPrefix(href, "#") {
				return resolve(r.about.base, href)
			}
		}
		return ""
	}
	if title != nil {
		for e := title; e != nil && r.holdsElement(c, e); e = e.Parent {
			if u := link(e); u != "" {
				return u
			}
		}
		i := r.tree.index[title]
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
			if a.Key == "data-href" || a.Key == "data-url" || a.Key == "data-link" {
				if u := resolve(r.about.base, a.Val); u != "" {
					return u
				}
			}
		}
	}
	return ""
}

// hintedCells adds cells for what markup names in a card: columns with a
// header, class names, data attributes and times.
func (r *reader) hintedCells(it *item, c card, title *html.Node) {
	for _, e := range r.elements(c) {
		i := r.tree.index[e]
		if l, ok := r.columns[i]; ok {
			if l.field != "title" && l.field != "price" && l.field != "url" {
				it.add(l.field, l.text, l.unit, textOf(nil, e), "card")
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
			it.addOnce("listed", "time", firstOf(attr(e, "datetime"), textOf(nil, e)))
			continue
		}
		if field := r.hint(e); field != "" && r.tree.size[i] <= 120 && r.tree.size[i] > 0 {
			if field != "title" && field != "price" {
				it.addOnce(field, attr(e, "class"), firstOf(textOf(nil, e), attr(e, "content")))
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
// links and headings that most cards repeat.
// Blocks are parted by newlines.
func (r *reader) cardText(c card, titleNode, priceNode *html.Node, title string, g group) string {
	drop := map[*html.Node]bool{}
	if len(c.asks) == 0 && priceNode != nil {
		drop[priceNode] = true
	}
	if titleNode != nil && titleNode.Data != "img" && fold(textOf(nil, titleNode)) == title {
		drop[titleNode] = true
	}
	for _, m := range c.amounts() {
		if m.whole {
			drop[m.el] = true
		}
	}
	text := linesOf(func(n *html.Node) bool {
		if drop[n] {
			return true
		}
		if n.Type != html.ElementNode || n.Data != "a" && !isHeading(n) || r.tree.size[r.tree.index[n]] > 200 {
			return false
		}
		s := textOf(nil, n)
		return isButton(n) || g.usual(s) || n.Data == "a" && equalsOne(s, r.opts.Words.Nav)
	}, c.nodes...)
	if len(c.asks) > 0 && !c.ask().whole {
		text = strings.Replace(text, c.ask().quote, "", 1)
	}
	if len(drop) == 0 || !drop[titleNode] {
		text = strings.Replace(text, title, "", 1)
	}
	return strings.TrimFunc(text, isMark)
}
