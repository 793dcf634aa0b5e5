package knowhow

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"

	"askance/ingest/record"
)

// A row is one line of a facts file, by column name.
type row struct {
	*source
	cells []string
	line  int
}

// A source is the file that rows stand in.
type source struct {
	file    string
	columns []string
}

func (r row) at() record.Pos { return record.Pos{File: r.file, Kind: record.Line, Line: r.line} }

// get returns the cell of a column, of several so named the last.
func (r row) get(col string) string {
	for i := len(r.columns) - 1; i >= 0; i-- {
		if r.columns[i] != col {
			continue
		}
		if i < len(r.cells) {
			return strings.TrimSpace(r.cells[i])
		}
		break
	}
	return ""
}

// mostKeys is the number of columns that may make up a row's id.
const mostKeys = 3

// id returns the key columns in lower case.
func (r row) id(key []string) (id [mostKeys]string) {
	for i, k := range key {
		id[i] = strings.ToLower(r.get(k))
	}
	return id
}

// rows reads a facts file: comma or semicolon, UTF-8 with or without a byte
// order mark, a header line, lines that start with # ignored.
func (l *loader) rows(name string, data []byte, columns []string) []row {
	text := strings.TrimPrefix(string(data), "\ufeff")
	comma := ','
	if first := headerLine(text); strings.Count(first, ";") > strings.Count(first, ",") {
		comma = ';'
	}
	r := newReader(text, comma)
	head, err := r.Read()
	if err != nil {
		if err != io.EOF {
			l.fault(record.Pos{File: name, Kind: record.Line, Line: 1}, "", "a header line", err.Error(), "")
		}
		return nil
	}
	known := map[string]bool{}
	for _, c := range columns {
		known[c] = true
	}
	for i, h := range head {
		head[i] = strings.ToLower(strings.TrimSpace(h))
		if !known[head[i]] && head[i] != "" {
			_, col := r.FieldPos(i)
			l.fault(record.Pos{File: name, Kind: record.Line, Line: 1, Column: col}, "header", "one of "+strings.Join(columns, ", "), h, "")
		}
	}
	for _, c := range columns {
		if !slices.Contains(head, c) && c != "note" && c != "source" {
			l.fault(record.Pos{File: name, Kind: record.Line, Line: 1}, "header", "a column named "+c, strings.Join(head, ","), "")
			return nil
		}
	}
	rest := cutter{text: text[r.InputOffset():], comma: comma, line: 1 + strings.Count(text[:r.InputOffset()], "\n")}
	most := strings.Count(rest.text, "\n") + 1
	out := make([]row, 0, most)
	cells := make([]string, 0, most*len(head)) // of all rows, one after the other
	own := &source{name, head}
	for {
		from, line := len(cells), 0
		cells, line, err = rest.record(cells)
		if err == io.EOF {
			return out
		}
		if err != nil {
			var pe *csv.ParseError
			at := record.Pos{File: name, Kind: record.Line}
			if errors.As(err, &pe) {
				at.Line, at.Column = pe.Line, pe.Column
			}
			l.fault(at, "", "a well-formed line", err.Error(), "quote a cell that holds a quote or a separator")
			continue
		}
		r := row{source: own, cells: cells[from:len(cells):len(cells)], line: line}
		if slices.ContainsFunc(r.cells, func(c string) bool { return strings.TrimSpace(c) != "" }) {
			out = append(out, r)
		}
	}
}

// headerLine returns the first line that is no comment.
func headerLine(text string) string {
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(line, "#") {
			return line
		}
	}
	return ""
}

// A cutter cuts a text into records. It cuts lines without a quote itself,
// for nearly all are such and that is much faster, and leaves the others to
// encoding/csv.
type cutter struct {
	text  string // what is left of it
	comma rune
	line  int // where that begins
}

// record appends the cells of the next record and tells its line; at the end
// the error is io.EOF.
func (c *cutter) record(cells []string) ([]string, int, error) {
	for c.text != "" {
		at := c.line
		line, rest, _ := strings.Cut(c.text, "\n")
		comment := strings.HasPrefix(line, "#")
		if !comment && strings.Contains(line, `"`) {
			quoted, err := c.quoted()
			return append(cells, quoted...), at, err
		}
		c.text, c.line = rest, c.line+1
		line = strings.TrimSuffix(line, "\r")
		if comment || line == "" {
			continue
		}
		for cell := range strings.SplitSeq(line, string(c.comma)) {
			cells = append(cells, cell)
		}
		return cells, at, nil
	}
	return cells, c.line, io.EOF
}

// quoted reads the record at the beginning of the text.
func (c *cutter) quoted() ([]string, error) {
	r := newReader(c.text, c.comma)
	cells, err := r.Read()
	if pe, ok := err.(*csv.ParseError); ok {
		pe.StartLine, pe.Line = pe.StartLine+c.line-1, pe.Line+c.line-1
	}
	c.line += strings.Count(c.text[:r.InputOffset()], "\n")
	c.text = c.text[r.InputOffset():]
	return cells, err
}

// newReader reads a facts file: lines that start with # are ignored.
func newReader(text string, comma rune) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord, r.Comment, r.Comma = -1, '#', comma
	return r
}
