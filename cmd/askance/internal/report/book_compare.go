package report

import (
	"askance/analysis/price"
	"askance/cmd/askance/internal/sheet"
)

// comparable writes one comparable: its ask, each adjustment, and their live
// sum. at is the row where the first line will stand.
func (d *desk) comparable(c price.Comparable, at int) [][]sheet.Cell {
	ask, steps, total := d.coin.adjusted(c)
	name := sheet.Str(titleOf(c.Listing)).Wrapped().Bold()
	if c.Listing != nil {
		name = name.Link(c.Listing.Source.URL)
	}
	rows := [][]sheet.Cell{{name, sheet.Str(head("ask")), {}, d.exact(ask)}}
	for _, a := range steps {
		rows = append(rows, []sheet.Cell{{}, sheet.Str(d.view.adjustment(a.What)).Wrapped(), sheet.Str(d.view.change(a)).Wrapped(), d.exact(a.Amount).Signed()})
	}
	sum := d.exact(total).Formula("SUM(D" + digits(at) + ":D" + digits(at+len(rows)-1) + ")").Marked(sheet.Total)
	return append(rows, []sheet.Cell{sheet.Cell{}.Marked(sheet.Total), sheet.Str(head("adjusted")).Marked(sheet.Total), sheet.Cell{}.Marked(sheet.Total), sum})
}
