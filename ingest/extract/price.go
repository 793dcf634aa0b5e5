package extract

import (
	"strings"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// priceWords are the words about money.
type priceWords struct {
	words *money.Words
	sign  map[string]bool // folded words and signs that stand for a currency
}

func newPriceWords(book *knowhow.Book) priceWords {
	w := priceWords{sign: map[string]bool{}}
	var entries []money.Entry
	for _, p := range book.AllPhrases() {
		entries = append(entries, money.Entry{Kind: p.Kind, For: p.For, Phrase: p.Phrase})
		if p.Kind == "currency" {
			if tokens := lex(p.Phrase); len(tokens) == 1 {
				w.sign[tokens[0].fold] = true
			}
		}
	}
	w.words = money.NewWords(entries)
	return w
}

// hint gathers what is known of a row's currency.
func (r *Reader) hint(row record.Row, cell record.Cell, batch record.Batch, language string) money.Hint {
	h := money.Hint{Language: language}
	if h.Language == "" {
		h.Language = batch.Language
	}
	for _, said := range []string{row.Text("currency"), cell.Unit, batch.Currency} {
		if said = strings.TrimSpace(said); said == "" {
			continue
		}
		if code := r.cells["currency"][cellKey(said)]; code != "" {
			said = code
		}
		if len(said) == 3 {
			h.Currency = strings.ToUpper(said)
			break
		}
	}
	return h
}

// price reads what is asked: the price field counts; title and text count
// where it is empty, a placeholder or without an amount.
func (g *reading) price(row record.Row, batch record.Batch) (boat.Price, []record.Problem) {
	var problems []record.Problem
	cell, _ := row.Get("price")
	h := g.r.hint(row, cell, batch, g.language)
	column := money.Parse(cell.Text, g.r.prices.words, h)
	p := boat.Price{Amount: column.Amount, Known: column.Known, Terms: column.Terms, Quote: Mask(column.Quote), At: cell.At}
	if column.Known && column.Ambiguous {
		problems = append(problems, record.Problem{At: cell.At, Field: "price", Wanted: "an amount that can be read in one way", Got: cell.Text, Hint: column.Reason})
	}
	if !column.Known {
		if in, ok := g.priceInText(h); ok {
			if in.Terms == "" {
				in.Terms = p.Terms
			}
			p = in
		}
	}
	if p.Terms == "" && p.Known {
		p.Terms = g.termsInText(h)
	}
	return p, problems
}

// priceInText finds the boat's price among the amounts of title and text:
// those beside a thing are not it, nor those before "new price" and the like.
func (g *reading) priceInText(h money.Hint) (boat.Price, bool) {
	var best boat.Price
	score := 0
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if !s.has(amountSign) && !s.mentions(priceCue) && !p.title {
				continue
			}
			start, end := s.tokens[0].start, s.tokens[len(s.tokens)-1].end
			in := money.InText(p.text[start:end], g.r.prices.words, h)
			if !in.Known {
				continue
			}
			now := 2
			switch {
			case s.extraPriced():
				now = 0
			case s.mentions(priceCue) || in.Terms != "":
				now = 4
			case p.title:
				now = 3
			}
			if now >= score && now > 0 {
				score = now
				best = boat.Price{Amount: in.Amount, Known: true, Terms: in.Terms, Quote: Mask(in.Quote), At: p.at}
			}
		}
	}
	return best, score > 0
}

// termsInText gives the terms that stand beside an amount or a word for the
// price in title or text.
func (g *reading) termsInText(h money.Hint) string {
	for i := range g.passages {
		p := &g.passages[i]
		for k := range p.sentences {
			s := &p.sentences[k]
			if !s.has(amountSign) && !(s.mentions(priceCue) && len(s.tokens) <= 4) {
				continue
			}
			start, end := s.tokens[0].start, s.tokens[len(s.tokens)-1].end
			if in := money.Parse(p.text[start:end], g.r.prices.words, h); in.Terms == "fixed" || in.Terms == "negotiable" || in.Terms == "offers" {
				return in.Terms
			}
		}
	}
	return ""
}

func (s *sentence) has(sg sign) bool {
	for i := range s.atoms {
		if s.atoms[i].sign == sg {
			return true
		}
	}
	return false
}

func (s *sentence) mentions(ro role) bool {
	for i := range s.atoms {
		if s.atoms[i].is(ro) {
			return true
		}
	}
	return false
}

// extraPriced tells that the amounts of a sentence are those of single
// things: "trailer 300 EUR", "for 80 more the cover".
func (s *sentence) extraPriced() bool {
	some := false
	for i := range s.atoms {
		if s.atoms[i].sign != amountSign {
			continue
		}
		some = true
		thingBefore := false
		for j := i - 1; j >= 0 && s.atoms[j].sign != comma; j-- {
			a := &s.atoms[j]
			if a.is(boatNoun) || a.is(priceCue) && !thingBefore {
				return false
			}
			thingBefore = thingBefore || a.is(item) || a.is(thing) || a.is(part)
		}
		if !thingBefore && !s.sellsExtra() {
			return false
		}
	}
	return some
}

// sellsExtra tells that a sentence offers a thing for more money.
func (s *sentence) sellsExtra() bool {
	for i := range s.atoms {
		if e := s.atoms[i].as(offer); e != nil && e.value == "at_extra_cost" {
			return s.mentions(item)
		}
	}
	return false
}
