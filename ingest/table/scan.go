package table

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A cell is a piece of text and where it starts.
type cell struct {
	text         string
	line, column int
	stray        bool   // it opens with a quote that is not closed properly
	unit         string // that the number format of a workbook names
	link         string // where the cell leads to, in a workbook
}

// A line is one record of a table before its columns have names.
type line struct {
	number int // physical line or sheet row where it starts
	cells  []cell
	excess int // cells over the limit, left out
}

// blank tells whether nothing stands in the line.
func (l line) blank() bool {
	return !slices.ContainsFunc(l.cells, func(c cell) bool { return trim(c.text) != "" })
}

// filled counts the cells that hold something.
func (l line) filled() int {
	n := 0
	for _, c := range l.cells {
		if trim(c.text) != "" {
			n++
		}
	}
	return n
}

// trim takes white space off both ends, and the marks that stand for nothing.
func trim(s string) string {
	if s == "" || isInk(s[0]) && isInk(s[len(s)-1]) {
		return s
	}
	return strings.TrimFunc(s, func(r rune) bool { return unicode.IsSpace(r) || r == '\ufeff' || r == '\u200b' })
}

// isInk tells a byte that is a visible ASCII character.
func isInk(b byte) bool { return b > ' ' && b < 0x7f }

// noDelimiter reads every line as one cell. No decoded text holds it.
const noDelimiter byte = 0

// A scanner cuts a text into lines of cells. It follows RFC 4180, and where a
// quote is out of place it is lenient within that physical line only:
//
//   - a cell that does not open with a quote is literal, quotes included;
//   - a quoted cell ends at a quote before a delimiter, a line end or the end;
//   - a quote inside that is neither doubled nor an end is literal as long as
//     the cell still ends properly before the line does and before another
//     cell opens with a quote; failing that the whole cell is literal up to
//     the next delimiter, without that quote if it is the only one, so that no
//     quote can swallow the lines below.
type scanner struct {
	text         string
	delimiter    byte
	maxColumns   int
	at           int // byte offset
	line, column int // physical line and character, both from 1
	width        int // cells of the line before
}

func newScanner(text string, delimiter byte, maxColumns int) *scanner {
	return &scanner{text: text, delimiter: delimiter, maxColumns: maxColumns, line: 1, column: 1}
}

// next returns the next line, blank ones included; ok is false at the end.
func (s *scanner) next() (l line, ok bool) {
	if s.at >= len(s.text) {
		return line{}, false
	}
	l.number = s.line
	l.cells = make([]cell, 0, s.width)
	for {
		c := s.cell()
		if len(l.cells) < s.maxColumns {
			l.cells = append(l.cells, c)
		} else {
			l.excess++
		}
		if s.at < len(s.text) && s.text[s.at] == s.delimiter {
			s.at++
			s.column++
			continue
		}
		s.endLine()
		s.width = len(l.cells)
		return l, true
	}
}

// filledLines returns at most n lines that are not blank.
func (s *scanner) filledLines(n int) []line {
	var lines []line
	for len(lines) < n {
		l, ok := s.next()
		if !ok {
			break
		}
		if !l.blank() {
			lines = append(lines, l)
		}
	}
	return lines
}

// cell reads one cell up to its delimiter or line end.
func (s *scanner) cell() cell {
	c := cell{line: s.line, column: s.column}
	if open := s.skipSpaces(s.at); open < len(s.text) && s.text[open] == '"' {
		if shut, after, ok := s.quoted(open); ok {
			c.text = strings.ReplaceAll(s.text[open+1:shut], `""`, `"`)
			s.advance(after)
			return c
		}
		c.stray = true
	}
	rest := s.text[s.at:]
	end := 0
	for end < len(rest) && rest[end] != s.delimiter && rest[end] != '\n' && rest[end] != '\r' {
		end++
	}
	c.text = rest[:end]
	s.column += utf8.RuneCountInString(c.text)
	if c.stray && strings.Count(c.text, `"`) == 1 && trim(c.text) != `"` {
		c.text = strings.Replace(c.text, `"`, "", 1) // which was never closed
	}
	s.at += end
	return c
}

// quoted finds the quote that shuts the cell opened at open, and the offset
// of the delimiter or line end after it.
func (s *scanner) quoted(open int) (shut, after int, ok bool) {
	for i := open + 1; ; {
		j := strings.IndexByte(s.text[i:], '"')
		if j < 0 {
			return 0, 0, false
		}
		shut = i + j
		if after, ok := s.shuts(shut); ok {
			return shut, after, true
		}
		if shut+1 >= len(s.text) || s.text[shut+1] != '"' {
			return s.quotedLeniently(open, shut)
		}
		i = shut + 2
	}
}

// quotedLeniently looks for the end of a cell after a stray quote in it.
func (s *scanner) quotedLeniently(open, stray int) (shut, after int, ok bool) {
	if strings.ContainsAny(s.text[open:stray], "\r\n") || s.text[stray-1] == s.delimiter {
		return 0, 0, false // or another cell opens there
	}
	for i := stray + 1; i < len(s.text); i++ {
		switch b := s.text[i]; {
		case b == '\n' || b == '\r':
			return 0, 0, false
		case b == '"':
			if after, ok := s.shuts(i); ok {
				return i, after, true
			}
		case b == s.delimiter:
			if opens := s.skipSpaces(i + 1); opens < len(s.text) && s.text[opens] == '"' {
				return 0, 0, false
			}
		}
	}
	return 0, 0, false
}

// shuts tells whether the quote at i is followed by the end of its cell, and
// where that is. Spaces between the two are passed over.
func (s *scanner) shuts(i int) (after int, ok bool) {
	after = s.skipSpaces(i + 1)
	return after, after >= len(s.text) || s.endsCell(after)
}

func (s *scanner) skipSpaces(i int) int {
	for i < len(s.text) && s.text[i] == ' ' && s.delimiter != ' ' {
		i++
	}
	return i
}

func (s *scanner) endsCell(i int) bool {
	b := s.text[i]
	return b == s.delimiter || b == '\n' || b == '\r'
}

// advance moves to an offset on this line or a later one.
func (s *scanner) advance(to int) {
	for s.at < to {
		if i := strings.IndexAny(s.text[s.at:to], "\r\n"); i >= 0 {
			s.at += i
			s.endLine()
			continue
		}
		s.column += utf8.RuneCountInString(s.text[s.at:to])
		s.at = to
	}
}

// endLine passes over one line end: LF, CRLF or CR.
func (s *scanner) endLine() {
	if s.at >= len(s.text) {
		return
	}
	if strings.HasPrefix(s.text[s.at:], "\r\n") {
		s.at++
	}
	s.at++
	s.line++
	s.column = 1
}
