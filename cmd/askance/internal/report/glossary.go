package report

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"

	"askance/cmd/askance/internal/sheet"
)

//go:embed glossary.csv
var glossaryCSV string

// A Term is one entry of the glossary.
type Term struct {
	Kind  string // "column", "step", "adjustment" or "code"
	ID    string
	Head  string // the plain words that stand above a column or in a cell
	Means string // one line for whoever wonders
}

// Glossary returns all terms in their order. Every header of every output is
// the head, or in CSV the id, of a column here.
var Glossary = sync.OnceValue(func() []Term {
	rows, err := csv.NewReader(strings.NewReader(glossaryCSV)).ReadAll()
	if err != nil {
		panic("report: glossary.csv: " + err.Error()) // embedded: part of the program
	}
	var terms []Term
	for _, r := range rows[1:] {
		terms = append(terms, Term{Kind: r[0], ID: r[1], Head: r[2], Means: r[3]})
	}
	return terms
})

// lookUp finds a term.
func lookUp(kind, id string) (Term, bool) {
	for _, t := range Glossary() {
		if t.Kind == kind && t.ID == id {
			return t, true
		}
	}
	return Term{}, false
}

// head gives the words of a column. A column that the glossary lacks is a
// fault of the program and shows as its id in brackets.
func head(id string) string {
	if t, ok := lookUp("column", id); ok {
		return t.Head
	}
	return "[" + id + "]"
}

// column makes a column of a sheet, with its meaning as a note.
func column(id string, width float64) sheet.Column {
	t, ok := lookUp("column", id)
	if !ok {
		return sheet.Column{Head: head(id), Width: width}
	}
	return sheet.Column{Head: t.Head, Means: t.Means, Width: width}
}

// codeWords gives the words for a code of a listing that was left out.
func codeWords(code string) string {
	if t, ok := lookUp("code", code); ok {
		return t.Head
	}
	return spaced(code)
}
