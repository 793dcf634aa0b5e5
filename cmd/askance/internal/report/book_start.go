package report

import (
	"fmt"
	"strconv"
	"strings"

	"askance/analysis"
	"askance/analysis/verdict"
	"askance/cmd/askance/internal/sheet"
)

// letter turns 1 into "A".
func letter(n int) string { return string(rune('A' + n - 1)) }

func digits(n int) string { return strconv.Itoa(n) }

// A guide tells what a sheet holds.
type guide struct {
	sheet *sheet.Sheet
	holds string
}

// start writes the first sheet: what this is, how to read it, what was found.
func (d *desk) start(s *sheet.Sheet, guides []guide) {
	s.Widths(34, 12, 12, 11, 13, 62)
	s.OnePage()
	s.Title("Asking prices, looked at twice")
	s.Para(d.opening())
	if d.view.Shown != "" {
		s.Para("Shown here: " + d.view.Shown + ". The whole market was used to work out prices all the same.")
	}
	s.Heading("How to read it")
	for i, line := range d.readingLines() {
		s.Para(strconv.Itoa(i+1) + ".  " + line)
	}
	d.counts(s)
	d.topBoats(s)
	s.Heading("The sheets")
	for _, g := range guides {
		s.Row(sheet.Str(g.sheet.Name).To(g.sheet), sheet.Str(g.holds))
	}
}

func (d *desk) opening() string {
	m := d.survey.Market
	words := fmt.Sprintf("The asking prices of %d second-hand boats, set against what such boats usually ask in the same market.", len(d.survey.Boats))
	if !m.AsOf.IsZero() {
		words += " Newest listing: " + day(m.AsOf) + "."
	}
	return words + " " + d.allMoney()
}

// readingLines are the eight lines that a reader needs.
func (d *desk) readingLines() []string {
	width := rangeOf(d.survey)
	return []string{
		"“Expected” is the ask to be expected for such a boat: half of such boats ask more, half ask less. The listing itself is kept out of the sum.",
		fmt.Sprintf("“Low” and “high” are the range in which %.0f of 100 such boats ask.", width*100),
		"“Gap” is how far the ask stands over (+) or under (−) what is expected, in percent.",
		"“Well below” and “well above” are said only where chance is an unlikely explanation, all listings taken together, and the gap is wide enough to matter. Everything else is “near”.",
		"“Not judged” says why: a year is missing, a structural defect is stated, or the ask looks like a typing error.",
		capital(analysis.LowAskCaution) + ".",
		"Asks are not what boats are sold for; the price in the end is usually lower.",
		"“Workings” shows each price step by step; the sums there are live. What the words did not say is counted as the usual mixture, not as the worst or the best.",
	}
}

func rangeOf(s *analysis.Survey) float64 {
	if s.Options.Range > 0 {
		return s.Options.Range
	}
	return 0.80
}

// counts tells where every row went.
func (d *desk) counts(s *sheet.Sheet) {
	m := marketOf(d.survey)
	s.Heading("The count")
	tally := map[string]int{}
	for i := range d.survey.Boats {
		tally[d.survey.Boats[i].Verdict.Verdict]++
	}
	for _, line := range []struct {
		what string
		n    int
		say  string
	}{
		{"rows read", m.Read, "each of them is in one of the next four lines"},
		{"judged", m.Used, fmt.Sprintf("%d well below, %d near, %d well above", tally[verdict.WellBelow], tally[verdict.Near], tally[verdict.WellAbove])},
		{"not judged", m.NotJudged, "in the market, but no verdict; the reason stands in the ranking"},
		{"listed twice", m.Duplicates, "the same boat in another place; counted once"},
		{"left out", m.LeftOut, "no boat for sale at a stated price; see the sheet “Left out”"},
	} {
		s.Row(sheet.Str(line.what), sheet.Int(line.n), sheet.Str(line.say))
	}
}

// topBoats shows the listings most worth looking at.
func (d *desk) topBoats(s *sheet.Sheet) {
	s.Heading("Most worth looking at")
	top := worthSeeing(d.survey, d.view, 5)
	if len(top) == 0 {
		s.Para("None stands out: no ask that is shown lies under what such boats usually ask.")
		return
	}
	if p := d.survey.Options.Purpose; p != "" {
		s.Para("In the order of what is left after the work: what such a boat asks once it is ready for " + p + ", less the ask and the cost until then.")
	}
	var rows [][]sheet.Cell
	for _, j := range top {
		rows = append(rows, []sheet.Cell{
			titleCell(j), d.whole(j.Listing.Price.Major()), d.known(j.Valuation.Expected), sheet.Percent(j.Verdict.Gap, 0).Signed(), sheet.Str(j.Verdict.Verdict), cautionCell(j)})
	}
	area := s.Table(sheet.Table{Columns: []sheet.Column{column("title", 0), column("ask", 0), column("expected", 0), column("gap", 0), column("verdict", 0), column("cautions", 0)}, Rows: rows, Frozen: -1})
	markVerdicts(s, area.Column(4))
}

// titleCell is a listing's title as a link to its source.
func titleCell(j *analysis.Judged) sheet.Cell {
	title := j.Listing.Title
	if title == "" {
		title = j.Listing.ID
	}
	return sheet.Str(title).Wrapped().Link(j.Listing.Source.URL)
}

func cautionCell(j *analysis.Judged) sheet.Cell {
	if j.Verdict.Verdict == verdict.WellBelow {
		return sheet.Str(sentences(cautionsOf(j))).Wrapped().Marked(sheet.Caution)
	}
	return sheet.Str(sentences(inShort(cautionsOf(j)))).Wrapped()
}

// sentences joins cautions so that each ends with a full stop.
func sentences(list []string) string {
	var out []string
	for _, s := range list {
		if s != "" && !strings.HasSuffix(s, ".") {
			s += "."
		}
		if s != "" {
			out = append(out, capital(s))
		}
	}
	return strings.Join(out, " ")
}

// markVerdicts gives the two verdicts that say something a colour beside
// their words.
func markVerdicts(s *sheet.Sheet, a sheet.Area) {
	s.Rule(a, verdict.WellBelow, sheet.Low)
	s.Rule(a, verdict.WellAbove, sheet.High)
}
