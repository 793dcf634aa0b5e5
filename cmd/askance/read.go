package main

import (
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"askance/cmd/askance/internal/report"
	"askance/ingest"
	"askance/ingest/boat"
)

type readCmd struct {
	Exports []string `arg:"" name:"export" sep:"none" help:"Saved pages and lists: files, folders, or - for standard input."`
	intakeFlags
	Unread bool `group:"output" help:"Show frequent words that nothing in the knowhow explains, instead of the listings."`
	formatFlag
}

func (readCmd) Help() string {
	return `Examples:

	askance read exports
	askance read --format jsonl exports/page.html
	askance read --unread exports`
}

// Run reads every listing and shows what was read of it.
func (c readCmd) Run(h *host) error {
	if err := c.allow("read", "table", "json", "jsonl", "csv"); err != nil {
		return err
	}
	if c.Unread && c.Format != "table" {
		return misused("--unread: wanted --format table, found %q", c.Format)
	}
	s, err := h.prepare(c.intakeFlags)
	if err != nil {
		return err
	}
	h.progress("reading")
	if s.files, err = h.collect(c.Exports); err != nil {
		return err
	}
	all, err := ingest.Listings(s.files, s.book, s.options)
	if err != nil {
		return err
	}
	h.tellMarket(&boat.Market{Listings: all.Listings, LeftOut: all.LeftOut, Problems: all.Problems, Notes: all.Notes})
	if c.Unread {
		return h.unread(s, all)
	}
	view := h.view(s.book, time.Time{})
	write := map[string]func(io.Writer) error{
		"table": func(w io.Writer) error { return report.ReadTable(w, all, view) },
		"json":  func(w io.Writer) error { return report.ReadJSON(w, all.Listings) },
		"jsonl": func(w io.Writer) error { return report.ReadJSONL(w, all.Listings) },
		"csv":   func(w io.Writer) error { return report.ReadCSV(w, all.Listings) },
	}[c.Format]
	if err := write(h.stdout); err != nil {
		return fmt.Errorf("standard output: %w", err)
	}
	return nil
}

// unreadFrom is in how many listings a word must stand to be shown.
const unreadFrom = 3

// unread shows the frequent words that nothing in the knowhow explains.
func (h *host) unread(s *setting, all *ingest.Reading) error {
	words := ingest.Unread(all.Listings, s.book, unreadFrom)
	w := tabwriter.NewWriter(h.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "listings\tlanguage\tword\tfor example")
	for _, u := range words {
		fmt.Fprintf(w, "%d\t%s\t%s\t%s\n", u.Listings, u.Language, u.Word, u.Example)
	}
	return w.Flush()
}
