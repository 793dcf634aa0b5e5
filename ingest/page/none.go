package page

import (
	"regexp"
	"strings"

	"golang.org/x/net/html"
)

// findsNothing says whether a page is of a search that found nothing, so that
// what it shows are suggestions: its main heading or title says so, or the first line
// that does of its content before all cards that is told to whoever hears the page or has
// a further heading after it, over the cards.
func (r *reader) findsNothing(cards []card, kept []int) bool {
	if r.words.none.empty() {
		return false
	}
	h := r.mainHeading()
	if h != nil && !isFirstHeading(h) {
		h = nil
	}
	if h != nil && r.saysNone(r.tree.text(h)) || h == nil && r.saysNone(r.about.title) {
		return true
	}
	if counted.MatchString(r.about.title) || h != nil && counted.MatchString(r.tree.text(h)) {
		return false
	}
	first := len(r.tree.nodes)
	for _, i := range kept {
		first = min(first, r.at(cards[i]))
	}
	caption := r.captionOver(first)
	for i, n := range r.tree.nodes[:first] {
		size := r.tree.size[i]
		if size == 0 || size > 3*shortText || unseen(n) || !isBlock(n) || heardOnly(n) || r.holdsEntries(n) && !isHeading(n) || !r.saysNone(r.tree.text(n)) || r.inForm(n) || r.isApart(n) {
			continue
		}
		if h != nil && i < r.tree.at(h) {
			continue // above the page's own content
		}
		role := attr(n, "role")
		if role == "status" || role == "alert" || caption > r.tree.last[i] {
			return r.sizeBetween(r.tree.last[i], first) <= 6*shortText
		}
	}
	return false
}

// counted begins with how many things a page lists.
var counted = regexp.MustCompile(`^[1-9]\d* \p{L}`)

// saysNone says whether a short text says that nothing was found, in words or
// by a count of none, "0 boats in Ostholm": what stands behind another count is
// said of something else.
func (r *reader) saysNone(text string) bool {
	if len(text) > 6*shortText {
		return false
	}
	text = quoted.ReplaceAllString(text, " ")
	count, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	return count == "0" && letters(rest) >= 3 && digits(rest) == 0 || r.words.none.in(upToDigit(text))
}

// quoted finds what was searched for, in quotation marks.
var quoted = regexp.MustCompile(`["“”„«»‘‚'][^"“”„«»’‘‚']*["“”„«»’‘']`)

// inForm says whether an element stands in a form, as the lists of words do that
// a field proposes.
func (r *reader) inForm(n *html.Node) bool {
	for e := n; !isOuter(e); e = e.Parent {
		if e.Data == "form" || e.Data == "search" || e.Data == "header" {
			return true
		}
	}
	return false
}

// captionOver gives the last heading before a place, where it counts nothing and
// has hardly a word after it, -1 if there is none.
func (r *reader) captionOver(before int) int {
	for i := before - 1; i >= 0; i-- {
		if n := r.tree.nodes[i]; isHeading(n) && !unseen(n) && letters(r.tree.text(n)) >= 3 {
			if digits(r.tree.text(n)) == 0 && r.sizeBetween(r.tree.last[i], before) <= shortText {
				return i
			}
			break
		}
	}
	return -1
}

// sizeBetween gives the size of the words in elements without others between two
// places.
func (r *reader) sizeBetween(after, before int) int {
	size := 0
	for i := after + 1; i < before; i++ {
		if n := r.tree.nodes[i]; !unseen(n) && r.ownText(n) != "" {
			size += r.tree.size[i]
		}
	}
	return size
}
