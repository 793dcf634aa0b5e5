package main

import (
	"io"

	"askance/analysis"
	"askance/cmd/askance/internal/report"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest"
)

type priceCmd struct {
	Boat   string   `arg:"" optional:"" help:"Text file with the draft advertisement (first line the title) or a table with one row; not needed with --set."`
	Market []string `required:"" sep:"none" placeholder:"EXPORT" help:"Saved pages and lists of boats for sale. Repeatable."`
	Set    []string `sep:"none" placeholder:"FIELD=VALUE" help:"One fact of the boat, or ITEM=VALUE for an item of the knowhow; goes over what BOAT says. Repeatable."`
	intakeFlags
	judgeFlags
	Workbook string `group:"output" placeholder:"FILE.xlsx" help:"Workbook to write. Default: askance-price.xlsx, none with --format json or csv."`
	formatFlag
}

func (priceCmd) Help() string {
	return `Examples:

	askance price --market exports draft.txt
	askance price --market exports --set class="Zephrin 16" --set year=2012 --set launching_trolley=included`
}

// Run prices one boat against a market.
func (c priceCmd) Run(h *host) error {
	if err := c.allow("price", "table", "json", "csv"); err != nil {
		return err
	}
	if c.Boat == "" && len(c.Set) == 0 {
		return misused("no boat: wanted a file with its advertisement, a table with one row, or --set FIELD=VALUE")
	}
	workbook := c.workbook(c.Workbook, "askance-price.xlsx")
	s, err := h.marketOf(c.Market, c.intakeFlags, c.judgeFlags, workbook, "price", c.Boat)
	if err != nil {
		return err
	}
	set, err := pairs(c.Set, s.book)
	if err != nil {
		return err
	}
	var draft *ingest.File
	if c.Boat != "" {
		f := h.one(c.Boat)
		draft = &f
	}
	subject, err := ingest.Boat(draft, set, s.market, s.book, s.options)
	if err != nil {
		return err
	}
	if subject.Price.Known {
		h.note("its price (%s) does not count for what it is worth", subject.Price.Quote)
	}
	market, twins := ingest.Without(s.market, subject)
	h.tellTwins(twins)
	pricing, err := analysis.Price(market, s.book, subject, c.analysis(workbook))
	if err != nil {
		return err
	}
	view := h.view(s.book, s.market.AsOf)
	return h.publish(workbook, c.Format, output{
		book:  func() *sheet.Book { return report.PriceWorkbook(pricing, view) },
		table: func(w io.Writer) error { return report.PriceTable(w, pricing, view) },
		json:  func(w io.Writer) error { return report.PriceJSON(w, pricing, view) },
		csv:   func(w io.Writer) error { return report.PriceCSV(w, pricing, view) },
	})
}
