package report

import (
	"io"
	"slices"
	"strings"
	"unicode"

	"github.com/mattn/go-runewidth"
)

// A screen collects what is to be printed on a terminal, in lines no wider
// than it.
type screen struct {
	out   strings.Builder
	width int
	bold  bool
}

func newScreen(v View) *screen { return &screen{width: v.width(), bold: v.Bold} }

// print hands everything to w at once.
func (s *screen) print(w io.Writer) error {
	_, err := io.WriteString(w, s.out.String())
	return err
}

func (s *screen) line(text string) { s.out.WriteString(strings.TrimRight(text, " ") + "\n") }

func (s *screen) heading(text string) {
	if s.out.Len() > 0 {
		s.line("")
	}
	s.strongPara(text)
}

func (s *screen) strong(text string) string {
	if !s.bold || text == "" {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}

// para prints a text broken into lines, each indented by so many columns.
func (s *screen) para(text string, indent int) {
	for _, l := range wrap(plain(text), s.width-indent) {
		s.line(strings.Repeat(" ", indent) + l)
	}
}

// strongPara prints a text in bold, broken into lines.
func (s *screen) strongPara(text string) {
	for _, l := range wrap(plain(text), s.width) {
		s.line(s.strong(l))
	}
}

// item prints a text behind a sign, its further lines hanging.
func (s *screen) item(sign, text string, indent int) {
	hang := indent + runewidth.StringWidth(sign) + 1
	for i, l := range wrap(plain(text), s.width-hang) {
		if i == 0 {
			s.line(strings.Repeat(" ", indent) + sign + " " + l)
			continue
		}
		s.line(strings.Repeat(" ", hang) + l)
	}
}

// A textColumn is one column of a table on the terminal.
type textColumn struct {
	head  string
	right bool // numbers
	flex  bool // gives way when there is too little room
	spare bool // is left out where even that is not enough
}

// A textRow is its cells and lines to stand below them.
type textRow struct {
	cells []string
	below []string
}

// table prints rows in columns below their headers. Columns that may give way
// are cut, with an ellipsis, until the table fits; where that is not enough a
// spare column goes.
func (s *screen) table(columns []textColumn, rows []textRow) {
	widths := s.widths(columns, rows)
	if i := slices.IndexFunc(columns, func(c textColumn) bool { return c.spare }); i >= 0 && total(widths) > s.width {
		s.table(without(columns, i), withoutCell(rows, i))
		return
	}
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.head
	}
	s.line(s.strong(strings.TrimRight(lay(columns, widths, heads), " ")))
	s.rows(columns, widths, rows)
}

// list prints rows in columns without headers, indented by two.
func (s *screen) list(columns []textColumn, rows []textRow) {
	inner := &screen{width: s.width - 2}
	inner.rows(columns, inner.widths(columns, rows), rows)
	for l := range strings.Lines(inner.out.String()) {
		s.out.WriteString("  " + l)
	}
}

// widths makes the cells fit for a terminal and gives the columns' widths.
func (s *screen) widths(columns []textColumn, rows []textRow) []int {
	widths := make([]int, len(columns))
	for i, c := range columns {
		widths[i] = runewidth.StringWidth(c.head)
	}
	for _, r := range rows {
		for i, cell := range r.cells {
			r.cells[i] = plain(cell)
			widths[i] = max(widths[i], runewidth.StringWidth(r.cells[i]))
		}
	}
	s.fit(columns, widths)
	return widths
}

func (s *screen) rows(columns []textColumn, widths []int, rows []textRow) {
	for _, r := range rows {
		s.line(lay(columns, widths, r.cells))
		for _, b := range r.below {
			if b != "" {
				s.item("!", b, 4)
			}
		}
	}
}

// fit narrows the widest column that may give way until all fit.
func (s *screen) fit(columns []textColumn, widths []int) {
	const least = 8
	for {
		widest := -1
		for i, w := range widths {
			if columns[i].flex && w > least && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if total(widths) <= s.width || widest < 0 {
			return
		}
		widths[widest]--
	}
}

// total is how wide a table of such columns is.
func total(widths []int) int {
	sum := 2 * (len(widths) - 1)
	for _, w := range widths {
		sum += w
	}
	return sum
}

func without[T any](list []T, i int) []T {
	return append(slices.Clone(list[:i]), list[i+1:]...)
}

func withoutCell(rows []textRow, i int) []textRow {
	out := make([]textRow, len(rows))
	for k, r := range rows {
		out[k] = textRow{cells: without(r.cells, i), below: r.below}
	}
	return out
}

// lay sets one line.
func lay(columns []textColumn, widths []int, cells []string) string {
	var out []string
	for i, cell := range cells {
		cell = runewidth.Truncate(cell, widths[i], "…")
		if columns[i].right {
			out = append(out, runewidth.FillLeft(cell, widths[i]))
		} else {
			out = append(out, runewidth.FillRight(cell, widths[i]))
		}
	}
	return strings.Join(out, "  ")
}

// plain makes a stranger's text fit for a terminal: one line, without control
// characters and without signs that turn the direction of writing.
func plain(text string) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return strings.Join(strings.Fields(text), " ")
}

// wrap breaks a text into lines of at most so many columns; a longer word is
// cut into pieces.
func wrap(text string, width int) []string {
	width = max(width, 10)
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		for runewidth.StringWidth(word) > width {
			if line != "" {
				lines, line = append(lines, line), ""
			}
			piece := runewidth.Truncate(word, width, "")
			if piece == "" {
				break
			}
			lines, word = append(lines, piece), word[len(piece):]
		}
		switch {
		case line == "":
			line = word
		case runewidth.StringWidth(line)+1+runewidth.StringWidth(word) > width:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
