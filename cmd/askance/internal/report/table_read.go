package report

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"askance/ingest"
	"askance/ingest/boat"
	"askance/ingest/record"
)

// ReadTable prints what was read of each listing, with the words behind each
// finding, how much that is in each file, and the columns that were not used.
// It judges nothing.
func ReadTable(w io.Writer, all *ingest.Reading, v View) error {
	out := newScreen(v)
	for i := range all.Listings {
		v.listing(out, &all.Listings[i], i > 0)
	}
	out.heading("How much was read")
	out.perFile(all.Listings)
	out.unused(unusedColumns(all.Unused))
	return out.print(w)
}

// perFile counts what was read in each file, in the files' order.
func (s *screen) perFile(listings []boat.Listing) {
	type count struct{ listings, priced, dated, silent, findings int }
	var files []string
	counts := map[string]*count{}
	all := &count{}
	for i := range listings {
		l := &listings[i]
		file := l.Source.At.File
		if counts[file] == nil {
			files, counts[file] = append(files, file), &count{}
		}
		for _, c := range []*count{counts[file], all} {
			c.listings++
			c.findings += len(l.Findings)
			c.priced += oneIf(l.Price.Known)
			c.dated += oneIf(l.Year.Known)
			c.silent += oneIf(len(l.Findings) == 0)
		}
	}
	row := func(name string, c *count) textRow {
		cells := []string{name}
		for _, n := range []int{c.listings, c.priced, c.dated, c.findings, c.silent} {
			cells = append(cells, fmt.Sprint(n))
		}
		return textRow{cells: cells}
	}
	var rows []textRow
	for _, f := range files {
		rows = append(rows, row(f, counts[f]))
	}
	if len(files) > 1 {
		rows = append(rows, row("all", all))
	}
	s.table([]textColumn{{head: "file", flex: true}, {head: "listings", right: true}, {head: "priced", right: true}, {head: "with year", right: true}, {head: "findings", right: true}, {head: "with none", right: true, spare: true}}, rows)
}

func oneIf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// unused prints the columns that nothing was read from.
func (s *screen) unused(columns []unusedColumn) {
	if len(columns) == 0 {
		return
	}
	s.heading("Columns not used")
	var rows []textRow
	for _, c := range columns {
		rows = append(rows, textRow{cells: []string{c.file, c.toUse, record.Shorten(c.Example, 40)}})
	}
	s.table([]textColumn{{head: "file", flex: true}, {head: "it looks like"}, {head: "for example", flex: true}}, rows)
	s.para(howToUse, 0)
}

// listing prints one listing.
func (v View) listing(out *screen, l *boat.Listing, gap bool) {
	if gap {
		out.line("")
	}
	title := l.Title
	if title == "" {
		title = "(no title)"
	}
	out.strongPara(title)
	words := fmt.Sprintf("%s, %s, id %s", l.Source.At.File, l.Source.At.At(), l.ID)
	if l.Kind != boat.ForSale && l.Kind != "" {
		words += ", " + string(l.Kind)
	}
	if l.Boats > 1 {
		words += fmt.Sprintf(", %d boats", l.Boats)
	}
	if l.Sold {
		words += ", sold"
	}
	out.para(words, 2)
	out.para(sourceWords(l.Given), 2)
	var rows []textRow
	for _, f := range v.facts(l) {
		rows = append(rows, textRow{cells: []string{f.what, f.value, quoteWords(f.quote)}})
	}
	if len(rows) > 0 {
		out.list([]textColumn{{flex: true}, {flex: true}, {flex: true}}, rows)
	}
	for _, p := range listingOf(l).Problems {
		out.item("!", p, 2)
	}
}

// sourceWords tells which source of a page gave which fields; nothing of a
// table, where all are columns.
func sourceWords(given map[string]string) string {
	fields := map[string][]string{}
	for _, field := range slices.Sorted(maps.Keys(given)) {
		if from := given[field]; from != "column" && from != "" {
			fields[from] = append(fields[from], spaced(field))
		}
	}
	var words []string
	for _, from := range slices.Sorted(maps.Keys(fields)) {
		words = append(words, strings.Join(fields[from], ", ")+" from "+from)
	}
	return strings.Join(words, "; ")
}
