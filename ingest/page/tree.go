package page

import (
	"fmt"
	"net/url"
	"strings"

	"golang.org/x/net/html"
)

// A tree is the parsed page with its elements numbered in document order.
type tree struct {
	root  *html.Node
	nodes []*html.Node
	index map[*html.Node]int
	last  []int // the number of the last element inside
	size  []int // bytes of visible text inside, white space not counted
}

// parse builds the tree. It fails over the limit of nodes and on elements
// nested deeper than 512, the limit of the parser.
func parse(name string, src source, limits Limits) (*tree, error) {
	text := decode(src)
	if n := strings.Count(text, "<"); n > limits.Nodes {
		return nil, fmt.Errorf("%s: wanted at most %d tags, found %d", name, limits.Nodes, n)
	}
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		return nil, fmt.Errorf("%s: wanted an HTML page, found a fault: %w", name, err)
	}
	t := &tree{root: root, index: map[*html.Node]int{}}
	t.number(root)
	return t, nil
}

// number walks the tree; its depth is bounded by the parser.
func (t *tree) number(n *html.Node) int {
	at := -1
	if n.Type == html.ElementNode {
		at = len(t.nodes)
		t.index[n] = at
		t.nodes = append(t.nodes, n)
		t.last = append(t.last, at)
		t.size = append(t.size, 0)
	}
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

func spaces(s string) int {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] == ' ' || s[i] == '\n' || s[i] == '\t' || s[i] == '\r' {
			n++
		}
	}
	return n
}

// contains says whether element a is b or holds it.
func (t *tree) contains(a, b *html.Node) bool {
	i, j := t.index[a], t.index[b]
	return i <= j && j <= t.last[i]
}

// unseen elements show no words of a listing: scripts, forms' controls, and
// what is hidden.
func unseen(n *html.Node) bool {
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
	return n.Type == html.ElementNode && len(n.Data) == 2 && n.Data[0] == 'h' && '1' <= n.Data[1] && n.Data[1] <= '6'
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
