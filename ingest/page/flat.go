package page

import (
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// part splits the children of an element that holds several listings with no
// element around each: headings and paragraphs in a row, a definition list,
// two table rows a listing. It gives nil where they are one listing.
//
// Between one price and the next there must be a child of one kind that leads
// a listing: a rule between them, else a heading or a term, else the first
// kind that occurs between all of them.
func (f *finder) part(around *html.Node, asks []*mention) []card {
	var children []*html.Node
	for c := around.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.ElementNode && !unseen(c) || c.Type == html.TextNode && letters(c.Data)+digits(c.Data) > 0 {
			children = append(children, c)
		}
	}
	priced := make([][]*mention, len(children))
	prices := 0
	own := 0 // prices in texts of the element itself come first
	for own < len(asks) && asks[own].el == around {
		own++
	}
	texts := asks[:own]
	for i, c := range children {
		if c.Type == html.ElementNode {
			priced[i] = f.inside(c)
		} else {
			n := 0
			for n < len(texts) && strings.Contains(fold(c.Data), texts[n].quote) {
				n++
			}
			priced[i], texts = texts[:n], texts[n:]
		}
		if len(priced[i]) > 0 {
			prices++
		}
	}
	if prices < 2 {
		return nil
	}
	leads := leader(children, priced, prices)
	if leads == "" {
		return nil
	}
	var cards []card
	var now *card
	for i, c := range children {
		if kind(c) == leads {
			cards = append(cards, card{})
			now = &cards[len(cards)-1]
		}
		if now == nil {
			if leads != "hr." {
				continue
			}
			cards = append(cards, card{})
			now = &cards[0]
		}
		now.nodes = append(now.nodes, c)
		now.asks = append(now.asks, priced[i]...)
	}
	var out []card
	for i, c := range cards {
		if i == 0 && leads == "hr." {
			c.nodes = f.afterHeading(c.nodes)
		}
		if len(c.asks) == 0 && slices.ContainsFunc(c.nodes, f.tellsRate) {
			continue
		}
		if len(c.nodes) > 1 || len(c.asks) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// afterHeading drops what stands above the first listing: the page's main
// heading and all before it, where words follow.
func (f *finder) afterHeading(nodes []*html.Node) []*html.Node {
	main := f.mainHeading()
	for i, n := range nodes {
		if main != nil && n.Type == html.ElementNode && f.tree.contains(n, main) && letters(linesOf(nil, nodes[i+1:]...)) > besideWords {
			return nodes[i+1:]
		}
	}
	return nodes
}

// tellsRate says whether a child shows a number with the words of a rate.
func (f *finder) tellsRate(n *html.Node) bool {
	if n.Type == html.ElementNode {
		return f.hasRate(n)
	}
	return n.Type == html.TextNode && digits(n.Data) > 0 && len(n.Data) <= 2*shortText && f.words.perPeriod.in(n.Data)
}

// kind names a child for part.
func kind(n *html.Node) string {
	if n.Type == html.TextNode {
		return "#text"
	}
	return tagKey(n)
}

// leader gives the kind of child that begins each listing, "" if none does.
func leader(children []*html.Node, priced [][]*mention, prices int) string {
	seen := map[string]int{} // in how many gaps a kind occurs
	var kinds []string
	here := map[string]bool{}
	gap := 0
	for i, c := range children {
		k := kind(c)
		if len(priced[i]) == 0 {
			if !here[k] {
				here[k] = true
				if seen[k]++; seen[k] == 1 {
					kinds = append(kinds, k)
				}
			}
		}
		if len(priced[i]) > 0 {
			gap++
			here = map[string]bool{}
		}
		if gap == prices {
			break
		}
	}
	best, bestRank := "", 0
	for _, k := range kinds {
		rank := 0
		tag, _, _ := strings.Cut(k, ".")
		switch {
		case tag == "hr" && seen[k] >= prices-1:
			rank = 4
		case seen[k] < prices:
		case len(tag) == 2 && tag[0] == 'h' || tag == "dt":
			rank = 3
		case tag == "a" || tag == "tr" || tag == "b" || tag == "strong":
			rank = 2
		case tag != "br":
			rank = 1
		}
		if rank > bestRank {
			best, bestRank = k, rank
		}
	}
	if best == "" && len(priced) > 0 && len(priced[0]) > 0 && prices >= 2 && len(kinds) > 0 {
		return kind(children[0]) // the price itself leads
	}
	return best
}
