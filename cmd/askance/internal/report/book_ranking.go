package report

import (
	"askance/analysis"
	"askance/analysis/outlay"
	"askance/analysis/verdict"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest/record"
)

// ranking writes every listing that is shown, lowest gap first. places tells
// where each listing's workings start.
func (d *desk) ranking(s *sheet.Sheet, places map[string]sheet.Area) {
	s.Title("Ranking")
	columns := []sheet.Column{column("title", 36), column("class", 13), column("year.value", 7), column("age", 6), column("condition.value", 10), column("place", 13),
		column("ask", 9), column("expected", 10), column("low", 9), column("high", 9), column("gap", 8), column("verdict", 12), column("weighs", 34), column("cautions", 40), column("listed", 12), column("source", 24), column("id", 14)}
	if d.survey.Options.Purpose != "" {
		columns = append(columns, column("all_in.cost_to_ready", 10), column("all_in.all_in", 10), column("all_in.ready_expected", 10), column("all_in.margin", 10))
	}
	s.Row(sheet.Str("From the lowest ask against what is expected to the highest; listings not judged stand at the end. " + d.allMoney() + " Hold the pointer over a heading to see what it means."))
	var rows [][]sheet.Cell
	for _, j := range ranked(d.survey, d.view) {
		rows = append(rows, d.rankingRow(j, places))
	}
	area := s.Table(sheet.Table{Columns: columns, Rows: rows, Frozen: 1, Filter: true, Repeat: true})
	markVerdicts(s, area.Column(11))
	s.Rule(area.Column(11), verdict.NotJudged, sheet.Quiet)
}

// rankingRow writes one listing.
func (d *desk) rankingRow(j *analysis.Judged, places map[string]sheet.Area) []sheet.Cell {
	l := j.Listing
	year, age, gap := sheet.Cell{}, sheet.Cell{}, sheet.Cell{}
	if l.Year.Known {
		year = sheet.Year(l.Year.Value)
	}
	if a, ok := l.Age(); ok {
		age = sheet.Num(a, 1)
	}
	if j.Valuation.Expected > 0 {
		gap = sheet.Percent(j.Verdict.Gap, 0).Signed()
	}
	id := sheet.Str(l.ID)
	if at, ok := places[l.ID]; ok {
		id = id.ToCell(at, 0, 0)
	}
	row := []sheet.Cell{
		titleCell(j), sheet.Str(known(l.Class)).Wrapped(), year, age, sheet.Str(d.view.value("condition", known(l.Condition))), sheet.Str(known(l.Place)).Wrapped(),
		d.whole(l.Price.Major()), d.known(j.Valuation.Expected), d.known(j.Valuation.Low), d.known(j.Valuation.High), gap, sheet.Str(j.Verdict.Verdict),
		sheet.Str(d.view.weighsMost(j.Valuation, d.coin)).Wrapped(), d.rankingCaution(j), sheet.Date(known(l.Listed)), sheet.Str(l.Source.At.File + ", " + l.Source.At.At()).Wrapped(), id,
	}
	if o := j.Outlay; o != nil {
		row = append(row, d.whole(o.CostToReady), d.known(o.AllIn), d.known(o.ReadyExpected), d.margin(o))
	}
	return row
}

// margin is what is left once the boat is ready, empty where either side of
// the sum is unknown.
func (d *desk) margin(o *outlay.Outlay) sheet.Cell {
	if m := marginOf(d.coin, o); m != nil {
		return d.whole(*m).Signed()
	}
	return sheet.Cell{}
}

// rankingCaution is what to mind, and why there is no verdict where there is
// none.
func (d *desk) rankingCaution(j *analysis.Judged) sheet.Cell {
	if j.Verdict.Because == "" {
		return cautionCell(j)
	}
	words := []string{"Not judged: " + j.Verdict.Because, d.view.sidesWords(j.Valuation.Sides)}
	return sheet.Str(sentences(append(words, inShort(besideReason(j))...))).Wrapped()
}

// workings writes each listing's price step by step and returns the row at
// which each one's steps start.
func (d *desk) workings(s *sheet.Sheet) map[string]sheet.Area {
	s.Title("Workings")
	lead := []sheet.Column{column("title", 28), column("id", 15)}
	columns := append(lead, stepColumns()...)
	s.Row(sheet.Str("Each expected price from a new boat of the class down to this one. Filter by the title to follow one boat. The running totals and sums are live formulas. " + d.allMoney()))
	first := s.Next() + 1 // below the header
	places := map[string]sheet.Area{}
	var rows [][]sheet.Cell
	for _, j := range ranked(d.survey, d.view) {
		at := first + len(rows)
		steps := d.steps([]sheet.Cell{sheet.Str(record.Shorten(j.Listing.Title, 34)), sheet.Str(j.Listing.ID)}, j.Valuation, at)
		if len(steps) > 0 {
			places[j.Listing.ID] = sheet.Area{Sheet: s, Row: at, Col: 1, Rows: len(steps), Cols: len(columns)}
		}
		rows = append(rows, steps...)
	}
	s.Table(sheet.Table{Columns: columns, Rows: rows, Frozen: 1, Filter: true, Repeat: true})
	return places
}
