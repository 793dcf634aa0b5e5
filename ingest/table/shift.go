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
	dateCell
	linkCell
	shortCell // words, up to shortWords characters
	longCell
	classes
)

const shortWords = 40 // characters

// classOf tells what a cell looks like. A number may have a unit or a sign.
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
		return numberCell
	case all <= shortWords:
		return shortCell
	}
	return longCell
}

// A profile is how often the cells of each column are of each class.
type profile [][classes]float64

const (
	forProfile  = 500 // lines that tell a profile
	leastForIt  = 8
	clearlyMore = 2.0 // by how much, as a logarithm, the best repair must fit better
)

// profileOf reads what columns hold from the lines that have as many cells as
// the header; nil where there are too few.
func profileOf(lines []line, columns int) profile {
	p := make(profile, columns)
	n := 0
	for _, l := range lines {
		if len(l.cells) > columns && l.width() >= columns || len(l.cells) < columns-1 {
			continue
		}
		for i := range columns {
			c := blankCell
			if i < len(l.cells) {
				c = classOf(l.cells[i].text)
			}
			p[i][c]++
		}
		if n++; n == forProfile {
			break
		}
	}
	if n < leastForIt {
		return nil
	}
	for i := range p {
		for c := range p[i] {
			p[i][c] = math.Log((p[i][c] + 0.1) / (float64(n) + 0.1*float64(classes)))
		}
	}
	return p
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

// straighten joins the cells of a line that has more than the header where
// that makes the rest fit their columns clearly better than any other way: a
// text that holds the delimiter without quotes, or a blank cell in front.
func (p profile) straighten(l line, delimiter string) (line, bool) {
	extra := len(l.cells) - len(p)
	if p == nil || extra < 1 || extra > 8 || l.excess > 0 {
		return l, false
	}
	fit := func(at int) float64 {
		sum := 0.0
		if !p.holdsWords(at) && !l.blanks(at, extra) {
			return math.Inf(-1)
		}
		for i := range p {
			c := l.cells[i+extra]
			switch {
			case i < at:
				c = l.cells[i]
			case i == at:
				c = l.joined(at, extra, delimiter)
			}
			sum += p[i][classOf(c.text)]
		}
		return sum
	}
	best, bestFit, second := -1, math.Inf(-1), math.Inf(-1)
	for at := range p {
		switch f := fit(at); {
		case f > bestFit:
			best, bestFit, second = at, f, bestFit
		case f > second:
			second = f
		}
	}
	asIs := 0.0
	for i := range p {
		asIs += p[i][classOf(l.cells[i].text)]
	}
	if bestFit-second < clearlyMore/4 || bestFit-asIs < clearlyMore {
		return l, false
	}
	cells := append([]cell{}, l.cells[:best]...)
	cells = append(cells, l.joined(best, extra, delimiter))
	cells = append(cells, l.cells[best+extra+1:]...)
	l.cells = cells
	return l, true
}

// holdsWords tells whether a column mostly holds words.
func (p profile) holdsWords(column int) bool {
	return math.Exp(p[column][shortCell])+math.Exp(p[column][longCell]) > 0.5
}

// blanks tells whether only one of some cells is filled.
func (l line) blanks(at, extra int) bool {
	return line{cells: l.cells[at : at+extra+1]}.filled() <= 1
}

// joined makes one cell of one and the extra ones that follow it.
func (l line) joined(at, extra int, delimiter string) cell {
	c := l.cells[at]
	var parts []string
	for _, more := range l.cells[at : at+extra+1] {
		if len(parts) > 0 || trim(more.text) != "" {
			parts = append(parts, more.text)
		}
	}
	c.text = strings.Join(parts, delimiter)
	return c
}

// shifted is the problem of a line that was straightened.
func (b *builder) shifted(g grid, l line, columns int) record.Problem {
	return record.Problem{At: b.at(g, l.number, 0), Wanted: strconv.Itoa(columns) + " cells, as the header has",
		Got: strconv.Itoa(len(l.cells)) + ", of which some are one text", Hint: "they were joined so that the others fit their columns; quote a cell that holds the delimiter"}
}
