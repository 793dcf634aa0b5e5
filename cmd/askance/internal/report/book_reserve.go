package report

import (
	"fmt"

	"askance/analysis"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest/record"
)

// ReserveWorkbook lays the reserves of a fleet out as a workbook.
func ReserveWorkbook(f *analysis.Fleet, v View) *sheet.Book {
	d := newDesk(f.Survey, v, "reserve", "Reserve prices of a fleet")
	fleet, parts := d.book.Add("Fleet"), d.book.Add("What each part adds")
	rates, curve, method := d.book.Add("Going rates"), d.book.Add("Age curve"), d.book.Add("Method and cautions")
	d.fleet(fleet, f)
	d.fleetParts(parts, f)
	d.rates(rates)
	d.curve(curve)
	d.method(method)
	return d.book
}

// fleet writes one row a boat and the fleet's figures.
func (d *desk) fleet(s *sheet.Sheet, f *analysis.Fleet) {
	s.Title("Reserve prices of a fleet")
	s.Widths(7, 44, 13, 13, 13, 13, 60)
	s.Para(fmt.Sprintf("The reserve is the least to take for a boat: at that price there is a chance of %.0f in 100 to find a buyer. Expected, low and high are asks of such boats. %s", f.Chance*100, d.allMoney()))
	s.Para(paidLine(f))
	var rows [][]sheet.Cell
	for i := range f.Boats {
		b := &f.Boats[i]
		row, reserve := sheet.Cell{}, sheet.Cell{}
		if b.Row > 0 {
			row = sheet.Int(b.Row)
		}
		if b.Reserve != nil {
			reserve = d.known(b.Reserve.Reserve)
		}
		rows = append(rows, []sheet.Cell{row, sheet.Str(b.Listing.Title).Wrapped(), d.known(b.Valuation.Expected), d.known(b.Valuation.Low), d.known(b.Valuation.High), reserve, sheet.Str(sentences(b.Cautions)).Wrapped()})
	}
	area := s.Table(sheet.Table{Columns: []sheet.Column{column("row", 0), column("title", 0), column("expected", 0), column("low", 0), column("high", 0), column("reserve", 0), column("cautions", 0)}, Rows: rows, Frozen: 2, Repeat: true})
	d.fleetSums(s, f, area)
}

// fleetSums writes the plain sums of the columns and the joint figures.
func (d *desk) fleetSums(s *sheet.Sheet, f *analysis.Fleet, area sheet.Area) {
	if area.Rows == 0 {
		return
	}
	single, reserves := 0.0, 0.0
	for i := range f.Boats {
		single += d.coin.round(f.Boats[i].Valuation.Expected)
		if r := f.Boats[i].Reserve; r != nil {
			reserves += d.coin.round(r.Reserve)
		}
	}
	total := func(col int, v float64) sheet.Cell {
		return d.whole(v).Formula("SUM(" + area.Ref(0, col) + ":" + area.Ref(area.Rows-1, col) + ")").Marked(sheet.Total)
	}
	blank := sheet.Cell{}.Marked(sheet.Total)
	s.Row(blank, sheet.Str("each boat for itself, added up").Marked(sheet.Total), total(2, single), blank, blank, total(5, reserves), sheet.Str("a live sum").Marked(sheet.Total))
	s.Row(sheet.Cell{}, sheet.Str("the fleet as a whole").Bold(), d.known(f.Sum.Expected).Bold(), d.known(f.Sum.Low).Bold(), d.known(f.Sum.High).Bold(), d.known(f.Sum.Reserve).Bold(),
		sheet.Str("low and high are those of the whole sum: what is chance for one boat evens out over many, what is wrong in the model does not").Wrapped())
}

// paidLine tells what paid over asked rests on.
func paidLine(f *analysis.Fleet) string {
	if f.PaidOver <= 0 {
		return ""
	}
	words := fmt.Sprintf("Boats are taken to be paid at %.0f %% of what is asked", f.PaidOver*100)
	if f.PaidFrom != "" {
		words += ": " + f.PaidFrom
	}
	return words + "."
}

// fleetParts writes each boat's price step by step.
func (d *desk) fleetParts(s *sheet.Sheet, f *analysis.Fleet) {
	s.Title("What each part adds")
	s.Row(sheet.Str("Each expected ask from a new boat of the class down to this one. Running totals and sums are live. " + d.allMoney()))
	columns := append([]sheet.Column{column("row", 7), column("title", 34)}, stepColumns()...)
	first := s.Next() + 1
	var rows [][]sheet.Cell
	for i := range f.Boats {
		b := &f.Boats[i]
		rows = append(rows, d.steps([]sheet.Cell{sheet.Int(b.Row), sheet.Str(record.Shorten(b.Listing.Title, 40))}, b.Valuation, first+len(rows))...)
	}
	s.Table(sheet.Table{Columns: columns, Rows: rows, Frozen: 2, Filter: len(rows) > 0, Repeat: true})
}
