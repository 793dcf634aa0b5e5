package main

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	"askance/analysis"
	"askance/cmd/askance/internal/report"
	"askance/cmd/askance/internal/sheet"
)

type scanCmd struct {
	Exports []string `arg:"" name:"export" sep:"none" help:"Saved pages and lists: files, folders, or - for standard input."`
	intakeFlags
	judgeFlags
	Budget   float64  `group:"output" placeholder:"N" help:"Show boats that ask at most so much. The whole market is fitted all the same."`
	Class    string   `group:"output" placeholder:"NAME" help:"Show boats of one class."`
	Within   []string `group:"output" sep:"none" placeholder:"PLACES" help:"Show boats that lie in one of these places; a semicolon stands between two. Repeatable."`
	Explain  string   `group:"output" placeholder:"ID" help:"Show one listing, every step from its words to its verdict."`
	Workbook string   `group:"output" placeholder:"FILE.xlsx" help:"Workbook to write. Default: askance-market.xlsx, none with --format json or csv."`
	formatFlag
}

func (scanCmd) Help() string {
	return `Examples:

	askance scan exports
	askance scan --purpose race --budget 6000 exports/club.csv exports/page.mhtml
	askance scan --format json exports > scan.json`
}

// Run reads a market, judges it, writes the workbook and shows the ranking.
func (c scanCmd) Run(h *host) error {
	if err := c.allow("scan", "table", "json", "csv"); err != nil {
		return err
	}
	if c.Budget < 0 {
		return misused("--budget: wanted an amount above 0, found %g", c.Budget)
	}
	standard := "askance-market.xlsx"
	if c.Explain != "" {
		standard = "" // a look at one listing leaves the workbook of all alone
	}
	workbook := c.workbook(c.Workbook, standard)
	s, err := h.marketOf(c.Exports, c.intakeFlags, c.judgeFlags, workbook, "scan")
	if err != nil {
		return err
	}
	survey, err := h.survey(s, c.judgeFlags, workbook)
	if err != nil {
		return err
	}
	view := h.view(s.book, s.market.AsOf)
	c.choose(&view)
	table := func(w io.Writer) error { return report.ScanTable(w, survey, view) }
	if c.Explain != "" {
		one, err := find(survey, c.Explain)
		if err != nil {
			return err
		}
		view.Show = func(j *analysis.Judged) bool { return j == one }
		view.Shown = "the listing " + one.Listing.ID
		table = func(w io.Writer) error { return report.Explain(w, survey, one.Listing.ID, view) }
	}
	return h.publish(workbook, c.Format, output{
		book:  func() *sheet.Book { return report.ScanWorkbook(survey, view) },
		table: table,
		json:  func(w io.Writer) error { return report.ScanJSON(w, survey, view) },
		csv:   func(w io.Writer) error { return report.ScanCSV(w, survey, view) },
	})
}

// choose says which listings are shown.
func (c scanCmd) choose(v *report.View) {
	places := split(strings.Join(c.Within, ";"))
	if c.Budget == 0 && c.Class == "" && len(places) == 0 {
		return
	}
	var words []string
	if c.Budget > 0 {
		words = append(words, fmt.Sprintf("asking at most %g", c.Budget))
	}
	if c.Class != "" {
		words = append(words, "of the class "+c.Class)
	}
	if len(places) > 0 {
		words = append(words, "in "+strings.Join(places, " or "))
	}
	v.Shown = strings.Join(words, ", ")
	v.Show = func(j *analysis.Judged) bool {
		l := j.Listing
		return (c.Budget == 0 || l.Price.Major() <= c.Budget) &&
			(c.Class == "" || l.Class.Known && alike(l.Class.Value, c.Class)) &&
			(len(places) == 0 || l.Place.Known && within(l.Place.Value, places))
	}
}

// find returns the listing with that id, or the one whose id begins so.
func find(s *analysis.Survey, id string) (*analysis.Judged, error) {
	var found []*analysis.Judged
	for i := range s.Boats {
		if s.Boats[i].Listing.ID == id {
			return &s.Boats[i], nil
		}
		if id != "" && strings.HasPrefix(s.Boats[i].Listing.ID, id) {
			found = append(found, &s.Boats[i])
		}
	}
	switch len(found) {
	case 0:
		return nil, fmt.Errorf("no listing with the id %q in this market\nhint: askance scan --format csv shows every id", id)
	case 1:
		return found[0], nil
	}
	return nil, fmt.Errorf("%d listings have an id that begins with %q\nhint: give more of it", len(found), id)
}

// split cuts a list at semicolons: a place's name may hold a comma.
func split(list string) []string {
	var out []string
	for s := range strings.SplitSeq(list, ";") {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// alike compares names by their letters and digits alone, in any case.
func alike(a, b string) bool {
	return strings.Join(nameWords(a), "") == strings.Join(nameWords(b), "")
}

// nameWords splits a name at anything but letters and digits.
func nameWords(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// within tells whether a place is one of the given, or has it as a word of
// its own: "Lunden, Nordmark" lies in Nordmark.
func within(place string, places []string) bool {
	have := " " + strings.Join(nameWords(place), " ") + " "
	for _, p := range places {
		if strings.Contains(have, " "+strings.Join(nameWords(p), " ")+" ") {
			return true
		}
	}
	return false
}
