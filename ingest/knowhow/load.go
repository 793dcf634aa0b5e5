package knowhow

import (
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"sort"
	"strconv"
	"strings"
	"sync"

	"askance/ingest/record"
)

//go:embed facts
var embedded embed.FS

// Builtin returns the built-in facts as a file tree: items.csv, values.csv, …,
// words/LANG.csv, SOURCES.md.
func Builtin() fs.FS {
	sub, err := fs.Sub(embedded, "facts")
	if err != nil {
		panic("knowhow: " + err.Error()) // the embedded folder is part of the program
	}
	return sub
}

// Faults is every fault found in knowhow files; it is an error.
type Faults []record.Problem

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, p := range f {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// Load reads the built-in facts and lays the user's over them: a row with the
// same id replaces, a new id adds. overlay may be nil. A faulty row is left
// out, and every fault is returned as Faults beside the book, which stands on
// what is sound. Without an overlay everybody gets the same book, read once and
// not to be changed.
func Load(overlay fs.FS) (*Book, error) {
	if overlay == nil {
		return builtin()
	}
	return load(layer{tree: Builtin(), prefix: "knowhow/"}, layer{tree: overlay, user: true})
}

// builtin is the compiled form of the embedded files.
var builtin = sync.OnceValues(func() (*Book, error) {
	b, err := load(layer{tree: Builtin(), prefix: "knowhow/"})
	b.builtin = true
	return b, err
})

func load(layers ...layer) (*Book, error) {
	l := &loader{}
	b := l.book(layers)
	l.crossCheck(b)
	if len(l.faults) > 0 {
		return b, l.faults
	}
	return b, nil
}

type layer struct {
	tree   fs.FS
	prefix string // put before file names in messages
	user   bool
}

type loader struct{ faults Faults }

func (l *loader) fault(at record.Pos, field, wanted, got, hint string) {
	l.faults = append(l.faults, record.Problem{At: at, Field: field, Wanted: wanted, Got: got, Hint: hint})
}

// A row is one line of a facts file, by column name.
type row struct {
	columns map[string]int // shared by the file's rows
	cells   []string
	at      record.Pos
}

func (r row) get(col string) string {
	if i, ok := r.columns[col]; ok && i < len(r.cells) {
		return strings.TrimSpace(r.cells[i])
	}
	return ""
}

// overlaid reads one file from every layer and merges rows by id.
func (l *loader) overlaid(layers []layer, name string, columns, key []string) []row {
	var rows []row
	index := map[string]int{}
	for _, ly := range layers {
		data, err := fs.ReadFile(ly.tree, name)
		if errors.Is(err, fs.ErrNotExist) {
			if !ly.user {
				l.fault(record.Pos{File: ly.prefix + name}, "", "a readable file", "no such file", "")
			}
			continue
		}
		if err != nil {
			l.fault(record.Pos{File: ly.prefix + name}, "", "a readable file", err.Error(), "")
			continue
		}
		own := map[string]int{}
		for _, r := range l.rows(ly.prefix+name, data, columns) {
			parts := make([]string, len(key))
			for i, k := range key {
				parts[i] = strings.ToLower(r.get(k))
			}
			id := strings.Join(parts, "\x00")
			if line, twice := own[id]; twice {
				l.fault(r.at, strings.Join(key, "+"), "an id that stands once in the file", strings.Join(parts, " "), fmt.Sprintf("it stands in line %d already", line))
				continue
			}
			own[id] = r.at.Line
			if i, ok := index[id]; ok {
				rows[i] = r
				continue
			}
			index[id] = len(rows)
			rows = append(rows, r)
		}
	}
	return rows
}

// rows reads a facts file: comma or semicolon, UTF-8 with or without a byte
// order mark, a header line, lines that start with # ignored.
func (l *loader) rows(name string, data []byte, columns []string) []row {
	text := strings.TrimPrefix(string(data), "\ufeff")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	r.Comment = '#'
	first := headerLine(text)
	if strings.Count(first, ";") > strings.Count(first, ",") {
		r.Comma = ';'
	}
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
	have := map[string]int{}
	for i, h := range head {
		head[i] = strings.ToLower(strings.TrimSpace(h))
		have[head[i]] = i
		if !known[head[i]] && head[i] != "" {
			_, col := r.FieldPos(i)
			l.fault(record.Pos{File: name, Kind: record.Line, Line: 1, Column: col}, "header", "one of "+strings.Join(columns, ", "), h, "")
		}
	}
	for _, c := range columns {
		if _, ok := have[c]; !ok && c != "note" && c != "source" {
			l.fault(record.Pos{File: name, Kind: record.Line, Line: 1}, "header", "a column named "+c, strings.Join(head, ","), "")
			return nil
		}
	}
	var out []row
	for {
		rec, err := r.Read()
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
		line, _ := r.FieldPos(0)
		blank := true
		for _, c := range rec {
			blank = blank && strings.TrimSpace(c) == ""
		}
		if !blank {
			out = append(out, row{columns: have, cells: rec, at: record.Pos{File: name, Kind: record.Line, Line: line}})
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

// number reads a decimal number; blank gives the fallback.
func (l *loader) number(r row, col string, fallback float64) float64 {
	s := r.get(col)
	if s == "" {
		return fallback
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		l.fault(r.at, col, "a number", s, "write 1250 or 0.85")
		return fallback
	}
	return v
}

// wordFiles lists words/LANG.csv of all layers in name order.
func wordFiles(layers []layer) []string {
	seen := map[string]bool{}
	var names []string
	for _, ly := range layers {
		entries, err := fs.ReadDir(ly.tree, "words")
		if err != nil {
			continue
		}
		for _, e := range entries {
			if n := path.Join("words", e.Name()); path.Ext(n) == ".csv" && !seen[n] {
				seen[n] = true
				names = append(names, n)
			}
		}
	}
	sort.Strings(names)
	return names
}
