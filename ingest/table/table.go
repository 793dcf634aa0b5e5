// Package table reads delimited text and .xlsx workbooks into rows of named
// cells. It knows nothing of what the rows describe: which header fills which
// field is told by the caller.
//
// The files, in the order in which data passes through them: sniff.go (is it
// a table at all), decode.go (bytes to characters), delimiter.go and scan.go
// (characters to cells), workbook.go, numformat.go and links.go (workbook to
// cells), header.go (which line is the header, which column fills what),
// shift.go, align.go and broken.go (lines that an export has spoiled) and
// rows.go (cells to rows, and what is left out).
package table

import (
	"fmt"

	"askance/ingest/record"
)

// Options says how a table is read. The zero value reads any table with no
// header recognised and the limits named here.
type Options struct {
	// Headers tells which field a header fills and which unit it names; it is
	// given the header trimmed, as written. ok is false where it fills none.
	Headers func(header string) (field, unit string, ok bool)
	// Column maps a field to the header that holds it, over whatever Headers
	// says. Case and white space do not count.
	Column map[string]string
	// Totals are words that open a row of totals. Case does not count.
	Totals []string

	MaxBytes     int64 // of the file; 0 is 64 MiB
	MaxUnzipped  int64 // of all parts of a workbook unpacked; 0 is 128 MiB
	MaxRows      int   // of the file, all sheets together; 0 is 200,000
	MaxColumns   int   // of a row; 0 is 500
	MaxCells     int   // of the file, all sheets together; 0 is 4,000,000
	MaxCellBytes int   // kept of one cell's text; 0 is 32 KiB
}

// maxSheets bounds the sheets that are read of one workbook.
const maxSheets = 256

func (o Options) withDefaults() Options {
	orElse(&o.MaxBytes, 64<<20)
	orElse(&o.MaxUnzipped, 128<<20)
	orElse(&o.MaxRows, 200_000)
	orElse(&o.MaxColumns, 500)
	orElse(&o.MaxCells, 4_000_000)
	orElse(&o.MaxCellBytes, 32<<10)
	return o
}

// orElse gives a limit that is not set its default.
func orElse[N int | int64](limit *N, value N) {
	if *limit <= 0 {
		*limit = value
	}
}

// Read reads delimited text or an .xlsx workbook, whichever data is by its
// content; name serves positions and messages alone.
//
// Text may be UTF-8 or UTF-16 with or without a byte order mark, or
// windows-1252; lines may end in LF, CRLF or CR; the delimiter is found among
// comma, semicolon, tab and pipe, or read from a "sep=;" line. A quote that
// is never closed properly is left out or, if others follow it in its cell,
// stands for itself, and is a Problem.
//
// Of a workbook every visible sheet is read: a date as 2006-01-02 (without
// its time of day), a time as 15:04:05, a number in full with a decimal point
// (to the 15 digits that spreadsheets keep), a formula as its stored result
// (blank if none is stored), a truth value as TRUE or FALSE. The unit that a
// number's format shows is the cell's where the header names none. The link
// of a cell under "url" takes the place of a text that is no address; a row
// without an address gets its first http link as one more cell of that field.
//
// The header is the line among the first twenty filled ones with the most
// recognised cells, else the first line with two filled cells. Cells under a
// header that is not recognised are kept with an empty Field, blank cells
// too; cells that a short row lacks are left out. Row.At is the line where
// the row starts; a cell's own At may lie lower where a quoted cell before it
// holds line breaks. Text is trimmed and otherwise as written.
//
// In a table of eight lines or more, a line with too many or too few cells, or
// parted by a line break without quotes, is read as the columns of the others
// suggest, with a Problem; a line with one cell among lines of several is no
// row and stands in Skipped. A bare number under "listed" is taken for a
// spreadsheet's date.
//
// What is over a limit of rows, columns, cells or text is left off with a
// Problem; a file over MaxBytes or MaxUnzipped, an empty one, and anything
// that is no table are errors, and so is a header of Options.Column that no
// table of the file has (*UnknownHeader).
func Read(name string, data []byte, opts Options) (record.Batch, error) {
	opts = opts.withDefaults()
	if int64(len(data)) > opts.MaxBytes {
		return record.Batch{}, fmt.Errorf("%s: wanted at most %s, found %s (hint: split the file)",
			name, inMiB(opts.MaxBytes), inMiB(int64(len(data))))
	}
	content, err := inspect(data)
	if err != nil {
		return record.Batch{}, fmt.Errorf("%s: %w", name, err)
	}
	b := newBuilder(name, opts)
	if content.format == Workbook {
		err = b.addWorkbook(data)
	} else {
		b.addText(content)
	}
	if err != nil {
		return record.Batch{}, fmt.Errorf("%s: %w", name, err)
	}
	return b.finish()
}

// HeaderCells counts the cells of a text's best header line that are
// recognised. Two or more tell a table from running text; 0 is any data that
// is no text.
func HeaderCells(data []byte, opts Options) int {
	content, err := inspect(data)
	if err != nil || content.format != Text {
		return 0
	}
	opts = opts.withDefaults()
	known := newRecogniser(opts)
	_, recognised := findHeader(openText(content.text, known, opts.MaxColumns).filledLines(headerLines), known)
	return recognised
}

// inMiB prints a size for a message.
func inMiB(bytes int64) string {
	return fmt.Sprintf("%.1f MiB", float64(bytes)/(1<<20))
}
