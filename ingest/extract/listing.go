package extract

import (
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"askance/ingest/boat"
	"askance/ingest/hull"
	"askance/ingest/money"
	"askance/ingest/record"
)

// Listings reads every row of a file, in order. IDs, and classes that only
// the whole market tells, are left to AssignIDs and Classes.
func (r *Reader) Listings(batch record.Batch, opts Options) []boat.Listing {
	marks := r.marksOnly(batch, opts)
	opts.habits = r.habitsOf(batch)
	out := make([]boat.Listing, len(batch.Rows))
	var taken atomic.Int64
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), 1+len(out)/rowsEach) {
		workers.Go(func() {
			for i := int(taken.Add(1)) - 1; i < len(out); i = int(taken.Add(1)) - 1 {
				out[i] = r.listing(batch.Rows[i], batch, opts, marks)
			}
		})
	}
	workers.Wait()
	return out
}

// rowsEach is the number of rows that are worth another core.
const rowsEach = 16

// Listing reads one row of a file.
func (r *Reader) Listing(row record.Row, batch record.Batch, opts Options) boat.Listing {
	opts.habits = r.habitsOf(batch)
	return r.listing(row, batch, opts, r.marksOnly(batch, opts))
}

func (r *Reader) listing(row record.Row, batch record.Batch, opts Options, marks map[string]bool) boat.Listing {
	l := boat.Listing{Source: boat.Source{At: row.At, URL: webLink(row.Text("url"))}, Boats: 1}
	l.Problems = append(l.Problems, row.Problems...)
	l.Given = given(row)
	titleCell, textCell := cellOf(row, "title"), cellOf(row, "text")
	l.Title, l.Text = Mask(strings.TrimSpace(titleCell.Text)), Mask(strings.TrimSpace(textCell.Text))
	if l.Title == "" && strings.TrimSpace(row.Text("class")) == "" { // else the class names it
		first, _, _ := strings.Cut(l.Text, "\n")
		l.Title = record.Shorten(first, 80)
	}
	l.Listed, l.AsOf = r.listed(row, batch, opts, &l)

	g := &reading{r: r, now: float64(l.AsOf.Year()), habits: opts.habits, statements: make([]statement, 0, 16)}
	title, text := lex(l.Title), lex(l.Text)
	scores := r.languages(title, text)
	g.language = r.mainLanguage(r.withAccents(scores, l.Title, l.Text))
	l.Language = g.language
	g.allowed = r.spoken(scores)
	if strings.TrimSpace(titleCell.Text) != "" {
		g.take(l.Title, title, titleCell.At, true)
	}
	g.take(l.Text, text, textCell.At, false)

	own, problems := g.columns(row, opts, marks)
	l.Problems = append(l.Problems, problems...)
	g.resolve()
	r.trade(g, row, batch, &l)
	r.describe(g, row, &l)
	l.Kind = g.outweighed(&l)
	if l.Kind == boat.Wanted || l.Kind == boat.Parts {
		l.Findings, l.Condition = []boat.Finding{}, boat.Fact[string]{} // there is no boat to find anything of
		if l.Year.From == "text" {
			l.Year = boat.BuildYear{}
		}
		if l.Kind == boat.Wanted && l.Price.At == textCell.At {
			l.Price = boat.Price{Terms: "wanted", Quote: l.Price.Quote, At: l.Price.At}
		}
	} else {
		l.Findings, l.Notes = r.merge(g.statements)
		l.Findings = append(l.Findings, own...)
	}
	l.Factors, l.Measures, problems = drivers(row, opts)
	l.Problems = append(l.Problems, problems...)
	return l
}

// given tells for each field which source of its page or table gave the cell
// that counts.
func given(row record.Row) map[string]string {
	out := map[string]string{}
	for _, c := range row.Cells {
		if c.Field != "" && out[c.Field] == "" && strings.TrimSpace(c.Text) != "" {
			out[c.Field] = c.From
		}
	}
	return out
}

func cellOf(row record.Row, field string) record.Cell { c, _ := row.Get(field); return c }

// listed settles the date of a listing: its own, else that of its file, else
// the one that the caller gives.
func (r *Reader) listed(row record.Row, batch record.Batch, opts Options, l *boat.Listing) (boat.Fact[time.Time], time.Time) {
	asOf := batch.Date
	if asOf.IsZero() {
		asOf = opts.AsOf
	}
	cell, ok := row.Get("listed")
	if !ok {
		return boat.Fact[time.Time]{}, asOf
	}
	monthFirst := strings.EqualFold(batch.Currency, "USD") || strings.EqualFold(batch.Language, "en-US")
	day, ok := r.dates.date(cell.Text, asOf, monthFirst)
	if !ok {
		l.Problems = append(l.Problems, doubt(cell, "listed", "a date", "write 2026-04-12"))
		return boat.Fact[time.Time]{}, asOf
	}
	return boat.Know(day, "column", cell.Text, cell.At), day
}

// trade reads what is offered and for how much.
func (r *Reader) trade(g *reading, row record.Row, batch record.Batch, l *boat.Listing) {
	var problems []record.Problem
	l.Price, problems = g.price(row, batch)
	l.Problems = append(l.Problems, problems...)
	if cell, ok := row.Get("paid"); ok {
		paid := money.Parse(cell.Text, r.prices.words, r.hint(row, cell, batch, g.language, g.habits))
		l.Paid = boat.Price{Amount: paid.Amount, Known: paid.Known && paid.Minor > 0, Quote: Mask(paid.Quote), At: cell.At}
		if l.Paid.Known && l.Paid.Currency == "" {
			l.Paid.Currency = l.Price.Currency
		}
	}
	l.Sold = r.sold(g, row)
	l.Kind = g.kind(l.Price)
	l.Boats, l.Lot = g.boats()
}

// sold reads the column, else a title or sentence that says nothing else.
func (r *Reader) sold(g *reading, row record.Row) bool {
	if cell, ok := row.Get("sold"); ok {
		if answer := r.yesNo(cell.Text); answer != "" {
			return answer == "yes"
		}
		if r.cells["sold"][cellKey(cell.Text)] != "" {
			return true
		}
		_, isDate := r.dates.date(cell.Text, time.Time{}, false)
		return isDate
	}
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			t := p.sentences[k].tokens
			if wordsIn(t) > r.soldWords {
				continue
			}
			whole := cellKey(p.text[t[0].start:t[len(t)-1].end])
			if r.cells["sold"][strings.Trim(whole, "*-_ ()[]")] != "" {
				return true
			}
			if p.title && k == 0 && len(t) > 1 && (r.cells["sold"][t[0].fold] != "" && t[1].kind == mark || r.cells["sold"][t[len(t)-1].fold] != "") {
				return true
			}
		}
	}
	return false
}

// describe reads the facts about the boat that are no findings.
func (r *Reader) describe(g *reading, row record.Row, l *boat.Listing) {
	var problems []record.Problem
	number := r.hullNumber(g, row, l)
	l.Year, problems = g.buildYear(row, number, l.HullNumber.Said, l.HullNumber.At)
	l.Problems = append(l.Problems, problems...)
	l.Length, problems = g.length(row)
	l.Problems = append(l.Problems, problems...)
	for _, f := range []struct {
		field string
		into  *boat.Fact[string]
	}{{"class", &l.Class}, {"maker", &l.Maker}, {"place", &l.Place}} {
		if cell, ok := row.Get(f.field); ok {
			*f.into = boat.Know(strings.Join(strings.Fields(Mask(cell.Text)), " "), "column", Mask(cell.Text), cell.At)
		}
	}
	if !l.Place.Known {
		l.Place = g.place()
	}
	l.Condition = g.condition(row)
	l.Seller = g.seller(row)
}

// hullNumber reads the column, else the first valid number in the words.
func (r *Reader) hullNumber(g *reading, row record.Row, l *boat.Listing) hull.Number {
	if cell, ok := row.Get("hull_number"); ok {
		n := hull.Decode(cell.Text)
		if n.Valid {
			l.HullNumber = boat.Know(n.Number, "column", cell.Text, cell.At)
			return n
		}
		l.Problems = append(l.Problems, doubt(cell, "hull_number", "a hull number of 12 or 14 characters", strings.Join(n.Problems, "; ")))
	}
	for i := range g.passages {
		p := &g.passages[i]
		if found := hull.Find(p.text); len(found) > 0 {
			n := found[0].Number
			l.HullNumber = boat.Know(n.Number, "text", p.text[found[0].Start:found[0].End], p.at)
			return n
		}
	}
	return hull.Number{}
}

// condition reads the overall condition: the column, else the last word on
// the boat as a whole.
func (g *reading) condition(row record.Row) boat.Fact[string] {
	if cell, ok := row.Get("condition"); ok {
		s := &sentence{tokens: lex(cell.Text)}
		g.r.parse(s, g.r.all, int(g.now)+1)
		used := ""
		for i := range s.atoms {
			v := ""
			if e := s.atoms[i].as(condition); e != nil {
				v = e.value
			} else if e := s.atoms[i].as(quality); e != nil {
				v = e.value
			}
			if v == "worn" {
				used = overallValue(v) // "used - good" is good
			} else if v = overallValue(v); v != "" {
				return boat.Know(v, "column", cell.Text, cell.At)
			}
		}
		if used != "" {
			return boat.Know(used, "column", cell.Text, cell.At)
		}
	}
	if n := len(g.overall); n > 0 {
		o := g.overall[n-1]
		return boat.Know(o.value, "text", o.quote, o.at)
	}
	return boat.Fact[string]{}
}

// seller reads the column, else words on who sells.
func (g *reading) seller(row record.Row) boat.Fact[string] {
	if cell, ok := row.Get("seller"); ok {
		if v := g.r.cells["seller"][cellKey(cell.Text)]; v != "" {
			return boat.Know(v, "column", cell.Text, cell.At)
		}
		s := &sentence{tokens: lex(cell.Text)}
		g.r.parse(s, g.r.all, int(g.now)+1)
		for i := range s.atoms {
			if e := s.atoms[i].as(sellerWord); e != nil {
				return boat.Know(e.value, "column", cell.Text, cell.At)
			}
		}
	}
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			for j := range s.atoms {
				if e := s.atoms[j].as(sellerWord); e != nil && !e.cellOnly && !s.question {
					return boat.Know(e.value, "text", quoteOf(p.text, s.tokens, s.atoms[j].from, s.atoms[j].to), p.at)
				}
			}
		}
	}
	return boat.Fact[string]{}
}

// longestPlace is the number of words that a place found in a text may have.
const longestPlace = 3

// place reads the capitalised words after a word for where the boat lies.
func (g *reading) place() boat.Fact[string] {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			for j := range s.atoms {
				if !s.atoms[j].is(placeCue) {
					continue
				}
				from := s.atoms[j].to
				if from < len(s.tokens) && s.tokens[from].fold == ":" {
					from++
				}
				to := from
				for to < len(s.tokens) && to-from < longestPlace && s.tokens[to].kind == word && s.tokens[to].upper {
					to++
				}
				if said := quoteOf(p.text, s.tokens, from, to); said != "" {
					return boat.Know(said, "text", quoteOf(p.text, s.tokens, s.atoms[j].from, to), p.at)
				}
			}
		}
	}
	return boat.Fact[string]{}
}
