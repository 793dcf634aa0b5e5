package page

import (
	"strings"

	"golang.org/x/net/html"
)

// shownItems reads what the page shows: the one item that the page is about,
// or its cards.
func (r *reader) shownItems(stated []item) []item {
	ms := r.mentions()
	if r.speaksOfPrices(ms) && len(stated) == 0 {
		for _, m := range ms {
			r.skip(m.order, m.text, "one of several amounts in running text")
		}
		return nil
	}
	cards := r.cards(ms, stated)
	r.judge(cards)
	groups := r.groupsOf(cards)
	kept := r.aboutHeading(cards, r.withoutLesser(cards, r.withoutUntitled(cards, r.titled(cards, groups))))
	if r.isSingle(cards, kept, stated) {
		for _, c := range cards {
			if c.why != "" && len(c.asks) > 0 {
				r.skip(r.at(c), r.skippedTitle(c), c.why)
			}
		}
		return []item{r.wholeItem(kept, cards)}
	}
	return r.cardItems(cards, kept, groups)
}

// speaksOfPrices says whether a page has amounts in running text only, several
// of them in one paragraph: an article.
func (r *reader) speaksOfPrices(ms []*mention) bool {
	at := map[*html.Node]int{}
	most := 0
	for _, m := range ms {
		if m.purpose == asking && !m.whole {
			at[m.el]++
			most = max(most, at[m.el])
		}
	}
	return r.prose && most >= 2
}

// titled gives the cards that stand: with a reason against them, without a
// title, or as the steps of a filter (one text that holds the price and differs
// by its number only) they do not.
func (r *reader) titled(cards []card, groups map[string]group) []int {
	titles := make([]string, len(cards))
	same := map[string]int{}
	priceInTitle := make([]bool, len(cards))
	for i, c := range cards {
		var node *html.Node
		node, titles[i] = r.cardTitle(c, groups[c.key])
		priceInTitle[i] = r.shownSize(c) <= shortText && (node == nil || r.holdsAsk(node, c))
		for _, m := range c.asks {
			titles[i] = strings.Replace(titles[i], m.quote, "", 1)
		}
		same[c.key+"\n"+withoutDigits(titles[i])]++
	}
	var kept []int
	for i := range cards {
		c := &cards[i]
		n := groups[c.key].cards
		switch {
		case c.why != "":
		case letters(titles[i]) < 3:
			c.why = "a price without a title"
		case n >= 3 && same[c.key+"\n"+withoutDigits(titles[i])] == n && priceInTitle[i]:
			c.why = whyNav
		}
		if c.why == "" {
			kept = append(kept, i)
		}
	}
	return kept
}

// withoutUntitled leaves out the cards without a heading, a link, words in bold
// or a picture's words where most cards of their kind have some: a fee in one
// more paragraph below.
func (r *reader) withoutUntitled(cards []card, kept []int) []int {
	count, titled, all := map[string]int{}, map[string]int{}, 0
	has := map[int]bool{}
	for _, i := range kept {
		c := cards[i]
		has[i] = r.marksTitle(c)
		count[c.key]++
		titled[c.key] += btoi(has[i])
		all += btoi(has[i])
	}
	var own []int
	for _, i := range kept {
		c := &cards[i]
		likely := count[c.key] >= 3 && 3*titled[c.key] >= 2*count[c.key] || count[c.key] == 1 && all >= 2
		if !has[i] && likely {
			c.why = whyAmount
			continue
		}
		own = append(own, i)
	}
	return own
}

// marksTitle says whether an element of a card stands out as its title.
func (r *reader) marksTitle(c card) bool {
	if len(c.nodes) > 1 {
		return true
	}
	for _, e := range r.elements(c) {
		switch {
		case e.Data == "img" && letters(attr(e, "alt")) >= 3, r.columns[r.tree.index[e]].field == "title":
			return true
		case isHeading(e), e.Data == "a", e.Data == "b", e.Data == "strong", e.Data == "th", e.Data == "dt", attr(e, "role") == "heading", r.hint(e) == "title":
			if letters(textOf(nil, e)) >= 3 {
				return true
			}
		}
	}
	return false
}

// aboutItem gives the card that holds the page's main heading where it has more
// words than all the others together, none of which is alike: an item with a
// list of bids or of others below. -1 if there is none.
func (r *reader) aboutItem(cards []card, kept []int) int {
	h := r.mainHeading()
	if h == nil || h.Data != "h1" {
		return -1
	}
	own, others := -1, 0
	for _, i := range kept {
		if own < 0 && r.holdsElement(cards[i], h) {
			own = i
			continue
		}
		others += r.shownSize(cards[i])
	}
	if own < 0 || len(cards[own].asks) == 0 || others > r.shownSize(cards[own]) {
		return -1
	}
	for _, i := range kept {
		if i != own && (len(cards[own].nodes) == 1 || len(cards[i].nodes) > 1) && cards[i].key == cards[own].key {
			return -1
		}
	}
	return own
}

// aboutHeading keeps only the card that holds the page's main heading, if one
// does and no two cards are alike: the others are prices on a page about one
// item. Where the heading is outside, cards of one amount count once.
func (r *reader) aboutHeading(cards []card, kept []int) []int {
	h := r.mainHeading()
	if len(kept) < 2 || h == nil || h.Data != "h1" {
		return kept
	}
	if own := r.aboutItem(cards, kept); own >= 0 {
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

// beside leaves out all cards but one.
func beside(cards []card, kept []int, own int) []int {
	for _, i := range kept {
		if i != own {
			cards[i].why = "beside the page's one item"
		}
	}
	return []int{own}
}

// withoutLesser leaves out a short list of short entries that follows the
// page's own list: at most half as many, all of them after it, each with a
// third of the words. Pages put such lists under headings of any wording.
func (r *reader) withoutLesser(cards []card, kept []int) []int {
	type list struct{ first, last, n, size int }
	lists := map[string]*list{}
	main := &list{}
	for _, i := range kept {
		l := lists[cards[i].key]
		if l == nil {
			l = &list{first: i}
			lists[cards[i].key] = l
		}
		l.last, l.n, l.size = i, l.n+1, l.size+r.shownSize(cards[i])
		if l.n > main.n {
			main = l
		}
	}
	var own []int
	for _, i := range kept {
		l := lists[cards[i].key]
		if l != main && l.n >= 2 && 2*l.n <= main.n && l.first > main.last && 3*l.size*main.n < main.size*l.n {
			cards[i].why = "a short list after the page's own"
			continue
		}
		own = append(own, i)
	}
	return own
}

// shownSize gives the size of a card's words.
func (r *reader) shownSize(c card) int {
	size := 0
	for _, e := range c.nodes {
		if e.Type == html.ElementNode {
			size += r.tree.size[r.tree.index[e]]
		}
	}
	return size
}

func withoutDigits(s string) string {
	return strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' || strings.ContainsRune("()., -–", r) {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// isSingle says whether the page is about one item: structured data says so,
// or its only price belongs to its main heading rather than to an entry with
// a heading and a link of its own.
func (r *reader) isSingle(cards []card, kept []int, stated []item) bool {
	one := 0
	for _, it := range stated {
		if it.single && !it.summary {
			one++
		}
	}
	if len(kept) > 1 {
		return false
	}
	if len(kept) == 1 {
		for _, it := range stated {
			if it.scoped && it.key != "" && it.order == r.at(cards[kept[0]]) {
				return false
			}
		}
	}
	return one > 0 || len(kept) == 1
}

func (r *reader) skippedTitle(c card) string {
	if _, title := r.cardTitle(c, group{}); title != "" {
		return title
	}
	if len(c.asks) > 0 {
		return c.asks[0].text
	}
	return ""
}

// cardItems reads the cards that stand and tells of the others that have a
// price.
func (r *reader) cardItems(cards []card, kept []int, groups map[string]group) []item {
	stands := map[int]bool{}
	for _, i := range kept {
		stands[i] = true
	}
	var items []item
	for i, c := range cards {
		it := r.cardItem(c, groups[c.key])
		if stands[i] {
			items = append(items, it)
		} else if len(c.asks)+len(c.others) > 0 || c.why == whyAmount {
			r.skip(it.order, firstOf(it.title, r.skippedTitle(c)), c.why)
		}
	}
	return items
}

// wholeItem reads a page about one item. Where its only card is an entry with
// a linked heading of its own, that is read; else the main heading, the price,
// the attribute tables and all descriptive text.
func (r *reader) wholeItem(kept []int, cards []card) item {
	var c card
	if len(kept) == 1 {
		c = cards[kept[0]]
		if entry := r.entry(c); entry != nil {
			return r.cardItem(card{nodes: []*html.Node{entry}, asks: c.asks, others: c.others}, group{})
		}
	}
	it := item{single: true}
	heading := r.mainHeading()
	it.title = fold(firstOf(textIf(heading), r.about.meta["og:title"], r.about.title))
	it.add("title", tagOf(heading), "", it.title, "card")
	r.cardPrice(&it, card{nodes: []*html.Node{r.body()}, asks: c.asks}, group{}, "")
	it.url = r.about.url
	drop := map[*html.Node]bool{}
	for _, other := range cards {
		if other.why != "" {
			for _, n := range other.nodes {
				drop[n] = true
			}
		}
	}
	if heading != nil {
		drop[heading] = true
	}
	for _, m := range c.amounts() {
		if m.whole {
			drop[m.el] = true
		}
	}
	body := r.content()
	pairs, shown := r.attributes(body)
	for n := range shown {
		drop[n] = true
	}
	for _, e := range body {
		if e.Type == html.ElementNode && !unseen(e) {
			r.hintedCells(&it, card{nodes: []*html.Node{e}}, heading)
		}
	}
	addPairs(&it, pairs)
	own := func(n *html.Node) bool {
		return r.holdsAsk(n, c) || heading != nil && r.tree.contains(n, heading)
	}
	text := linesOf(func(n *html.Node) bool {
		return drop[n] || isButton(n) || n.Type == html.ElementNode && !own(n) && r.furniture(n)
	}, body...)
	it.add("text", "", "", clip(text, r.opts.Limits.CellBytes), "card")
	return it
}

func textIf(n *html.Node) string {
	if n == nil {
		return ""
	}
	return textOf(nil, n)
}

// body gives the element that holds the page's content.
func (r *reader) body() *html.Node {
	for _, n := range r.tree.nodes {
		if n.Data == "body" {
			return n
		}
	}
	return r.tree.nodes[0]
}

// content gives the elements that hold the words of the item: main where the
// page has one, else the body.
func (r *reader) content() []*html.Node {
	for _, n := range r.tree.nodes {
		if (n.Data == "main" || attr(n, "role") == "main") && r.tree.size[r.tree.index[n]] > 0 {
			return []*html.Node{n}
		}
	}
	return []*html.Node{r.body()}
}

// furniture says whether an element is no part of the item's words:
// navigation, advertisements, similar items, the page's header, and blocks
// that are mostly links.
func (r *reader) furniture(n *html.Node) bool {
	why := r.region(n)
	if isFurniture(n) || why == whySimilar || why == whyAside || r.words.ad.name(n) || r.isCaption(n) && r.words.similar.in(textOf(nil, n)) {
		return true
	}
	size := r.tree.size[r.tree.index[n]]
	if size > 0 && (n.Data == "ul" || n.Data == "div" || n.Data == "ol") {
		links := 0
		i := r.tree.index[n]
		for _, e := range r.tree.nodes[i : r.tree.last[i]+1] {
			if e.Data == "a" {
				links += r.tree.size[r.tree.index[e]]
			}
		}
		return 10*links > 8*size
	}
	return false
}

// mainHeading gives the first h1 with words, else the first h2.
func (r *reader) mainHeading() *html.Node {
	for _, tag := range []string{"h1", "h2"} {
		for _, n := range r.tree.nodes {
			if n.Data == tag && !unseen(n) && letters(textOf(nil, n)) >= 3 {
				return n
			}
		}
	}
	return nil
}

// entry gives the element around a page's only price that is an entry of a
// list: it has a heading below the first rank, or is a list item or article,
// with a link, and no main heading.
func (r *reader) entry(c card) *html.Node {
	if len(c.asks) == 0 {
		return nil
	}
	for e := c.asks[0].el; !isOuter(e) && e.Data != "main"; e = e.Parent {
		i := r.tree.index[e]
		linked := false
		for _, n := range r.tree.nodes[i : r.tree.last[i]+1] {
			if n.Data == "h1" {
				return nil
			}
			if isHeading(n) && hasLink(n) {
				linked = true
			}
			if (e.Data == "li" || e.Data == "article" || e.Data == "tr") && n.Data == "a" && letters(textOf(nil, n)) >= 3 {
				linked = true
			}
		}
		if linked {
			return r.grow(e)
		}
	}
	return nil
}

// grow takes the list item or article around an entry.
func (r *reader) grow(e *html.Node) *html.Node {
	for up := e; !isOuter(up); up = up.Parent {
		if up.Data == "li" || up.Data == "article" {
			return up
		}
	}
	for up := e.Parent; !isOuter(up) && up.Data != "main"; up = up.Parent {
		i := r.tree.index[up]
		for _, n := range r.tree.nodes[i : r.tree.last[i]+1] {
			if n.Data == "h1" {
				return e
			}
		}
		if r.tree.size[r.tree.index[up]] > 2*r.tree.size[r.tree.index[e]]+400 {
			return e
		}
		e = up
	}
	return e
}
