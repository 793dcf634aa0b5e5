package page

import (
	"strings"

	"golang.org/x/net/html"
)

// isPrice says whether markup calls an element a price: by a class name, an
// itemprop, or the header over its column.
func (r *reader) isPrice(n *html.Node) bool {
	return r.hint(n) == "price"
}

// hint gives the field that markup names for an element: its itemprop, the
// header of its column, or its class names if they speak of one field only.
func (r *reader) hint(n *html.Node) string {
	if l, ok := r.columns[r.tree.index[n]]; ok {
		return l.field
	}
	name := firstOf(attr(n, "itemprop"), attr(n, "data-field"), attr(n, "class"))
	if name == "" || len(name) > 300 {
		return ""
	}
	if field, seen := r.hints[name]; seen {
		return field
	}
	words := wordsOf(name)
	field, _, ok := r.opts.Labels(strings.Join(words, " "))
	if !ok {
		for _, w := range words {
			if len(w) < 3 {
				continue
			}
			f, _, ok := r.opts.Labels(w)
			if ok && field != "" && f != field {
				field = ""
				break
			}
			if ok {
				field = f
			}
		}
	}
	switch field {
	case "title", "price", "year", "place", "listed", "condition", "seller", "maker", "length", "hull_number":
	default:
		field = "" // names of classes say little: "type", "status", "info"
	}
	if r.hints == nil {
		r.hints = map[string]string{}
	}
	r.hints[name] = field
	return field
}
