package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// rows gives each package its row: a package imports only lower rows.
var rows = map[string]int{
	"cmd/askance":                  7,
	"cmd/askance/internal/report":  6,
	"cmd/askance/internal/onepage": 6,
	"analysis":                     5,
	"ingest":                       4,
	"analysis/verdict":             4,
	"analysis/outlay":              4,
	"analysis/settle":              4,
	"ingest/extract":               3,
	"analysis/price":               3,
	"fixtures/gen":                 3,
	"ingest/knowhow":               2,
	"ingest/dedup":                 2,
	"ingest/table":                 1,
	"ingest/page":                  1,
	"ingest/boat":                  1,
	"ingest/hull":                  1,
	"ingest/record":                0,
	"ingest/money":                 0,
	"analysis/robust":              0,
	"analysis/calibrate":           0,
	"cmd/askance/internal/sheet":   0,
	"fixtures":                     0,
}

// knowNoBoats are the packages that would serve any other trade as well.
var knowNoBoats = []string{"ingest/record", "ingest/money", "ingest/table", "ingest/page",
	"analysis/robust", "analysis/calibrate", "cmd/askance/internal/sheet"}

// analysisMaySee is all of ingest that analysis sees: it cannot re-read a file.
var analysisMaySee = []string{"ingest/boat", "ingest/money", "ingest/knowhow"}

// tradeWords may stand in no name and no string of a package that knows no
// boats, as words of their own or at the start of one.
var tradeWords = []string{"boat", "sail", "hull", "rudder", "mast", "mainsheet", "trampoline", "rigging", "catamaran", "dinghy", "trailer",
	"trolley", "spinnaker", "gelcoat", "yacht", "skipper", "jib", "keel", "segel", "boot", "rumpf", "ruder", "katamaran", "bateau", "voile",
	"coque", "zeil", "vela", "barca", "barco", "seil", "segla",
	"vhb", "ono", "verhandlungsbasis", "festpreis", "baujahr", "kaufpreis"}

// allowedWords are ordinary words that only begin like one of those.
var allowedWords = []string{"bootstrap", "master"}

// fieldName is the one field of a row that has such a word in its name.
var fieldName = strings.NewReplacer("hull_number", "", "HullNumber", "")

// TestImportsFlowOneWay holds the direction of imports.
func TestImportsFlowOneWay(t *testing.T) {
	for _, fault := range importFaults(packages(t)) {
		t.Error(fault)
	}
}

// TestImportFaultsAreSeen makes sure that the test above can fail.
func TestImportFaultsAreSeen(t *testing.T) {
	for name, c := range map[string]struct{ from, to, want string }{
		"upwards":        {"ingest/money", "ingest/boat", "row 0"},
		"sideways":       {"ingest/table", "ingest/page", "row 1"},
		"child to root":  {"analysis/price", "analysis", "row 3"},
		"re-reading":     {"analysis/outlay", "ingest/extract", "cannot re-read"},
		"not in the map": {"ingest/other", "ingest/boat", "no row"},
		"knows no boats": {"ingest/page", "ingest/boat", "row 1"},
	} {
		faults := importFaults([]goPackage{{dir: c.from, imports: []string{c.to}}})
		if len(faults) == 0 || !strings.Contains(strings.Join(faults, "\n"), c.want) {
			t.Errorf("%s: %s importing %s gave %q, want a fault that says %q", name, c.from, c.to, faults, c.want)
		}
	}
}

// TestNoTradeWordsBelow keeps the words of the trade out of the packages that
// know no boats: they are data, handed in.
func TestNoTradeWordsBelow(t *testing.T) {
	for _, p := range packages(t) {
		if !slices.Contains(knowNoBoats, p.dir) {
			continue
		}
		for _, file := range p.files {
			src, err := os.ReadFile(filepath.Join("..", "..", file))
			if err != nil {
				t.Fatal(err)
			}
			for _, hit := range tradeWordsIn(src) {
				t.Errorf("%s:%s", file, hit)
			}
		}
	}
	if hits := tradeWordsIn([]byte("package p\n// a boat\nvar rudderBlade = \"VHB 300, ono\"\n")); len(hits) != 3 {
		t.Errorf("found %q in a text with three such words outside comments", hits)
	}
}

type goPackage struct {
	dir     string
	files   []string // without tests
	imports []string // of this module, without its name
}

// packages lists the packages of the module with what they import.
func packages(t *testing.T) []goPackage {
	t.Helper()
	byDir := map[string]*goPackage{}
	var dirs []string
	root := os.DirFS(filepath.Join("..", ".."))
	err := fs.WalkDir(root, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() && name != "." && (strings.HasPrefix(e.Name(), ".") || e.Name() == "testdata") {
			return fs.SkipDir
		}
		if e.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		src, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, src, parser.ImportsOnly)
		if err != nil {
			return err
		}
		dir := path.Dir(name)
		p := byDir[dir]
		if p == nil {
			p = &goPackage{dir: dir}
			byDir[dir] = p
			dirs = append(dirs, dir)
		}
		p.files = append(p.files, name)
		p.imports = append(p.imports, ownImports(f)...)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(dirs)
	var out []goPackage
	for _, d := range dirs {
		out = append(out, *byDir[d])
	}
	return out
}

func ownImports(f *ast.File) []string {
	var out []string
	for _, spec := range f.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue
		}
		if own, ok := strings.CutPrefix(name, "askance/"); ok {
			out = append(out, own)
		}
	}
	return out
}

// importFaults lists every import that goes the wrong way.
func importFaults(all []goPackage) []string {
	var faults []string
	say := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	for _, p := range all {
		row, ok := rows[p.dir]
		if !ok {
			say("%s has no row in the table of this test", p.dir)
			continue
		}
		for _, to := range p.imports {
			toRow, ok := rows[to]
			switch {
			case !ok:
				say("%s imports %s, which has no row", p.dir, to)
			case toRow >= row:
				say("%s (row %d) imports %s (row %d)", p.dir, row, to, toRow)
			case strings.HasPrefix(p.dir, "analysis") && strings.HasPrefix(to, "ingest") && !slices.Contains(analysisMaySee, to):
				say("%s imports %s: analysis cannot re-read a file", p.dir, to)
			case slices.Contains(knowNoBoats, p.dir) && toRow > 0:
				say("%s knows no boats and imports %s (row %d)", p.dir, to, toRow)
			}
		}
	}
	return faults
}

// tradeWordsIn lists the words of the trade in the names and strings of a Go
// file, each with its line. Comments may speak of boats.
func tradeWordsIn(src []byte) []string {
	var s scanner.Scanner
	set := token.NewFileSet()
	file := set.AddFile("", set.Base(), len(src))
	s.Init(file, src, nil, 0)
	var hits []string
	for {
		pos, tok, lit := s.Scan()
		if tok == token.EOF {
			return hits
		}
		if tok != token.IDENT && tok != token.STRING {
			continue
		}
		for _, w := range wordsOf(fieldName.Replace(lit)) {
			if slices.Contains(allowedWords, w) {
				continue
			}
			for _, trade := range tradeWords {
				if w == trade || len(trade) > 3 && strings.HasPrefix(w, trade) {
					hits = append(hits, fmt.Sprintf("%d: the word %q is one of the trade", file.Line(pos), w))
				}
			}
		}
	}
}

// wordsOf splits at anything but letters and before capitals: "rudderBlade"
// gives "rudder" and "blade".
func wordsOf(s string) []string {
	var words []string
	var word []rune
	flush := func() {
		if len(word) > 0 {
			words = append(words, strings.ToLower(string(word)))
			word = word[:0]
		}
	}
	lower := false
	for _, r := range s {
		switch {
		case !unicode.IsLetter(r):
			flush()
			lower = false
			continue
		case unicode.IsUpper(r) && lower:
			flush()
		}
		lower = unicode.IsLower(r)
		word = append(word, r)
	}
	flush()
	return words
}
