package report

import (
	"strings"

	"askance/cmd/askance/internal/sheet"
	"askance/ingest/record"
)

// figure sets a figure of the model beside the table.
func (t *trial) figure(name string, v float64) tried { return t.put(name, sheet.Num(v, 6), v) }

// live sets a figure that is worked out of others.
func (t *trial) live(name, formula string, v float64) tried {
	return t.put(name, sheet.Num(v, 6).Formula(formula), v)
}

func (t *trial) put(name string, c sheet.Cell, v float64) tried {
	at := t.sheet.Beside(t.figureRow, tryFigures, sheet.Str(name), c)
	t.figureRow++
	return tried{at.Ref(0, 1), v}
}

// A lookUpList is a list of words to choose from with numbers beside them.
type lookUpList struct {
	area   sheet.Area
	labels []string
}

// list sets a list beside the table: its name, then a word a line with one
// number of each column. columns are ids of the glossary.
func (t *trial) list(name string, labels, columns []string, numbers ...[]float64) lookUpList {
	heads := []sheet.Cell{sheet.Str(name).Bold()}
	for _, id := range columns {
		heads = append(heads, sheet.Str(head(id)).Bold())
	}
	t.sheet.Beside(t.figureRow, tryFigures, heads...)
	l := lookUpList{sheet.Area{Sheet: t.sheet, Row: t.figureRow + 1, Col: tryFigures, Rows: len(labels), Cols: 1 + len(numbers)}, choosable(labels)}
	for i, label := range l.labels {
		cells := []sheet.Cell{sheet.Str(label)}
		for _, column := range numbers {
			cells = append(cells, sheet.Num(column[i], 6))
		}
		t.sheet.Beside(l.area.Row+i, tryFigures, cells...)
	}
	t.figureRow += 1 + len(labels)
	return l
}

// pick is the formula that looks up what is chosen in a cell: a number of a
// column, counted from 0, or otherwise where nothing of the list is chosen.
func (l lookUpList) pick(cell string, column int, otherwise string) string {
	of := func(col int) string { return l.area.Ref(0, col) + ":" + l.area.Ref(l.area.Rows-1, col) }
	return "IFERROR(INDEX(" + of(1+column) + ",MATCH(" + cell + `&"",` + of(0) + ",0))," + otherwise + ")"
}

// words tells what there is to choose from.
func (l lookUpList) words() string { return record.Shorten(strings.Join(l.labels, " · "), 62) }

// choosable makes words that a spreadsheet finds again when they are chosen:
// none is blank, none holds what stands for any letter, and no two are alike.
func choosable(labels []string) []string {
	wild := strings.NewReplacer("*", "×", "?", "¿", "~", "-")
	taken := map[string]bool{}
	var out []string
	for _, l := range labels {
		l = strings.TrimSpace(wild.Replace(l))
		if l == "" {
			l = "(no name)"
		}
		base := l
		for n := 2; taken[strings.ToLower(l)]; n++ {
			l = base + " (" + digits(n) + ")"
		}
		taken[strings.ToLower(l)] = true
		out = append(out, l)
	}
	return out
}

// offer lets the reader choose from a list in the row that comes next.
func (t *trial) offer(l lookUpList) { t.sheet.ChoicesFrom(t.nextInput(), l.area.Column(0)) }

// bounds lets the reader type numbers from low to high in the row that comes
// next.
func (t *trial) bounds(low, high float64) { t.sheet.Numbers(t.nextInput(), low, high) }

func (t *trial) nextInput() sheet.Area {
	return sheet.Area{Sheet: t.sheet, Row: t.first + len(t.rows), Col: tryInput, Rows: 1, Cols: 1}
}
