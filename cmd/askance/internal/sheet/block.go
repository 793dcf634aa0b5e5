package sheet

import "strconv"

func itoa(n int) string { return strconv.Itoa(n) }

// paragraphWidth is how wide a paragraph may run, in characters.
const paragraphWidth = 150

// boldShare is what share of ordinary letters fits where they are bold.
const boldShare = 0.8

// put writes a cell.
func (s *Sheet) put(r, col int, c Cell) {
	line := s.rows[r]
	if line == nil {
		line = &row{}
		s.rows[r] = line
	}
	for len(line.cells) < col {
		line.cells = append(line.cells, Cell{})
	}
	line.cells[col-1] = c
	s.last = max(s.last, r)
}

// Title sets the sheet's title in a large line of its own.
func (s *Sheet) Title(words string) {
	c := Str(words).Bold()
	c.title = true
	s.put(s.next, 1, c)
	s.rows[s.next].height = 24
	s.next++
}

// Heading sets a line above a part of the sheet.
func (s *Sheet) Heading(words string) {
	if s.next > 1 {
		s.next++
	}
	s.put(s.next, 1, Str(words).Bold())
	s.next++
}

// Gap leaves a row free.
func (s *Sheet) Gap() { s.next++ }

// Para sets a paragraph over the sheet's columns, as many as make a readable
// line, and as many rows high as it takes. Set the widths before it.
func (s *Sheet) Para(words string) { s.paragraph(Str(words)) }

// Note is a paragraph that asks to be minded.
func (s *Sheet) Note(words string) { s.paragraph(Str(words).Marked(Caution)) }

func (s *Sheet) paragraph(c Cell) {
	if c.IsEmpty() {
		return
	}
	cols, total := 0, 0.0
	for cols < len(s.widths) && (cols == 0 || total+s.widthOf(cols+1) <= paragraphWidth) {
		cols++
		total += s.widthOf(cols)
	}
	cols = max(cols, 1)
	s.spread(c.Wrapped(), cols, max(total, 9))
}

// spread puts a cell over several columns as one.
func (s *Sheet) spread(c Cell, cols int, width float64) {
	s.put(s.next, 1, c)
	for i := 2; i <= cols; i++ {
		s.put(s.next, i, Cell{mark: c.mark})
	}
	s.rows[s.next].height = heightOf(linesOf(cellText(c.text), width))
	if cols > 1 {
		s.merges = append(s.merges, Area{Sheet: s, Row: s.next, Col: 1, Rows: 1, Cols: cols})
	}
	s.next++
}

// heightOf gives the height in points of so many lines.
func heightOf(lines int) float64 { return min(float64(lines)*15, maxHeight) }

// Row sets the cells of one row and returns where they stand.
func (s *Sheet) Row(cells ...Cell) Area {
	for i, c := range cells {
		s.put(s.next, i+1, c)
	}
	s.next++
	return Area{Sheet: s, Row: s.next - 1, Col: 1, Rows: 1, Cols: len(cells)}
}

// Beside sets the cells of one row anywhere, apart from what stands from top
// to bottom, and returns where they stand. The next block stays where it is.
func (s *Sheet) Beside(row, col int, cells ...Cell) Area {
	for i, c := range cells {
		s.put(row, col+i, c)
	}
	return Area{Sheet: s, Row: row, Col: col, Rows: 1, Cols: len(cells)}
}

// A Column is one column of a table.
type Column struct {
	Head  string
	Means string  // hangs on the header as a note
	Width float64 // characters; 0 leaves the sheet's width
}

// A Table is rows of cells below a header.
type Table struct {
	Columns []Column
	Rows    [][]Cell
	Frozen  int  // columns that stay in view, with the header; -1: neither stays
	Filter  bool // the reader can filter and sort; one table a sheet
	Repeat  bool // the header is printed on every page; one table a sheet
}

// Table sets a table and returns the area of its rows, without the header.
// References into the area hold from the moment it is returned.
func (s *Sheet) Table(t Table) Area {
	head := s.next
	lines := 1
	for i, col := range t.Columns {
		s.width(i+1, col.Width)
		c := Str(col.Head).Marked(Head).Wrapped().Comment(col.Means)
		c.right = t.isNumeric(i)
		s.put(head, i+1, c)
		lines = max(lines, linesOf(col.Head, s.widthOf(i+1)*boldShare))
	}
	s.rows[head].height = heightOf(lines)
	s.next++
	area := Area{Sheet: s, Row: s.next, Col: 1, Rows: len(t.Rows), Cols: len(t.Columns)}
	for _, cells := range t.Rows {
		s.Row(cells...)
	}
	if t.Frozen >= 0 {
		s.freeze = [2]int{head, t.Frozen}
	}
	if t.Repeat {
		s.repeat = [2]int{head, head}
	}
	if t.Filter {
		s.filter = Area{Sheet: s, Row: head, Col: 1, Rows: len(t.Rows) + 1, Cols: len(t.Columns)}
	}
	return area
}

// isNumeric tells whether the first filled cell of a column is a number.
func (t Table) isNumeric(col int) bool {
	for _, cells := range t.Rows {
		if col < len(cells) && !cells[col].IsEmpty() {
			return cells[col].isNumber()
		}
	}
	return false
}

// Next is the row on which the next block will start.
func (s *Sheet) Next() int { return s.next }
