package table

import (
	"strings"

	"askance/ingest/record"
)

const mostBroken = 6 // lines that one line of a table is broken into

// mend puts a line together with those below it where a line break in a text
// without quotes has parted them: none of them has all cells, together they
// have, and these fit their columns; or the line ends in a text and those
// below have no delimiter. used is the number of lines, 1 if it is whole.
func (p *profile) mend(lines []line) (l line, used int) {
	l = lines[0]
	if p == nil || l.excess > 0 || len(l.cells) < 2 {
		return l, 1
	}
	if len(l.cells) >= len(p.columns) {
		return p.mendEnd(lines)
	}
	whole := l
	for n, below := range lines[1:min(len(lines), mostBroken)] {
		if len(whole.cells)+len(below.cells)-1 > len(p.columns) || len(below.cells) == 0 {
			break
		}
		at := len(whole.cells) - 1
		if !p.holds(at, shortCell, longCell) || trim(below.cells[0].text) == "" {
			break
		}
		whole = whole.with(below)
		if len(whole.cells) < len(p.columns) {
			continue
		}
		apart := min(p.asIs(l), p.asIs(below))
		if together := p.asIs(whole); together > p.usual-badlyFitting && together > apart+clearlyMore {
			return whole, n + 2
		}
		break
	}
	return l, 1
}

// mendEnd adds the lines without a delimiter to the text that a line ends in.
func (p *profile) mendEnd(lines []line) (l line, used int) {
	l, used = lines[0], 1
	last := len(p.columns) - 1
	if len(l.cells) != len(p.columns) || last < 3 || !p.holds(last, shortCell, longCell) || trim(l.cells[last].text) == "" {
		return l, 1
	}
	for _, below := range lines[1:min(len(lines), mostBroken)] {
		if len(below.cells) != 1 || below.number != lines[used-1].number+1 {
			break
		}
		l = l.with(below)
		used++
	}
	return l, used
}

// with continues the last cell of a line with the first of one below.
func (l line) with(below line) line {
	cells := append([]cell{}, l.cells...)
	end := &cells[len(cells)-1]
	end.text = strings.TrimRight(end.text, " ") + "\n" + below.cells[0].text
	l.cells = append(cells, below.cells[1:]...)
	return l
}

// broken is the problem of a line that was put together.
func (b *builder) broken(g grid, first line) record.Problem {
	return record.Problem{At: b.at(g, first.number, 0), Wanted: "a line of the table on one line",
		Got: "a line break inside it", Hint: "the lines were put together; quote a cell that holds a line break"}
}
