package report

import (
	"time"

	"askance/ingest/boat"
)

// The documents: field order is the order of the JSON and of the CSV. A field
// with the tag `csv:"join"` is a list that the CSV joins into one cell.

type sourceDoc struct {
	File string `json:"file"`
	At   string `json:"at"`
	URL  string `json:"url,omitempty"`
}

type priceDoc struct {
	Amount   *float64 `json:"amount,omitempty"`
	Currency string   `json:"currency,omitempty"`
	Terms    string   `json:"terms,omitempty"`
	Quote    string   `json:"quote,omitempty"`
}

type paidDoc struct {
	Amount   float64 `json:"amount"`
	Currency string  `json:"currency,omitempty"`
}

type sightingDoc struct {
	Source sourceDoc `json:"source"`
	Price  *priceDoc `json:"price,omitempty"`
	Listed string    `json:"listed,omitempty"`
}

type yearDoc struct {
	Value    int    `json:"value"`
	Month    int    `json:"month,omitempty"`
	From     string `json:"from"`
	Quote    string `json:"quote,omitempty"`
	Conflict string `json:"conflict,omitempty"`
}

type conditionDoc struct {
	Value string `json:"value"`
	From  string `json:"from"`
	Quote string `json:"quote,omitempty"`
}

type findingDoc struct {
	Item  string `json:"item"`
	Value string `json:"value"`
	Quote string `json:"quote,omitempty"`
}

type listingDoc struct {
	ID         string        `json:"id"`
	Kind       string        `json:"kind"`
	Boats      int           `json:"boats"`
	Source     sourceDoc     `json:"source"`
	Also       []sightingDoc `json:"also"`
	Title      string        `json:"title,omitempty"`
	Text       string        `json:"text,omitempty"`
	Price      *priceDoc     `json:"price,omitempty"`
	Paid       *paidDoc      `json:"paid,omitempty"`
	Sold       bool          `json:"sold"`
	Year       *yearDoc      `json:"year,omitempty"`
	Class      string        `json:"class,omitempty"`
	Maker      string        `json:"maker,omitempty"`
	LengthM    *float64      `json:"length_m,omitempty"`
	HullNumber string        `json:"hull_number,omitempty"`
	Condition  *conditionDoc `json:"condition,omitempty"`
	Seller     string        `json:"seller,omitempty"`
	Place      string        `json:"place,omitempty"`
	Listed     string        `json:"listed,omitempty"`
	Findings   []findingDoc  `json:"findings" csv:"join"`
	Problems   []string      `json:"problems" csv:"join"`
}

// listingOf turns a listing into its document.
func listingOf(l *boat.Listing) listingDoc {
	d := listingDoc{
		ID: l.ID, Kind: string(l.Kind), Boats: max(l.Boats, 1), Source: sourceOf(l.Source), Title: l.Title, Text: l.Text,
		Price: priceOf(l.Price), Sold: l.Sold, Class: known(l.Class), Maker: known(l.Maker), HullNumber: known(l.HullNumber),
		Seller: known(l.Seller), Place: known(l.Place), Also: []sightingDoc{}, Findings: []findingDoc{}, Problems: []string{},
	}
	for _, s := range l.Also {
		d.Also = append(d.Also, sightingDoc{Source: sourceOf(s.Source), Price: priceOf(s.Price), Listed: day(s.Listed)})
	}
	if l.Paid.Known {
		d.Paid = &paidDoc{Amount: l.Paid.Major(), Currency: l.Paid.Currency}
	}
	if l.Year.Known {
		d.Year = &yearDoc{Value: l.Year.Value, Month: l.Year.Month, From: l.Year.From, Quote: l.Year.Said, Conflict: l.Year.Conflict}
	}
	if l.Length.Known {
		d.LengthM = ratio(l.Length.Value)
	}
	if l.Condition.Known {
		d.Condition = &conditionDoc{Value: l.Condition.Value, From: l.Condition.From, Quote: l.Condition.Said}
	}
	if l.Listed.Known {
		d.Listed = day(l.Listed.Value)
	}
	for _, f := range l.Findings {
		d.Findings = append(d.Findings, findingDoc{Item: f.Item, Value: f.Value, Quote: f.Quote})
	}
	for _, p := range l.Problems {
		d.Problems = append(d.Problems, p.String())
	}
	d.Problems = append(d.Problems, l.Notes...)
	return d
}

func sourceOf(s boat.Source) sourceDoc {
	return sourceDoc{File: s.At.File, At: s.At.At(), URL: s.URL}
}

// priceOf gives nil where neither an amount nor terms nor words are known.
func priceOf(p boat.Price) *priceDoc {
	d := priceDoc{Terms: p.Terms, Quote: p.Quote}
	if p.Known {
		amount := p.Major()
		d.Amount, d.Currency = &amount, p.Currency
	}
	if d == (priceDoc{}) {
		return nil
	}
	return &d
}

// known gives a fact's value, the zero value where it is unknown.
func known[T any](f boat.Fact[T]) T {
	if !f.Known {
		var none T
		return none
	}
	return f.Value
}

// day writes a date, "" for the zero time.
func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}
