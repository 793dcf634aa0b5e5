package page

import (
	"strconv"
	"strings"

	"golang.org/x/net/html"
)

// titled gives the cards that stand: with a reason against them, without a
// title, or as the steps of a filter (one text that holds the price and differs
// by its number only, or one or two such beside listings with far more words)
// they do not.
func (r *reader) titled(cards []card, groups map[string]group) []int {
	titles := make([]string, len(cards))
	same := map[string]int{}
	priceInTitle, linked := make([]bool, len(cards)), make([]bool, len(cards))
	for i, c := range cards {
		var node *html.Node
		node, titles[i] = r.cardTitle(c, groups[c.key])
		linked[i] = node != nil && node.Data == "a"
		priceInTitle[i] = r.shownSize(c) <= shortText && (node == nil || r.holdsAsk(node, c))
		for _, m := range c.asks {
			titles[i] = strings.Replace(titles[i], m.quote, "", 1)
		}
		same[c.key+"\n"+withoutDigits(titles[i])]++
	}
	inTitles := 0
	for _, in := range priceInTitle {
		inTitles += btoi(in)
	}
	var most group // the most cards of one kind
	for _, c := range cards {
		if g := groups[c.key]; g.cards > most.cards {
			most = g
		}
	}
	near := map[string]int{}
	for _, c := range cards {
		near[r.placeOf(c)]++
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
		case near[r.placeOf(*c)] <= 2 && most.cards > 4 && priceInTitle[i] && (4*r.shownSize(*c)*most.cards < most.size || linked[i] && 4*inTitles < len(cards)):
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
// more paragraph below. So it does with one of its own kind that leads nowhere
// beside cards that do, the bounds of a filter, or with its price among words
// beside cards whose price stands alone.
func (r *reader) withoutUntitled(cards []card, kept []int) []int {
	count, titled, all, linked, plain := map[string]int{}, map[string]int{}, 0, 0, 0
	has, links := map[int]bool{}, map[int]bool{}
	near := map[string]int{} // cards of one kind in one place
	for _, i := range kept {
		c := cards[i]
		near[r.placeOf(c)]++
		has[i], links[i] = r.marksTitle(c), r.leads(c)
		linked += btoi(links[i])
		plain += btoi(len(c.asks) > 0 && c.ask().level() < 3)
		count[c.key]++
		titled[c.key] += btoi(has[i])
		all += btoi(has[i])
	}
	var own []int
	for _, i := range kept {
		c := &cards[i]
		likely := count[c.key] >= 3 && 3*titled[c.key] >= 2*count[c.key] || count[c.key] == 1 && all >= 2
		alone := near[r.placeOf(*c)] == 1 && !r.holdsMain(*c) && (!links[i] && linked >= 3 && linked >= len(kept)-2 ||
			len(c.asks) > 0 && c.ask().level() == 3 && plain >= 3 && plain >= len(kept)-2)
		if !has[i] && likely || alone {
			c.why = whyAmount
			continue
		}
		own = append(own, i)
	}
	return own
}

// holdsMain says whether a card holds the page's main heading.
func (r *reader) holdsMain(c card) bool {
	h := r.mainHeading()
	return h != nil && r.holdsElement(c, h)
}

// placeOf names the kind of a card, and where it stands if that has no class
// name.
func (r *reader) placeOf(c card) string {
	if n := c.nodes[0]; n.Type == html.ElementNode && attr(n, "class") == "" {
		return c.key + " " + strconv.Itoa(r.tree.at(n.Parent))
	}
	return c.key
}

// leads says whether a card holds a link or stands in one.
func (r *reader) leads(c card) bool {
	for _, e := range r.elements(c) {
		if e.Data == "a" && attr(e, "href") != "" && !isButton(e) {
			return true
		}
	}
	for e := outermost(c); e != nil; e = e.Parent {
		if e.Data == "a" {
			return true
		}
	}
	return false
}

// marksTitle says whether an element of a card stands out as its title.
func (r *reader) marksTitle(c card) bool {
	if len(c.nodes) > 1 {
		return true
	}
	for _, e := range r.elements(c) {
		switch {
		case e.Data == "img" && letters(attr(e, "alt")) >= 3, r.columns[r.tree.at(e)].field == "title":
			return true
		case isHeading(e), e.Data == "a", e.Data == "b", e.Data == "strong", e.Data == "th", e.Data == "dt", attr(e, "role") == "heading", r.hint(e) == "title":
			if letters(r.tree.text(e)) >= 3 {
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
	if h == nil || h.Data != "h1" && !r.inTitle(h) {
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
	if len(kept) < 2 || h == nil || h.Data != "h1" && !r.inTitle(h) {
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
	if !strings.Contains(sameTitle(r.about.title), title) && !strings.Contains(sameTitle(textIf(r.mainHeading())), title) {
		return kept
	}
	own := -1
	for _, i := range kept {
		if _, shown := r.cardTitle(cards[i], group{}); own < 0 && (sameTitle(shown) == title || r.holdsMain(cards[i])) {
			own = i
		}
	}
	rest := beside(cards, kept, own)
	if own < 0 {
		return nil
	}
	return rest
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
	type list struct{ first, last, n, size, pictures int }
	lists := map[string]*list{}
	main := &list{}
	for _, i := range kept {
		l := lists[cards[i].key]
		if l == nil {
			l = &list{first: i}
			lists[cards[i].key] = l
		}
		l.last, l.n, l.size = i, l.n+1, l.size+r.shownSize(cards[i])
		l.pictures += btoi(r.hasPicture(cards[i]))
		if l.n > main.n {
			main = l
		}
	}
	var own []int
	for _, i := range kept {
		l := lists[cards[i].key]
		times := 3
		if l.pictures == 0 && main.pictures == main.n {
			times = 1
		}
		if l != main && l.n >= 2 && 2*l.n <= main.n && l.first > main.last && times*l.size*main.n < main.size*l.n {
			cards[i].why = "a short list after the page's own"
			continue
		}
		own = append(own, i)
	}
	return own
}

func (r *reader) hasPicture(c card) bool {
	for _, e := range r.elements(c) {
		if e.Data == "img" || e.Data == "picture" {
			return true
		}
	}
	return false
}

// shownSize gives the size of a card's words.
func (r *reader) shownSize(c card) int {
	size := 0
	for _, e := range c.nodes {
		if e.Type == html.ElementNode {
			size += r.tree.size[r.tree.at(e)]
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
