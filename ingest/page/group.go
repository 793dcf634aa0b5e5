package page

import (
	"regexp"
	"strings"

	"golang.org/x/net/html"
)

// A group is what the cards of one kind have in common.
type group struct {
	cards  int
	size   int            // of their words together
	said   map[string]int // in how many cards a link, a picture or a heading says this
	price  map[string]int // how many prices stand in an element of this kind
	leaves map[string]int // in how many cards an element without others says this
	dated  map[string]int // in how many cards a short element of this kind holds a date
	placed map[string]int // in how many cards a short element of this kind holds a place
}

func (g group) usual(text string) bool {
	return g.cards >= 2 && 2*g.said[text] > g.cards
}

// repeats says whether an element without others says a text in most cards.
func (g group) repeats(text string) bool {
	return g.cards >= 3 && 2*g.leaves[trimMarks(text)] > g.cards
}

// groupsOf counts what links, pictures and headings say in each kind of card;
// what most of them say is no title.
func (r *reader) groupsOf(cards []card) map[string]group {
	groups := map[string]group{}
	type said struct {
		what byte // a date, a leaf, or a title
		text string
	}
	seen := map[said]bool{} // in one card
	for _, c := range cards {
		g, ok := groups[c.key]
		if !ok {
			g.said, g.price, g.dated, g.leaves, g.placed = map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}
		}
		if len(c.asks) > 0 && c.ask().whole {
			for e := r.frame(c.ask().el); e != nil; e = r.sameInside(e) {
				g.price[r.tree.key(e)]++
				g.price[exactKind(e)]++
			}
		}
		g.cards++
		g.size += r.shownSize(c)
		clear(seen)
		first := func(what byte, text string) bool {
			k := said{what, text}
			was := seen[k]
			seen[k] = true
			return !was
		}
		for _, e := range r.elements(c) {
			text, size := "", r.tree.size[r.tree.at(e)]
			switch {
			case e.Data == "img":
				text = attr(e, "alt")
			case (e.Data == "a" || isHeading(e)) && size <= 200:
				text = r.tree.text(e)
			}
			if r.dateIn(e) != "" && first('d', r.tree.key(e)) {
				g.dated[r.tree.key(e)]++
			}
			if r.placeIn(e) != "" && first('p', r.tree.key(e)) {
				g.placed[r.tree.key(e)]++
			}
			if size > 0 && size <= 2*shortText {
				if leaf := trimMarks(r.ownText(e)); leaf != "" && first('l', leaf) {
					g.leaves[leaf]++
				}
			}
			if text != "" && first('t', text) {
				g.said[text]++
			}
		}
		groups[c.key] = g
	}
	return groups
}

// exactKind names the kind of an element by its tag and all of its class names,
// and those of its parent.
func exactKind(n *html.Node) string {
	own := n.Data + " " + attr(n, "class")
	if n.Parent != nil && n.Parent.Type == html.ElementNode {
		own += "<" + n.Parent.Data + " " + attr(n.Parent, "class")
	}
	return own
}

// datePattern finds a date of this century with its day: in figures, or with
// one word between day and year, in any language.
var datePattern = regexp.MustCompile(`\b(?:\d{1,2}[./-]\d{1,2}[./-](?:20)?\d{2}|20\d{2}-\d{2}-\d{2}|\d{1,2}\.?\s\p{L}{3,10}\.?\s20\d{2})\b`)

// dateIn gives the date in a short element whose words are all its own.
func (r *reader) dateIn(n *html.Node) string {
	size := r.tree.size[r.tree.at(n)]
	if size < 3 || size > 40 || unseen(n) {
		return ""
	}
	if r.dates == nil {
		r.dates = make([]*string, len(r.tree.nodes))
	}
	at := r.tree.at(n)
	if r.dates[at] == nil {
		date := ""
		if text := r.ownText(n); letters(text)+digits(text) >= 3 {
			if mayHoldDate(text) {
				date = datePattern.FindString(text)
			}
			if date == "" {
				date, _ = r.opts.Date(text)
			}
		}
		r.dates[at] = &date
	}
	return *r.dates[at]
}

// mayHoldDate says whether a text has the digits and marks of datePattern.
func mayHoldDate(text string) bool {
	return digits(text) >= 4 && (strings.Contains(text, "20") || strings.Count(text, ".")+strings.Count(text, "/")+strings.Count(text, "-") >= 2)
}

// ownText gives the words of an element that has no words inside another, ""
// where it has.
func (r *reader) ownText(n *html.Node) string {
	i := r.tree.at(n)
	if r.own == nil {
		r.own = make([]*string, len(r.tree.nodes))
	}
	if r.own[i] == nil {
		text := r.findOwn(n)
		r.own[i] = &text
	}
	return *r.own[i]
}

func (r *reader) findOwn(n *html.Node) string {
	var text string
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		switch {
		case c.Type == html.ElementNode && r.tree.size[r.tree.at(c)] > 0 && !unseen(c):
			return ""
		case c.Type == html.TextNode && strings.TrimSpace(c.Data) != "":
			if text != "" {
				return ""
			}
			text = fold(c.Data)
		}
	}
	return text
}

// addDate adds the date that stands in a card where most cards of its kind
// have one, and gives it.
func (r *reader) addDate(it *item, c card, g group) string {
	if g.cards < 2 || it.get("listed") != "" {
		return ""
	}
	for _, e := range r.elements(c) {
		if date := r.dateIn(e); date != "" && 2*g.dated[r.tree.key(e)] > g.cards {
			it.add("listed", attr(e, "class"), "", date, "card")
			return date
		}
	}
	return ""
}

// placeIn gives the place with a postal code in a short element whose words are
// all its own.
func (r *reader) placeIn(n *html.Node) string {
	size := r.tree.size[r.tree.at(n)]
	if size < 7 || size > shortText || unseen(n) {
		return ""
	}
	if text := r.ownText(n); letters(text) >= 3 && digits(text) >= 3 && digits(text) <= 7 && codedPlace.MatchString(text) {
		return text
	}
	return ""
}

// codedPlace is a name and a postal code, in either order.
var codedPlace = regexp.MustCompile(`^(?:(?:\p{Lu}{1,2}[- ])?\d{2}[ -]?\d{2,3}(?: ?\p{Lu}{2})? \p{Lu}[\p{L} .'/()-]+|\p{Lu}[\p{L} .'/()-]+,? \(?\d{4,5}\)?)$`)

// addPlace adds the place with a postal code that stands in a card where most
// cards of its kind have one, and gives it.
func (r *reader) addPlace(it *item, c card, g group) string {
	if g.cards < 2 {
		return ""
	}
	for _, e := range r.elements(c) {
		if place := r.placeIn(e); place != "" && 2*g.placed[r.tree.key(e)] > g.cards {
			if it.get("place") == "" {
				it.add("place", attr(e, "class"), "", place, "card")
			}
			return place
		}
	}
	return ""
}

// withoutSaid takes the date or place of a listing out of a text, lest it be read as
// a year or price of what is offered: its last mention, in a line of its own
// making.
func withoutSaid(text, date string) string {
	i := strings.LastIndex(text, date)
	if i < 0 {
		return text
	}
	start, end := strings.LastIndex(text[:i], "\n")+1, len(text)
	if n := strings.Index(text[i:], "\n"); n >= 0 {
		end = i + n
	}
	if end-start > 80 {
		return text
	}
	line := trimMarks(text[start:i] + " " + text[i+len(date):end])
	return strings.TrimSpace(text[:start] + line + text[end:])
}

// sameInside gives the element inside that shows all that an element does, nil
// if there is none.
func (r *reader) sameInside(n *html.Node) *html.Node {
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.ElementNode && r.tree.size[r.tree.at(c)] == r.tree.size[r.tree.at(n)] {
			return c
		}
	}
	return nil
}

// frame gives the outermost element that shows no more than an element.
func (r *reader) frame(n *html.Node) *html.Node {
	for !isOuter(n.Parent) && r.tree.size[r.tree.at(n.Parent)] == r.tree.size[r.tree.at(n)] {
		n = n.Parent
	}
	return n
}
