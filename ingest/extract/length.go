package extract

import (
	"askance/ingest/boat"
	"askance/ingest/record"
)

// metres by unit.
func metres(unit string) float64 {
	switch unit {
	case "ft":
		return 0.3048
	case "in":
		return 0.0254
	case "m":
		return 1
	case "cm":
		return 0.01
	}
	return 0
}

// Bounds of what may be the length of a boat, in metres: in running words of a
// small sailing boat, in a column of any.
const (
	shortest      = 1.8
	longest       = 20
	longestColumn = 150
)

// length reads the length column, else a length with a unit in the words.
func (g *reading) length(row record.Row) (boat.Fact[float64], []record.Problem) {
	if cell, ok := row.Get("length"); ok {
		unit := g.r.cells["unit"][cellKey(cell.Unit)]
		if m, _, ok := g.r.measure(lex(cell.Text), 0, unit, longestColumn); ok {
			return boat.Know(m, "column", cell.Text, cell.At), nil
		}
		return boat.Fact[float64]{}, []record.Problem{{At: cell.At, Field: "length", Wanted: "a length with its unit", Got: cell.Text, Hint: "write 5.05 m or 16.5 ft, or name the unit in the header; --measure takes the column as it stands"}}
	}
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if m, from, to, ok := g.lengthIn(s); ok {
				return boat.Know(m, "text", quoteOf(p.text, s.tokens, from, to), p.at), nil
			}
		}
	}
	return boat.Fact[float64]{}, nil
}

// lengthIn finds a number with a unit beside a word for length or for the
// boat, and not beside another thing.
func (g *reading) lengthIn(s *sentence) (value float64, from, to int, ok bool) {
	for i, t := range s.tokens {
		if t.kind != number {
			continue
		}
		m, used, fits := g.r.measure(s.tokens, i, "", longest)
		if !fits {
			continue
		}
		near := false
		from, to = i, i+used
		for _, a := range s.atoms {
			before, after := i-a.to, a.from-(i+used)
			close := before >= 0 && before <= 2 || after >= 0 && after <= 1
			switch e := a.as(lengthCue); {
			case !close:
			case e != nil && e.value == "overall":
				near = true
				from, to = min(from, a.from), max(to, a.to)
			case e != nil, a.is(item), a.is(thing), a.is(part):
				if before >= 0 && before <= 2 || after == 0 {
					near = false
					goto next
				}
			case a.is(boatNoun) && (after >= 0 && after <= 1 || before == 0):
				near = true
			}
		}
		if near {
			return m, from, to, true
		}
	next:
	}
	return 0, 0, 0, false
}

// measure reads "5.05 m", "16 ft 5 in", "16'6\"" at a token and gives metres
// and the number of tokens used. unit stands in for one that is not written;
// ok is false where the boat would be longer than most.
func (r *Reader) measure(tokens []token, i int, unit string, most float64) (value float64, used int, ok bool) {
	for i < len(tokens) && tokens[i].kind != number {
		i++
	}
	if i >= len(tokens) {
		return 0, 0, false
	}
	v, fine := tokens[i].decimal()
	if !fine {
		return 0, 0, false
	}
	used = 1
	if i+1 < len(tokens) {
		if u := r.cells["unit"][tokens[i+1].fold]; u != "" {
			unit, used = u, 2
		}
	}
	value = v * metres(unit)
	if unit == "ft" && i+used < len(tokens) {
		if inches, fine := tokens[i+used].decimal(); fine && inches < 12 && i+used+1 < len(tokens) && r.cells["unit"][tokens[i+used+1].fold] == "in" {
			value += inches * metres("in")
			used += 2
		}
	}
	return value, used, value >= shortest && value <= most
}
