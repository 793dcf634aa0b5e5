package page

import "golang.org/x/net/html"

// A run is the cards of one kind: how many, and where the first begins and the
// last ends.
type run struct{ cards, first, last int }

// withoutStrips leaves out the cards of another kind than those of a page's
// list that stand below it under a caption of their own and are no more: a strip
// of other things, "from our shop". Where the list has a caption of the same kind
// both are sections of one page.
func (r *reader) withoutStrips(cards []card, kept []int) []int {
	runs := map[string]*run{}
	var kinds []string
	for _, i := range kept {
		c := cards[i]
		n := c.nodes[0]
		if len(c.nodes) != 1 || n.Type != html.ElementNode {
			continue
		}
		at, kind := r.tree.at(n), madeLike(c)
		if runs[kind] == nil {
			runs[kind] = &run{first: at}
			kinds = append(kinds, kind)
		}
		runs[kind].cards++
		runs[kind].last = max(runs[kind].last, r.tree.last[at])
	}
	strip := map[string]bool{}
	for _, k := range kinds {
		for _, list := range kinds {
			if a, b := runs[list], runs[k]; a.cards >= 3 && b.cards >= 2 && a.cards >= b.cards && a.last < b.first && !strip[list] && r.captionedApart(a, b) {
				strip[k] = true
			}
		}
	}
	var own []int
	for _, i := range kept {
		if strip[madeLike(cards[i])] {
			cards[i].why = whySimilar
			continue
		}
		own = append(own, i)
	}
	return own
}

// madeLike names the kind of a card, by generated class names where it has no
// others.
func madeLike(c card) string {
	if class := attr(c.nodes[0], "class"); len(namedClasses(class)) == 0 {
		return c.key + " " + class
	}
	return c.key
}

// captionedApart says whether a caption stands between a list and a later run
// of cards that is of no kind with the last heading above the list.
func (r *reader) captionedApart(list, strip *run) bool {
	var over *html.Node
	for i := list.last + 1; i < strip.first; i++ {
		if n := r.tree.nodes[i]; r.isCaption(n) && letters(r.tree.text(n)) >= 3 && (isHeading(n) || n.Data == "caption") {
			over = n
		}
	}
	if over == nil {
		return false
	}
	for i := list.first - 1; i >= 0; i-- {
		if n := r.tree.nodes[i]; isHeading(n) && !unseen(n) && r.tree.size[i] > 0 {
			return tagKey(n) != tagKey(over)
		}
	}
	return true
}
