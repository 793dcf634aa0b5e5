package table

import "strings"

// delimiters are tried in this order; the earlier wins a tie.
var delimiters = []byte{',', ';', '\t', '|'}

// Of how many lines the delimiter is judged, and which share of them must
// have the same number of cells where no header is recognised.
const (
	sampleLines    = 100
	minConsistency = 0.5
)

// declaredDelimiter reads a first line like "sep=;", which some spreadsheet
// programs write; length is that of the line.
func declaredDelimiter(text string) (delimiter byte, length int, ok bool) {
	end := strings.IndexAny(text, "\r\n")
	if end < 0 {
		return 0, 0, false
	}
	first := strings.Trim(text[:end], `"`)
	if len(first) != len("sep=;") || !strings.EqualFold(first[:4], "sep=") {
		return 0, 0, false
	}
	return first[4], end, strings.IndexByte("0123456789\"=", first[4]) < 0
}

// openText starts to scan a text with the delimiter that it declares, else
// with the one that fits best.
func openText(text string, known recogniser, maxColumns int) *scanner {
	if delimiter, length, ok := declaredDelimiter(text); ok {
		s := newScanner(text, delimiter, maxColumns)
		s.advance(length)
		s.endLine()
		return s
	}
	return newScanner(text, findDelimiter(text, known, maxColumns), maxColumns)
}

// suitability is how well a delimiter fits a text.
type suitability struct {
	recognised  int     // cells of the best header line
	consistency float64 // share of filled lines with the usual number of cells
	width       int     // that number
}

func (s suitability) better(t suitability) bool {
	if s.recognised != t.recognised {
		return s.recognised > t.recognised
	}
	if s.consistency != t.consistency {
		return s.consistency > t.consistency
	}
	return s.width > t.width
}

// findDelimiter picks the delimiter whose header has the most recognised
// cells, then the one that cuts the first lines into equally many cells,
// quoted text left aside; noDelimiter if none does.
func findDelimiter(text string, known recogniser, maxColumns int) byte {
	found, best := noDelimiter, suitability{}
	for _, delimiter := range append([]byte{noDelimiter}, delimiters...) {
		lines := newScanner(text, delimiter, maxColumns).filledLines(sampleLines)
		if fit := judge(lines, known); fit.better(best) {
			found, best = delimiter, fit
		}
	}
	return found
}

// judge measures how well the lines hang together as a table.
func judge(lines []line, known recogniser) suitability {
	var fit suitability
	header := 0
	header, fit.recognised = findHeader(lines, known)
	if fit.recognised > 0 && len(lines[header].cells) < 2 {
		return fit
	}
	times := map[int]int{}
	for _, l := range lines {
		if width := len(l.cells); width > 1 {
			times[width]++
			if n := times[width]; n > times[fit.width] || n == times[fit.width] && width > fit.width {
				fit.width = width
			}
		}
	}
	if fit.width > 0 {
		fit.consistency = float64(times[fit.width]) / float64(len(lines))
	}
	if fit.recognised == 0 && fit.consistency < minConsistency {
		return suitability{}
	}
	return fit
}
