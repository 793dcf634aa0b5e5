package extract

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"askance/ingest/boat"
	"askance/ingest/record"
)

// Options say what the user wants read beyond the usual fields.
type Options struct {
	Extras   []ExtraColumn // yes/no equipment columns
	Factors  []string      // headers of categories
	Measures []string      // headers of positive numbers
	AsOf     time.Time     // the date of a listing where neither it nor its file tells one

	habits habits // of the file at hand
}

// An ExtraColumn is a yes/no column: of an item of the knowhow, or one of its
// own where Item is "".
type ExtraColumn struct{ Item, Header string }

// OwnItem gives the item that stands for a column of the user's own.
func OwnItem(header string) string { return "extra:" + header }

// marksOnly finds the extra columns of a file that hold nothing but marks for
// yes: there a blank is a no.
func (r *Reader) marksOnly(batch record.Batch, opts Options) map[string]bool {
	out := map[string]bool{}
	for _, e := range opts.Extras {
		key, some, only := cellKey(e.Header), false, true
		for _, row := range batch.Rows {
			for _, c := range row.Cells {
				if cellKey(c.Header) != key || strings.TrimSpace(c.Text) == "" {
					continue
				}
				some = true
				only = only && r.yesNo(c.Text) == "yes"
			}
		}
		out[e.Header] = some && only
	}
	return out
}

// yesNo reads a mark: "yes", "no", or "" for neither.
func (r *Reader) yesNo(text string) string {
	key := strings.Join(strings.Fields(fold(text)), " ")
	for _, k := range []string{key, strings.Trim(key, ".:;!")} {
		switch {
		case r.cells["yes"][k] != "":
			return "yes"
		case r.cells["no"][k] != "":
			return "no"
		}
	}
	return ""
}

// IsMark tells whether a cell holds a mark for yes or no and nothing else.
func (r *Reader) IsMark(text string) bool { return r.yesNo(text) != "" }

// columns reads the equipment columns of a row.
func (g *reading) columns(row record.Row, opts Options, marks map[string]bool) (own []boat.Finding, problems []record.Problem) {
	used := map[string]bool{}
	for _, e := range opts.Extras {
		c, ok := byHeader(row, e.Header)
		if !ok {
			continue
		}
		used[e.Header] = true
		answer := g.r.yesNo(c.Text)
		quote := Mask(strings.TrimSpace(c.Text))
		if quote == "" && marks[e.Header] {
			answer, quote = "no", e.Header
		}
		if e.Item != "" {
			g.cell(e.Item, answer, quote, c)
			continue
		}
		switch answer {
		case "yes":
			own = append(own, boat.Finding{Item: OwnItem(e.Header), Value: "included", Quote: quote, At: c.At})
		case "no":
			own = append(own, boat.Finding{Item: OwnItem(e.Header), Value: "absent", Quote: quote, At: c.At})
		default:
			if quote != "" {
				problems = append(problems, record.Problem{At: c.At, Field: e.Header, Wanted: "yes or no", Got: quote})
			}
		}
	}
	for _, c := range row.Cells {
		if _, isItem := g.r.book.Item(c.Field); isItem && c.Field != "condition" && !used[c.Header] && strings.TrimSpace(c.Text) != "" {
			g.cell(c.Field, g.r.yesNo(c.Text), Mask(strings.TrimSpace(c.Text)), c)
		}
	}
	return own, problems
}

// cell reads a cell about one item: a mark, or words as if they followed the
// item's name.
func (g *reading) cell(id, answer, quote string, c record.Cell) {
	it, _ := g.r.book.Item(id)
	value := ""
	switch {
	case answer == "yes" && it.Kind == "extra":
		value = "included"
	case answer == "no" && it.Kind == "extra":
		value = "absent"
	case answer == "yes" && it.Kind == "defect":
		value = "present"
	case answer == "no" && it.Kind == "defect":
		value = "denied"
	}
	if value != "" {
		g.statements = append(g.statements, statement{item: id, value: value, weight: stated, quote: quote, at: c.At})
		return
	}
	if answer != "" || quote == "" {
		return
	}
	before := len(g.statements)
	p := passage{text: c.Header + ": " + quote, at: c.At}
	p.sentences = g.r.sentences(lex(p.text), p.text, g.allowed)
	for i := range p.sentences {
		g.r.parse(&p.sentences[i], g.r.all, int(g.now)+1)
	}
	overall := g.overall
	g.resolvePassage(&p)
	g.overall = overall
	kept := g.statements[:before]
	for _, s := range g.statements[before:] {
		if s.item == id {
			s.quote, s.weight, s.passing = quote, stated, false
			kept = append(kept, s)
		}
	}
	g.statements = kept
}

func byHeader(row record.Row, header string) (record.Cell, bool) {
	key := cellKey(header)
	for _, c := range row.Cells {
		if cellKey(c.Header) == key {
			return c, true
		}
	}
	return record.Cell{}, false
}

// drivers reads the factor and measure columns that the user named.
func drivers(row record.Row, opts Options) (factors map[string]string, measures map[string]float64, problems []record.Problem) {
	for _, h := range opts.Factors {
		if factors == nil {
			factors = map[string]string{}
		}
		c, _ := byHeader(row, h)
		factors[h] = strings.Join(strings.Fields(c.Text), " ")
	}
	for _, h := range opts.Measures {
		c, ok := byHeader(row, h)
		text := strings.TrimSpace(c.Text)
		if !ok || text == "" {
			continue
		}
		v, err := PlainNumber(text)
		if err != nil || v <= 0 {
			problems = append(problems, record.Problem{At: c.At, Field: h, Wanted: "a number above 0", Got: text})
			continue
		}
		if measures == nil {
			measures = map[string]float64{}
		}
		measures[h] = v
	}
	return factors, measures, problems
}

// PlainNumber reads a number without a unit: "1,250.5", "1.250,5", "12,5".
func PlainNumber(s string) (float64, error) {
	s = strings.Map(func(r rune) rune {
		if r == ' ' || r == '\u00a0' || r == '\'' || r == '’' {
			return -1
		}
		return r
	}, s)
	comma, point := strings.LastIndexByte(s, ','), strings.LastIndexByte(s, '.')
	switch {
	case comma > point && (point >= 0 || strings.Count(s, ",") == 1):
		s = strings.Replace(strings.ReplaceAll(s, ".", ""), ",", ".", 1)
	case comma >= 0:
		s = strings.ReplaceAll(s, ",", "")
	case strings.Count(s, ".") > 1:
		s = strings.ReplaceAll(s, ".", "")
	}
	return strconv.ParseFloat(s, 64)
}

// doubt makes a problem of a cell that could not be read.
func doubt(c record.Cell, field, wanted, hint string) record.Problem {
	return record.Problem{At: c.At, Field: field, Wanted: wanted, Got: fmt.Sprint(Mask(c.Text)), Hint: hint}
}
