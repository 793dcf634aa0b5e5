package report

import (
	"fmt"

	"askance/analysis"
	"askance/cmd/askance/internal/sheet"
)

// PriceWorkbook lays an advised asking price out as a workbook.
func PriceWorkbook(p *analysis.Pricing, v View) *sheet.Book {
	d := newDesk(p.Survey, v, "price", "An asking price for one boat")
	start, parts, compare := d.book.Add("Start here"), d.book.Add("What each part adds"), d.book.Add("Comparables")
	rates, curve, method := d.book.Add("Going rates"), d.book.Add("Age curve"), d.book.Add("Method and cautions")
	d.asking(start, p, []guide{
		{parts, "from a new boat of the class to this one, step by step in money"},
		{compare, "the closest boats of the market, each ask adjusted line by line to this boat"},
		{rates, "what this market pays for grades, states and extras"},
		{curve, "what is left of the price of a new boat, year by year"},
		{method, "how it works in plain words, and how far it can be trusted"},
	})
	d.parts(parts, &p.Boat)
	d.comparables(compare, p)
	d.rates(rates)
	d.curve(curve)
	d.method(method)
	return d.book
}

// asking writes the answer and what was understood of the boat.
func (d *desk) asking(s *sheet.Sheet, p *analysis.Pricing, guides []guide) {
	b := &p.Boat
	s.Widths(34, 18, 16, 62)
	s.Title("An asking price for one boat")
	s.Para(b.Listing.Title)
	s.Row(sheet.Str(head("asking")).Bold(), d.sum(b.Asking).Bold(), sheet.Cell{}, sheet.Str(placeWords(b.Place)))
	s.Row(sheet.Str(head("expected")), d.sum(b.Valuation.Expected), sheet.Cell{}, sheet.Str("half of such boats ask more, half ask less"))
	s.Row(sheet.Str(head("low")), d.sum(b.Valuation.Low), sheet.Cell{}, sheet.Str(fmt.Sprintf("from low to high: %.0f of 100 such boats ask a price in between", rangeOf(p.Survey)*100)))
	s.Row(sheet.Str(head("high")), d.sum(b.Valuation.High))
	s.Para(fmt.Sprintf("Worked out from %d listings of this market. These are asks; what is paid in the end is usually lower.", p.Survey.Model.Listings))
	if words := d.view.sidesWords(b.Valuation.Sides); words != "" {
		s.Note(words)
	}
	if len(b.Cautions) > 0 {
		s.Heading("What to mind")
		for _, c := range b.Cautions {
			s.Note(c)
		}
	}
	s.Heading("The boat as it was understood")
	var rows [][]sheet.Cell
	for _, f := range d.view.facts(&b.Listing) {
		rows = append(rows, []sheet.Cell{sheet.Str(f.what).Wrapped(), sheet.Str(f.value).Wrapped(), {}, sheet.Str(f.quote).Wrapped()})
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("item", 0), column("stated", 0), {}, column("words", 0)}, Rows: rows, Frozen: -1})
	s.Heading("The sheets")
	for _, g := range guides {
		s.Row(sheet.Str(g.sheet.Name).To(g.sheet), sheet.Str(g.holds))
	}
}

// parts writes one price step by step.
func (d *desk) parts(s *sheet.Sheet, b *analysis.Priced) {
	s.Title("What each part adds")
	s.Widths(5, 34, 26, 60, 14, 14)
	s.Para("The running totals and the sum are live formulas. " + d.allMoney())
	s.Table(sheet.Table{Columns: stepColumns()[:6:6], Rows: d.steps(nil, b.Valuation, s.Next()+1), Frozen: 0, Repeat: true})
}

// comparables writes each comparable with its adjustments, line by line; the
// adjusted asks are live sums.
func (d *desk) comparables(s *sheet.Sheet, p *analysis.Pricing) {
	s.Title("Comparables")
	s.Widths(36, 30, 40, 14)
	list := p.Boat.Valuation.Comparable
	if len(list) == 0 {
		s.Para("This market has no boat near enough to compare.")
		return
	}
	s.Para("The closest boats of the market. Each line says what the comparable would ask differently if it were like this boat in that one respect; the last line adds up. " + d.allMoney())
	columns := []sheet.Column{column("comparable", 0), column("step", 0), column("stated", 0), column("amount", 0)}
	first := s.Next() + 1
	var rows [][]sheet.Cell
	for _, cmp := range list {
		rows = append(rows, d.comparable(cmp, first+len(rows))...)
	}
	s.Table(sheet.Table{Columns: columns, Rows: rows, Frozen: 0, Repeat: true})
}
