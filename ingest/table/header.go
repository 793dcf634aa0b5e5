package table

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"askance/ingest/record"
)

// headerLines is the number of filled lines among which the header is sought.
const headerLines = 20

// fold makes two writings of one header equal: case, white space and the way
// an accent is composed do not count.
func fold(s string) string {
	return strings.Join(strings.Fields(cases.Fold().String(norm.NFKC.String(s))), " ")
}

// A recogniser tells what a header means: by the user's word first, then by
// the caller's function.
type recogniser struct {
	headers func(header string) (field, unit string, ok bool)
	byUser  map[string][]string // folded header -> fields, sorted
	taken   map[string]bool     // fields that the user gave a header
}

func newRecogniser(opts Options) recogniser {
	k := recogniser{byUser: map[string][]string{}, taken: map[string]bool{}, headers: opts.Headers}
	for field, header := range opts.Column {
		k.byUser[fold(header)] = append(k.byUser[fold(header)], field)
		k.taken[field] = true
	}
	for _, fields := range k.byUser {
		slices.Sort(fields)
	}
	return k
}

// meaning returns the fields that a header fills, none if it is not
// recognised, and its unit.
func (k recogniser) meaning(header string) (fields []string, unit string) {
	header = trim(header)
	if header == "" {
		return nil, ""
	}
	var field string
	known := false
	if k.headers != nil {
		field, unit, known = k.headers(header)
	}
	if len(k.byUser) > 0 { // folding is dear
		if fields := k.byUser[fold(header)]; len(fields) > 0 {
			return fields, unit
		}
	}
	if known && field != "" && !k.taken[field] {
		return []string{field}, unit
	}
	return nil, unit
}

// findHeader returns the index of the header among filled lines and how many
// of its cells are recognised: the first line that can be nothing else, else
// the one with the most. One recognised cell among others that are not makes
// no header of a line below the first likely one.
func findHeader(lines []line, known recogniser) (index, recognised int) {
	index = likelyHeader(lines)
	for i, l := range lines[:min(len(lines), headerLines)] {
		n := 0
		for _, c := range l.cells {
			if fields, _ := known.meaning(c.text); len(fields) > 0 {
				n++
			}
		}
		if n > recognised && (n > 1 || i == index || l.filled() == 1) {
			index, recognised = i, n
		}
		if known.isHeader(l) {
			return i, n
		}
	}
	return index, recognised
}

// longestHeader bounds the bytes of a header cell that isHeader knows.
const longestHeader = 40

// isHeader tells whether a line can hardly be anything but a header: three or
// more short cells without figures, most of them recognised as different
// fields.
func (k recogniser) isHeader(l line) bool {
	for _, c := range l.cells {
		if len(c.text) > longestHeader || strings.IndexFunc(c.text, unicode.IsDigit) >= 0 {
			return false
		}
	}
	filled, fields := l.filled(), map[string]bool{}
	if filled < 3 {
		return false
	}
	for _, c := range l.cells {
		if meant, _ := k.meaning(c.text); len(meant) > 0 {
			fields[meant[0]] = true
		}
	}
	return len(fields) >= 3 && 3*len(fields) >= 2*filled
}

// likelyHeader is the first line with two filled cells, else the first.
func likelyHeader(lines []line) int {
	for i, l := range lines[:min(len(lines), headerLines)] {
		if l.filled() > 1 {
			return i
		}
	}
	return 0
}

// A column is what one header says of the cells below it.
type column struct {
	header string // trimmed
	fields []string
	unit   string
}

func columnsOf(header line, known recogniser) []column {
	columns := make([]column, len(header.cells))
	for i, c := range header.cells {
		fields, unit := known.meaning(c.text)
		columns[i] = column{trim(c.text), fields, unit}
	}
	return columns
}

// UnknownHeader is the error for a header of Options.Column that no table of
// the file has.
type UnknownHeader struct {
	File   string
	Field  string
	Header string
	Have   []string // the headers there are, in file order
}

func (e *UnknownHeader) Error() string {
	quoted := make([]string, len(e.Have))
	for i, h := range e.Have {
		quoted[i] = fmt.Sprintf("%q", record.Shorten(firstRunes(h, quoteRunes), 40))
	}
	return fmt.Sprintf("%s: wanted a column %q for %s, found %s (hint: --column %s=HEADER with one of these)",
		e.File, e.Header, e.Field, strings.Join(quoted, ", "), e.Field)
}
