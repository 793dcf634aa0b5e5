package report

import (
	"slices"
	"strings"

	"askance/analysis"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest/record"
)

// viewing writes what to check at each boat worth seeing, with room to write.
func (d *desk) viewing(s *sheet.Sheet) {
	s.Title("Viewing list")
	s.Widths(40, 16, 32, 52, 14, 36)
	boats := worthSeeing(d.survey, d.view, 8)
	if len(boats) == 0 {
		s.Para("No boat that is shown asks less than what such boats usually ask, so there is none to list here.")
		return
	}
	s.Para("What to look at and to ask before money changes hands. The two columns at the right are yours. A surveyor or repairer sees more than a list can say.")
	var rows [][]sheet.Cell
	for _, j := range boats {
		rows = append(rows, d.viewingRows(j)...)
	}
	area := s.Table(sheet.Table{Columns: []sheet.Column{column("title", 0), column("place", 0), column("check", 0), column("why", 0), column("answer", 0), column("notes", 0)}, Rows: rows, Frozen: 1, Filter: true, Repeat: true})
	own := area.Column(4)
	s.Choices(own, "sound", "not sound", "not seen", "seller says so")
	own.Cols = 2
	s.Fillable(own)
}

func (d *desk) viewingRows(j *analysis.Judged) [][]sheet.Cell {
	line := func(check, why string) []sheet.Cell {
		return []sheet.Cell{titleCell(j), sheet.Str(known(j.Listing.Place)).Wrapped(), sheet.Str(check).Wrapped(), sheet.Str(why).Wrapped(), sheet.Cell{}.Marked(sheet.Input), sheet.Cell{}.Marked(sheet.Input)}
	}
	rows := [][]sheet.Cell{}
	if cautions := cautionsOf(j); len(cautions) > 0 {
		rows = append(rows, line("before anything else", sentences(cautions)))
	}
	for _, c := range j.Checks {
		rows = append(rows, line(d.view.item(c.Item), c.Why))
	}
	if len(rows) == 0 {
		rows = append(rows, line("hull number and papers", "they should name the seller and agree with the advertisement"))
	}
	return rows
}

// leftOut writes every row that is not in the market, the boats listed twice,
// what could not be read, and the columns that nothing was read from.
func (d *desk) leftOut(s *sheet.Sheet) {
	m := d.survey.Market
	s.Title("Left out")
	s.Widths(34, 14, 36, 24, 40, 40)
	s.Para("Every row that was seen and does not count, with its reason. Nothing is dropped without a line here.")
	var rows [][]sheet.Cell
	for _, l := range m.LeftOut {
		rows = append(rows, []sheet.Cell{sheet.Str(l.Source.At.File).Wrapped(), sheet.Str(l.Source.At.At()), sheet.Str(l.Title).Wrapped().Link(l.Source.URL), sheet.Str(codeWords(l.Code)), sheet.Str(l.Reason).Wrapped()})
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("source.file", 0), column("source.at", 0), column("title", 0), column("code", 0), column("reason", 0)}, Rows: rows, Frozen: 0, Filter: len(rows) > 0, Repeat: true})
	if len(rows) == 0 {
		s.Para("No row was left out.")
	}
	d.twice(s)
	d.problems(s)
	d.unused(s)
}

// twice lists the boats that stand in more than one place.
func (d *desk) twice(s *sheet.Sheet) {
	var rows [][]sheet.Cell
	for i := range d.survey.Market.Listings {
		l := &d.survey.Market.Listings[i]
		for _, a := range l.Also {
			price := sheet.Cell{}
			if a.Price.Known {
				price = sheet.Money(a.Price.Major(), a.Price.Currency, 0)
			}
			rows = append(rows, []sheet.Cell{sheet.Str(a.Source.At.File).Wrapped(), sheet.Str(a.Source.At.At()), sheet.Str(l.Title).Wrapped().Link(a.Source.URL), price,
				sheet.Str("counted once, as listed in " + l.Source.At.File + ", " + l.Source.At.At()).Wrapped()})
		}
	}
	if len(rows) == 0 {
		return
	}
	s.Heading("Listed twice")
	s.Table(sheet.Table{Columns: []sheet.Column{column("source.file", 0), column("source.at", 0), column("title", 0), column("price.amount", 0), column("reason", 0)}, Rows: rows, Frozen: -1})
}

// problems lists what could not be used as it stands; the rows it stood in
// were used for the rest.
func (d *desk) problems(s *sheet.Sheet) {
	all := slices.Clone(d.survey.Market.Problems)
	for i := range d.survey.Market.Listings {
		all = append(all, d.survey.Market.Listings[i].Problems...)
	}
	var rows [][]sheet.Cell
	for _, p := range all {
		rows = append(rows, []sheet.Cell{sheet.Str(p.At.File).Wrapped(), sheet.Str(placeIn(p.At)), sheet.Str(record.Shorten(p.Got, 200)).Wrapped(), sheet.Str(p.Field), sheet.Str(p.Wanted).Wrapped(), sheet.Str(p.Hint).Wrapped()})
	}
	if len(rows) == 0 {
		return
	}
	s.Heading("What could not be read")
	s.Para("The rest of each row was used all the same.")
	s.Table(sheet.Table{Columns: []sheet.Column{column("source.file", 0), column("source.at", 0), column("found", 0), column("field", 0), column("wanted", 0), column("hint", 0)}, Rows: rows, Frozen: -1})
}

// placeIn tells a place inside its file, with the column where it is known.
func placeIn(p record.Pos) string {
	if p.Kind == record.Whole {
		return ""
	}
	if inside := strings.TrimPrefix(p.String(), p.File+":"); p.Column > 0 && p.Kind == record.Sheet {
		return inside
	}
	return p.At()
}

// unused lists the columns of the exports that nothing was read from.
func (d *desk) unused(s *sheet.Sheet) {
	var rows [][]sheet.Cell
	for _, u := range unusedColumns(d.survey.Market.Unused) {
		rows = append(rows, []sheet.Cell{sheet.Str(u.file).Wrapped(), sheet.Str(u.toUse).Wrapped(), sheet.Str(u.Header).Wrapped(), sheet.Str(record.Shorten(u.Example, 200)).Wrapped()})
	}
	if len(rows) == 0 {
		return
	}
	s.Heading("Columns not used")
	s.Para("If one of them holds something that counts, say so with the flag that fits; the one beside each column is what its values look like. " + howToUse)
	s.Table(sheet.Table{Columns: []sheet.Column{column("source.file", 0), column("to_use", 0), column("header", 0), column("example", 0)}, Rows: rows, Frozen: -1})
}
