package report

import (
	"fmt"
	"io"

	"askance/ingest/boat"
)

// ReadTable prints what was read of each listing, with the words behind each
// finding. It judges nothing.
func ReadTable(w io.Writer, listings []boat.Listing, v View) error {
	out := newScreen(v)
	for i := range listings {
		v.listing(out, &listings[i], i > 0)
	}
	if len(listings) > 0 {
		out.line("")
	}
	out.para(fmt.Sprintf("%d listings read.", len(listings)), 0)
	return out.print(w)
}

// listing prints one listing.
func (v View) listing(out *screen, l *boat.Listing, gap bool) {
	if gap {
		out.line("")
	}
	title := l.Title
	if title == "" {
		title = "(no title)"
	}
	out.strongPara(title)
	words := fmt.Sprintf("%s, %s, id %s", l.Source.At.File, l.Source.At.At(), l.ID)
	if l.Kind != boat.ForSale && l.Kind != "" {
		words += ", " + string(l.Kind)
	}
	if l.Boats > 1 {
		words += fmt.Sprintf(", %d boats", l.Boats)
	}
	if l.Sold {
		words += ", sold"
	}
	out.para(words, 2)
	var rows []textRow
	for _, f := range v.facts(l) {
		rows = append(rows, textRow{cells: []string{f.what, f.value, quoteWords(f.quote)}})
	}
	if len(rows) > 0 {
		out.list([]textColumn{{flex: true}, {flex: true}, {flex: true}}, rows)
	}
	for _, p := range listingOf(l).Problems {
		out.item("!", p, 2)
	}
}
