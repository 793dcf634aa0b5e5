package main

import (
	"io"

	"askance/analysis"
	"askance/cmd/askance/internal/report"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest"
)

type reserveCmd struct {
	Fleet  string   `arg:"" help:"Table with one row a boat."`
	Market []string `required:"" sep:"none" placeholder:"EXPORT" help:"Saved pages and lists of boats for sale. Repeatable."`
	intakeFlags
	judgeFlags
	Chance   float64 `group:"judging" default:"0.80" placeholder:"P" help:"Chance of finding a buyer. Default: 0.80."`
	Workbook string  `group:"output" placeholder:"FILE.xlsx" help:"Workbook to write. Default: askance-reserve.xlsx, none with --format json or csv."`
	formatFlag
}

func (reserveCmd) Help() string {
	return `Example:

	askance reserve --market exports --chance 0.9 fleet.csv`
}

// Run gives each boat of a fleet a reserve, and the whole fleet its sum.
func (c reserveCmd) Run(h *host) error {
	if err := c.allow("reserve", "table", "json", "csv"); err != nil {
		return err
	}
	if !(c.Chance > 0 && c.Chance < 1) {
		return misused("--chance: wanted a share between 0 and 1, found %g", c.Chance)
	}
	workbook := c.workbook(c.Workbook, "askance-reserve.xlsx")
	s, err := h.marketOf(c.Market, c.intakeFlags, c.judgeFlags, workbook, "reserve", c.Fleet)
	if err != nil {
		return err
	}
	fleet, err := ingest.Fleet(h.one(c.Fleet), s.market, s.book, s.options)
	if err != nil {
		return err
	}
	market, twins := ingest.Without(s.market, fleet.Listings...)
	h.tellTwins(twins)
	h.tellProblems(fleet.Problems)
	priced, err := analysis.Reserve(market, s.book, fleet.Listings, c.Chance, c.analysis(workbook))
	if err != nil {
		return err
	}
	view := h.view(s.book, s.market.AsOf)
	return h.publish(workbook, c.Format, output{
		book:  func() *sheet.Book { return report.ReserveWorkbook(priced, view) },
		table: func(w io.Writer) error { return report.ReserveTable(w, priced, view) },
		json:  func(w io.Writer) error { return report.ReserveJSON(w, priced, view) },
		csv:   func(w io.Writer) error { return report.ReserveCSV(w, priced, view) },
	})
}
