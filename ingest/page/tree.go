package page

import (
	"fmt"
	"net/url"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// A tree is the parsed page with its elements numbered in document order.
type tree struct {
	root  *html.Node
	nodes []*html.Node
	last  []int              // the number of the last element inside
	size  []int              // bytes of visible text inside, white space not counted
	index map[*html.Node]int // nil where the elements hold their numbers themselves
	texts []string           // of short elements, as far as asked
	keys  []string           // of elements, as far as asked
}

// parse builds the tree. It fails over the limit of nodes and on elements
// nested deeper than 512, the limit of the parser. Selectors need the atoms of
// the elements, whose place else holds their numbers. It gives no tree where
// buttons were to be shown and none was, and counts those with an amount and no
// words.
func parse(name string, src source, limits Limits, keepAtoms bool, show buttons) (t *tree, priced int, err error) {
	text := decode(src)
	if n := strings.Count(text, "<"); n > limits.Nodes {
		return nil, 0, fmt.Errorf("%s: wanted at most %d tags, found %d", name, limits.Nodes, n)
	}
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		return nil, 0, fmt.Errorf("%s: wanted an HTML page, found a fault: %w", name, err)
	}
	shown, priced := showButtons(root, show)
	if show != noButtons && shown == 0 {
		return nil, priced, nil
	}
	t = &tree{root: root}
	some := strings.Count(text, "<")/2 + 16 // tags come in pairs
	t.nodes, t.last, t.size = make([]*html.Node, 0, some), make([]int, 0, some), make([]int, 0, some)
	if keepAtoms {
		t.index = map[*html.Node]int{}
	}
	t.number(root)
	return t, priced, nil
}

// number walks the tree; its depth is bounded by the parser.
func (t *tree) number(n *html.Node) int {
	at := -1
	if n.Type == html.ElementNode {
		at = len(t.nodes)
		if t.index != nil {
			t.index[n] = at
		} else {
			n.DataAtom = numbered | atom.Atom(at)
		}
		if unseen(n) {
			n.DataAtom |= isUnseen
		} else {
			n.DataAtom |= isSeen
		}
		t.nodes = append(t.nodes, n)
		t.last = append(t.last, at)
		t.size = append(t.size, 0)
	}
	joinTexts(n)
	size := 0
	if !unseen(n) {
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.Type == html.TextNode {
				size += len(c.Data) - spaces(c.Data)
			} else {
				size += t.number(c)
			}
		}
	} else {
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			t.number(c)
		}
	}
	if at >= 0 {
		t.last[at], t.size[at] = len(t.nodes)-1, size
	}
	return size
}

// joinTexts makes texts one that only a short comment parts: programs that
// write pages put such marks between the pieces of a text.
func joinTexts(n *html.Node) {
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		var whole strings.Builder
		for c.Type == html.TextNode && c.NextSibling != nil {
			mark, rest := c.NextSibling, c.NextSibling.NextSibling
			if mark.Type != html.CommentNode || len(mark.Data) > 8 || rest == nil || rest.Type != html.TextNode {
				break
			}
			if whole.Len() == 0 {
				whole.WriteString(c.Data)
			}
			whole.WriteString(rest.Data)
			n.RemoveChild(mark)
			n.RemoveChild(rest)
		}
		if whole.Len() > 0 {
			c.Data = whole.String()
		}
	}
}

func spaces(s string) int {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] == ' ' || s[i] == '\n' || s[i] == '\t' || s[i] == '\r' {
			n++
		}
	}
	return n
}

// What an element's atom holds once it is numbered. No atom of the parser is so
// high.
const (
	isUnseen atom.Atom = 1 << 31
	isSeen   atom.Atom = 1 << 30
	numbered atom.Atom = 1 << 29
	number             = numbered - 1
)

// at gives the number of an element, 0 for any other node.
func (t *tree) at(n *html.Node) int {
	i, _ := t.find(n)
	return i
}

// find gives the number of an element, and whether the node is one.
func (t *tree) find(n *html.Node) (at int, ok bool) {
	if t.index != nil {
		at, ok = t.index[n]
		return at, ok
	}
	if n.DataAtom&numbered == 0 {
		return 0, false
	}
	return int(n.DataAtom & number), true
}

// text gives the words of an element, see textOf; those of short ones are
// kept.
func (t *tree) text(n *html.Node) string {
	i, ok := t.find(n)
	if !ok || t.size[i] > 4*shortText {
		return textOf(nil, n)
	}
	if t.size[i] == 0 {
		return ""
	}
	if t.texts == nil {
		t.texts = make([]string, len(t.nodes))
	}
	if t.texts[i] == "" {
		t.texts[i] = textOf(nil, n)
	}
	return t.texts[i]
}

// key is keyOf, kept.
func (t *tree) key(n *html.Node) string {
	i, ok := t.find(n)
	if !ok {
		return keyOf(n)
	}
	if t.keys == nil {
		t.keys = make([]string, len(t.nodes))
	}
	if t.keys[i] == "" {
		t.keys[i] = keyOf(n)
	}
	return t.keys[i]
}

// contains says whether element a is b or holds it.
func (t *tree) contains(a, b *html.Node) bool {
	i, j := t.at(a), t.at(b)
	return i <= j && j <= t.last[i]
}

// unseen elements show no words of a listing: scripts, forms' controls, and
// what is hidden.
func unseen(n *html.Node) bool {
	if n.DataAtom >= isSeen {
		return n.DataAtom&isUnseen != 0
	}
	if n.Type != html.ElementNode {
		return n.Type == html.CommentNode || n.Type == html.DoctypeNode
	}
	switch n.Data {
	case "template":
		return !hasAttr(n, "shadowrootmode") // which is shown in place of its parent's content
	case "script", "style", "noscript", "head", "select", "option", "button", "input", "textarea", "iframe", "object", "svg", "math", "video", "audio", "canvas", "datalist", "dialog":
		return true
	}
	for _, a := range n.Attr {
		switch a.Key {
		case "hidden":
			return true
		case "style":
			if len(a.Val) < 2000 && strings.Contains(strings.ReplaceAll(a.Val, " ", ""), "display:none") {
				return true
			}
		case "class":
			if len(a.Val) < 500 && hiddenByClass(a.Val) {
				return true
			}
		case "role":
			if a.Val == "button" {
				return true
			}
		}
	}
	return false
}

// hiddenByClass says whether class names hide an element, by the names that
// style sheets commonly give this: "hidden", "is-hidden", "d-none". It does not
// hold where another name shows the element on some screens: "md:block",
// "d-md-flex".
func hiddenByClass(class string) bool {
	if !strings.Contains(class, "hidden") && !strings.Contains(class, "none") {
		return false
	}
	hidden := false
	for _, name := range strings.Fields(class) {
		switch {
		case name == "hidden", name == "is-hidden", name == "d-none", name == "u-hidden", name == "display-none":
			hidden = true
		case strings.HasPrefix(name, "d-"), strings.Contains(name, ":"), strings.HasPrefix(name, "visible"):
			return false
		}
	}
	return hidden
}

// attr gives an attribute, white space trimmed, "" if it is not there.
func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return strings.TrimSpace(a.Val)
		}
	}
	return ""
}

func hasAttr(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}

// isBlock says whether an element begins on a line of its own.
func isBlock(n *html.Node) bool {
	switch n.Data {
	case "a", "abbr", "b", "bdi", "bdo", "cite", "code", "data", "dfn", "em", "i", "kbd", "label", "mark", "q", "s", "samp", "small", "span", "strong", "sub", "sup", "time", "u", "var", "del", "ins", "font", "wbr":
		return false
	}
	return true
}

func isHeading(n *html.Node) bool {
	if n.Type != html.ElementNode {
		return false
	}
	return len(n.Data) == 2 && n.Data[0] == 'h' && '1' <= n.Data[1] && n.Data[1] <= '6' || n.Data == "summary"
}

// isFirstHeading says whether an element is a heading of the first rank, by
// its tag or by its role or, one of the page's own making, by its level.
func isFirstHeading(n *html.Node) bool {
	return n.Data == "h1" || attr(n, "role") == "heading" && attr(n, "aria-level") == "1" ||
		isOwnElement(n) && attr(n, "level") == "1"
}

// isOwnElement says whether an element is of the page's own making, as their
// names tell: "shop-price".
func isOwnElement(n *html.Node) bool {
	return n.Type == html.ElementNode && strings.Contains(n.Data, "-")
}

// parseLink gives an http or https address, nil for anything else.
func parseLink(s string) *url.URL {
	u, err := url.Parse(strings.TrimSpace(s))
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return nil
	}
	return u
}

// resolve gives the address of a link on a page, "" unless it is http or
// https.
func resolve(base *url.URL, link string) string {
	link = strings.TrimSpace(link)
	if link == "" || len(link) > 8<<10 {
		return ""
	}
	u, err := url.Parse(link)
	if err != nil {
		return ""
	}
	if base != nil {
		u = base.ResolveReference(u)
	}
	if u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	u.User = nil
	return u.String()
}
