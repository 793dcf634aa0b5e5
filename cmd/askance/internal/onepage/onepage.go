// Package onepage writes what there is to say about one boat as one printable
// page: HTML that holds everything it needs, runs no script and asks nothing
// of the network.
package onepage

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"strings"
	"time"

	"askance/analysis"
	"askance/analysis/price"
	"askance/analysis/verdict"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
)

//go:embed page.html
var pageTemplate string

// Write writes the page about one judged boat of a survey in a language of
// Languages.
func Write(w io.Writer, s *analysis.Survey, j *analysis.Judged, book *knowhow.Book, lang string) error {
	words, err := readLabels(lang)
	if err != nil {
		return err
	}
	t, err := template.New("page").Funcs(template.FuncMap{"say": words.say}).Parse(pageTemplate)
	if err != nil {
		return fmt.Errorf("page.html: %w", err)
	}
	return t.Execute(w, writer{words, book, s, j}.page())
}

// mark tells a page of ours from any other file.
const mark = `<meta name="generator" content="askance opinion">`

// IsOwn accepts only a page that Write wrote.
func IsOwn(data []byte) error {
	if !bytes.Contains(data, []byte(mark)) {
		return errors.New("askance opinion did not write it")
	}
	return nil
}

// A page is everything that stands on it, in words.
type page struct {
	Language, Title string
	Facts           []line
	URL, At         string
	Headline        []line
	Scale           *scale
	Outside, LowAsk bool
	Because         string // why it is not judged
	Text            []string
	Findings        []finding
	Parts           []part
	Sum             string
	Comparables     []comparable
	Checks          []line
	Cost            []line
	Jobs            []job
	NotFit          string
	Offer           []line
	Cautions        []string
	Market          string
}

type line struct{ Name, Value string }

type finding struct{ Item, Value, Quote string }

type part struct{ Name, Quote, Amount string }

type comparable struct {
	Title, URL, Ask, Adjusted string
	Adjustments               []line
}

type job struct{ What, Cost, How string }

// A writer turns figures into words.
type writer struct {
	*labels
	book   *knowhow.Book
	survey *analysis.Survey
	boat   *analysis.Judged
}

func (w writer) page() page {
	l, v := w.boat.Listing, w.boat.Valuation
	p := page{
		Language: w.language, Title: l.Title, Facts: w.facts(), URL: l.Source.URL, At: l.Source.At.File + ", " + l.Source.At.At(),
		Headline: w.headline(), Scale: w.scale(),
		Outside:  w.boat.Verdict.OutsideRange && w.boat.Verdict.Verdict == verdict.Near,
		LowAsk:   w.boat.Verdict.Verdict == verdict.WellBelow || w.boat.Verdict.OutsideRange && w.boat.Verdict.Gap < 0,
		Because:  w.boat.Verdict.Because,
		Text:     paragraphs(l.Text),
		Findings: w.findings(), Parts: w.parts(v.Parts), Sum: w.exact(v.Expected) + " " + w.survey.Market.Currency,
		Comparables: w.comparables(v.Comparable),
		Cautions:    append(append([]string{}, w.boat.Cautions...), l.Notes...),
		Market:      w.say("market", w.whole(float64(len(w.survey.Market.Listings))), w.survey.Market.Currency, w.date(w.survey.Market.AsOf)),
	}
	for _, c := range w.boat.Checks {
		p.Checks = append(p.Checks, line{w.item(c.Item), c.Why})
	}
	w.outlay(&p)
	if o := w.boat.Offer; o != nil {
		for _, r := range o.Because {
			p.Offer = append(p.Offer, line{strings.ReplaceAll(r.What, "_", " "), w.money(r.Amount)})
		}
		p.Offer = append(p.Offer, line{w.say("offer"), w.money(o.Highest)})
	}
	return p
}

func (w writer) headline() []line {
	l, v, judged := w.boat.Listing, w.boat.Valuation, w.boat.Verdict
	width := w.survey.Options.Range
	if width == 0 {
		width = 0.80
	}
	var out []line
	if l.Price.Known {
		out = append(out, line{w.say("asked"), w.money(l.Price.Major())})
	}
	if v.Expected > 0 {
		out = append(out, line{w.say("expected"), w.money(v.Expected)},
			line{w.say("range", w.percent(width)), w.money(v.Low) + " – " + w.money(v.High)})
	}
	if l.Price.Known && v.Expected > 0 {
		sign := ""
		if judged.Gap > 0 {
			sign = "+"
		}
		out = append(out, line{w.say("gap"), sign + w.percent(judged.Gap)})
	}
	return append(out, line{w.say("verdict"), w.say("verdict." + judged.Verdict)})
}

func (w writer) facts() []line {
	l := w.boat.Listing
	var out []line
	add := func(key, value string) {
		if value != "" {
			out = append(out, line{w.say(key), value})
		}
	}
	add("price", l.Price.Quote)
	add("class", known(l.Class))
	add("maker", known(l.Maker))
	if l.Year.Known {
		year := fmt.Sprint(l.Year.Value)
		if l.Year.Month > 0 {
			year = fmt.Sprintf("%d-%02d", l.Year.Value, l.Year.Month)
		}
		if l.Year.Conflict != "" {
			year += " (" + l.Year.Conflict + ")"
		}
		add("year", year)
	}
	if l.Length.Known {
		add("length", w.decimals(l.Length.Value, 2)+" m")
	}
	add("hull_number", known(l.HullNumber))
	if l.Condition.Known {
		add("condition", w.orElse("condition."+l.Condition.Value, l.Condition.Value))
	}
	if l.Seller.Known {
		add("seller", w.orElse("seller."+l.Seller.Value, l.Seller.Value))
	}
	add("place", known(l.Place))
	if l.Listed.Known {
		add("listed", w.date(l.Listed.Value))
	}
	return out
}

func (w writer) findings() []finding {
	var out []finding
	for _, f := range w.boat.Listing.Findings {
		out = append(out, finding{w.item(f.Item), w.value(f.Item, f.Value), f.Quote})
	}
	return out
}

func (w writer) parts(parts []price.Part) []part {
	var out []part
	for _, p := range parts {
		name := w.orElse("part."+p.What, p.What)
		if kind, header, ok := strings.Cut(p.What, ":"); ok {
			name = header
			if kind == "factor" && p.Value != "" {
				name += " " + p.Value
			}
		} else if p.Item != "" {
			name = w.item(p.Item)
			if p.Value != "" {
				name += ": " + w.value(p.Item, p.Value)
			}
		} else if p.What == "condition" && p.Value != "" {
			name += ": " + w.orElse("condition."+p.Value, p.Value)
		}
		out = append(out, part{name, p.Quote, w.signed(p.Amount)})
	}
	return out
}

func (w writer) comparables(list []price.Comparable) []comparable {
	var out []comparable
	for _, c := range list {
		row := comparable{Ask: w.money(c.Ask), Adjusted: w.money(c.Adjusted)}
		if c.Listing != nil {
			row.Title, row.URL = c.Listing.Title, c.Listing.Source.URL
		}
		for _, a := range c.Adjustments {
			name := w.orElse("part."+a.What, w.item(a.What))
			if a.Value != "" {
				name += " (" + w.change(a.What, a.Value) + ")"
			}
			row.Adjustments = append(row.Adjustments, line{name, w.signed(a.Amount)})
		}
		out = append(out, row)
	}
	return out
}

func (w writer) outlay(p *page) {
	o := w.boat.Outlay
	if o == nil {
		return
	}
	p.NotFit = o.NotFit
	p.Cost = []line{{w.say("purpose"), o.Purpose}, {w.say("to_ready"), w.money(o.CostToReady)}}
	if o.AllIn > 0 {
		p.Cost = append(p.Cost, line{w.say("all_in"), w.money(o.AllIn)})
	}
	p.Cost = append(p.Cost, line{w.say("ready"), fmt.Sprintf("%s (%s – %s)", w.money(o.ReadyExpected), w.money(o.ReadyLow), w.money(o.ReadyHigh))})
	for _, j := range o.Jobs {
		how := w.say("should")
		if j.Must {
			how = w.say("must")
		}
		if j.Chance < 1 {
			how += ", " + w.percent(j.Chance)
		}
		p.Jobs = append(p.Jobs, job{j.What, w.money(j.Low) + " – " + w.money(j.High), how})
	}
}

// item names an item in the page's language; a user's own item keeps the
// label of the knowhow.
func (w writer) item(id string) string {
	if header, ok := strings.CutPrefix(id, "extra:"); ok {
		return header
	}
	if it, ok := w.book.Item(id); ok {
		return w.orElse("item."+id, it.Label)
	}
	return strings.ReplaceAll(id, "_", " ")
}

// value names a value of an item: by its construction where the page is in
// the knowhow's language, else by the general word.
func (w writer) value(item, id string) string {
	if it, ok := w.book.Item(item); ok && w.language == "en" {
		if v, ok := it.Value(id); ok && v.Label != "" {
			return v.Label
		}
	}
	return w.orElse("value."+id, strings.ReplaceAll(id, "_", " "))
}

// change words an adjustment's "good -> not stated".
func (w writer) change(what, values string) string {
	from, to, ok := strings.Cut(values, "->")
	if !ok {
		return values
	}
	side := func(s string) string {
		switch s = strings.TrimSpace(s); {
		case s == "not stated":
			return w.say("not_stated")
		case what == "condition" || what == "seller":
			return w.orElse(what+"."+s, s)
		}
		return w.value(what, s)
	}
	return side(from) + " → " + side(to)
}

// money prints an amount in whole units of the market's currency.
func (w writer) money(v float64) string { return w.whole(v) + " " + w.survey.Market.Currency }

// exact prints a number to the minor unit.
func (w writer) exact(v float64) string {
	return w.decimals(v, money.MinorDigits(w.survey.Market.Currency))
}

// signed prints an amount with its sign, to the minor unit: parts are there
// to be added up.
func (w writer) signed(v float64) string {
	s := w.exact(v)
	if v > 0 {
		s = "+" + s
	}
	return s
}

func (w writer) date(t time.Time) string { return t.Format(time.DateOnly) }

// known gives the text of a known fact.
func known(f boat.Fact[string]) string {
	if !f.Known {
		return ""
	}
	return f.Value
}

// paragraphs splits a text at its line ends.
func paragraphs(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, line)
		}
	}
	return out
}
