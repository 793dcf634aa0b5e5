package extract

import (
	"fmt"
	"strconv"

	"askance/ingest/boat"
	"askance/ingest/hull"
	"askance/ingest/record"
)

// A yearClaim is a year that words give as the boat's.
type yearClaim struct {
	year, month int
	score       int
	from, to    int // tokens of its sentence
	quote       string
	at          record.Pos
}

// How sure a claim is.
const (
	yearLoose  = 1 // a bare year in the opening words
	yearOfBoat = 2 // beside a word for the boat
	yearTitle  = 3
	yearBought = 4 // "bought new in 2009"
	yearBuilt  = 5 // "built 2009"
	yearOfThis = 6 // "the boat was built in 2009"
)

// yearInText finds the build year: the surest claim, of equals the first.
func (g *reading) yearInText() (yearClaim, bool) {
	var best yearClaim
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if s.question || !s.has(yearSign) && !s.has(numberSign) {
				continue
			}
			c := s.plain(g.r)
			for j := range c.atoms {
				claim, ok := c.yearAt(j, p.title, k < 2, int(g.now))
				if !ok || claim.score <= best.score {
					continue
				}
				claim.quote, claim.at = quoteOf(p.text, s.tokens, claim.from, claim.to), p.at
				best = claim
			}
		}
	}
	return best, best.score > 0
}

// yearAt weighs the year at an atom.
func (c *clause) yearAt(i int, title, opening bool, now int) (yearClaim, bool) {
	a := &c.atoms[i]
	cue, j := c.yearCue(i)
	if title && cue == "other" && j < i && c.gap(j, i) > 0 {
		cue, j = "", -1 // "16 regatta or leisure 2013"
	}
	suffixed := cue == "" && c.suffixed(i)
	if suffixed {
		cue, j = "built", i
	}
	claim := yearClaim{year: int(a.value), from: a.from, to: a.to}
	if a.sign == numberSign && cue == "built" && !c.oldBehind(i) && (suffixed || j < i && c.gap(j, i) <= 1 || j == i+1 && c.gap(i, j) == 0 && c.s.tokens[a.from].fold[0] == '0') && !c.measured(a) && !(a.to < len(c.s.tokens) && c.s.tokens[a.to].glued && c.s.tokens[a.to].kind == mark && c.s.tokens[a.to].fold == "/") {
		short, ok := shortYear(c.s.tokens[a.from], now)
		if !ok {
			return claim, false
		}
		claim.year = short
	} else if a.sign != yearSign {
		return claim, false
	}
	if j >= 0 {
		claim.from, claim.to = min(a.from, c.atoms[j].from), max(a.to, c.atoms[j].to)
	}
	claim.month = c.monthBefore(a.from)
	if claim.month == 0 {
		claim.month = a.month
	}
	switch {
	case c.off[i] || cue == "other" || cue == "decade" || claim.year > now+1:
		return claim, false
	case cue == "built":
		claim.score = yearBuilt
		if c.boatBeside(i) {
			claim.score = yearOfThis
		}
		if c.ofUnknown(i, j) {
			claim.score = yearLoose // "a newer set from 2019"
			if !title && (!opening || c.in(i, renewed)) {
				return claim, false
			}
		}
		if c.thingBeside(i, j) || c.newFrom(j) {
			claim.score = 0
		}
	case cue == "bought_new":
		claim.score = yearBought
		if c.thingBeside(i, j) && c.gap(min(i, j), max(i, j)) == 0 || c.headsList() || c.doneBefore(min(i, j)) {
			claim.score = 0 // "trailer new in 2022", "new in 2025: sails, ropes", "wires swapped for new in May 2025"
		}
	case c.pricedYear(i):
		return claim, false
	case title && !c.thingAt(i) && !c.doneBefore(i):
		claim.score = yearTitle
	case c.in(i, renewed) || c.in(i, repaired):
		return claim, false
	case c.boatBeside(i):
		claim.score = yearOfBoat
	case opening && (len(c.things) == 0 && !c.in(i, quality) || c.bracketed(i) || c.behindName(i) || c.leadsText(i)):
		claim.score = yearLoose
	}
	return claim, claim.score > 0
}

// measured tells that a unit follows a number: "a cat of 16 ft".
func (c *clause) measured(a *atom) bool {
	return a.to < len(c.s.tokens) && c.r.isUnit(c.s.tokens[a.to])
}

// yearCue finds the word that tells what a year is of: before it, or close
// behind.
func (c *clause) yearCue(i int) (string, int) {
	for j := i - 1; j >= 0 && c.gap(j, i) <= 4; j-- {
		if e := c.atoms[j].as(yearCue); e != nil {
			if k := j - 1; e.value == "built" && k >= 0 && c.part[k] == c.part[j] && c.gap(k, j) <= 3 && c.atoms[j].to == c.atoms[j].from+1 {
				if before := c.atoms[k].as(yearCue); before != nil && (before.value == "bought_new" || before.value == "other" && c.in(i, item)) {
					return before.value, k // "bought new in the spring of 2011"
				}
			}
			if k := j - 1; e.value == "other" && k >= 0 && c.part[k] == c.part[j] && c.gap(k, j) <= 1 && c.atoms[j].to == c.atoms[j].from+1 && c.atoms[k].to > c.atoms[k].from+1 {
				if before := c.atoms[k].as(yearCue); before != nil && (before.value == "bought_new" || before.value == "built") {
					return before.value, k // "first launched in spring 2005", "purchased new by me in 2005"
				}
			}
			return e.value, j
		}
		if s := c.atoms[j].sign; s == comma || s == semicolon || s == yearSign || c.at[j] >= 0 && !c.things[c.at[j]].boat {
			break
		}
	}
	for j := i + 1; j < len(c.atoms) && c.gap(i, j) <= 1; j++ {
		if e := c.atoms[j].as(yearCue); e != nil {
			if e.value == "other" && c.atoms[j-1].sign == closing {
				break // "(1991) restored in"
			}
			if e.value == "other" && c.boatRightBefore(i) && j+1 < len(c.atoms) && c.atoms[j+1].sign == yearSign && c.part[j+1] == c.part[i] && c.gap(j, j+1) <= 3 {
				break // "boat 2015 bought in 2018"
			}
			return e.value, j
		}
		if c.atoms[j].sign != closing {
			break
		}
	}
	return "", -1
}

// monthBefore reads the month that goes before a year: "10/1998", "Oct 1998".
func (c *clause) monthBefore(at int) int {
	t := c.s.tokens
	if at >= 2 && (t[at-1].fold == "/" || t[at-1].fold == "-") && t[at-1].glued && t[at].glued {
		if m := t[at-2].whole(); m >= 1 && m <= 12 {
			return m
		}
	}
	if at >= 1 && t[at-1].kind == word {
		if m, err := strconv.Atoi(c.r.cells["month"][t[at-1].fold]); err == nil {
			return m
		}
	}
	return 0
}

// shortYear reads "98" or "07" as the nearest past year.
func shortYear(t token, now int) (int, bool) {
	y := t.whole()
	if len(t.fold) != 2 || y < 0 {
		return 0, false
	}
	if year := now/100*100 + y; year <= now {
		return year, true
	}
	return now/100*100 - 100 + y, true
}

// columnYear reads a year cell: "2009", "10/1998", "1998-10", "Bj. 98".
func (r *Reader) columnYear(text string, now int) (year, month int, ok bool) {
	tokens := lex(text)
	s := &sentence{tokens: tokens}
	r.parse(s, r.all, now+1)
	c := newClause(r, s, plainScope)
	for i := range c.atoms {
		if a := &c.atoms[i]; a.sign == yearSign && a.value > 0 {
			if e, _ := c.yearCue(i); e == "decade" {
				return 0, 0, false
			}
			month = max(c.monthBefore(a.from), a.month)
			if month == 0 && a.to+1 < len(tokens) && tokens[a.to].glued {
				if m := tokens[a.to].whole(); tokens[a.to].start == tokens[a.to-1].end+1 && m >= 1 && m <= 12 {
					month = m
				} else if m := tokens[a.to+1].whole(); m >= 1 && m <= 12 {
					month = m
				}
			} else if month == 0 && a.to < len(tokens) && tokens[a.to].start == tokens[a.to-1].end+1 {
				if m := tokens[a.to].whole(); m >= 1 && m <= 12 {
					month = m
				}
			}
			return int(a.value), month, true
		}
	}
	for _, a := range c.atoms {
		if e := a.as(yearCue); e != nil && e.value == "decade" {
			return 0, 0, false
		}
	}
	for _, t := range tokens {
		if y, ok := shortYear(t, now); ok && len(tokens) <= 3 {
			return y, 0, true
		}
	}
	return 0, 0, false
}

// buildYear settles the year: the column, else the words, else the hull
// number. A hull number, or plain words against the column, that differ by
// more than a year are told.
func (g *reading) buildYear(row record.Row, number hull.Number, numberSaid string, numberAt record.Pos) (boat.BuildYear, []record.Problem) {
	var y boat.BuildYear
	var problems []record.Problem
	if cell, ok := row.Get("year"); ok {
		if v, m, ok := g.r.columnYear(cell.Text, int(g.now)); ok {
			y = boat.BuildYear{Fact: boat.Know(v, "column", cell.Text, cell.At), Month: m}
		} else {
			problems = append(problems, record.Problem{At: cell.At, Field: "year", Wanted: "a build year", Got: cell.Text, Hint: "write 1998, 1998-10 or 10/1998"})
		}
	}
	claim, claimed := g.yearInText()
	switch {
	case !y.Known && claimed:
		y = boat.BuildYear{Fact: boat.Know(claim.year, "text", Mask(claim.quote), claim.at), Month: claim.month}
	case y.Known && claimed && claim.score >= yearBought && apart(claim.year, y.Value):
		y.Conflict = fmt.Sprintf("the text says %d", claim.year)
	}
	if built := number.BuildYear(); built > 0 {
		switch {
		case !y.Known:
			y = boat.BuildYear{Fact: boat.Know(built, "hull_number", numberSaid, numberAt)}
			if built == number.Year {
				y.Month = number.Month
			}
		case apart(built, y.Value):
			said := fmt.Sprintf("hull number says %d", built)
			if y.Conflict != "" {
				said = y.Conflict + "; " + said
			}
			y.Conflict = said
		}
	}
	return y, problems
}

func apart(a, b int) bool { return a-b > 1 || b-a > 1 }
