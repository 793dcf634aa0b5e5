package page

import (
	"slices"
	"strings"
)

const (
	whySpoken = "an amount that the page speaks of"
	fewCards  = 4 // of which some may be told to be for sale and the others not
)

// convincing leaves out the cards of a page that states no item where nothing
// tells that their amounts are prices of things: a document, a page of accounts
// or of fees. Markup that calls an amount a price convinces. Else these do not:
//
//   - bare numbers that no word calls asked
//   - cards few of which have an amount, none alone in its element, or hardly any
//   - amounts amid longer texts that do not say that they are asked, in cards
//     that lead nowhere, or in one card; one bound of prices
//   - names with an amount each and nothing more, that lead nowhere and are
//     not told apart by a number of their own
//
// Of a few cards that lead nowhere those stay whose amounts do say so.
func (r *reader) convincing(cards []card, kept []int) []int {
	var priced, alone, leading, named, bare, bounds int
	var told []int
	names := map[string][]string{} // of cards with an amount and nothing more
	for _, i := range kept {
		c := cards[i]
		leads := r.leads(c)
		leading += btoi(leads)
		if len(c.asks) == 0 {
			continue
		}
		m := c.ask()
		if m.hinted {
			return kept
		}
		priced++
		bounds += btoi(m.bound)
		alone += btoi(m.level() < 2)
		if r.isTold(c, m, len(kept)) {
			told = append(told, i)
		}
		named += btoi(m.amount.Currency != "" || r.words.asking.in(m.text))
		if title, is := r.isBare(c); is && !leads && !r.hasPicture(c) {
			bare++
			names[withoutDigits(title)] = append(names[withoutDigits(title)], title)
		}
	}
	for _, titles := range names {
		bare -= btoi(len(titles) == 1 && digits(titles[0]) > 0) // the name of a model, no step of a fee
	}
	n := len(kept)
	if priced == 0 {
		return kept
	}
	if 4*priced < n && alone == 0 || 10*priced < n && n >= 20 || n > 1 && 3*bare >= 2*n {
		return withoutSpoken(cards, kept, nil)
	}
	if r.words.asking.empty() {
		return kept // which words tell is not known
	}
	if n > 1 && named > 0 && r.underSale(r.at(cards[kept[0]])) {
		return kept
	}
	switch {
	case named == 0, n == 1 && (len(told) == 0 || bounds == 1), 2*len(told) < priced && 2*leading <= n && n > fewCards:
		return withoutSpoken(cards, kept, nil)
	case n > 1 && n <= fewCards && 2*leading <= n && len(told) < priced:
		return withoutSpoken(cards, kept, told)
	}
	return kept
}

// underSale says whether the last heading above a place says that things are for
// sale.
func (r *reader) underSale(at int) bool {
	if r.words.sale.empty() {
		return false
	}
	for i := at - 1; i >= 0; i-- {
		if n := r.tree.nodes[i]; isHeading(n) && !unseen(n) && r.tree.size[i] > 0 {
			return r.tree.size[i] <= shortText && r.words.sale.in(r.tree.text(n))
		}
	}
	return false
}

// withoutAside leaves out, where markup calls some amounts prices, the cards of
// other kinds that lead nowhere, show no picture, and hold an amount among words
// that do not say that it is asked.
func (r *reader) withoutAside(cards []card, kept []int) []int {
	kinds := map[string]bool{}
	for _, i := range kept {
		if c := cards[i]; len(c.asks) > 0 && c.ask().hinted {
			kinds[c.key] = true
		}
	}
	if len(kinds) == 0 || r.words.asking.empty() {
		return kept
	}
	var own []int
	for _, i := range kept {
		c := &cards[i]
		if !kinds[c.key] && len(c.asks) > 0 && c.ask().level() >= 2 && !r.holdsMain(*c) && !r.leads(*c) && !r.hasPicture(*c) && !r.isTold(*c, c.ask(), 1) {
			c.why = whySpoken
			continue
		}
		own = append(own, i)
	}
	return own
}

// withoutSpoken leaves out the cards but for those told to be for sale and those
// of their kind without an amount.
func withoutSpoken(cards []card, kept, told []int) []int {
	kinds := map[string]bool{}
	for _, i := range told {
		kinds[cards[i].key] = true
	}
	var own []int
	for _, i := range kept {
		if slices.Contains(told, i) || len(cards[i].asks) == 0 && kinds[cards[i].key] {
			own = append(own, i)
			continue
		}
		cards[i].why = whySpoken
	}
	return own
}

// isTold says whether an amount of one of some cards stands out enough for a
// price: in an element of its own, in one with a few words beside it that is
// labelled or one of several beside links or pictures, alone between marks of a
// short text, or among words that say that it is asked.
func (r *reader) isTold(c card, m *mention, cards int) bool {
	switch {
	case m.level() < 2:
		return true
	case m.level() == 2 && (cards > 2 && (r.leads(c) || r.hasPicture(c)) || r.isLabelled(m)):
		return true
	case m.beside() == 0:
		return r.inShortLine(m) && (cards > 1 || m.level() < 3 || r.holdsMain(c))
	}
	return r.saysAsked(m)
}

// saysAsked says whether the words beside an amount tell that it is asked.
func (r *reader) saysAsked(m *mention) bool {
	before, after, _ := strings.Cut(m.text, m.quote)
	return scanner{reader: r}.isAsked(before, m.quote, after)
}

// isLabelled says whether a label of prices stands before an amount.
func (r *reader) isLabelled(m *mention) bool {
	s := scanner{reader: r}
	return r.labelOf(trimMarks(s.neighbour(m.el, true))).field == "price"
}

// inShortLine says whether an amount stands in no more than a few lines.
func (r *reader) inShortLine(m *mention) bool {
	n := m.el
	if n.FirstChild != nil {
		n = n.FirstChild
	}
	return scanner{reader: r}.lineSize(n) <= runningText
}

// isBare says whether a card shows no more than a name and an amount, as a row
// of a table of them or of a list does, and gives the name.
func (r *reader) isBare(c card) (title string, is bool) {
	node, title := r.cardTitle(c, group{})
	if row := c.nodes[0]; len(c.nodes) > 1 || row.Data != "tr" && row.Data != "li" && row.Data != "td" && row.Data != "p" || node != nil && isHeading(node) {
		return title, false
	}
	size := 0
	if node != nil {
		size = r.tree.size[r.tree.at(node)]
	} else {
		size = len(title) - spaces(title)
	}
	shown := r.shownSize(c) - size
	for _, m := range c.amounts() {
		shown -= len(m.quote) - spaces(m.quote)
	}
	return title, shown < besideWords
}
