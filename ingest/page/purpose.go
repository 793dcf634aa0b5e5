package page

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// findConverted marks the amounts that follow another of another currency in
// the same block, but for a word or two: "A$5,500 (approx. €3,400)".
func (s *scanner) findConverted() {
	for i := 1; i < len(s.found); i++ {
		a, b := s.found[i-1], s.found[i]
		if a.purpose != asking || b.purpose != asking || !a.known || !b.known || a.amount.Currency == b.amount.Currency || a.amount.Currency == "" || b.amount.Currency == "" {
			continue
		}
		block := b.el
		for !isBlock(block) && !isOuter(block.Parent) {
			block = block.Parent
		}
		if s.tree.size[s.tree.at(block)] > 3*shortText || !s.tree.contains(block, a.el) {
			continue
		}
		_, after, found := strings.Cut(s.tree.text(block), a.quote)
		between, _, both := strings.Cut(after, b.quote)
		if found && both && digits(between) == 0 && letters(between) <= besideWords {
			b.purpose = converted
		}
	}
}

// findDoubled marks the second of two like amounts that a short element shows
// alone: once for who sees the page and once for who hears it.
func (s *scanner) findDoubled() {
	for i := 1; i < len(s.found); i++ {
		a, b := s.found[i-1], s.found[i]
		if a.purpose != asking || b.purpose != asking || !a.known || a.amount != b.amount || a.el == b.el {
			continue
		}
		e := b.el
		for !isOuter(e.Parent) && !s.tree.contains(e, a.el) {
			e = e.Parent
		}
		if s.tree.size[s.tree.at(e)] <= shortText && !s.holdsEntries(e) && s.tree.contains(e, a.el) {
			b.purpose = repeated
		}
	}
}

// purposeOf tells by the words beside an amount what it is for. An old
// price's words stand before it; a rate's before or after it; those of
// delivery before it, or after it where a plus sign stands before.
func (s *scanner) purposeOf(m *mention, n *html.Node, before, after string) purpose {
	w := s.words
	for e, up := m.el, 0; e != nil && e.Type == html.ElementNode && up < 4 && s.tree.size[s.tree.at(e)] <= shortText; e, up = e.Parent, up+1 {
		if e.Data == "del" || e.Data == "s" || e.Data == "strike" || strings.Contains(attr(e, "style"), "line-through") || struckByClass(e) || s.isStruck(e) {
			return oldPrice
		}
		if label := attr(e, "aria-label"); label != "" && digits(label) == 0 && s.words.oldPrice.in(label) {
			return oldPrice
		}
		if p := s.purposeNamed(e); p != asking {
			return p
		}
	}
	if inChoice(m.el) {
		m.bound = true
	}
	if letters(before) == 0 {
		before = s.neighbour(n, true) + " " + before
	}
	if letters(after) == 0 {
		after += " " + s.neighbour(n, false)
	}
	near := upToDigit(after)
	ends := digits(before) > 3 && rangeStart.MatchString(before)
	before = fromDigit(before)
	joint := trimRight(upToDigit(after)) // to the upper end of a range
	lead := strings.TrimSuffix(strings.TrimRightFunc(upToDigit(m.quote), func(r rune) bool { return !unicode.IsLetter(r) }), m.amount.Currency)
	m.bound = m.bound || ends || w.nav.end(before) || len(joint) < len(after) && len(joint) < shortText/4 && w.nav.are(joint) || letters(lead) > 0 && w.nav.end(lead) || strings.HasSuffix(trimRight(before), "<") || strings.HasSuffix(trimRight(before), ">") || strings.HasPrefix(after, "+")
	switch {
	case w.oldPrice.in(before), w.newPrice.in(before):
		return oldPrice
	case w.perPeriod.in(before), len(near) == len(after) && w.perPeriod.in(clip(near, 24)), w.perPeriod.in(m.quote):
		return perPeriod
	case isPerUnit(after) && !w.asking.in(clip(after, 12)):
		return perPeriod
	case w.delivery.in(before), len(near) == len(after) && strings.HasSuffix(strings.TrimSpace(before), "+") && w.delivery.in(near):
		return delivery
	}
	return asking
}

// inChoice says whether an element stands in the label of a box to tick.
func inChoice(n *html.Node) bool {
	for up := 0; n != nil && n.Type == html.ElementNode && up < 3; n, up = n.Parent, up+1 {
		if n.Data != "label" {
			continue
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if kind := attr(c, "type"); c.Data == "input" && (kind == "checkbox" || kind == "radio") {
				return true
			}
		}
	}
	return false
}

// rangeStart is an amount with a word behind it before a further amount: "6.000
// to", as the lower end of a range stands.
var rangeStart = regexp.MustCompile(`(?:^|\s)\d{1,3}(?:[.,']\d{3})+(?:\s*\P{L}{1,2})?\s+\p{L}{1,3}\s*$`)

func trimRight(s string) string { return strings.TrimRight(s, " \u00a0") }

// perUnit is what follows a price of one of many: "/ft", "/m²".
var perUnit = regexp.MustCompile(`^ ?/ ?\p{Ll}{1,5}²?(?:\P{L}|$)`)

func isPerUnit(after string) bool {
	return strings.Contains(clip(after, 3), "/") && perUnit.MatchString(after)
}

// purposeNamed tells what class names and the id of an element say of the
// amount inside. A name that speaks of a price before it speaks of delivery,
// "price-and-shipping", is of what holds both.
func (s *scanner) purposeNamed(n *html.Node) purpose {
	m := marks(n)
	if isOwnElement(n) {
		m = strings.TrimSpace(m + " " + strings.Join(wordsOf(n.Data), " "))
	}
	switch {
	case m == "":
		return asking
	case s.words.oldPrice.named(m):
		return oldPrice
	case s.words.perPeriod.named(m):
		return perPeriod
	case !s.words.delivery.named(m):
		return asking
	}
	for _, name := range strings.Fields(attr(n, "class") + " " + attr(n, "id")) {
		own := name[strings.LastIndex(name, "--")+1:]
		if s.words.delivery.in(strings.Join(wordsOf(own), " ")) && !s.pricedBefore(wordsOf(own)) {
			return delivery
		}
	}
	return asking
}

// pricedBefore says whether the first of the words of a name that speaks of a
// price stands before those that speak of delivery.
func (s *scanner) pricedBefore(words []string) bool {
	for _, w := range words {
		if s.words.delivery.in(w) {
			return false
		}
		if field, _, ok := s.opts.Labels(w); ok && field == "price" {
			return true
		}
	}
	return false
}

// oneOffer keeps one of the amounts that an element called a price shows: the
// one with the fewest words beside it, of several the lower. The others are
// the same offer without tax, before a reduction, or told once more.
func (s *scanner) oneOffer(n *html.Node, found []*mention) {
	if s.tree.size[s.tree.at(n)] > 4*shortText || s.holdsEntries(n) {
		return
	}
	var asks []*mention
	for _, m := range found {
		if m.purpose == asking {
			asks = append(asks, m)
		}
	}
	if len(asks) < 2 {
		return
	}
	best := asks[0]
	for _, m := range asks[1:] {
		if m.known && !best.known || m.known == best.known && (m.beside() < best.beside() || m.beside() == best.beside() && m.lowers(best)) {
			best = m
		}
	}
	for _, m := range asks {
		if m != best {
			m.purpose = repeated
		}
	}
	best.hinted = true
}

// holdsEntries says whether an element holds what an entry of a list has: a
// link, a heading, a picture, or entries themselves.
func (r *reader) holdsEntries(n *html.Node) bool {
	i := r.tree.at(n)
	for _, e := range r.tree.nodes[i+1 : r.tree.last[i]+1] {
		switch e.Data {
		case "a", "img", "li", "tr", "article", "dt":
			return true
		}
		if isHeading(e) {
			return true
		}
	}
	return false
}

// neighbour gives the short text beside a node, or beside the inline elements
// around it, or the label in the cell before it.
func (s *scanner) neighbour(n *html.Node, before bool) string {
	for up := 0; n != nil && up < 3; up++ {
		next := n.NextSibling
		if before {
			next = n.PrevSibling
		}
		for next != nil && (next.Type == html.CommentNode || next.Type == html.TextNode && strings.TrimSpace(next.Data) == "") {
			if before {
				next = next.PrevSibling
			} else {
				next = next.NextSibling
			}
		}
		if next != nil {
			label := before && (next.Data == "dt" || next.Data == "th" || next.Data == "td")
			if next.Type == html.ElementNode && (isHeading(next) || next.Data == "a" || isBlock(next) && !label || s.tree.size[s.tree.at(next)] > shortText) {
				return ""
			}
			text := s.tree.text(next)
			if len(text) > 2*shortText {
				if before {
					return text[strings.LastIndex(text, " ")+1:]
				}
				return clip(text, shortText)
			}
			return text
		}
		n = n.Parent
		if n == nil || n.Type != html.ElementNode || isHeading(n) || n.Data == "a" || n.Data == "li" || n.Data == "tr" || n.Data == "p" {
			return ""
		}
	}
	return ""
}

func upToDigit(s string) string {
	if i := strings.IndexFunc(s, unicode.IsDigit); i >= 0 {
		return s[:i]
	}
	return s
}

func fromDigit(s string) string {
	if i := strings.LastIndexFunc(s, unicode.IsDigit); i >= 0 {
		_, n := utf8.DecodeRuneInString(s[i:])
		return s[i+n:]
	}
	return s
}

// struckRule finds the rules of a style sheet by which a class name strikes its
// text through.
var struckRule = regexp.MustCompile(`\.([\w-]+)\s*\{[^{}]*text-decoration(?:-line)?\s*:\s*line-through`)

const styleBytes = 1 << 20 // of the style sheets in a page that are looked at

// struckByClass says whether a class name says that an element is struck
// through, by the names that style sheets commonly give this.
func struckByClass(n *html.Node) bool {
	for _, name := range strings.Fields(attr(n, "class")) {
		switch strings.TrimPrefix(strings.ToLower(name), "text-") {
		case "line-through", "linethrough", "strike", "strikethrough", "strike-through", "striked", "struck":
			return true
		}
	}
	return false
}

// isStruck says whether a style sheet in the page strikes an element through
// by a class name.
func (r *reader) isStruck(n *html.Node) bool {
	if r.struck == nil {
		r.struck = map[string]bool{}
		left := styleBytes
		for _, e := range r.tree.nodes {
			if e.Data != "style" || e.FirstChild == nil || len(e.FirstChild.Data) > left {
				continue
			}
			left -= len(e.FirstChild.Data)
			if !strings.Contains(e.FirstChild.Data, "line-through") {
				continue
			}
			for _, m := range struckRule.FindAllStringSubmatch(e.FirstChild.Data, -1) {
				r.struck[m[1]] = true
			}
		}
	}
	return len(r.struck) > 0 && slices.ContainsFunc(strings.Fields(attr(n, "class")), func(name string) bool { return r.struck[name] })
}
