package sheet

import (
	"math"
	"time"
)

// A kind says how a cell's value is written and shown.
type kind int

const (
	empty kind = iota
	text
	integer
	decimal
	money
	percent
	year
	date
)

// A Mark is one entry of the small palette. It never carries a meaning alone:
// the words of the cell say the same.
type Mark int

const (
	Plain   Mark = iota
	Head         // a table's header
	Low          // low in the list
	High         // high in the list
	Caution      // something to mind
	Quiet        // of little weight
	Input        // to be filled in by the reader
	Total        // a sum
)

// A Cell is one cell as a value. The zero value is an empty cell.
type Cell struct {
	kind     kind
	text     string
	number   float64
	currency string
	decimals int
	signed   bool
	formula  string
	link     string // http or https
	goTo     string // a place in the same workbook
	comment  string
	mark     Mark
	bold     bool
	italic   bool
	wrap     bool
	title    bool
	right    bool
}

// Str is a text; it stays a text whatever it starts with.
func Str(s string) Cell {
	if s == "" {
		return Cell{}
	}
	return Cell{kind: text, text: s}
}

// Int is a whole number, with thousands set apart.
func Int(n int) Cell { return numeric(integer, float64(n), 0) }

// Num is a number with so many decimals.
func Num(v float64, decimals int) Cell { return numeric(decimal, v, decimals) }

// Money is an amount in major units. The currency's code stands behind the
// number; "" leaves it out, for a column whose header names it.
func Money(v float64, currency string, decimals int) Cell {
	c := numeric(money, v, decimals)
	c.currency = currency
	return c
}

// Percent is a share: 0.12 shows as 12 %.
func Percent(v float64, decimals int) Cell { return numeric(percent, v, decimals) }

// Year is a calendar year: no thousands set apart.
func Year(n int) Cell { return numeric(year, float64(n), 0) }

// Date is a day of the calendar; the zero time is an empty cell.
func Date(t time.Time) Cell {
	if t.IsZero() || t.Year() < 1901 || t.Year() > 9999 {
		return Cell{}
	}
	day := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	// Serial dates count days from 30 December 1899 for all days after
	// February 1900 (ECMA-376 part 1, 18.17.4.1).
	return numeric(date, math.Round(day.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours()/24), 0)
}

// numeric makes a cell of a number; what is no number is an empty cell.
func numeric(k kind, v float64, decimals int) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Cell{}
	}
	return Cell{kind: k, number: v, decimals: decimals}
}

// IsEmpty tells whether the cell shows nothing.
func (c Cell) IsEmpty() bool { return c.kind == empty && c.formula == "" }

// isNumber tells whether the cell holds a number of any kind.
func (c Cell) isNumber() bool { return c.kind > text }

// Signed shows a plus sign before a number above zero.
func (c Cell) Signed() Cell { c.signed = true; return c }

// Formula makes the cell live: the formula, without its equals sign, is
// recomputed by the spreadsheet; the cell's own value is shown until then.
// Formulas are made by the program alone, never from a text that was read.
func (c Cell) Formula(f string) Cell { c.formula = f; return c }

// Link points the cell at a web address. Anything but an address of http or
// https is left out and the cell stays as it is.
func (c Cell) Link(address string) Cell {
	if webAddress(address) {
		c.link = address
	}
	return c
}

// To points the cell at the top of another sheet of the workbook.
func (c Cell) To(s *Sheet) Cell { c.goTo = quoted(s.Name) + "!A1"; return c }

// ToCell points the cell at a cell of an area, counted from 0.
func (c Cell) ToCell(a Area, row, col int) Cell { c.goTo = a.From(row, col); return c }

// Comment hangs a note on the cell.
func (c Cell) Comment(s string) Cell { c.comment = s; return c }

// Marked gives the cell an entry of the palette.
func (c Cell) Marked(m Mark) Cell { c.mark = m; return c }

// Bold sets the cell in bold.
func (c Cell) Bold() Cell { c.bold = true; return c }

// Wrapped breaks a long text into lines; the row grows with it.
func (c Cell) Wrapped() Cell { c.wrap = true; return c }
