package page

import (
	"sort"
	"strings"

	"golang.org/x/net/html"
)

// largest makes the first, unaligned cards of some prices.
func (f *finder) largest(ms []*mention) []card {
	var cards []card
	taken := map[*html.Node]bool{}
	for _, m := range ms {
		top, worded := f.top(m)
		if worded {
			cards = append(cards, card{nodes: []*html.Node{top}, asks: []*mention{m}})
			continue
		}
		around := m.el
		if top != nil {
			around = top.Parent
		}
		for !isOuter(around) && !f.hasWords(around) {
			around = around.Parent
		}
		if around == nil || around.Type != html.ElementNode || taken[around] {
			continue
		}
		taken[around] = true
		asks := f.inside(around)
		if run := f.mainRun(around, m, asks); run != nil {
			cards = append(cards, card{nodes: run, asks: []*mention{m}})
			continue
		}
		if parts := f.part(around, asks); parts != nil {
			cards = append(cards, parts...)
		} else if len(asks) <= 4 && !f.several(around, asks) {
			cards = append(cards, card{nodes: []*html.Node{around}, asks: asks})
		} else {
			for _, m := range asks {
				f.skip(m.order, m.text, "a price whose title could not be told")
			}
		}
	}
	return cards
}

// top gives the largest element with one price, and whether it holds words.
func (f *finder) top(m *mention) (top *html.Node, worded bool) {
	for e := m.el; !isOuter(e) && f.count(e) == 1 && !(top != nil && f.captioned(e)); e = e.Parent {
		if top = e; e.Data != "footer" && f.region(e) == whyNav {
			break
		}
	}
	return top, top != nil && f.hasWords(top)
}

// mainRun gives the children around the one price of an element that stands
// in no card of its own, where the page's main heading is among them: the item
// that the page is about, with a list of others below. Nil if it is not so.
func (f *finder) mainRun(around *html.Node, m *mention, asks []*mention) []*html.Node {
	main := f.mainHeading()
	if len(asks) < 2 || main == nil || m.el == around {
		return nil
	}
	for _, other := range asks {
		if _, worded := f.top(other); other != m && !worded {
			return nil
		}
	}
	var run []*html.Node
	holds, heading := false, false
	for c := around.FirstChild; c != nil; c = c.NextSibling {
		isElement := c.Type == html.ElementNode
		switch {
		case !isElement && c.Type != html.TextNode:
			continue
		case isElement && f.tree.contains(c, m.el):
			holds = true
		case isElement && (f.count(c) > 0 || f.captioned(c)):
			if holds && heading {
				return run
			}
			run, heading, holds = nil, false, false
			continue
		}
		run = append(run, c)
		heading = heading || isElement && f.tree.contains(c, main)
	}
	if holds && heading {
		return run
	}
	return nil
}

// captioned says whether an element holds a caption over similar items.
func (f *finder) captioned(n *html.Node) bool {
	i := f.tree.at(n)
	k := sort.SearchInts(f.captions, i)
	return k < len(f.captions) && f.captions[k] <= f.tree.last[i]
}

// several says whether an element with several amounts shows as many links
// with words, so that it is no single listing.
func (f *finder) several(around *html.Node, asks []*mention) bool {
	links := map[string]bool{}
	i := f.tree.at(around)
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if e.Data == "a" && !isButton(e) && letters(f.tree.text(e)) >= 3 {
			links[attr(e, "href")] = true
		}
	}
	for _, m := range asks[1:] {
		if m.amount != asks[0].amount {
			return len(links) >= len(asks) && !isOuter(around)
		}
	}
	return false
}

// hasWords says whether an element shows more than prices: letters outside
// the asking prices, or a picture with words.
func (f *finder) hasWords(n *html.Node) bool {
	if f.tree.size[f.tree.at(n)] > 400 {
		return true
	}
	rest := f.tree.text(n)
	for _, m := range f.inside(n) {
		rest = strings.Replace(rest, m.quote, "", 1)
	}
	if letters(rest) >= 3 && !f.words.beside(rest) {
		return true
	}
	i := f.tree.at(n)
	for _, e := range f.tree.nodes[i : f.tree.last[i]+1] {
		if e.Data == "img" && letters(attr(e, "alt")) >= 3 || e.Data == "a" && letters(attr(e, "title")) >= 3 {
			return true
		}
	}
	return false
}
