package page

import (
	"math"
	"slices"
	"strings"

	"askance/ingest/record"
)

func loosen(items []item) []item {
	for i := range items {
		items[i].loose = true
	}
	return items
}

// join adds items to those before them, cell by cell where they are of the
// same listing.
func join(items, more []item) []item {
	known := newMatcher(items)
	for _, it := range more {
		if i := known.find(it); i >= 0 {
			known.taken[i] = true
			items[i].absorb(it)
		} else {
			items = append(items, it)
		}
	}
	return items
}

// absorb adds another source's cells of the same listing after its own. What
// is said already is not repeated; two texts become one, unless the one holds
// the other.
func (it *item) absorb(more item) {
	for _, c := range more.cells {
		switch {
		case c.Field == "text" && it.get("text") != "":
			if len(more.lines) == 0 {
				more.lines = []string{c.Text}
			}
			for _, line := range more.lines {
				if !it.hasCell(line) {
					it.lengthen(line)
				}
			}
		case !it.says(c):
			it.cells = append(it.cells, c)
		}
	}
	it.url, it.title = firstOf(it.url, more.url), firstOf(it.title, more.title)
	if it.priced && it.currency == "" && more.currency != "" && samePrice(*it, more) {
		it.currency = more.currency
		it.add("currency", "price", "", more.currency, more.priceFrom())
	}
	if !it.priced {
		it.amount, it.currency, it.priced = more.amount, more.currency, more.priced
	}
	it.loose = it.loose && more.loose
	it.summary = it.summary && more.summary
}

// priceFrom tells the source of an item's price.
func (it *item) priceFrom() string {
	for _, c := range it.cells {
		if c.Field == "price" {
			return c.From
		}
	}
	return ""
}

func (it *item) says(c record.Cell) bool {
	for _, have := range it.cells {
		if have.Field == c.Field && (have.Text == c.Text || c.Field == "title" || c.Field == "url") && (c.Field != "" || have.Header == c.Header) {
			return true
		}
	}
	return false
}

// hasCell says whether a line is what a cell says already.
func (it *item) hasCell(line string) bool {
	return slices.ContainsFunc(it.cells, func(c record.Cell) bool { return c.Text == line })
}

func (it *item) lengthen(text string) {
	for i := range it.cells {
		if have := &it.cells[i]; have.Field == "text" {
			said, more := fold(strings.TrimRight(have.Text, ".… ")), fold(strings.TrimRight(text, ".… "))
			switch {
			case strings.Contains(said, more):
			case strings.Contains(more, said):
				have.Text = text
			default:
				have.Text += "\n" + text
			}
			return
		}
	}
}

// A matcher finds the item that speaks of the same listing.
type matcher struct {
	items   []item
	taken   []bool
	byPlace map[int]int
	byURL   map[string][]int
	byTitle map[string][]int
}

func newMatcher(items []item) *matcher {
	m := &matcher{items: items, taken: make([]bool, len(items)), byPlace: map[int]int{}, byURL: map[string][]int{}, byTitle: map[string][]int{}}
	for i, it := range items {
		m.byPlace[it.order] = i
		if u := sameURL(it.url); u != "" {
			m.byURL[u] = append(m.byURL[u], i)
		}
		if k := sameTitle(it.title); k != "" {
			m.byTitle[k] = append(m.byTitle[k], i)
		}
	}
	return m
}

// find gives the index of the item of the same element, else of the same
// address, else of the same title and no other price or address, else -1.
func (m *matcher) find(it item) int {
	if i, ok := m.byPlace[it.order]; ok && it.scoped && !m.taken[i] {
		return i
	}
	for _, i := range m.byURL[sameURL(it.url)] {
		other := m.items[i]
		differs := it.priced && other.priced && !samePrice(it, other) && it.title != "" && sameTitle(it.title) != sameTitle(other.title)
		if !m.taken[i] && !differs {
			return i
		}
	}
	for _, i := range m.byTitle[sameTitle(it.title)] {
		if !m.taken[i] && agree(m.items[i], it) {
			return i
		}
	}
	if it.single {
		for i, other := range m.items {
			if other.single && !m.taken[i] && (!it.priced || !other.priced || samePrice(it, other)) {
				return i
			}
		}
	}
	return -1
}

// findAll gives the index of the item of each of some listings, -1 for none:
// first those that agree, then those of a title that only one on each side has
// left. What is found is taken.
func (m *matcher) findAll(items []item) []int {
	found := make([]int, len(items))
	left := map[string]int{}
	for k, it := range items {
		if found[k] = m.find(it); found[k] >= 0 {
			m.taken[found[k]] = true
		} else if it.key != "" && !it.summary {
			left[sameTitle(it.title)]++
		}
	}
	for k, it := range items {
		if title := sameTitle(it.title); found[k] < 0 && title != "" && left[title] == 1 {
			if i := m.onlyLeft(title); i >= 0 && (it.url == "" || m.items[i].url == "" || sameURL(it.url) == sameURL(m.items[i].url)) {
				found[k], m.taken[i] = i, true
			}
		}
	}
	return found
}

// onlyLeft gives the one item of a title that is not taken, -1 if there is
// none or there are several.
func (m *matcher) onlyLeft(title string) int {
	only := -1
	for _, i := range m.byTitle[title] {
		if !m.taken[i] {
			if only >= 0 {
				return -1
			}
			only = i
		}
	}
	return only
}

func agree(a, b item) bool {
	if a.priced && b.priced && !samePrice(a, b) {
		return false
	}
	return a.url == "" || b.url == "" || sameURL(a.url) == sameURL(b.url) || a.priced && b.priced
}

// samePrice compares amounts only: a sign may stand for several currencies.
func samePrice(a, b item) bool { return math.Abs(a.amount-b.amount) < 0.005 }

// sameURL makes addresses comparable: without fragment, final slash, scheme
// and letter case of the host.
func sameURL(s string) string {
	u := parseLink(s)
	if u == nil {
		return ""
	}
	key := strings.ToLower(u.Host) + strings.TrimRight(u.EscapedPath(), "/")
	if u.RawQuery != "" {
		key += "?" + u.RawQuery
	}
	return key
}

func sameTitle(s string) string { return strings.ToLower(fold(s)) }
