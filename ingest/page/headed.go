package page

import (
	"golang.org/x/net/html"
)

// headed finds the entries without a plain price among entries that a heading
// or a term begins: those of the kind that stands before two cards or more of one
// parent, with words up to the next such heading.
func (f *finder) headed(cards []card) []card {
	type place struct {
		parent *html.Node
		kind   string
	}
	models := map[place][]card{}
	taken := map[*html.Node]bool{}
	var places []place
	for _, c := range cards {
		for _, n := range c.nodes {
			taken[n] = true
		}
		if h := c.nodes[0]; len(c.nodes) > 1 && leadsEntry(h) {
			p := place{h.Parent, tagKey(h)}
			if models[p] = append(models[p], c); len(models[p]) == 2 {
				places = append(places, p)
			}
		}
	}
	var out []card
	for _, p := range places {
		model := models[p][0]
		for h := p.parent.FirstChild; h != nil; h = h.NextSibling {
			if h.Type != html.ElementNode || taken[h] || unseen(h) || tagKey(h) != p.kind || f.captioned(h) {
				continue
			}
			nodes := []*html.Node{h}
			for e := nextElement(h); e != nil && !taken[e] && !leadsEntry(e) && f.count(e) == 0; e = nextElement(e) {
				nodes = append(nodes, e)
			}
			if len(nodes) > 1 && nodes[1].Data == model.nodes[1].Data {
				out = append(out, card{nodes: nodes, key: model.key})
			}
		}
	}
	return out
}

// leadsEntry says whether an element begins an entry of a flat list.
func leadsEntry(n *html.Node) bool { return isHeading(n) || n.Data == "dt" }
