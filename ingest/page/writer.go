package page

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// A writer collects the words of elements as a reader sees them.
type writer struct {
	b      strings.Builder
	gap    bool // white space stands before the next word
	joint  bool // an element ended or began since the last word
	skip   func(*html.Node) bool
	limit  int
	breaks bool // lines are kept
	line   int  // newlines that stand before the next word
}

// textOf gives the visible words of nodes, white space folded. Neighbouring
// elements are parted by a space; a word that an element breaks up is not.
func textOf(skip func(*html.Node) bool, nodes ...*html.Node) string {
	if len(nodes) == 1 && skip == nil && nodes[0].Type == html.ElementNode && !unseen(nodes[0]) && nodes[0].Data != "br" {
		if c := nodes[0].FirstChild; c != nil && c.NextSibling == nil && c.Type == html.TextNode && isFolded(c.Data) {
			return c.Data
		}
	}
	w := writer{skip: skip, limit: 4 << 20}
	for _, n := range nodes {
		w.node(n)
		w.gap = true
	}
	return w.b.String()
}

// linesOf is textOf with a newline between blocks and at each line break; two
// line breaks leave an empty line.
func linesOf(skip func(*html.Node) bool, nodes ...*html.Node) string {
	w := writer{skip: skip, limit: 4 << 20, breaks: true}
	for _, n := range nodes {
		w.node(n)
		w.edge(true)
	}
	return w.b.String()
}

func (w *writer) node(n *html.Node) {
	switch n.Type {
	case html.TextNode:
		if w.skip == nil || !w.skip(n) {
			w.words(n.Data)
		}
		return
	case html.ElementNode, html.DocumentNode:
	default:
		return
	}
	if unseen(n) || w.skip != nil && w.skip(n) {
		w.gap = true
		return
	}
	block := isBlock(n)
	if n.Data == "sup" && w.cents(n) {
		return
	}
	if n.Data == "br" {
		w.gap, w.line = true, min(w.line+1, 2)
		return
	}
	if n.Data == "td" || n.Data == "th" {
		w.gap, block = true, false
	}
	w.edge(block)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		w.node(c)
		if c.Type == html.ElementNode && c.NextSibling != nil && c.NextSibling.Type == html.ElementNode {
			w.joint = true
		}
	}
	w.edge(block)
}

// cents writes two raised digits behind a number as its decimals.
func (w *writer) cents(n *html.Node) bool {
	text := n.FirstChild
	if text == nil || text.NextSibling != nil || text.Type != html.TextNode {
		return false
	}
	s, before := strings.TrimSpace(text.Data), w.b.String()
	if len(s) != 2 || digits(s) != 2 || w.gap || w.line > 0 || before == "" || digits(before[len(before)-1:]) == 0 {
		return false
	}
	mark := ","
	if i := strings.LastIndexAny(before, ",. "); i >= 0 && before[i] == ',' {
		mark = "."
	}
	w.word(mark + s)
	return true
}

const softHyphen = "\u00ad"

func (w *writer) edge(block bool) {
	if block {
		w.gap, w.line = true, max(w.line, 1)
	}
}

func (w *writer) words(s string) {
	if strings.Contains(s, softHyphen) {
		s = strings.ReplaceAll(s, softHyphen, "")
	}
	for len(s) > 0 && w.b.Len() < w.limit {
		r, size := utf8.DecodeRuneInString(s)
		if unicode.IsSpace(r) || r == '\u200b' || r == '\ufeff' {
			w.gap = true
			s = s[size:]
			continue
		}
		end := strings.IndexFunc(s, func(r rune) bool { return unicode.IsSpace(r) || r == '\u200b' || r == '\ufeff' })
		if end < 0 {
			end = len(s)
		}
		w.word(s[:end])
		s = s[end:]
	}
}

func (w *writer) word(s string) {
	if w.b.Len() > 0 {
		switch {
		case w.line > 0 && w.breaks:
			w.b.WriteString("\n\n"[:w.line])
		case w.gap, w.joint && !splitNumber(w.b.String(), s):
			w.b.WriteByte(' ')
		}
	}
	w.gap, w.joint, w.line = false, false, 0
	w.b.WriteString(s)
}

// splitNumber says whether two pieces belong to one number: "4" ".900".
func splitNumber(before, after string) bool {
	b, a := before[len(before)-1], after[0]
	digit := func(c byte) bool { return '0' <= c && c <= '9' }
	mark := func(c byte) bool { return c == '.' || c == ',' }
	return mark(a) || mark(b) && digit(a)
}

// fold makes any white space one space.
func fold(s string) string {
	if isFolded(s) {
		return s
	}
	return strings.Join(strings.Fields(s), " ")
}

// isFolded says whether a text of one byte a character, or of others that are
// no white space, has single spaces between words only.
func isFolded(s string) bool {
	space := true
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == ' ':
			if space {
				return false
			}
			space = true
		case c < ' ', c == 0xC2, c == 0xE1, c == 0xE2, c == 0xE3: // may begin white space
			return false
		default:
			space = false
		}
	}
	return !space || s == ""
}
