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
	if l, ok := r.columns[r.tree.at(n)]; ok {
		return l.field
	}
	if name := firstOf(attr(n, "itemprop"), attr(n, "data-field"), attr(n, "class")); name != "" && len(name) <= 300 {
		if field := r.hintIn(name); field != "" {
			return field
		}
	}
	if isOwnElement(n) {
		if field := r.hintIn(n.Data); field != "" {
			return field
		}
	}
	for _, key := range testKeys {
		if name := attr(n, key); name != "" && len(name) <= 100 {
			return r.hintIn(name)
		}
	}
	return ""
}

// testKeys are the attributes in which pages with class names made by a
// program name their elements for tests.
var testKeys = [...]string{"data-testid", "data-test-id", "data-test", "data-qa", "data-qa-id", "data-cy", "data-automation", "data-automation-id", "data-marker"}

// hintIn gives the field that a name speaks of.
func (r *reader) hintIn(name string) string {
	if field, seen := r.hints[name]; seen {
		return field
	}
	field := ""
	if part := partName(name); part != "" {
		field = r.fieldNamed(wordsOf(part))
	}
	if field == "" {
		field = r.fieldNamed(wordsOf(name))
	}
	if r.hints == nil {
		r.hints = map[string]string{}
	}
	r.hints[name] = field
	return field
}

// partName gives what a class name calls the part of a block,
// "block__part--variant", "" if it names none.
func partName(name string) string {
	_, part, found := strings.Cut(name, "__")
	if !found {
		return ""
	}
	part, _, _ = strings.Cut(part, " ")
	part, _, _ = strings.Cut(part, "--")
	return part
}

// fieldNamed gives the field that the words of a name speak of, if they speak
// of one only.
func (r *reader) fieldNamed(words []string) string {
	field, _, ok := r.opts.Labels(strings.Join(words, " "))
	if !ok {
		for i, w := range words {
			if len(w) < 3 {
				continue
			}
			f, _, ok := r.opts.Labels(w)
			if f == "title" && i < len(words)-1 && r.isBlockName(w) {
				continue
			}
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
	return field
}

// isBlockName says whether a word begins the class names of many parts of one
// thing, "listing-price", "listing-date", "listing-tags": it names the thing,
// no part of it.
func (r *reader) isBlockName(word string) bool {
	if r.followers == nil {
		r.followers = map[string]map[string]bool{}
		for _, n := range r.tree.nodes {
			for _, name := range strings.Fields(attr(n, "class")) {
				words := wordsOf(name)
				for i := range len(words) - 1 {
					if r.followers[words[i]] == nil {
						r.followers[words[i]] = map[string]bool{}
					}
					r.followers[words[i]][words[i+1]] = true
				}
			}
		}
	}
	return len(r.followers[word]) >= 3
}
