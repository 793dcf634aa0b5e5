package page

import (
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/record"
)

// ask gives the price of a card: what markup calls a price before what it
// does not, then the amount with the fewest other words beside it, then the
// lower of two that stand side by side.
func (c card) ask() *mention {
	best := c.asks[0]
	for _, m := range c.asks[1:] {
		switch {
		case m.bound != best.bound:
			if best.bound {
				best = m
			}
		case m.hinted != best.hinted:
			if m.hinted {
				best = m
			}
		case m.beside() < best.beside(), m.reduces(best):
			best = m
		}
	}
	return best
}

// reduces says whether an amount beside another is the lower, by half at most.
func (m *mention) reduces(other *mention) bool {
	return m.el.Parent == other.el.Parent && m.beside() == other.beside() && m.lowers(other)
}

// lowers says whether an amount is lower than another, by half at most.
func (m *mention) lowers(other *mention) bool {
	return m.known && other.known && m.amount.Currency == other.amount.Currency && m.amount.Minor < other.amount.Minor && 2*m.amount.Minor >= other.amount.Minor
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
// card are told as a problem. Where none is stated it adds the words that stand in a price's place. The
// element that shows it is given.
func (r *reader) cardPrice(it *item, c card, g group, title string) *html.Node {
	if len(c.asks) == 0 {
		e, words := r.priceWords(c, g)
		it.add("price", tagOf(e), "", words, "card")
		return e
	}
	m := c.ask()
	for _, other := range c.asks {
		if other != m && other.amount != m.amount && other.beside() <= m.beside() && other.hinted == m.hinted {
			it.problems = append(it.problems, record.Problem{Field: "price", Wanted: "one price in a card", Got: m.text + " / " + other.text, Hint: "the one that stands out most was taken"})
			break
		}
	}
	text := m.text
	if strings.Contains(title, text) || !m.whole && m.beside() > besideWords {
		text = m.quote
	}
	it.add("price", tagOf(m.el), r.unitOf(m.el), text, "card")
	if m.known {
		it.setAmount(m.amount)
		it.plain, it.marked = m.level() < 2, m.hinted
		it.signed = m.amount.Currency != "" && (strings.Contains(m.quote, "€") || strings.Contains(m.quote, m.amount.Currency))
	}
	return m.el
}

// unitOf gives the unit that the header over an element names.
func (r *reader) unitOf(n *html.Node) string {
	for ; n != nil && n.Data != "table"; n = n.Parent {
		if i, ok := r.tree.find(n); ok && r.columns[i].unit != "" {
			return r.columns[i].unit
		}
	}
	return ""
}

// withoutMentions takes an amount amid the words of a card for no price where
// words stand in the place in which most cards of its kind have theirs: "swap",
// beside a fee in the description.
func (r *reader) withoutMentions(cards []card, groups map[string]group) {
	for i := range cards {
		c := &cards[i]
		if len(c.asks) == 0 || c.ask().level() < 3 {
			continue
		}
		if e, words := r.priceWords(*c, groups[c.key]); e != nil && digits(words) == 0 && letters(words) >= 2 && !r.holdsAsk(e, *c) {
			c.others, c.asks = append(c.others, c.asks...), nil
		}
	}
}

// priceWords gives the words that stand where a card's price would be: in an
// element that markup calls a price, or of the kind that holds most prices of
// the other cards.
func (r *reader) priceWords(c card, g group) (*html.Node, string) {
	node, _ := r.cardTitle(c, g)
	for _, is := range []func(e *html.Node) bool{
		r.isPrice,
		r.isTerm,
		func(e *html.Node) bool { return 2*g.price[exactKind(e)] > g.cards && r.onlyExact(e, c) },
		func(e *html.Node) bool {
			return 2*g.price[r.tree.key(e)] > g.cards && (attr(e, "class") != "" || e.Data != "p" && e.Data != "div" && r.onlyKind(e, c))
		},
	} {
		for _, e := range r.elements(c) {
			if size := r.tree.size[r.tree.at(e)]; size > 0 && size <= shortText && !(node != nil && r.tree.contains(e, node)) && is(e) {
				return e, r.tree.text(e)
			}
		}
	}
	return r.termIn(c, node)
}

// isTerm says whether an element that leads nowhere says as a whole what stands
// in the place of a price.
func (r *reader) isTerm(n *html.Node) bool {
	return n.Data != "a" && !isHeading(n) && r.words.terms.are(r.ownText(n))
}

// termIn gives the element in a card, outside its title and what leads on, of
// which a text as a whole is what stands in the place of a price: "on
// request".
func (r *reader) termIn(c card, title *html.Node) (*html.Node, string) {
	if r.words.terms.empty() {
		return nil, ""
	}
	for _, e := range r.elements(c) {
		if unseen(e) || e.Data == "a" || isHeading(e) || title != nil && r.tree.contains(title, e) {
			continue
		}
		for t := e.FirstChild; t != nil; t = t.NextSibling {
			if t.Type == html.TextNode && r.words.terms.are(t.Data) {
				return e, fold(t.Data)
			}
		}
	}
	return nil, ""
}

// onlyExact says whether an element has class names or a card holds no other
// like it.
func (r *reader) onlyExact(n *html.Node, c card) bool {
	switch {
	case attr(n, "class") != "":
		return true
	case n.Data == "p":
		return false // any paragraph is like others
	}
	for _, e := range r.elements(c) {
		if e != n && exactKind(e) == exactKind(n) {
			return false
		}
	}
	return true
}

// onlyKind says whether a card holds no other element of an element's kind.
func (r *reader) onlyKind(n *html.Node, c card) bool {
	for _, e := range r.elements(c) {
		if e != n && r.tree.key(e) == r.tree.key(n) {
			return false
		}
	}
	return true
}
