package sheet

import (
	"fmt"
	"time"
)

// A Book is a workbook that is being described. It keeps no file open.
type Book struct {
	Creator  string    // the program, kept in the document's properties
	Category string    // what the workbook is, kept in the document's properties
	Title    string    // of the document
	When     time.Time // kept as the time of making; the bytes depend on no other clock
	sheets   []*Sheet
}

// Add appends a sheet. The name is made valid and unlike all others of the
// book, see Sheet.Name.
func (b *Book) Add(name string) *Sheet {
	taken := map[string]bool{}
	for _, s := range b.sheets {
		taken[fold(s.Name)] = true
	}
	s := &Sheet{Name: validName(name, taken), next: 1, rows: map[int]*row{}}
	b.sheets = append(b.sheets, s)
	return s
}

// Sheets returns the sheets in their order.
func (b *Book) Sheets() []*Sheet { return b.sheets }

// A Sheet is one sheet that is being described from top to bottom.
type Sheet struct {
	Name string // as it stands in the file

	widths  []float64
	rows    map[int]*row
	last    int // last row that holds anything
	next    int // where the next block starts
	merges  []Area
	freeze  [2]int // rows and columns that stay in view
	repeat  [2]int // first and last row printed on every page
	filter  Area
	charts  []placedChart
	rules   []rule
	choices []choice
	numbers []numbers
	onePage bool
	printed Area
	fills   []Area
}

// A row is the cells of one row, column 1 first.
type row struct {
	cells  []Cell
	height float64 // points, 0 to be computed
}

// rule marks the cells of an area whose text is exactly Text.
type rule struct {
	area Area
	text string
	mark Mark
}

// choice offers words, or else what stands in the cells of another area.
type choice struct {
	area  Area
	words []string
	from  Area
}

// numbers lets numbers from low to high into an area, and nothing else.
type numbers struct {
	area      Area
	low, high float64
}

// An Area is a block of cells of a sheet; rows and columns count from 1.
type Area struct {
	Sheet      *Sheet
	Row, Col   int // top left cell
	Rows, Cols int
}

// Ref gives the absolute reference of one cell, counted from 0 inside the
// area: "$C$7".
func (a Area) Ref(row, col int) string {
	return fmt.Sprintf("$%s$%d", columnName(a.Col+col), a.Row+row)
}

// From gives the same cell as seen from any sheet: "'Age curve'!$C$7".
func (a Area) From(row, col int) string { return quoted(a.Sheet.Name) + "!" + a.Ref(row, col) }

// Range gives a column of the area, counted from 0, as seen from any sheet:
// "'Age curve'!$C$7:$C$40".
func (a Area) Range(col int) string {
	return a.From(0, col) + ":" + a.Ref(max(a.Rows, 1)-1, col)
}

// whole gives the area as seen from any sheet: "'Age curve'!$C$7:$E$40".
func (a Area) whole() string {
	return a.From(0, 0) + ":" + a.Ref(max(a.Rows, 1)-1, max(a.Cols, 1)-1)
}

// Column gives one column of the area, counted from 0.
func (a Area) Column(col int) Area {
	return Area{Sheet: a.Sheet, Row: a.Row, Col: a.Col + col, Rows: a.Rows, Cols: 1}
}

// ref gives the area's own reference inside its sheet: "C7:D40".
func (a Area) ref() string {
	return fmt.Sprintf("%s%d:%s%d", columnName(a.Col), a.Row, columnName(a.Col+max(a.Cols, 1)-1), a.Row+max(a.Rows, 1)-1)
}

// Widths sets the widths of the columns, the first first, in characters.
func (s *Sheet) Widths(widths ...float64) {
	for i, w := range widths {
		s.width(i+1, w)
	}
}

// width sets the width of one column; 0 leaves it as it is.
func (s *Sheet) width(col int, w float64) {
	for len(s.widths) < col {
		s.widths = append(s.widths, 0)
	}
	if w > 0 {
		s.widths[col-1] = w
	}
}

// widthOf gives the width of a column in characters.
func (s *Sheet) widthOf(col int) float64 {
	if col <= len(s.widths) && s.widths[col-1] > 0 {
		return s.widths[col-1]
	}
	return 9
}

// OnePage prints the sheet on a single page.
func (s *Sheet) OnePage() { s.onePage = true }

// Rule marks the cells of an area whose text is exactly the given one, also
// after the reader has sorted, filtered or edited them.
func (s *Sheet) Rule(a Area, text string, m Mark) {
	s.rules = append(s.rules, rule{a, text, m})
}

// Choices offers a list of words for the cells of an area.
func (s *Sheet) Choices(a Area, words ...string) {
	if a.Rows > 0 {
		s.choices = append(s.choices, choice{area: a, words: words})
	}
}

// ChoicesFrom offers what stands in the cells of another area of the sheet,
// and refuses everything else but a blank.
func (s *Sheet) ChoicesFrom(a, from Area) {
	if a.Rows > 0 && from.Rows > 0 {
		s.choices = append(s.choices, choice{area: a, from: from})
	}
}

// Numbers refuses everything but numbers from low to high, and a blank.
func (s *Sheet) Numbers(a Area, low, high float64) {
	s.numbers = append(s.numbers, numbers{a, low, high})
}

// Print prints an area of the sheet and leaves out what stands beside it.
func (s *Sheet) Print(a Area) { s.printed = a }

// Fillable says that the reader of the workbook may write into an area; see
// Filled.
func (s *Sheet) Fillable(a Area) {
	if a.Rows > 0 {
		s.fills = append(s.fills, a)
	}
}

// columnName turns 1 into "A" and 28 into "AB".
func columnName(n int) string {
	name := ""
	for ; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}
