package table

import (
	"math"
	"strings"
	"unicode"
)

// What a repair of a line costs or gains, in the logarithms of a profile.
const (
	clearlyMore   = 2.0 // the best repair must fit better by this
	leftOver      = 3.0 // a filled cell beyond the header
	missing       = 4.0 // a cell that is left out
	evidence      = 1.5 // what tells that two cells are one, or that they are not
	mostExtra     = 8   // cells beyond the header
	mostMissing   = 2
	badlyFitting  = 6.0 // below the usual fit: a line of the right length is shifted too
	widestAligned = 64  // columns
)

// straighten gives each cell of a line to the column that it fits, where that
// is clearly better than counting from the left: several cells may be one
// text that holds the delimiter without quotes, or one number parted at it,
// and a cell may be missing. A cell that begins with a space where others do
// not is likely the end of the one before.
func (p *profile) straighten(l line, delimiter string) (line, bool) {
	if p == nil || l.excess > 0 || len(p.columns) > widestAligned {
		return l, false
	}
	extra := len(l.cells) - len(p.columns)
	asIs := p.asIs(l)
	if extra > mostExtra || extra < -len(p.columns)/2 || extra == 0 && (asIs > p.usual-badlyFitting || 2*l.filled() < len(p.columns)) {
		return l, false
	}
	least := clearlyMore
	if extra == 0 {
		least *= 2
	}
	a := aligner{profile: p, l: l, delimiter: delimiter, extra: max(extra, 1)}
	taken, fit := a.best()
	if taken == nil || fit-asIs < least {
		return l, false
	}
	straight, at := line{number: l.number}, 0
	for _, n := range taken {
		switch {
		case n > 0:
			straight.cells = append(straight.cells, a.join(at, n))
		case at < len(l.cells):
			straight.cells = append(straight.cells, cell{line: l.cells[at].line, column: l.cells[at].column})
		}
		at += n
	}
	straight.cells = append(straight.cells, l.cells[at:]...)
	return straight, true
}

// asIs tells how well a line fits that is read from the left.
func (p *profile) asIs(l line) float64 {
	sum := 0.0
	for i := range p.columns {
		text := ""
		if i < len(l.cells) {
			text = l.cells[i].text
		}
		sum += p.fit(i, text)
	}
	return sum - p.beyond(l, len(p.columns))
}

// beyond is the cost of the cells from one on that no column takes.
func (p *profile) beyond(l line, from int) float64 {
	cost := 0.0
	for i := from; i < len(l.cells); i++ {
		if trim(l.cells[i].text) != "" {
			cost += leftOver
		}
	}
	return cost
}

// An aligner looks for the best way to give the cells of a line to columns.
type aligner struct {
	*profile
	l         line
	delimiter string
	extra     int // cells that may be joined to another
}

// best gives how many cells each column takes, and how well that fits.
func (a aligner) best() (taken []int, fit float64) {
	columns, cells := len(a.columns), len(a.l.cells)
	type step struct {
		fit   float64
		taken int
	}
	// at[j][i]: the first i cells given to the first j columns
	at := make([][]step, columns+1)
	for j := range at {
		at[j] = make([]step, cells+1)
		for i := range at[j] {
			at[j][i].fit = math.Inf(-1)
		}
	}
	at[0][0].fit = 0
	for j, of := range a.columns {
		for i := max(0, j-mostMissing); i <= min(cells, j+a.extra); i++ {
			from := at[j][i].fit
			if math.IsInf(from, -1) {
				continue
			}
			for n := 0; n <= a.extra+1 && i+n <= cells; n++ {
				var f float64
				switch n {
				case 0:
					f = of[blankCell]
					if i < cells {
						f -= missing
					}
				case 1:
					f = a.fit(j, a.l.cells[i].text)
				default:
					may := false
					if f, may = a.joint(j, i, n); !may {
						continue
					}
					f += a.fit(j, a.join(i, n).text)
				}
				if to := &at[j+1][i+n]; from+f > to.fit {
					*to = step{from + f, n}
				}
			}
		}
	}
	end, fit := -1, math.Inf(-1)
	for i := range at[columns] {
		if f := at[columns][i].fit - a.beyond(a.l, i); f > fit {
			end, fit = i, f
		}
	}
	if end < 0 {
		return nil, fit
	}
	taken = make([]int, columns)
	for j := columns; j > 0; j-- {
		taken[j-1] = at[j][end].taken
		end -= taken[j-1]
	}
	return taken, fit
}

// joint tells whether some cells may be one in a column, and what speaks for
// that or against it.
func (a aligner) joint(column, from, n int) (gain float64, may bool) {
	cells := a.l.cells[from : from+n]
	if (line{cells: cells}).filled() <= 1 {
		return -float64(n - 1), true // a blank cell too many
	}
	for i := 1; i < n; i++ {
		before, text := cells[i-1].text, cells[i].text
		switch {
		case isParted(before, text, a.delimiter):
			gain += evidence
		case !a.holds(column, shortCell, longCell, linkCell):
			return 0, false
		case a.delimiter == "\t" || a.delimiter == " " || a.spaced:
		case classOf(cells[0].text) == linkCell:
			if strings.Contains(trim(text), " ") {
				return 0, false
			}
		case strings.HasPrefix(text, " "):
			gain += evidence
		default:
			gain -= evidence
		}
	}
	return gain, true
}

// holds tells whether the cells of a column mostly are of one of some classes.
func (p *profile) holds(column int, some ...class) bool {
	for _, c := range some {
		if math.Exp(p.columns[column][c]) > 0.5 {
			return true
		}
	}
	return false
}

// isParted tells whether two cells are a number parted at the comma between
// its thousands or before its decimals: "€ 3" and "450", "5" and "05 m".
func isParted(before, after, delimiter string) bool {
	if delimiter != "," || after == "" || strings.HasPrefix(after, " ") || !isNumber(before) || !isNumber(after) {
		return false
	}
	digits := len(after) - len(strings.TrimLeft(after, "0123456789"))
	last := len(before) - len(strings.TrimRight(before, "0123456789"))
	whole := strings.IndexFunc(before, unicode.IsDigit) >= len(before)-last
	return last >= 1 && last <= 3 && whole && (digits == 3 || digits == 2 && digits < len(after))
}

func isNumber(text string) bool { c := classOf(text); return c == numberCell || c == measureCell }

// join makes one cell of some, blank ones in front left out.
func (a aligner) join(from, n int) cell {
	c := a.l.cells[from]
	if n == 1 {
		return c
	}
	var parts []string
	for _, more := range a.l.cells[from : from+n] {
		if len(parts) > 0 || trim(more.text) != "" {
			parts = append(parts, more.text)
		}
	}
	c.text = strings.Join(parts, a.delimiter)
	return c
}
