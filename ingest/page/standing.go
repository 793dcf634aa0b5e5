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
	r.alignTitles(cards, groups)
	titles := make([]string, len(cards))
	same := map[string]int{}
	priceInTitle, linked := make([]bool, len(cards)), make([]bool, len(cards))
	for i, c := range cards {
		var node *html.Node
		node, titles[i] = r.cardTitle(c, groups[c.key])
		cards[i].title = &title{node, titles[i]}
		linked[i] = node != nil && node.Data == "a"
		priceInTitle[i] = r.shownSize(c) <= shortText && (node == nil || r.holdsAsk(node, c) || len(c.asks) > 0 && strings.Contains(titles[i], c.asks[0].quote))
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
	paid := map[string]bool{} // places where one card is called a paid place
	for i, c := range cards {
		if r.words.top.are(titles[i]) || r.words.ad.are(titles[i]) {
			paid[r.placeOf(c)] = near[r.placeOf(c)] <= mostPlans
		}
	}
	var kept []int
	for i := range cards {
		c := &cards[i]
		n := groups[c.key].cards
		switch {
		case c.why != "":
		case letters(titles[i]) < 3, letters(datePattern.ReplaceAllString(titles[i], "")) < 3, letters(titles[i]) < 5 && digits(titles[i]) == 0 && priceInTitle[i] && !r.leads(*c), n < 3 && r.labelOf(titles[i]).field == "price":
			c.why = whyUntitled
		case paid[r.placeOf(*c)]:
			c.why = whyNav // what a paid place costs
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

const mostPlans = 5 // ways to place an advertisement that a page offers

// alignTitles notes the kind of element that shows the title in most cards of a
// group, three or more: the others have theirs there too.
func (r *reader) alignTitles(cards []card, groups map[string]group) {
	count, first := map[string]map[string]int{}, map[string]int{}
	for _, c := range cards {
		node, title := r.cardTitle(c, groups[c.key])
		if node == nil || uncut(node, fold(r.titleText(node))) != title {
			continue
		}
		if count[c.key] == nil {
			count[c.key] = map[string]int{}
		}
		kind := r.tree.key(node)
		count[c.key][kind]++
		first[c.key+"\n"+kind] += btoi(r.isFirstOfKind(node, c))
	}
	for i := range cards {
		for kind, n := range count[cards[i].key] {
			if all := groups[cards[i].key].cards; n >= 3 && 2*n > all {
				cards[i].titled = kind // there is one such at most
				cards[i].first = first[cards[i].key+"\n"+kind] == n
			}
		}
	}
}

// withoutUntitled leaves out the cards without a heading, a link, words in bold
// or a picture's words where most cards of their kind have some: a fee in one
// more paragraph below. So it does with one of its own kind that leads nowhere
// beside cards that do, the bounds of a filter, or with its price among words
// beside cards whose price stands alone.
func (r *reader) withoutUntitled(cards []card, kept []int) []int {
	count, titled, all, linked, plain, priced := map[string]int{}, map[string]int{}, 0, 0, 0, 0
	has, links := map[int]bool{}, map[int]bool{}
	near := map[string]int{} // cards of one kind in one place
	for _, i := range kept {
		c := cards[i]
		near[r.placeOf(c)]++
		has[i], links[i] = r.marksTitle(c), r.leads(c)
		linked += btoi(links[i])
		priced += btoi(len(c.asks) > 0)
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
			len(c.asks) > 0 && c.ask().level() == 3 && plain >= 3 && plain >= priced-2)
		if !has[i] && likely || alone {
			c.why = whyAmount
			continue
		}
		own = append(own, i)
	}
	return own
}

// withoutBounds leaves out the cards of a kind whose amounts all are bounds of
// prices, "up to 500", where cards of another kind have prices, or without a
// picture and a link.
func (r *reader) withoutBounds(cards []card, kept []int) []int {
	exact, bounds, any := map[string]bool{}, map[string]bool{}, false
	for _, c := range cards {
		if len(c.asks) > 0 {
			place := r.placeOf(c)
			bounds[place] = bounds[place] || c.ask().bound
			exact[place] = exact[place] || !c.ask().bound
			any = any || c.why == "" && !c.ask().bound
		}
	}
	var own []int
	for _, i := range kept {
		if c := &cards[i]; bounds[r.placeOf(*c)] && !exact[r.placeOf(*c)] && (any || !r.hasPicture(*c) || !r.leads(*c)) {
			c.why = whyNav
			continue
		}
		own = append(own, i)
	}
	return own
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
	if len(c.nodes) > 1 || c.nodes[0].Type == html.TextNode {
		return true // an entry of a flat list, told from others by where it stands
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

// withoutOdd leaves out the cards of small kinds beside a list of three or more
// that lead somewhere and make most of the page: those that lead nowhere, and a
// single one that does not stand in the list and has no picture and link.
func (r *reader) withoutOdd(cards []card, kept []int) []int {
	count, leading := map[string]int{}, map[string]int{}
	most := ""
	for _, i := range kept {
		place := r.placeOf(cards[i])
		count[place]++
		leading[place] += btoi(r.leads(cards[i]))
		if count[place] > count[most] {
			most = place
		}
	}
	if count[most] < 3 || 5*count[most] < 3*len(kept) {
		return kept
	}
	parents := map[*html.Node]bool{} // of the list's own
	for _, i := range kept {
		if r.placeOf(cards[i]) == most {
			parents[cards[i].nodes[0].Parent] = true
		}
	}
	var own []int
	for _, i := range kept {
		c := &cards[i]
		place := r.placeOf(*c)
		if place != most && !r.holdsMain(*c) && len(c.nodes) == 1 && !isInside(c.nodes[0], parents) &&
			(leading[most] == count[most] && leading[place] == 0 || count[place] == 1 && (!r.hasPicture(*c) || !r.leads(*c)) && leading[most] == 0) {
			c.why = whyAmount
			continue
		}
		own = append(own, i)
	}
	return own
}

// isInside says whether an element stands in one of some elements.
func isInside(n *html.Node, parents map[*html.Node]bool) bool {
	for e := n.Parent; !isOuter(e); e = e.Parent {
		if parents[e] {
			return true
		}
	}
	return false
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
		after := l.first > main.last && 2*l.n <= main.n && times*l.size*main.n < main.size*l.n
		if l != main && l.n >= 2 && (after || main.n > l.n && r.amid(cards[l.first], cards[l.last], cards[main.first])) {
			cards[i].why = "a short list after the page's own"
			continue
		}
		own = append(own, i)
	}
	return own
}

// amid says whether two cards stand inside one element beside a third: a list in
// the place of one entry of another.
func (r *reader) amid(first, last, beside card) bool {
	parent := beside.nodes[0].Parent
	if len(beside.nodes) > 1 || beside.nodes[0].Type != html.ElementNode {
		return false
	}
	for e := first.nodes[0]; e != nil && e.Parent != nil; e = e.Parent {
		if e.Parent == parent {
			return e != first.nodes[0] && e.Data == beside.nodes[0].Data && sharesClass(e, beside.nodes[0]) && r.holdsElement(card{nodes: []*html.Node{e}}, last.nodes[0])
		}
	}
	return false
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
