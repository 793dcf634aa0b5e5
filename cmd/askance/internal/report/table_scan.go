package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"askance/analysis"
	"askance/analysis/price"
	"askance/analysis/verdict"
)

// listShown is how many listings near or not judged stand in a table that
// does not show all.
const listShown = 8

// ScanTable prints a survey: the listings well below and well above first,
// then near ones, what the market says, and the count.
func ScanTable(w io.Writer, s *analysis.Survey, v View) error {
	out := newScreen(v)
	m := marketOf(s)
	out.para(fmt.Sprintf("%d rows read: %d judged, %d not judged, %d listed twice, %d left out. Money in %s, asks as of %s.", m.Read, m.Used, m.NotJudged, m.Duplicates, m.LeftOut, s.Market.Currency, day(s.Market.AsOf)), 0)
	if v.Shown != "" {
		out.para("Shown: "+v.Shown+".", 0)
	}
	groups := map[string][]*analysis.Judged{}
	for _, j := range ranked(s, v) {
		groups[j.Verdict.Verdict] = append(groups[j.Verdict.Verdict], j)
	}
	slices.Reverse(groups[verdict.WellAbove]) // the farthest off first
	v.group(out, groups[verdict.WellBelow], "Well below what such boats ask", 0)
	v.group(out, groups[verdict.WellAbove], "Well above what such boats ask", 0)
	v.group(out, groups[verdict.Near], "Near", listShown)
	v.notJudged(out, groups[verdict.NotJudged])
	v.madeReady(out, s, groups)
	if m.Used > 0 && len(groups[verdict.WellBelow])+len(groups[verdict.WellAbove]) == 0 {
		out.line("")
		out.para("No ask that is shown stands well below or well above.", 0)
	}
	v.marketSays(out, s)
	v.warnings(out, slices.Concat(s.Warnings, s.Model.Warnings))
	return out.print(w)
}

// group prints the listings of one verdict, at most limit of them unless all
// are asked for; 0 is no limit.
func (v View) group(out *screen, list []*analysis.Judged, title string, limit int) {
	if len(list) == 0 {
		return
	}
	all := len(list)
	if limit > 0 && !v.All && all > limit {
		list = list[:limit]
		title = fmt.Sprintf("%s (the lowest %d of %d)", title, limit, all)
	}
	out.heading(title)
	var rows []textRow
	for _, j := range list {
		row := textRow{cells: []string{percentWords(j.Verdict.Gap), grouped(j.Listing.Price.Major()), grouped(j.Valuation.Expected), grouped(j.Valuation.Low) + "–" + grouped(j.Valuation.High), yearOf(j), j.Listing.Title, j.Listing.ID}}
		if j.Verdict.Verdict != verdict.Near || isLoose(j) {
			row.below = cautionsOf(j)
		}
		if j.Verdict.Verdict == verdict.Near {
			row.below = inShort(row.below)
		}
		rows = append(rows, row)
	}
	out.table([]textColumn{{head: head("gap"), right: true}, {head: head("ask"), right: true}, {head: head("expected"), right: true}, {head: head("low") + "–" + head("high"), right: true, spare: true}, {head: head("year.value"), right: true}, {head: head("title"), flex: true}, {head: head("id")}}, rows)
}

func yearOf(j *analysis.Judged) string {
	if !j.Listing.Year.Known {
		return ""
	}
	return fmt.Sprint(j.Listing.Year.Value)
}

// notJudged prints listings without a verdict and why.
func (v View) notJudged(out *screen, list []*analysis.Judged) {
	if len(list) == 0 {
		return
	}
	title := "Not judged"
	if all := len(list); !v.All && all > listShown {
		list = list[:listShown]
		title = fmt.Sprintf("%s (%d of %d)", title, listShown, all)
	}
	out.heading(title)
	var rows []textRow
	for _, j := range list {
		rows = append(rows, textRow{cells: []string{grouped(j.Listing.Price.Major()), j.Listing.Title, j.Listing.ID}, below: slices.Concat([]string{j.Verdict.Because, v.sidesWords(j.Valuation.Sides)}, inShort(besideReason(j)))})
	}
	out.table([]textColumn{{head: head("ask"), right: true}, {head: head("title"), flex: true}, {head: head("id")}}, rows)
}

// madeReady prints what is left after paying for the boat and for all that
// its purpose asks for, the most first. Boats that cannot be made ready, and
// those that have no verdict, are not in it.
func (v View) madeReady(out *screen, s *analysis.Survey, groups map[string][]*analysis.Judged) {
	if s.Options.Purpose == "" {
		return
	}
	var list []*analysis.Judged
	for _, j := range slices.Concat(groups[verdict.WellBelow], groups[verdict.Near], groups[verdict.WellAbove]) {
		if j.Outlay != nil && j.Outlay.NotFit == "" && j.Outlay.AllIn > 0 && isNumber(j.Outlay.Margin) {
			list = append(list, j)
		}
	}
	slices.SortStableFunc(list, func(a, b *analysis.Judged) int { return cmp.Compare(b.Outlay.Margin, a.Outlay.Margin) })
	if len(list) == 0 {
		return
	}
	title := "Made ready for " + s.Options.Purpose
	if all := len(list); !v.All && all > listShown {
		list = list[:listShown]
		title += fmt.Sprintf(" (the best %d of %d)", listShown, all)
	}
	out.heading(title)
	var rows []textRow
	for _, j := range list {
		o := j.Outlay
		rows = append(rows, textRow{cells: []string{signedWhole(o.Margin), grouped(j.Listing.Price.Major()), grouped(o.CostToReady), grouped(o.AllIn), grouped(o.ReadyExpected), j.Listing.Title, j.Listing.ID}})
	}
	out.table([]textColumn{{head: head("all_in.margin"), right: true}, {head: head("ask"), right: true}, {head: head("all_in.cost_to_ready"), right: true, spare: true}, {head: head("all_in.all_in"), right: true}, {head: head("all_in.ready_expected"), right: true}, {head: head("title"), flex: true}, {head: head("id")}}, rows)
	out.para(head("all_in.margin")+": worth once ready, less ask and work. A wide one may hide a fault that no listing tells; what is not told is counted by how usual it is. askance scan --explain ID shows the work.", 0)
}

// marketSays prints the largest amounts and the age curve in one line.
func (v View) marketSays(out *screen, s *analysis.Survey) {
	values := slices.DeleteFunc(slices.Clone(s.Model.Values), func(w price.Worth) bool { return math.Round(w.Amount) == 0 || !isNumber(w.Amount) })
	slices.SortStableFunc(values, func(a, b price.Worth) int { return cmp.Compare(math.Abs(b.Amount), math.Abs(a.Amount)) })
	if !v.All {
		values = slices.DeleteFunc(values, func(w price.Worth) bool { return w.Listings == 0 })
		values = values[:min(len(values), 10)]
	}
	if len(values) == 0 && len(s.Model.AgeCurve) == 0 {
		return
	}
	out.heading("What this market says")
	for _, c := range s.Model.Classes {
		if c.New > 0 && c.Class != "" {
			out.para(fmt.Sprintf("A new %s would ask about %s (%s to %s).", c.Class, grouped(c.New), grouped(c.Low), grouped(c.High)), 0)
		}
	}
	if words := curveWords(s.Model.AgeCurve); words != "" {
		out.para(words, 0)
	}
	if len(values) == 0 {
		return
	}
	var rows []textRow
	for _, w := range values {
		rows = append(rows, textRow{cells: []string{v.item(w.Item), v.value(w.Item, w.Value), signedWhole(w.Amount), signedWhole(w.Low) + " to " + signedWhole(w.High), fmt.Sprint(w.Listings), mostlyWords(w)}})
	}
	out.line("")
	out.table([]textColumn{{head: head("item"), flex: true}, {head: head("value"), flex: true}, {head: head("amount"), right: true}, {head: head("low") + " to " + head("high"), right: true}, {head: head("listings"), right: true}, {head: head("mostly"), spare: true}}, rows)
}

// curveWords tells the age curve at a few ages.
func curveWords(curve []price.AgePoint) string {
	words := ""
	for _, age := range []float64{5, 10, 20, 30} {
		for _, p := range curve {
			if p.Age == age && isNumber(p.Share) {
				if words != "" {
					words += ", "
				}
				words += fmt.Sprintf("%.0f %% at %.0f years", p.Share*100, age)
			}
		}
	}
	if words == "" {
		return ""
	}
	return "Left of the price of a new boat: " + words + "."
}

// warnings prints what to mind about the whole run.
func (v View) warnings(out *screen, list []string) {
	if len(list) == 0 {
		return
	}
	out.heading("Mind")
	var seen []string
	for _, w := range list {
		if !slices.Contains(seen, w) {
			seen = append(seen, w)
			out.item("!", w, 0)
		}
	}
}
