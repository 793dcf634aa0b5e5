// Package record holds one raw row as it was found in a file: named text
// cells, each with the place where it stands. It knows nothing of what the
// rows describe.
package record

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// A Kind says what sort of place a Pos names.
type Kind int

const (
	Whole Kind = iota // the file as a whole, or a page that holds one row
	Line              // a physical line of a text table
	Sheet             // a row of a spreadsheet
	Card              // the n-th row of a page, counted from 1 in page order
)

// A Pos is the place of a datum in a file. Line and Column count from 1; 0 is
// unknown. Column counts characters in a text table and columns in a sheet.
type Pos struct {
	File   string // as given, with forward slashes
	Kind   Kind
	Sheet  string // the sheet's name, for Kind Sheet
	Line   int    // physical line, sheet row, or number of the card
	Column int
}

// At tells the place of a row inside its file: "line 14", "Sheet!14",
// "card 3" or "page".
func (p Pos) At() string {
	switch p.Kind {
	case Line:
		return "line " + strconv.Itoa(p.Line)
	case Sheet:
		return p.Sheet + "!" + strconv.Itoa(p.Line)
	case Card:
		return "card " + strconv.Itoa(p.Line)
	}
	return "page"
}

// String prints the place for a message: "market.csv:14:3",
// "market.xlsx:Sheet1!C14", "page.html:card 3", "page.html".
func (p Pos) String() string {
	switch p.Kind {
	case Line:
		s := p.File + ":" + strconv.Itoa(p.Line)
		if p.Column > 0 {
			s += ":" + strconv.Itoa(p.Column)
		}
		return s
	case Sheet:
		return p.File + ":" + p.Sheet + "!" + columnName(p.Column) + strconv.Itoa(p.Line)
	case Card:
		return p.File + ":card " + strconv.Itoa(p.Line)
	}
	return p.File
}

// columnName turns 1 into "A" and 28 into "AB"; 0 gives "".
func columnName(n int) string {
	name := ""
	for ; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// A Cell is one named piece of text of a row.
type Cell struct {
	Field  string // the field it fills, "" where its header is not recognised
	Header string // the header, label or property as written
	Unit   string // a unit told by the header, as written: "ft", "USD"
	Text   string
	At     Pos
	From   string // which source gave it: "column", "json-ld", "microdata", "opengraph", "card", "attributes", "select"
}

// A Row is one row, card or item as found. Of several cells with one field
// the first counts.
type Row struct {
	At       Pos
	Cells    []Cell
	Problems []Problem
}

// Get returns the first cell that fills the field and is not blank.
func (r Row) Get(field string) (Cell, bool) {
	for _, c := range r.Cells {
		if c.Field == field && strings.TrimSpace(c.Text) != "" {
			return c, true
		}
	}
	return Cell{}, false
}

// Text returns the text of the first cell that fills the field, "" if none.
func (r Row) Text(field string) string {
	c, _ := r.Get(field)
	return c.Text
}

// A Problem is something that could not be used as it stands. It never ends
// the reading: the rest of the row, and of the file, is still used.
type Problem struct {
	At     Pos
	Field  string
	Wanted string // what was expected there
	Got    string // what stood there
	Hint   string // what to try
}

// String prints the problem on one line.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(p.At.String())
	b.WriteString(": ")
	if p.Field != "" {
		b.WriteString(p.Field + ": ")
	}
	b.WriteString("wanted " + p.Wanted)
	if p.Got != "" {
		fmt.Fprintf(&b, ", found %q", Shorten(p.Got, 60))
	}
	if p.Hint != "" {
		b.WriteString(" (hint: " + p.Hint + ")")
	}
	return b.String()
}

// Shorten folds white space and cuts a text to at most n runes, with an
// ellipsis where something was cut.
func Shorten(s string, n int) string {
	s = strings.Join(strings.Fields(s), " ")
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}

// A Skipped row was seen and is not used; it keeps its reason.
type Skipped struct {
	At     Pos
	Title  string
	Reason string
}

// A Batch is all that one file gave.
type Batch struct {
	File     string
	Rows     []Row
	Skipped  []Skipped // repeated headers, totals, advertisements
	Problems []Problem
	Unused   []string  // headers that fill no field, in file order
	Date     time.Time // the date that the export states of itself; zero if none
	URL      string    // where the page was saved from, "" if unknown
	Language string    // as declared by the page, "" if unknown
	Currency string    // ISO 4217 code, as declared by the page or a header, "" if unknown
}
