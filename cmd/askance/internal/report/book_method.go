package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"askance/analysis"
	"askance/cmd/askance/internal/sheet"
)

// method writes how prices come about, how far they can be trusted, and what
// was set and assumed.
func (d *desk) method(s *sheet.Sheet) {
	s.Title("Method and cautions")
	s.Widths(36, 13, 18, 15, 72, 12, 34, 10, 10, 16, 8, 8)
	s.Heading("How it works")
	for _, p := range methodLines(d.survey.Formula.Corrected) {
		s.Para(p)
	}
	d.pictures(s)
	s.Heading("What to mind")
	for _, p := range cautionLines() {
		s.Para("•  " + p)
	}
	d.warnings(s)
	d.figures(s)
	d.byAge(s)
	d.firmness(s)
	d.fewOfClass(s)
	d.downweighted(s)
	d.settings(s)
	s.Print(sheet.Area{Sheet: s, Row: 1, Col: 1, Rows: s.Next() - 1, Cols: 5})
}

// methodLines tell the model in plain words; corrected says whether the boats
// most alike have moved prices in this market.
func methodLines(corrected bool) []string {
	alike := "The few boats most alike could have the last word, and move a price towards what they ask; in this market that foretold asks no better, so they did not."
	if corrected {
		alike = "The few boats most alike have the last word: if they ask more or less than worked out so far, the price moves some way towards them."
	}
	return []string{
		"A price starts from a new boat of its class. Age leaves a share of it; the overall condition and the state of the hulls multiply what is left. Fittings, gear and extras then add money, defects take money away, for a trolley is worth about the same beside an old boat as beside a new one. Deductions together can never eat up the hull.",
		"All these amounts are worked out from the whole market at once, in a way that lets no single odd ask pull them far: listings far off the rest lose their say. Where a market says little of an item, a rule of thumb of the trade stands in, and the amount is marked so.",
		"What an advertisement does not mention is not taken as missing, good or bad: it counts as the usual mixture of boats that say nothing, and the range grows with what is left unsaid.",
		"In a market of 300 listings or more the place counts too, length and your own measures may bend, and where makers share the name of a class each maker's boats of that name are a class of their own.",
		alike,
		"Each listing is kept out of its own expected price, so an odd ask cannot excuse itself.",
		"A verdict needs two things: an ask so far off that chance is an unlikely explanation, counting that many listings are looked at together (Benjamini and Hochberg's rule), and a gap wide enough to matter.",
	}
}

// cautionLines tell what the figures cannot see.
func cautionLines() []string {
	return []string{
		capital(analysis.LowAskCaution) + ".",
		"The prices are asks, not sales. What is paid in the end is usually lower.",
		"Only the words and columns of the listings were read. No photograph was looked at and no boat was seen.",
		"Sellers praise and leave things out. “Good” is the seller's word.",
		"A verdict is about the ask, not about the boat, the seller or the papers.",
		"“Near” does not mean that a price is right, only that this market cannot tell it from chance.",
	}
}

// figures shows how well the model meets this market.
func (d *desk) figures(s *sheet.Sheet) {
	s.Heading("How far to trust it")
	survey, m, r := d.survey, d.survey.Model, d.survey.Ratio
	rows := [][]sheet.Cell{
		figure("listings in the fit", sheet.Int(m.Listings), "", "the more, the better the amounts are known"),
		figure("of which with little say", sheet.Int(m.Downweighted), "", "listings too far off the rest to count in full"),
		figure("ordinary spread of asks", sheet.Percent(m.Scale, 0), "", "two asks in three lie within this of what is expected"),
		figure("asks inside their range", sheet.Percent(survey.Coverage, 0), "", fmt.Sprintf("share of the listings judged near that lie in their own range; meant to be about %.0f %%", rangeOf(survey)*100)),
		figure("smallest gap that shows", sheet.Percent(survey.SmallestGap, 0), "", "in this market a smaller gap cannot be told from chance"),
	}
	if r != nil {
		rows = append(rows,
			study("median ratio", r.Median, 3, 0.90, 1.10, "expected over asked, the middle one: 1 is neither too high nor too low on the whole"),
			study("coefficient of dispersion (COD)", r.COD, 1, 5, 20, "average distance of the ratios from the middle one, in percent of it"),
			study("price-related differential (PRD)", r.PRD, 3, 0.98, 1.03, "over 1: dear boats are priced too low against cheap ones"),
			study("price-related bias (PRB)", r.PRB, 3, -0.05, 0.05, "by how much the ratio changes when the price doubles"))
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("figure", 0), column("value", 0), column("acceptable", 0), column("within", 0), column("meaning", 0)}, Rows: rows, Frozen: -1})
	if r != nil {
		s.Para("The last four are the ratio study of mass appraisal, on the listings judged near, each left out of its own price. The accepted ranges are those of the IAAO Standard on Ratio Studies (2013, table 1-3; the COD for homes in small or rural jurisdictions), known here at second hand. They were made for sales of houses.")
	}
}

func figure(name string, value sheet.Cell, accepted, meaning string) []sheet.Cell {
	return []sheet.Cell{sheet.Str(name), value, sheet.Str(accepted), {}, sheet.Str(meaning).Wrapped()}
}

// study is a figure of the ratio study beside the range that is accepted.
func study(name string, v float64, decimals int, low, high float64, meaning string) []sheet.Cell {
	bound := func(x float64) string {
		return strings.Replace(strconv.FormatFloat(x, 'f', -1, 64), "-", "−", 1)
	}
	row := figure(name, sheet.Num(v, decimals), bound(low)+" to "+bound(high), meaning)
	switch {
	case v < low || v > high:
		row[3] = sheet.Str("outside")
	case isNumber(v):
		row[3] = sheet.Str("inside")
	}
	return row
}

// warnings writes what the analysis and the reading had to say.
func (d *desk) warnings(s *sheet.Sheet) {
	var all []string
	for _, w := range slices.Concat(d.survey.Warnings, d.survey.Model.Warnings, d.survey.Market.Notes) {
		if !slices.Contains(all, w) {
			all = append(all, w)
		}
	}
	if len(all) == 0 {
		return
	}
	s.Heading("Warnings and assumptions of this run")
	for _, w := range all {
		s.Note(w)
	}
}

// downweighted lists the listings that had less than half a say.
func (d *desk) downweighted(s *sheet.Sheet) {
	var list []*analysis.Judged
	for i := range d.survey.Boats {
		if j := &d.survey.Boats[i]; j.Valuation.InFit && j.Valuation.Weight < 0.5 {
			list = append(list, j)
		}
	}
	if len(list) == 0 {
		return
	}
	slices.SortStableFunc(list, func(a, b *analysis.Judged) int { return cmp.Compare(a.Valuation.Weight, b.Valuation.Weight) })
	s.Heading("Listings with little say in the amounts")
	var rows [][]sheet.Cell
	for _, j := range list {
		rows = append(rows, []sheet.Cell{titleCell(j), sheet.Num(j.Valuation.Weight, 2), d.whole(j.Listing.Price.Major()), d.known(j.Valuation.Expected), sheet.Str("the ask stands " + percentWords(j.Verdict.Gap) + " off what is expected")})
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("title", 0), column("weight", 0), column("ask", 0), column("expected", 0), column("reason", 0)}, Rows: rows, Frozen: -1})
}

// settings writes what was asked for.
func (d *desk) settings(s *sheet.Sheet) {
	s.Heading("Settings of this run")
	purpose := d.survey.Options.Purpose
	if purpose == "" {
		purpose = "none"
	}
	for _, line := range [][2]string{
		{"currency", d.coin.currency},
		{"newest listing", day(d.survey.Market.AsOf)},
		{"width of the range", fmt.Sprintf("%.0f %%", rangeOf(d.survey)*100)},
		{"purpose", purpose},
		{"shown", strings.TrimSpace(cmp.Or(d.view.Shown, "all listings"))},
	} {
		s.Row(sheet.Str(line[0]), sheet.Str(line[1]))
	}
}
