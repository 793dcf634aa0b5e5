package page

import (
	"math"
	"slices"
	"sort"
	"strings"

	"askance/ingest/record"
)

// statedItems gathers what the structured data of the page states. What a
// weaker syntax says again of the same listing joins the stronger: JSON-LD,
// microdata, RDFa, OpenGraph, JSON in scripts.
func (r *reader) statedItems() []item {
	items := r.schemaItems(r.jsonLD())
	for _, more := range [][]item{
		r.schemaItems(r.marked(microdataSyntax)),
		r.schemaItems(r.marked(rdfaSyntax)),
		r.openGraph(),
		loosen(r.embedded()),
	} {
		items = join(items, more)
	}
	return items
}

// reconcile makes the rows of a page from what it states and what it shows.
// A listing that both know is one row at its place among the cards; a stated
// one that no card shows stands after the one before it in its list.
func (r *reader) reconcile(stated, shown []item, batch *record.Batch) {
	shown = r.dropRepeats(shown)
	all := r.merge(stated, shown)
	all = r.dropRepeats(all)
	if limit := r.opts.Limits.Rows; len(all) > limit {
		batch.Problems = append(batch.Problems, record.Problem{At: record.Pos{File: r.name}, Wanted: "no more listings than the limit", Got: "more", Hint: "the first were used"})
		all = all[:limit]
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].order < all[j].order })
	batch.Problems = append(batch.Problems, r.problems...)
	for i, it := range all {
		at := record.Pos{File: r.name, Kind: record.Card, Line: i + 1}
		if len(all) == 1 {
			at = record.Pos{File: r.name, Kind: record.Whole}
		}
		row := record.Row{At: at, Cells: it.cells, Problems: it.problems}
		for k := range row.Cells {
			row.Cells[k].At = at
			row.Cells[k].Text = clip(row.Cells[k].Text, r.opts.Limits.CellBytes)
		}
		for k := range row.Problems {
			row.Problems[k].At = at
		}
		batch.Rows = append(batch.Rows, row)
	}
	batch.Currency = r.pageCurrency(all)
	sort.SliceStable(r.skipped, func(i, j int) bool { return r.skipped[i].order < r.skipped[j].order })
	for _, s := range r.skipped {
		batch.Skipped = append(batch.Skipped, record.Skipped{At: record.Pos{File: r.name}, Title: record.Shorten(s.title, 200), Reason: s.reason})
	}
}

// merge joins what is stated with what is shown.
func (r *reader) merge(stated, shown []item) []item {
	cards := newMatcher(shown)
	order := map[string]int{} // of the last listing of a list
	var all []item
	strong := len(shown)
	for _, it := range stated {
		if !it.loose && !it.summary {
			strong++
		}
	}
	bare := map[string]bool{} // lists that only name their things; several of them are headlines
	for _, it := range stated {
		if it.loose && it.key != "" && it.get("price") == "" {
			bare[it.key] = true
		}
	}
	for k := range stated {
		if it := &stated[k]; it.summary && !it.scoped && r.mainHeading() != nil && !r.isNamed(it.title) {
			it.single, it.many = false, true // it sums up the page
		}
	}
	matched := cards.findAll(stated)
	if list := r.hiddenList(stated, shown, matched); list != "" {
		r.skip(shown[0].order, shown[0].title, "beside the list that the page's data holds")
		shown, strong = nil, 0
		cards = newMatcher(nil)
	}
	for k, it := range stated {
		i := matched[k]
		if i < 0 && it.single && len(shown) == 1 && shown[0].single {
			if i = 0; cards.taken[0] {
				i = -1
			}
		}
		switch {
		case i >= 0:
			cards.taken[i] = true
			card := shown[i]
			it.settleUnits(card)
			it.preferShown(card)
			it.preferHeading(card)
			it.absorb(card)
			it.problems = append(it.problems, card.problems...)
			it.order = card.order
			it.loose = false
		case it.loose && strong > 0:
			if it.priced {
				r.skip(it.order, it.title, "only in the page's data, not among its listings")
			}
			continue
		case len(bare) >= 2 && bare[it.key]:
			r.skip(it.order, it.title, "named in a list of the page's data, shown with no price")
			continue
		case it.summary && (strong > 0 || it.many):
			r.skip(it.order, it.title, "sums up several offers")
			continue
		default:
			if at, seen := order[it.key]; seen && it.key != "" {
				it.order = at
			}
		}
		if it.key != "" {
			order[it.key] = it.order
		}
		all = append(all, it)
	}
	for i, it := range shown {
		if !cards.taken[i] {
			all = append(all, it)
		}
	}
	return all
}

// hiddenList gives the key of a list of three priced things or more that the
// page's data holds and no card shows, where the page shows one thing only,
// whose price nothing marks and which the data does not know: a fee or a coupon
// beside a list that scripts would show. "" if there is none.
func (r *reader) hiddenList(stated, shown []item, matched []int) string {
	if len(shown) != 1 || !shown[0].single || shown[0].marked || !shown[0].priced {
		return ""
	}
	count := map[string]int{}
	for k, it := range stated {
		if matched[k] >= 0 || !it.loose || it.priced && shown[0].priced && samePrice(it, shown[0]) || sameTitle(it.title) == sameTitle(shown[0].title) {
			return ""
		}
		if it.priced && it.key != "" {
			count[it.key]++
		}
	}
	for _, it := range stated {
		if count[it.key] >= 3 {
			return it.key
		}
	}
	return ""
}

// preferHeading takes the title that a page shows for the one that is stated
// of its one item, where they have half of their words in common.
func (it *item) preferHeading(card item) {
	if !card.headed || card.title == "" || it.title == "" || sameTitle(card.title) == sameTitle(it.title) {
		return
	}
	shown, common := map[string]bool{}, 0
	for _, w := range wordsOf(card.title) {
		shown[w] = true
	}
	stated := wordsOf(it.title)
	for _, w := range stated {
		common += btoi(shown[w])
	}
	if 2*common < min(len(stated), len(shown)) {
		return
	}
	it.cells = slices.DeleteFunc(it.cells, func(c record.Cell) bool { return c.Field == "title" })
	it.title = card.title
}

// preferShown drops the price that is stated where the page plainly shows
// another: data is kept up less well than what visitors see. So it does with
// the currency where the page shows the sign of another.
func (it *item) preferShown(card item) {
	if it.amount == 0 && !card.priced && card.get("price") != "" { // "free" beside a nought in data
		it.cells = slices.DeleteFunc(it.cells, func(c record.Cell) bool { return c.Field == "price" })
		it.priced = false
		return
	}
	if !it.priced || !card.priced || !card.plain || card.amount == 0 {
		return
	}
	differs := !samePrice(*it, card)
	if !differs && (!card.signed || it.currency == "" || it.currency == card.currency) {
		return
	}
	it.cells = slices.DeleteFunc(it.cells, func(c record.Cell) bool {
		return c.Field == "price" || c.Field == "currency" && card.signed
	})
	if it.amount = card.amount; card.signed {
		it.currency = card.currency
	}
}

// settleUnits takes a price in data for cents where the card shows a hundredth
// of it.
func (it *item) settleUnits(card item) {
	if !it.priced || !card.priced || card.amount == 0 || math.Abs(it.amount-100*card.amount) > 0.5 {
		return
	}
	it.cells = slices.DeleteFunc(it.cells, func(c record.Cell) bool { return c.Field == "price" && c.From == "data" })
	it.amount, it.currency, it.priced = card.amount, firstOf(card.currency, it.currency), true
}

// dropRepeats leaves out listings that have the address of an earlier one with
// its title or its price, or, but for the query, its address, title and price.
// A paid place apart from the list gives way to the list's own.
func (r *reader) dropRepeats(items []item) []item {
	sort.SliceStable(items, func(i, j int) bool { return items[i].order < items[j].order })
	type offer struct {
		url, title string
		amount     float64
		priced     bool
		what       int // which of these are compared
	}
	first := make(map[offer]bool, 3*len(items))
	unpaid := map[offer]bool{} // title and price of those in the list's own places
	if slices.ContainsFunc(items, func(it item) bool { return it.promoted }) {
		for _, it := range items {
			if !it.promoted && it.priced {
				unpaid[offer{title: sameTitle(it.title), amount: it.amount}] = true
			}
		}
	}
	page := sameURL(r.about.url)
	out := make([]item, 0, len(items))
	for _, it := range items {
		u, title := firstOf(sameURL(it.url), it.link), sameTitle(it.title)
		path, _, _ := strings.Cut(u, "?")
		repeats := it.promoted && it.priced && unpaid[offer{title: title, amount: it.amount}]
		given := repeats
		for _, o := range []offer{{url: u, title: title}, {u, "", it.amount, it.priced, 1}, {path, title, it.amount, it.priced, 2}} {
			if u != "" && u != page && !given {
				repeats = repeats || first[o]
				first[o] = true
			}
		}
		if repeats {
			r.skip(it.order, it.title, "repeats a listing of the same page")
			continue
		}
		out = append(out, it)
	}
	dropShared(out)
	return out
}

// dropShared takes away an address that several listings have: it leads to
// something else, such as a form.
func dropShared(items []item) {
	count := map[string]int{}
	for _, it := range items {
		count[sameURL(it.url)]++
	}
	for i := range items {
		if it := &items[i]; it.url != "" && count[sameURL(it.url)] > 1 {
			it.url = ""
			it.cells = slices.DeleteFunc(it.cells, func(c record.Cell) bool { return c.Field == "url" })
		}
	}
}

// pageCurrency gives the one currency that the structured data of all
// listings name, "" if they name none or several.
func (r *reader) pageCurrency(items []item) string {
	found := strings.ToUpper(firstOf(r.about.meta["product:price:currency"], r.about.meta["og:price:currency"]))
	for _, it := range items {
		c := it.get("currency")
		if len(c) != 3 {
			continue
		}
		if found != "" && found != c {
			return ""
		}
		found = c
	}
	return found
}
