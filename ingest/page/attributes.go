package page

import (
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// A label is the name of a column or an attribute with the field it fills.
type label struct{ text, field, unit string }

// A pair is an attribute as a page shows it.
type pair struct {
	label
	value string
}

func (r *reader) labelOf(text string) label {
	text = strings.TrimSpace(strings.TrimRight(fold(text), ":： "))
	l := label{text: text}
	if text != "" && len(text) <= 80 {
		if field, unit, ok := r.opts.Labels(text); ok {
			l.field, l.unit = field, unit
		}
	}
	return l
}

func addPairs(it *item, pairs []pair) {
	for _, p := range pairs {
		it.add(p.field, p.text, p.unit, p.value, "attributes")
	}
}

// readHeaders finds the tables whose first row names fields, and notes the
// header over each cell below.
func (r *reader) readHeaders() {
	r.columns = map[int]label{}
	for _, n := range r.tree.nodes {
		if n.Data != "table" {
			continue
		}
		var heads []label
		i := r.tree.at(n)
		for _, row := range r.tree.nodes[i : r.tree.last[i]+1] {
			if row.Data != "tr" || tableOf(row) != n {
				continue
			}
			cells := cellsOf(row)
			if heads == nil {
				heads = r.headersIn(cells)
				if heads == nil && len(cells) > 1 {
					break
				}
				continue
			}
			if len(cells) == len(heads) {
				for k, c := range cells {
					r.columns[r.tree.at(c)] = heads[k]
				}
			}
		}
	}
}

func tableOf(n *html.Node) *html.Node {
	for e := n.Parent; e != nil; e = e.Parent {
		if e.Data == "table" {
			return e
		}
	}
	return nil
}

func cellsOf(row *html.Node) []*html.Node {
	var cells []*html.Node
	for c := row.FirstChild; c != nil; c = c.NextSibling {
		if c.Data == "td" || c.Data == "th" {
			cells = append(cells, c)
		}
	}
	return cells
}

// headersIn reads a row as headers, nil unless it names two fields at least,
// and its cells are short and three or marked as headers.
func (r *reader) headersIn(cells []*html.Node) []label {
	fields := map[string]bool{}
	var heads []label
	for _, c := range cells {
		if r.tree.size[r.tree.at(c)] > shortText {
			return nil
		}
		l := r.labelOf(r.tree.text(c))
		heads = append(heads, l)
		if l.field != "" {
			fields[l.field] = true
		}
	}
	if len(fields) < 2 || len(heads) < 3 && !allHeaders(cells) {
		return nil
	}
	return heads
}

func allHeaders(cells []*html.Node) bool {
	return !slices.ContainsFunc(cells, func(c *html.Node) bool { return c.Data != "th" })
}

// attributes finds pairs of label and value inside nodes: definition lists,
// table rows of two cells, and entries that hold a label and its value. The
// elements that show pairs with a recognised label are given too.
func (r *reader) attributes(nodes []*html.Node) ([]pair, map[*html.Node]bool) {
	var pairs []pair
	shown := map[*html.Node]bool{}
	take := func(l label, value string, els ...*html.Node) {
		value = fold(value)
		if l.text == "" || value == "" || len(l.text) > 80 || len(value) > 4000 {
			return
		}
		pairs = append(pairs, pair{l, value})
		if l.field != "" {
			for _, e := range els {
				shown[e] = true
			}
		}
	}
	for _, e := range r.elements(card{nodes: nodes}) {
		if unseen(e) {
			continue
		}
		switch e.Data {
		case "dt":
			if dd := nextElement(e); dd != nil && dd.Data == "dd" {
				take(r.labelOf(r.tree.text(e)), r.tree.text(dd), e, dd)
			}
		case "tr":
			cells := cellsOf(e)
			if _, headed := r.columns[r.tree.at(e)+1]; headed || len(cells) != 2 && len(cells) != 4 || tableOf(e) == nil {
				continue
			}
			for k := 0; k+1 < len(cells); k += 2 {
				l := r.labelOf(r.tree.text(cells[k]))
				if cells[k].Data == "th" || l.field != "" || r.hasKnownLabel(e) {
					take(l, r.tree.text(cells[k+1]), cells[k], cells[k+1])
				}
			}
		case "li", "p", "div", "span":
			if l, value, ok := r.entryPair(e); ok {
				take(l, value, e)
			}
		}
	}
	return pairs, shown
}

// hasKnownLabel says whether a table of pairs holds a recognised label; rows of
// one table are asked for often.
func (r *reader) hasKnownLabel(row *html.Node) bool {
	known, seen := r.knownLabels[row.Parent]
	if !seen {
		if r.knownLabels == nil {
			r.knownLabels = map[*html.Node]bool{}
		}
		known = r.findKnownLabel(row)
		r.knownLabels[row.Parent] = known
	}
	return known
}

func (r *reader) findKnownLabel(row *html.Node) bool {
	for s := row.Parent.FirstChild; s != nil; s = s.NextSibling {
		if cells := cellsOf(s); len(cells) >= 2 && r.labelOf(r.tree.text(cells[0])).field != "" {
			return true
		}
	}
	return false
}

// entryPair reads an entry that is a label and a value: two elements, or a
// text parted by a colon, with a label that is recognised or, beside others
// that are, ends in a colon.
func (r *reader) entryPair(e *html.Node) (label, string, bool) {
	size := r.tree.size[r.tree.at(e)]
	if size == 0 || size > 200 {
		return label{}, "", false
	}
	first := e.FirstChild
	for first != nil && first.Type == html.TextNode && strings.TrimSpace(first.Data) == "" {
		first = first.NextSibling
	}
	if first == nil {
		return label{}, "", false
	}
	var head, value string
	if first.Type == html.TextNode {
		var ok bool
		if head, value, ok = strings.Cut(r.tree.text(e), ":"); !ok || e.Data == "span" || e.Data == "div" {
			return label{}, "", false
		}
	} else {
		switch first.Data {
		case "b", "strong", "span", "em", "label", "small", "i", "div", "p":
		default:
			return label{}, "", false
		}
		head = r.tree.text(first)
		value = textOf(func(n *html.Node) bool { return n == first }, e)
	}
	l := r.labelOf(head)
	if l.field == "" && !strings.HasSuffix(strings.TrimSpace(head), ":") && first.Type != html.TextNode || l.field == "price" {
		return label{}, "", false
	}
	if l.field == "" && (letters(head) < 2 || len(head) > 40 || e.Data == "p" || e.Data == "span") {
		return label{}, "", false
	}
	return l, strings.TrimLeft(value, ":： "), value != ""
}

func nextElement(n *html.Node) *html.Node {
	for s := n.NextSibling; s != nil; s = s.NextSibling {
		if s.Type == html.ElementNode {
			return s
		}
	}
	return nil
}
