package table

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"askance/ingest/record"
)

// addWorkbook reads every visible sheet of an .xlsx workbook.
func (b *builder) addWorkbook(data []byte) (err error) {
	// A file built to do harm may upset the library that unpacks it.
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("wanted an .xlsx workbook, found a damaged one: %v (hint: open it and save it again)", r)
		}
	}()
	parts, err := openParts(data, b.opts.MaxUnzipped)
	if err != nil {
		return err
	}
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		// Equal limits keep the library from writing big sheets to disk.
		UnzipSizeLimit: b.opts.MaxUnzipped, UnzipXMLSizeLimit: b.opts.MaxUnzipped,
	})
	if err != nil {
		return fmt.Errorf("wanted an .xlsx workbook, found a damaged one: %w (hint: open it and save it again)", err)
	}
	defer book.Close()
	if err := plainNumbers(book); err != nil {
		return err
	}
	var grids []grid
	for i, name := range book.GetSheetList() {
		sheetAt := record.Pos{File: b.batch.File, Kind: record.Sheet, Sheet: name, Line: 1}
		if visible, err := book.GetSheetVisible(name); err != nil || !visible {
			b.batch.Skipped = append(b.batch.Skipped, record.Skipped{At: sheetAt, Title: name, Reason: "the sheet is hidden"})
			continue
		}
		if i >= maxSheets {
			b.stop("sheets", maxSheets)
		}
		if b.full {
			break
		}
		g, err := b.readSheet(book, name, parts.links(name))
		if err != nil {
			b.problem(record.Problem{At: sheetAt, Wanted: "a sheet of cells", Got: err.Error(), Hint: "the sheet is left out"})
			continue
		}
		grids = append(grids, g)
	}
	b.addSheets(grids)
	return nil
}

// addSheets adds the sheets with a recognised header; if there is none, all.
func (b *builder) addSheets(grids []grid) {
	anyKnown := false
	known := make([]bool, len(grids))
	for i, g := range grids {
		_, recognised := findHeader(g.lines, b.known)
		known[i] = recognised > 0
		anyKnown = anyKnown || known[i]
	}
	for i, g := range grids {
		if len(g.lines) > 0 && anyKnown && !known[i] {
			b.skip(g, g.lines[0], "the sheet has no header that is recognised")
			continue
		}
		b.add(g)
	}
}

// readSheet reads the filled rows of one sheet.
func (b *builder) readSheet(book *excelize.File, name string, links map[place]string) (grid, error) {
	g := grid{kind: record.Sheet, sheet: name, delimiter: " "}
	rows, err := book.Rows(name)
	if err != nil {
		return g, err
	}
	defer rows.Close()
	for number := 1; !b.full && rows.Next(); number++ {
		texts, err := rows.Columns()
		if err != nil {
			return g, err
		}
		l := line{number: number, excess: max(0, len(texts)-b.opts.MaxColumns)}
		texts = texts[:len(texts)-l.excess]
		for i, text := range texts {
			text, unit, _ := strings.Cut(text, unitMark)
			l.cells = append(l.cells, cell{text: text, line: number, column: i + 1,
				unit: unit, link: links[place{number, i + 1}]})
		}
		b.keep(&g, l)
	}
	return g, rows.Error()
}

// addLink gives a row the target of its link: in place of the text of a cell
// that should hold an address and does not, else, if the row has no address,
// as one more cell.
func (b *builder) addLink(r *record.Row, l line, columns []column) {
	first := -1
	for i, c := range l.cells {
		if !isWebAddress(c.link) {
			continue
		}
		if first < 0 {
			first = i
		}
		for j := range r.Cells {
			if u := &r.Cells[j]; u.Field == "url" && u.At.Column == c.column && !isWebAddress(u.Text) {
				u.Text = c.link
			}
		}
	}
	if _, has := r.Get("url"); has || first < 0 {
		return
	}
	c, header := l.cells[first], ""
	if first < len(columns) {
		header = columns[first].header
	}
	at := r.At
	at.Column = c.column
	r.Cells = append(r.Cells, record.Cell{Field: "url", Header: header, Text: c.link, At: at, From: "column"})
}

// isWebAddress tells a link that may be shown to the user.
func isWebAddress(s string) bool {
	s = strings.ToLower(s)
	return strings.HasPrefix(s, "http://") || strings.HasPrefix(s, "https://")
}
