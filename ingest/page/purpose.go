package page

import (
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
		if s.tree.size[s.tree.index[block]] > 3*shortText || !s.tree.contains(block, a.el) {
			continue
		}
		_, after, found := strings.Cut(textOf(nil, block), a.quote)
		between, _, both := strings.Cut(after, b.quote)
		if found && both && digits(between) == 0 && letters(between) <= besideWords {
			b.purpose = converted
		}
	}
}

// purposeOf tells by the words beside an amount what it is for. An old
// price's words stand before it; a rate's before or after it; those of
// delivery before it, or after it where a plus sign stands before.
func (s *scanner) purposeOf(m *mention, n *html.Node, before, after string) purpose {
	w := s.words
	for e, up := m.el, 0; e != nil && e.Type == html.ElementNode && up < 4 && s.tree.size[s.tree.index[e]] <= shortText; e, up = e.Parent, up+1 {
		if e.Data == "del" || e.Data == "s" || e.Data == "strike" || strings.Contains(attr(e, "style"), "line-through") {
			return oldPrice
		}
		if m := marks(e); m != "" {
			switch {
			case w.oldPrice.in(m):
				return oldPrice
			case w.perPeriod.in(m):
				return perPeriod
			case w.delivery.in(m):
				return delivery
			}
		}
	}
	if letters(before) == 0 {
		before = s.neighbour(n, true) + " " + before
	}
	if letters(after) == 0 {
		after += " " + s.neighbour(n, false)
	}
	near := upToDigit(after)
	before = fromDigit(before)
	switch {
	case w.oldPrice.in(before):
		return oldPrice
	case w.perPeriod.in(before), len(near) == len(after) && w.perPeriod.in(clip(near, 24)), w.perPeriod.in(m.quote):
		return perPeriod
	case w.delivery.in(before), len(near) == len(after) && strings.HasSuffix(strings.TrimSpace(before), "+") && w.delivery.in(near):
		return delivery
	}
	return asking
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
			if next.Type == html.ElementNode && (isHeading(next) || next.Data == "a" || isBlock(next) && !label || s.tree.size[s.tree.index[next]] > shortText) {
				return ""
			}
			text := textOf(nil, next)
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
