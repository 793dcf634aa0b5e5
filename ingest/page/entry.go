package page

import (
	"slices"

	"golang.org/x/net/html"
)

// entry gives the element around a page's only price that is an entry of a
// list: it is like other cards, or has a heading below the first rank, or is a
// list item or article, with a link, and no main heading.
func (r *reader) entry(c card, cards []card) *html.Node {
	if len(c.asks) == 0 {
		return nil
	}
	if e := r.oneOfKind(c, cards); e != nil {
		return e
	}
	for e := c.asks[0].el; !isOuter(e) && e.Data != "main"; e = e.Parent {
		i := r.tree.at(e)
		if r.holdsOthers(e, c, cards) {
			return nil
		}
		linked := false
		for _, n := range r.tree.nodes[i : r.tree.last[i]+1] {
			if n.Data == "h1" {
				return nil
			}
			if isHeading(n) && hasLink(n) {
				linked = true
			}
			if (e.Data == "li" || e.Data == "article" || e.Data == "tr") && n.Data == "a" && letters(r.tree.text(n)) >= 3 {
				linked = true
			}
		}
		if linked {
			return r.grow(e)
		}
	}
	return nil
}

// oneOfKind gives the element of a card, from its price outwards, that has a
// picture, a link and a title before its price as another card of its shape has,
// and not the main heading: the only result of a search above similar ones. Nil
// if there is none.
func (r *reader) oneOfKind(c card, cards []card) *html.Node {
	if len(c.nodes) != 1 || c.nodes[0].Type != html.ElementNode || r.holdsMain(c) {
		return nil
	}
	f := finder{reader: r}
	for e := c.ask().el; r.tree.contains(c.nodes[0], e); e = e.Parent {
		one := card{nodes: []*html.Node{e}, asks: c.asks}
		if !r.leads(one) || !r.hasPicture(one) {
			continue
		}
		if node, _ := r.findTitle(one, group{}); node == nil || r.tree.at(node) > c.ask().order {
			continue
		}
		if slices.ContainsFunc(cards, func(other card) bool {
			n := other.nodes[0]
			return !r.tree.contains(c.nodes[0], n) && n.Data == e.Data && sharesClass(n, e) && f.likeness(n, e) >= 0.8 && r.leads(other) && r.hasPicture(other)
		}) {
			return e
		}
	}
	return nil
}

// grow takes the list item or article around an entry.
func (r *reader) grow(e *html.Node) *html.Node {
	for up := e; !isOuter(up); up = up.Parent {
		if up.Data == "li" || up.Data == "article" {
			return up
		}
	}
	for up := e.Parent; !isOuter(up) && up.Data != "main"; up = up.Parent {
		i := r.tree.at(up)
		for _, n := range r.tree.nodes[i : r.tree.last[i]+1] {
			if n.Data == "h1" {
				return e
			}
		}
		if r.tree.size[r.tree.at(up)] > 2*r.tree.size[r.tree.at(e)]+400 {
			return e
		}
		e = up
	}
	return e
}

// holdsOthers says whether an element holds prices of other cards than one.
func (r *reader) holdsOthers(e *html.Node, own card, cards []card) bool {
	for _, c := range cards {
		for _, m := range c.asks {
			if r.tree.contains(e, m.el) && !slices.Contains(own.asks, m) {
				return true
			}
		}
	}
	return false
}
