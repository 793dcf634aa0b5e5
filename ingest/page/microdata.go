package page

import (
	"strings"

	"golang.org/x/net/html"
)

// A syntax names the attributes by which a page marks things and their
// properties.
type syntax struct {
	from  string
	scope string // marks an element as a thing
	kind  string // holds its types
	id    string
	prop  string // holds names of properties
}

var (
	microdataSyntax = syntax{"microdata", "itemscope", "itemtype", "itemid", "itemprop"}
	rdfaSyntax      = syntax{"rdfa", "typeof", "typeof", "resource", "property"}
)

// marked reads the things that a page marks in its elements, as microdata or
// as RDFa Lite. Two mistakes are tolerated: <meta property> within microdata
// where itemprop is meant, and a link that bears a property of text.
func (r *reader) marked(s syntax) []*thing {
	var top []*thing
	var open []*html.Node // elements of the things around, outermost first
	made := map[*html.Node]*thing{}
	byID := map[string]*html.Node{}
	for _, n := range r.tree.nodes {
		if id := attr(n, "id"); id != "" && byID[id] == nil {
			byID[id] = n
		}
	}
	for _, n := range r.tree.nodes {
		for len(open) > 0 && !r.tree.contains(open[len(open)-1], n) {
			open = open[:len(open)-1]
		}
		isScope := hasAttr(n, s.scope)
		if len(open) == 0 && !isScope {
			continue
		}
		names := s.propertiesOf(n)
		var around *thing
		if len(open) > 0 {
			around = made[open[len(open)-1]]
		}
		var own *thing
		if isScope {
			own = &thing{node: n, from: s.from, id: attr(n, s.id)}
			for _, name := range strings.Fields(attr(n, s.kind)) {
				own.types = append(own.types, shortName(name))
			}
			made[n] = own
			open = append(open, n)
			if len(names) == 0 || around == nil {
				top = append(top, own)
			}
			if s.from == "microdata" {
				for _, id := range strings.Fields(attr(n, "itemref")) {
					if ref := byID[id]; ref != nil && !r.tree.contains(n, ref) {
						r.borrow(s, own, ref)
					}
				}
			}
		}
		if around == nil {
			continue
		}
		for _, name := range names {
			v := value{thing: own}
			if own == nil {
				v.text = valueOf(n, name)
			}
			around.props = append(around.props, prop{name, []value{v}})
		}
	}
	return top
}

// borrow adds the texts that an element elsewhere on the page marks, for
// itemref.
func (r *reader) borrow(s syntax, t *thing, ref *html.Node) {
	first := r.tree.at(ref)
	for _, n := range r.tree.nodes[first : r.tree.last[first]+1] {
		if hasAttr(n, s.scope) {
			return
		}
		for _, name := range s.propertiesOf(n) {
			t.props = append(t.props, prop{name, []value{{text: valueOf(n, name)}}})
		}
	}
}

// propertiesOf gives the properties that an element bears.
func (s syntax) propertiesOf(n *html.Node) []string {
	names := attr(n, s.prop)
	if names == "" && s.from == "microdata" && n.Data == "meta" && !strings.Contains(attr(n, "property"), ":") {
		names = attr(n, "property")
	}
	if names == "" || len(names) > 1000 {
		return nil
	}
	fields := strings.Fields(names)
	for i := range fields {
		fields[i] = shortName(fields[i])
	}
	return fields
}

// valueOf gives what an element says of a property.
func valueOf(n *html.Node, name string) string {
	if c := attr(n, "content"); c != "" {
		return c
	}
	address := ""
	switch n.Data {
	case "meta":
		return ""
	case "a", "link", "area":
		address = attr(n, "href")
	case "img", "audio", "video", "source", "embed", "iframe", "object":
		address = firstOf(attr(n, "src"), attr(n, "data-src"))
	case "time":
		if at := attr(n, "datetime"); at != "" {
			return at
		}
	case "data", "meter":
		if v := attr(n, "value"); v != "" {
			return v
		}
	}
	switch name {
	case "url", "image", "sameAs", "availability", "itemCondition", "additionalType", "contentUrl", "thumbnailUrl", "item", "mainEntityOfPage":
		return firstOf(address, textOf(nil, n))
	}
	return firstOf(textOf(nil, n), address)
}
