package report

import (
	"fmt"
	"math"

	"askance/analysis/price"
	"askance/cmd/askance/internal/sheet"
)

// rates writes what the market pays: for a new boat of each class, and for
// each grade, state, extra and defect.
func (d *desk) rates(s *sheet.Sheet) {
	s.Title("Going rates")
	s.Widths(34, 30, 12, 11, 11, 10, 12, 14, 22)
	columns := []sheet.Column{column("item", 0), column("value", 0), column("amount", 0), column("low", 0), column("high", 0), column("listings", 0), column("prior", 0), column("mostly", 0), column("width", 0)}
	var rows [][]sheet.Cell
	for _, w := range d.survey.Model.Values {
		rows = append(rows, []sheet.Cell{sheet.Str(d.view.item(w.Item)), sheet.Str(d.view.value(w.Item, w.Value)), d.whole(w.Amount).Signed(), d.whole(w.Low).Signed(), d.whole(w.High).Signed(),
			sheet.Int(w.Listings), d.whole(w.Prior).Signed(), sheet.Str(mostlyWords(w)), sheet.Str(widthWords(w))})
	}
	s.Para("What each grade, state or extra adds to the ask over its plain counterpart, at the market's middle boat, everything else being equal. The range holds the truth in 8 of 10 cases. “Listings” is how many state it. Where few do, the amount leans on the trade's rule of thumb and says so. " + d.allMoney())
	s.Para("An amount here is what asks differ by, not what the part costs to buy.")
	area := s.Table(sheet.Table{Columns: columns, Rows: rows, Frozen: 0, Filter: true, Repeat: true})
	s.Rule(area.Column(7), ruleOfThumb, sheet.Quiet)
	d.classes(s)
}

const ruleOfThumb = "rule of thumb"

// mostlyWords tells what an amount rests on.
func mostlyWords(w price.Worth) string {
	if w.Mostly == "prior" {
		return ruleOfThumb
	}
	return "this market"
}

// widthWords tells how wide an amount's range is: half of it over the amount.
func widthWords(w price.Worth) string {
	reach := (w.High - w.Low) / 2 / math.Abs(w.Amount)
	switch {
	case !isNumber(reach):
		return ""
	case w.Low < 0 && w.High > 0:
		return "may be nothing at all"
	case reach <= 0.2:
		return fmt.Sprintf("narrow, ± %.0f %%", reach*100)
	case reach <= 0.4:
		return fmt.Sprintf("middling, ± %.0f %%", reach*100)
	}
	return fmt.Sprintf("wide, ± %.0f %%", reach*100)
}

// classes writes what a new boat of each class would ask.
func (d *desk) classes(s *sheet.Sheet) {
	if len(d.survey.Model.Classes) == 0 {
		return
	}
	s.Heading("A new boat of each class, by this market")
	var rows [][]sheet.Cell
	for _, c := range d.survey.Model.Classes {
		rows = append(rows, []sheet.Cell{sheet.Str(className(c)), {}, d.known(c.New), d.known(c.Low), d.known(c.High), sheet.Int(c.Listings)})
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("class", 0), {}, column("new_price", 0), column("low", 0), column("high", 0), column("listings", 0)}, Rows: rows, Frozen: -1})
}

// curve writes the age curve as a table and a native chart.
func (d *desk) curve(s *sheet.Sheet) {
	s.Title("Age curve")
	s.Widths(10, 12, 10, 10, 3, 12, 12, 12, 12, 12, 12)
	s.Para("What is left of the price of a new boat with the years, in this market. The band between low and high holds the truth in 8 of 10 cases; it is the uncertainty of the curve, not the spread of asks.")
	var rows [][]sheet.Cell
	for _, p := range d.survey.Model.AgeCurve {
		rows = append(rows, []sheet.Cell{sheet.Num(p.Age, decimalsOf(p.Age)), sheet.Percent(p.Share, 0), sheet.Percent(p.Low, 0), sheet.Percent(p.High, 0)})
	}
	top := s.Next()
	area := s.Table(sheet.Table{Columns: []sheet.Column{column("age", 0), column("share", 0), column("low", 0), column("high", 0)}, Rows: rows, Frozen: 0, Repeat: true})
	if len(rows) < 2 {
		s.Para("Too few ages are known for a curve.")
		return
	}
	line := func(col int, dashed bool) sheet.Series {
		return sheet.Series{Name: area.From(-1, col), X: area.Range(0), Y: area.Range(col), Dashed: dashed}
	}
	s.Chart(sheet.Chart{
		Kind: sheet.Scatter, Title: "Share of the price of a new boat, by age", XTitle: "age in years", YTitle: "share of new", YFormat: "0%", XFormat: "0",
		Series: []sheet.Series{line(1, false), line(2, true), line(3, true)}, Width: 620, Height: 380,
	}, top+1, 6)
}

// decimalsOf shows a decimal only where there is one.
func decimalsOf(v float64) int {
	if v == float64(int(v)) {
		return 0
	}
	return 1
}
