package table

import (
	"math"
	"strconv"
	"strings"
	"unicode"

	"askance/ingest/record"
)

// A class is what a cell looks like.
type class int

const (
	blankCell class = iota
	numberCell
	measureCell // a number with a unit or a sign
	dateCell
	linkCell
	shortCell // words, up to shortWords characters
	longCell
	classes
)

const shortWords = 40 // characters

// classOf tells what a cell looks like.
func classOf(text string) class {
	text = trim(text)
	digits, letters, seps, all := 0, 0, 0, 0
	for _, c := range text {
		all++
		switch {
		case unicode.IsDigit(c):
			digits++
		case unicode.IsLetter(c):
			letters++
		case c == '-' || c == '.' || c == '/' || c == ':':
			seps++
		}
	}
	switch {
	case all == 0:
		return blankCell
	case isWebAddress(text):
		return linkCell
	case all <= 20 && letters == 0 && seps >= 2 && digits >= 6 && digits <= 14:
		return dateCell
	case all <= 20 && digits > 0 && letters <= 4:
		if strings.Trim(text, "0123456789.,'- \u00a0\u202f") != "" {
			return measureCell
		}
		return numberCell
	case all <= shortWords:
		return shortCell
	}
	return longCell
}

// A profile tells what the columns of a table hold, from the lines that have
// as many cells as the header.
type profile struct {
	columns []([classes]float64) // by column: the logarithm of how often its cells are of each class
	lengths []lengths            // by column
	spaced  bool                 // cells often begin with a space
	usual   float64              // how well a line fits, on average
	wide    bool                 // nearly all lines fill three cells or more
}

const (
	forProfile = 500 // lines that tell a profile
	leastForIt = 8
)

// lengths are how long the texts in a column are: the mean and the spread of
// the logarithm of their bytes.
type lengths struct{ n, mean, spread float64 }

// profileOf is nil where too few lines tell. Lines that are one cell short
// tell only where few others do.
func profileOf(lines []line, columns int) *profile {
	p := profile{columns: make([][classes]float64, columns), lengths: make([]lengths, columns)}
	whole := 0
	for _, l := range lines[:min(len(lines), forProfile)] {
		whole += toInt(len(l.cells) == columns)
	}
	least := columns - toInt(2*whole < min(len(lines), forProfile))
	var kinds [][]class
	cells, spaces := 0, 0
	for _, l := range lines {
		if len(l.cells) > columns && l.width() >= columns || len(l.cells) < least {
			continue
		}
		of := make([]class, columns)
		for i := range min(columns, len(l.cells)) {
			text := l.cells[i].text
			of[i] = classOf(text)
			if of[i] != blankCell {
				p.lengths[i].note(math.Log(float64(len(text))))
			}
			if i > 0 && text != "" {
				cells++
				spaces += toInt(text[0] == ' ')
			}
		}
		for i, c := range of {
			p.columns[i][c]++
		}
		if kinds = append(kinds, of); len(kinds) == forProfile {
			break
		}
	}
	n := float64(len(kinds))
	if len(kinds) < leastForIt {
		return nil
	}
	for i := range p.columns {
		for c := range p.columns[i] {
			p.columns[i][c] = math.Log((p.columns[i][c] + 0.1) / (n + 0.1*float64(classes)))
		}
	}
	for i := range p.columns { // words are told by their lengths
		words := math.Log(math.Exp(p.columns[i][shortCell]) + math.Exp(p.columns[i][longCell]))
		p.columns[i][shortCell], p.columns[i][longCell] = words, words
	}
	for _, of := range kinds {
		for i, c := range of {
			p.usual += p.columns[i][c] / n
		}
	}
	narrow := 0
	for _, l := range lines[:min(len(lines), forProfile)] {
		narrow += toInt(l.filled() < 3)
	}
	p.wide = columns >= 4 && 10*narrow <= min(len(lines), forProfile)
	p.spaced = 10*spaces > cells
	return &p
}

// note takes one more length into account (Welford 1962,
// doi:10.1080/00401706.1962.10490022); spread is the sum of squares until used.
func (s *lengths) note(x float64) {
	s.n++
	d := x - s.mean
	s.mean += d / s.n
	s.spread += d * (x - s.mean)
}

// fit tells how likely a text of some bytes is in the column, as a logarithm.
func (s lengths) fit(bytes int) float64 {
	if s.n < leastForIt || bytes == 0 {
		return 0
	}
	deviation := math.Sqrt(s.spread/s.n) + 0.2
	z := (math.Log(float64(bytes)) - s.mean) / deviation
	return max(-z*z/2, -3)
}

// fit tells how well a text fits a column, as a logarithm.
func (p *profile) fit(column int, text string) float64 {
	c := classOf(text)
	f := p.columns[column][c]
	if c != blankCell {
		f += p.lengths[column].fit(len(trim(text)))
	}
	return f
}

func toInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// numbered tells whether the lines have one cell more than the header, in front:
// their number, as some programs write it without a header.
func numbered(lines []line, columns int) bool {
	counted, last := 0, -1
	for _, l := range lines[:min(len(lines), forProfile)] {
		if len(l.cells) != columns+1 {
			continue
		}
		n, err := strconv.Atoi(trim(l.cells[0].text))
		if err != nil || last >= 0 && n != last+1 {
			return false
		}
		counted, last = counted+1, n
	}
	return counted >= 2 && 10*counted >= 9*min(len(lines), forProfile)
}

// width counts the cells of a line up to the last filled one.
func (l line) width() int {
	n := len(l.cells)
	for n > 0 && trim(l.cells[n-1].text) == "" {
		n--
	}
	return n
}

// shifted is the problem of a line that was straightened.
func (b *builder) shifted(g grid, l line, columns int) record.Problem {
	got, hint := strconv.Itoa(len(l.cells))+", of which some are one", "they were joined so that the others fit their columns; quote a cell that holds the delimiter"
	if len(l.cells) < columns {
		got, hint = strconv.Itoa(len(l.cells))+", of which one seems left out", "the others were moved to the columns that they fit; write a blank cell for what is not known"
	}
	return record.Problem{At: b.at(g, l.number, 0), Wanted: strconv.Itoa(columns) + " cells, as the header has", Got: got, Hint: hint}
}

// isNote tells whether a line has only one cell where the others have several.
func (p *profile) isNote(l line) bool { return p != nil && p.wide && l.filled() == 1 }
