package knowhow

import (
	"embed"
	"errors"
	"fmt"
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
	l := newLoader()
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

type loader struct {
	faults Faults
	index  map[[mostKeys]string]place // by id, of the file that is being read
}

// usualRows is about how many rows a words file has.
const usualRows = 10_000

func newLoader() *loader {
	return &loader{index: make(map[[mostKeys]string]place, usualRows)}
}

// A place is where a row went, and where it came from.
type place struct{ row, layer, line int }

func (l *loader) fault(at record.Pos, field, wanted, got, hint string) {
	l.faults = append(l.faults, record.Problem{At: at, Field: field, Wanted: wanted, Got: got, Hint: hint})
}

// overlaid reads one file from every layer and merges rows by id.
func (l *loader) overlaid(layers []layer, name string, columns, key []string) []row {
	var rows []row
	clear(l.index)
	for k, ly := range layers {
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
		own := l.rows(ly.prefix+name, data, columns)
		if rows == nil {
			rows = own[:0]
		}
		for _, r := range own {
			id := r.id(key)
			at, ok := l.index[id]
			switch {
			case !ok:
				at.row = len(rows)
				rows = append(rows, r)
			case at.layer == k:
				l.fault(r.at(), strings.Join(key, "+"), "an id that stands once in the file", strings.Join(id[:len(key)], " "), fmt.Sprintf("it stands in line %d already", at.line))
				continue
			default:
				rows[at.row] = r
			}
			at.layer, at.line = k, r.line
			l.index[id] = at
		}
	}
	return rows
}

// number reads a decimal number; blank gives the fallback.
func (l *loader) number(r row, col string, fallback float64) float64 {
	s := r.get(col)
	if s == "" {
		return fallback
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil {
		l.fault(r.at(), col, "a number", s, "write 1250 or 0.85")
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
