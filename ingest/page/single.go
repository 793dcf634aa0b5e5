package page

import (
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// shownItems reads what the page shows: the one item that the page is about,
// or its cards.
func (r *reader) shownItems(stated []item) []item {
	ms := r.mentions()
	cards, groups, kept := r.standing(ms, stated)
	if own, ok := r.ownPrice(ms, cards, kept, stated); ok {
		it := r.ownItem(own)
		r.tellSkipped(cards)
		return []item{it}
	}
	if r.empty = r.findsNothing(cards, kept); r.empty {
		for _, i := range kept {
			cards[i].why = "suggested where nothing was found"
		}
		r.tellSkipped(cards)
		return nil
	}
	if !r.prose && len(kept) == 0 && !statesItems(stated) {
		r.prose = true // the amounts that stand out are no listings
		skipped, again := r.skipped, r.mentions()
		if r.skipped = nil; !r.speaksOfPrices(again) {
			inProse, proseGroups, proseKept := r.standing(again, stated)
			if len(proseKept) > 0 {
				cards, groups, kept = inProse, proseGroups, proseKept
			}
		}
		if len(kept) == 0 {
			r.skipped = skipped
		}
	} else if r.speaksOfPrices(ms) && !statesItems(stated) {
		r.skipped = nil
		for _, m := range ms {
			r.skip(m.order, m.text, "one of several amounts in running text")
		}
		return nil
	}
	if len(kept) == 0 && !statesItems(stated) {
		if it, ok := r.priceless(cards); ok {
			r.tellSkipped(cards)
			return []item{it}
		}
	}
	if r.isSingle(cards, kept, stated) {
		r.tellSkipped(cards)
		return []item{r.wholeItem(kept, cards)}
	}
	return r.cardItems(cards, kept, groups)
}

// tellSkipped tells of the cards with a price that are no listings.
func (r *reader) tellSkipped(cards []card) {
	for _, c := range cards {
		if c.why != "" && len(c.asks) > 0 {
			r.skip(r.at(c), r.skippedTitle(c), c.why)
		}
	}
}

// statesItems says whether the page states an item, and not only sums up offers
// or holds data of whatever.
func statesItems(stated []item) bool {
	return slices.ContainsFunc(stated, func(it item) bool { return !it.summary && !it.loose })
}

// standing gives the cards around some amounts, what those of a kind have in
// common, and which of them are listings.
func (r *reader) standing(ms []*mention, stated []item) (cards []card, groups map[string]group, kept []int) {
	cards = r.cards(ms, stated)
	r.judge(cards)
	groups = r.groupsOf(cards)
	r.withoutMentions(cards, groups)
	kept = r.withoutLesser(cards, r.withoutOdd(cards, r.withoutUntitled(cards, r.withoutBounds(cards, r.titled(cards, groups)))))
	kept = r.aboutStated(cards, stated, r.aboutHeading(cards, r.withoutStrips(cards, r.withoutAside(cards, kept))))
	if i, ok := r.aboutUntitled(cards, kept); ok {
		beside(cards, kept, -1)
		cards[i].why, kept = "", []int{i}
	}
	if !statesItems(stated) {
		kept = r.convincing(cards, kept)
	}
	return cards, groups, kept
}

// speaksOfPrices says whether a page has amounts in running text only, several
// of them in one paragraph: an article.
func (r *reader) speaksOfPrices(ms []*mention) bool {
	at := map[*html.Node]int{}
	most := 0
	for _, m := range ms {
		if m.purpose == asking && !m.whole && !m.bound {
			at[m.el]++
			most = max(most, at[m.el])
		}
	}
	return r.prose && most >= 2
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
	if _, title := r.findTitle(c, group{}); title != "" {
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
	items := make([]item, 0, len(kept))
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
		if entry := r.entry(c, cards); entry != nil && !c.own {
			return r.cardItem(card{nodes: []*html.Node{entry}, asks: c.asks, others: c.others}, group{})
		}
	}
	heading := r.mainHeading()
	it := item{single: true, headed: heading != nil}
	it.title = fold(firstOf(r.textIf(heading), r.about.meta["og:title"], r.about.title))
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

func (r *reader) textIf(heading *html.Node) string {
	if heading == nil {
		return ""
	}
	return r.titleText(heading)
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
		if (n.Data == "main" || attr(n, "role") == "main") && r.tree.size[r.tree.at(n)] > 0 {
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
	if isFurniture(n) || why == whySimilar || why == whyAside || r.words.ad.name(n) || r.isCaption(n) && r.words.similar.in(r.tree.text(n)) {
		return true
	}
	size := r.tree.size[r.tree.at(n)]
	if size > 0 && (n.Data == "ul" || n.Data == "div" || n.Data == "ol") {
		links := 0
		i := r.tree.at(n)
		for _, e := range r.tree.nodes[i : r.tree.last[i]+1] {
			if e.Data == "a" {
				links += r.tree.size[r.tree.at(e)]
			}
		}
		return 10*links > 8*size
	}
	return false
}

// mainHeading gives the first h1 with words, else the first heading that the
// page's title names, else the first h2.
func (r *reader) mainHeading() *html.Node {
	if !r.headed {
		r.headed, r.heading = true, r.findHeading()
	}
	return r.heading
}

func (r *reader) findHeading() *html.Node {
	var named, second *html.Node
	for _, n := range r.tree.nodes {
		if !isHeading(n) && !isFirstHeading(n) || unseen(n) || letters(r.tree.text(n)) < 3 {
			continue
		}
		switch {
		case isFirstHeading(n):
			return n
		case named == nil && r.inTitle(n):
			named = n
		case second == nil && n.Data == "h2":
			second = n
		}
	}
	if named != nil {
		return named
	}
	untagged := r.untaggedHeading()
	if untagged == nil && second != nil {
		return second
	}
	return untagged
}

// untaggedHeading gives the first short text on a page without main headings
// that begins as a part of the page's title does: "Cat 16, dry" below a title
// of "Advert: Cat 16 | Market". Headings of any rank come first, then what has
// most words in common with a part: the name of a thing, not of the site.
func (r *reader) untaggedHeading() *html.Node {
	var names [][]string
	for _, part := range titleParts.Split(r.about.title, -1) {
		if words := wordsOf(part); len(words) > 1 {
			names = append(names, words)
		}
	}
	var best *html.Node
	most := 0 // words that it has in common with a part
	for _, n := range r.tree.nodes {
		size := r.tree.size[r.tree.at(n)]
		heading := isHeading(n)
		if size < besideWords/2 || size > 2*shortText || unseen(n) || !heading && !isBlock(n) && !(n.Data == "span" && standsApart(n)) || n.Data == "title" {
			continue
		}
		text := r.ownText(n)
		if heading || text == "" && r.sameInside(n) != nil {
			text = r.tree.text(n)
		}
		words := wordsOf(text)
		for _, name := range names {
			same := leading(words, name)
			if same < 2 || 2*same < len(name) || letters(strings.Join(name[:same], "")) < besideWords/3 {
				continue
			}
			if heading {
				return n
			}
			if same > most {
				best, most = n, same
			}
		}
	}
	return best
}

// leading counts the words with which two texts both begin.
func leading(a, b []string) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

// titleParts parts a page's title at the marks that set its parts off.
var titleParts = regexp.MustCompile(`\s+[|–—·•»«-]+\s+|:\s+`)
