package table

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"askance/ingest/record"
)

// quoteRunes is how much of a cell a message quotes at most.
const quoteRunes = 200

// A grid is one table of a file: the whole of a text, or one sheet.
type grid struct {
	kind  record.Kind
	sheet string
	lines []line // filled ones only

	delimiter string // between cells, " " in a workbook
}

// A builder collects the rows of one file.
type builder struct {
	opts    Options
	known   recogniser
	totals  []string
	batch   record.Batch
	headers []string // all of them, in file order, each once
	lines   int      // filled ones seen
	cells   int
	full    bool // a limit is reached: nothing more is read
}

func newBuilder(name string, opts Options) *builder {
	b := &builder{opts: opts, known: newRecogniser(opts), batch: record.Batch{File: name}}
	for _, word := range opts.Totals {
		b.totals = append(b.totals, fold(word))
	}
	return b
}

// addText reads a decoded text.
func (b *builder) addText(c content) {
	at := record.Pos{File: b.batch.File}
	if c.controls+c.zeros > 0 {
		b.problem(record.Problem{At: at, Wanted: "text",
			Got:  fmt.Sprintf("%d control characters", c.controls+c.zeros),
			Hint: "they are left out; export the file again if something is missing"})
	}
	if c.repaired > 0 {
		b.problem(record.Problem{At: at, Wanted: "UTF-8 throughout",
			Got:  fmt.Sprintf("%d bytes that are not", c.repaired),
			Hint: "they are read as windows-1252; look at accented letters"})
	}
	s := openText(c.text, b.known, b.opts.MaxColumns)
	g := grid{kind: record.Line, delimiter: string(s.delimiter)}
	for !b.full {
		l, ok := s.next()
		if !ok {
			break
		}
		b.keep(&g, l)
	}
	b.add(g)
}

// keep puts a filled line into the grid as long as the limits allow.
func (b *builder) keep(g *grid, l line) {
	if l.blank() {
		return
	}
	b.cells += len(l.cells)
	b.lines++
	switch {
	case b.cells > b.opts.MaxCells:
		b.stop("cells", b.opts.MaxCells)
	case b.lines > b.opts.MaxRows+headerLines:
		b.stop("rows", b.opts.MaxRows)
	default:
		g.lines = append(g.lines, l)
	}
}

// stop ends the reading at a limit and says so.
func (b *builder) stop(what string, limit int) {
	if !b.full {
		b.full = true
		b.problem(record.Problem{At: record.Pos{File: b.batch.File}, Wanted: fmt.Sprintf("at most %d %s", limit, what),
			Got: "more", Hint: "what follows is not read; split the file"})
	}
}

func (b *builder) problem(p record.Problem) { b.batch.Problems = append(b.batch.Problems, p) }

// add turns a grid into rows.
func (b *builder) add(g grid) {
	if len(g.lines) == 0 {
		return
	}
	header, recognised := findHeader(g.lines, b.known)
	above := g.lines[:header]
	columns := columnsOf(g.lines[header], b.known)
	b.tellColumns(g, g.lines[header], columns, recognised)
	if numbered(g.lines[header+1:], len(columns)) {
		columns = append([]column{{}}, columns...)
	}
	fits := profileOf(g.lines[header+1:], len(columns))
	used := 0
	for i := 0; i < len(g.lines); i += used {
		l := g.lines[i]
		used = 1
		switch {
		case i < header:
			b.skip(g, l, "stands above the header")
		case i == header:
		case b.known.isHeader(l) && !sameCells(l, g.lines[header]): // of another table below
			header, columns = i, columnsOf(l, b.known)
			b.tellColumns(g, l, columns, len(columns))
			fits = profileOf(g.lines[i+1:], len(columns))
		case sameCells(l, g.lines[header]):
			b.skip(g, l, "repeats the header")
		case slices.ContainsFunc(above, func(a line) bool { return a.filled() > 1 && sameCells(l, a) }):
			b.skip(g, l, "repeats a line above the header")
		case b.isTotal(l):
			b.skip(g, l, "is a line of totals")
		case fits.isNote(l):
			b.skip(g, l, "has one cell only: a heading, a note or the end of a text")
		case len(b.batch.Rows) >= b.opts.MaxRows:
			b.stop("rows", b.opts.MaxRows)
			return
		default:
			whole := l
			if g.kind == record.Line {
				whole, used = fits.mend(b.untilHeader(g.lines[i:], g.lines[header]))
			}
			straight, joined := fits.straighten(whole, g.delimiter)
			row := b.row(g, straight, columns)
			if used > 1 {
				row.Problems = append(row.Problems, b.broken(g, l))
			}
			if joined {
				row.Problems = append(row.Problems, b.shifted(g, l, len(columns)))
			}
			b.batch.Rows = append(b.batch.Rows, row)
		}
	}
}

// untilHeader gives the lines, as many as one may be broken into, up to a
// header or a line of totals.
func (b *builder) untilHeader(lines []line, header line) []line {
	lines = lines[:min(len(lines), mostBroken)]
	for i, l := range lines[1:] {
		if b.isTotal(l) || sameCells(l, header) || b.known.isHeader(l) {
			return lines[:i+1]
		}
	}
	return lines
}

func (b *builder) at(g grid, number, column int) record.Pos {
	return record.Pos{File: b.batch.File, Kind: g.kind, Sheet: g.sheet, Line: number, Column: column}
}

func (b *builder) skip(g grid, l line, reason string) {
	title := ""
	for _, c := range l.cells {
		if title = record.Shorten(firstRunes(trim(c.text), quoteRunes), 60); title != "" {
			break
		}
	}
	b.batch.Skipped = append(b.batch.Skipped, record.Skipped{At: b.at(g, l.number, 0), Title: title, Reason: reason})
}

// tellColumns notes the headers, those that fill nothing, and what is wrong
// with them.
func (b *builder) tellColumns(g grid, header line, columns []column, recognised int) {
	var written []string
	first := map[string]string{}
	for i, c := range columns {
		if c.header == "" {
			continue
		}
		written = append(written, firstRunes(c.header, quoteRunes))
		if !slices.Contains(b.headers, c.header) {
			b.headers = append(b.headers, c.header)
		}
		if len(c.fields) == 0 && !slices.Contains(b.batch.Unused, c.header) {
			b.batch.Unused = append(b.batch.Unused, c.header)
		}
		for _, field := range c.fields {
			if other, twice := first[field]; twice {
				b.problem(record.Problem{At: b.at(g, header.number, header.cells[i].column), Field: field,
					Wanted: "one column", Got: other + " and " + c.header,
					Hint: "the first filled one counts; choose with --column " + field + "=HEADER"})
				continue
			}
			first[field] = c.header
		}
	}
	if recognised > 0 {
		return
	}
	b.problem(record.Problem{At: b.at(g, header.number, 0), Wanted: "a header with a known column",
		Got: strings.Join(written, ", "), Hint: "say which column holds what: --column FIELD=HEADER"})
}

// row names the cells of a line.
func (b *builder) row(g grid, l line, columns []column) record.Row {
	r := record.Row{At: b.at(g, l.number, 0), Cells: make([]record.Cell, 0, len(l.cells))}
	beyond := l.excess
	for i, c := range l.cells {
		at := b.at(g, c.line, c.column)
		text := b.cellText(&r, c, at)
		var named column
		if i < len(columns) {
			named = columns[i]
		}
		if named.header == "" && text == "" {
			continue
		}
		if i >= len(columns) {
			beyond++
		}
		if slices.Contains(named.fields, "listed") {
			text = dateOfSerial(text)
		}
		cell := record.Cell{Header: named.header, Unit: cmp.Or(named.unit, c.unit), Text: text, At: at, From: "column"}
		if len(named.fields) == 0 {
			r.Cells = append(r.Cells, cell)
		}
		for _, field := range named.fields {
			cell.Field = field
			r.Cells = append(r.Cells, cell)
		}
	}
	if beyond > 0 {
		r.Problems = append(r.Problems, record.Problem{At: r.At,
			Wanted: strconv.Itoa(len(columns)) + " cells, as the header has",
			Got:    strconv.Itoa(beyond) + " more", Hint: "quote a cell that holds the delimiter"})
	}
	b.addLink(&r, l, columns)
	return r
}

// errorValues are what spreadsheet programs show for a formula without result.
var errorValues = []string{"#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!"}

// cellText returns the text of a cell as it is kept, noting in the row what
// is wrong with it.
func (b *builder) cellText(r *record.Row, c cell, at record.Pos) string {
	text := trim(c.text)
	note := func(wanted, hint string) {
		r.Problems = append(r.Problems, record.Problem{At: at, Wanted: wanted, Got: firstRunes(text, quoteRunes), Hint: hint})
	}
	if c.stray {
		opened := text
		if !strings.HasPrefix(opened, `"`) {
			opened = `"` + opened // which the scanner left out
		}
		r.Problems = append(r.Problems, record.Problem{At: at, Wanted: "a closing quote before the next delimiter", Got: firstRunes(opened, quoteRunes), Hint: "double a quote inside quotes"})
	}
	if strings.HasPrefix(text, "#") && slices.Contains(errorValues, strings.ToUpper(text)) {
		note("a value", "the spreadsheet had no result for this cell")
		return ""
	}
	if limit := b.opts.MaxCellBytes; len(text) > limit {
		note(fmt.Sprintf("at most %d bytes of text", limit), "the rest is cut off")
		for limit > 0 && !utf8.RuneStart(text[limit]) {
			limit--
		}
		text = trim(text[:limit])
	}
	return text
}

// sameCells tells whether a line repeats the header.
func sameCells(l, header line) bool {
	for i := range max(len(l.cells), len(header.cells)) {
		var a, b string
		if i < len(l.cells) {
			a = trim(l.cells[i].text)
		}
		if i < len(header.cells) {
			b = trim(header.cells[i].text)
		}
		if !strings.EqualFold(a, b) {
			return false
		}
	}
	return true
}

// isTotal tells a line of totals: its first filled cell is one of the words
// for it, followed by nothing that has letters.
func (b *builder) isTotal(l line) bool {
	if len(b.totals) == 0 {
		return false
	}
	for _, c := range l.cells {
		if trim(c.text) == "" {
			continue
		}
		if len(c.text) > 80 {
			return false
		}
		text := fold(c.text)
		return slices.ContainsFunc(b.totals, func(word string) bool {
			rest, ok := strings.CutPrefix(text, word)
			return ok && word != "" && strings.IndexFunc(rest, unicode.IsLetter) < 0
		})
	}
	return false
}

// finish checks that every header the user named was found.
func (b *builder) finish() (record.Batch, error) {
	fields := make([]string, 0, len(b.opts.Column))
	for field := range b.opts.Column {
		fields = append(fields, field)
	}
	slices.Sort(fields)
	for _, field := range fields {
		wanted := fold(b.opts.Column[field])
		if !slices.ContainsFunc(b.headers, func(h string) bool { return fold(h) == wanted }) {
			return record.Batch{}, &UnknownHeader{b.batch.File, field, b.opts.Column[field], b.headers}
		}
	}
	return b.batch, nil
}
