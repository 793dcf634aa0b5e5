package page

import (
	"slices"
	"sort"
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/money"
)

// A purpose says what an amount on the page is for.
type purpose int

const (
	asking purpose = iota
	oldPrice
	perPeriod
	delivery
	converted // the same in another currency
	repeated  // the same in other terms
)

// A mention is an amount of money that the page shows.
type mention struct {
	el      *html.Node // the element that holds it
	order   int        // number of el
	text    string     // the element, or the part of its text, that holds it
	quote   string     // the amount with its sign and terms
	amount  money.Amount
	known   bool // false for a bare number that markup calls a price
	whole   bool // el shows nothing else
	hinted  bool // markup calls it a price
	bound   bool // words before it make it a bound of prices: "up to"
	purpose purpose
}

const (
	titleWords  = 60  // letters that may stand before a price in a link or heading
	shortText   = 60  // bytes of text, white space not counted, that one price and its terms fill at most
	runningText = 300 // letters of a text that is more than a line or two about a thing
	besideWords = 14  // letters that may stand in a price's own piece of text beside it
)

// mentions finds the amounts on the page, in page order. A strong one stands
// by itself in an element or between marks; where the page has none, prose
// counts too.
func (r *reader) mentions() []*mention {
	s := scanner{reader: r}
	s.scan(r.tree.root)
	if len(s.found) == 0 && !r.prose {
		r.prose = true
		s.scan(r.tree.root)
	}
	s.dropCounts()
	s.dropSpoken()
	for _, m := range s.found {
		m.order = r.tree.at(m.el)
		s.takeTerms(m)
	}
	sort.SliceStable(s.found, func(i, j int) bool { return s.found[i].order < s.found[j].order })
	s.findConverted()
	s.findDoubled()
	return s.found
}

type scanner struct {
	*reader
	found []*mention
}

// scan looks for amounts in a node, the innermost elements first.
func (s *scanner) scan(n *html.Node) {
	if unseen(n) || isCode(n) || n.Type == html.ElementNode && s.tree.size[s.tree.at(n)] > shortText/6 && s.isOrnament(n) {
		return
	}
	before, inner := len(s.found), false
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		switch c.Type {
		case html.ElementNode:
			inner = true
			s.scan(c)
		case html.TextNode:
			if n.Type == html.ElementNode && digits(c.Data) > 0 {
				s.scanText(n, c)
			}
		}
	}
	if n.Type != html.ElementNode {
		return
	}
	if inner && len(s.found) > before && s.isPrice(n) {
		s.joinPieces(n, before)
	}
	if len(s.found) == before {
		size := s.tree.size[s.tree.at(n)]
		hinted := s.isPrice(n)
		if inner && size <= shortText && size > 0 || hinted && size <= shortText {
			s.scanElement(n, hinted)
		}
		if len(s.found) == before {
			s.scanData(n)
		}
	} else if len(s.found) == before+1 {
		m := s.found[before]
		s.widen(m, n)
		m.hinted = m.hinted || m.whole && s.tree.size[s.tree.at(n)] <= shortText && s.isPrice(n)
	} else if s.isPrice(n) {
		s.oneOffer(n, s.found[before:])
	}
}

// scanText finds the amounts in one text node.
func (s *scanner) scanText(parent, n *html.Node) {
	text := fold(n.Data)
	if len(text) > 16<<10 {
		return
	}
	alone := n.PrevSibling == nil && n.NextSibling == nil
	most := besideWords
	if isHeading(parent) || parent.Data == "a" {
		most = titleWords
	}
	had := len(s.found)
	all := letters(text)
	words, amounts := all, map[money.Amount]bool{}
	pieces := s.pieces(text)
	for k, piece := range pieces {
		rest := piece
		if !s.prose && letters(piece) > 4*most {
			continue // running text
		}
		for tries := 0; tries < 4 && digits(rest) > 0 && len(rest) < 600; tries++ {
			if !s.prose && letters(upToDigit(rest)) > 3*most {
				break // too many words before it, terms counted
			}
			amount, quote, ok := s.opts.Price(rest)
			at := strings.Index(rest, quote)
			if !ok || quote == "" || at < 0 {
				break
			}
			before, after := rest[:at], rest[at+len(quote):]
			words -= letters(quote)
			amounts[amount] = amounts[amount] || !s.words.oldPrice.in(before) && !s.words.delivery.in(before)
			if (s.prose || s.fewBeside(before, after, most)) && s.isTold(n, all, amount, before, quote, after) {
				m := &mention{el: parent, text: strings.TrimSpace(rest), quote: quote, amount: amount, known: true, hinted: s.isPrice(parent)}
				m.purpose = s.purposeOf(m, n, before, after)
				m.bound = m.bound || at == 0 && k > 0 && s.isAmountOnly(pieces[k-1]) ||
					quote == piece && k+1 < len(pieces) && beginsRange(text, quote)
				m.whole = rest == text && letters(text)-letters(quote) <= besideWords && (alone || s.addsTerms(parent, text))
				s.found = append(s.found, m)
			}
			rest = after
		}
	}
	if len(s.found) > had && len(text) <= 4*shortText && s.words.perPeriod.in(text) {
		for _, m := range s.found[had:] {
			if !m.whole && m.purpose == asking && !m.hinted && m.text != text {
				m.purpose = perPeriod // what is paid down beside a rate
			}
		}
	}
	if !s.prose && words > besideWords && several(amounts) {
		s.found = s.found[:had] // it speaks of amounts
	}
}

// addsTerms says whether an element adds no more than a few words in small
// elements to one text: 3.450,- <small>incl. tax</small>.
func (s *scanner) addsTerms(n *html.Node, text string) bool {
	if s.tree.size[s.tree.at(n)] > shortText || n.Data == "a" || isHeading(n) || s.holdsEntries(n) {
		return false
	}
	all := s.tree.text(n)
	return digits(all) == digits(text) && letters(all)-letters(text) <= besideWords
}

// signBehind gives the few letters or the sign in the element right behind one:
// a currency that markup sets apart from its number.
func (s *scanner) signBehind(n *html.Node) string {
	next := nextElement(n)
	if before := n.PrevSibling; before != nil && before.Type == html.ElementNode && digits(s.tree.text(before)) > 0 {
		return "" // the cents of a number in parts
	}
	if next == nil || s.tree.size[s.tree.at(next)] > 5 || unseen(next) {
		return ""
	}
	if text := s.tree.text(next); digits(text) == 0 {
		return text
	}
	return ""
}

// scanElement takes a short element as one amount, its pieces joined; where
// markup calls it a price a bare number will do.
func (s *scanner) scanElement(n *html.Node, hinted bool) {
	text := s.piecesOf(n)
	if digits(text) == 0 {
		return
	}
	amount, quote, ok := s.opts.Price(text)
	if ok && letters(text)-letters(quote) > besideWords {
		return
	}
	if !ok {
		if !hinted || letters(text) > besideWords {
			return
		}
		quote = text
		if with, _, told := s.opts.Price(text + " " + s.signBehind(n)); told {
			amount, ok = with, true
		}
	}
	m := &mention{el: n, text: text, quote: quote, amount: amount, known: ok, whole: true, hinted: hinted}
	before, after, _ := strings.Cut(text, quote)
	m.purpose = s.purposeOf(m, n, before, after)
	s.found = append(s.found, m)
}

// joinPieces takes an element called a price as one amount where its parts
// gave bare numbers only: <b>35</b><b>50</b><b>zł</b>.
func (s *scanner) joinPieces(n *html.Node, before int) {
	found := s.found[before:]
	if s.tree.size[s.tree.at(n)] > shortText || slices.ContainsFunc(found, func(m *mention) bool { return m.known || m.el == n }) {
		return
	}
	s.found = s.found[:before]
	s.scanElement(n, true)
	if len(s.found) == before || !s.found[before].known {
		s.found = append(s.found[:before], found...)
	}
}

// piecesOf gives the words of a short element, two digits in an element of
// their own right behind a number as its decimals.
func (s *scanner) piecesOf(n *html.Node) string {
	var parts []string
	var gather func(n *html.Node)
	gather = func(n *html.Node) {
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.Type == html.TextNode {
				parts = append(parts, c.Data)
			} else if !unseen(c) {
				gather(c)
			}
		}
	}
	gather(n)
	numbers := 0
	for _, p := range parts {
		numbers += btoi(digits(p) > 0)
	}
	for i := 1; i < len(parts) && numbers == 2; i++ {
		whole, cents := strings.TrimLeft(parts[i-1], " \n\t"), parts[i]
		if len(cents) != 2 || digits(cents) != 2 || whole == "" || digits(whole[len(whole)-1:]) == 0 {
			continue
		}
		mark := ","
		if j := strings.LastIndexAny(whole, ",."); j >= 0 && whole[j] == ',' {
			mark = "."
		}
		return fold(strings.Join(parts[:i], " ") + mark + strings.Join(parts[i:], " "))
	}
	return s.tree.text(n)
}

// scanData takes a number in a data attribute that is called a price.
func (s *scanner) scanData(n *html.Node) {
	for _, a := range n.Attr {
		key, isData := strings.CutPrefix(a.Key, "data-")
		if !isData || len(a.Val) > shortText || digits(a.Val) == 0 || letters(a.Val) > 8 {
			continue
		}
		if field, _ := s.keyField(key); field == "price" {
			amount, _, ok := s.opts.Price(a.Val)
			s.found = append(s.found, &mention{el: n, text: a.Val, quote: a.Val, amount: amount, known: ok, hinted: true})
			return
		}
	}
}

// widen lets a mention take in its parent where that only adds terms to the
// same amount: <p>VB <b>4.900 €</b></p>.
func (s *scanner) widen(m *mention, n *html.Node) {
	if m.el == n && m.whole || s.tree.size[s.tree.at(n)] > shortText || n.Data == "a" || isHeading(n) || m.el.Data == "a" || isHeading(m.el) || m.purpose != asking || !m.known {
		return
	}
	text := s.tree.text(n)
	amount, quote, ok := s.opts.Price(text)
	if ok && amount == m.amount && len(quote) >= len(m.quote) && letters(text)-letters(quote) <= letters(m.text)-letters(m.quote) && letters(text) >= letters(m.text) {
		m.el, m.text, m.quote, m.whole = n, text, quote, true
	}
}

// takeTerms adds the short words of the inline element beside an amount where
// they are terms of it: <span>VB</span> <b>4.900 €</b>.
func (s *scanner) takeTerms(m *mention) {
	if !m.whole || !m.known || m.purpose != asking || isBlock(m.el) {
		return
	}
	for _, before := range []bool{true, false} {
		beside := fold(s.neighbour(m.el, before))
		if n := letters(beside); n == 0 || n > besideWords || digits(beside) > 0 {
			continue
		}
		text := m.text + " " + beside
		if before {
			text = beside + " " + m.text
		}
		if amount, quote, ok := s.opts.Price(text); ok && amount == m.amount && quote == text {
			m.text, m.quote = text, quote
		}
	}
}
