package report

import "askance/analysis"

type pricingDoc struct {
	Schema        string          `json:"schema"`
	AsOf          string          `json:"as_of,omitempty"`
	Currency      string          `json:"currency"`
	Market        marketDoc       `json:"market"`
	Boat          listingDoc      `json:"boat"`
	Expected      *float64        `json:"expected,omitempty"`
	Low           *float64        `json:"low,omitempty"`
	High          *float64        `json:"high,omitempty"`
	Asking        *float64        `json:"asking,omitempty"`
	Place         *float64        `json:"place,omitempty"`
	Contributions []partDoc       `json:"contributions"`
	Comparables   []comparableDoc `json:"comparables"`
	Cautions      []string        `json:"cautions" csv:"join"`
}

// pricingOf turns an advised asking price into its document.
func pricingOf(p *analysis.Pricing) pricingDoc {
	c, val := coinOf(p.Survey.Market.Currency), p.Boat.Valuation
	return pricingDoc{
		Schema: "askance.price/1", AsOf: day(p.Survey.Market.AsOf), Currency: c.currency, Market: marketOf(p.Survey), Boat: listingOf(&p.Boat.Listing),
		Expected: c.positive(val.Expected), Low: c.positive(val.Low), High: c.positive(val.High), Asking: c.positive(p.Boat.Asking), Place: ratio(p.Boat.Place),
		Contributions: partsOf(c, val), Comparables: comparablesOf(c, val.Comparable), Cautions: listed(p.Boat.Cautions),
	}
}

type reserveBoatDoc struct {
	Row           int       `json:"row,omitempty"`
	Title         string    `json:"title,omitempty"`
	Expected      *float64  `json:"expected,omitempty"`
	Low           *float64  `json:"low,omitempty"`
	High          *float64  `json:"high,omitempty"`
	Reserve       *float64  `json:"reserve,omitempty"`
	Contributions []partDoc `json:"contributions"`
	Cautions      []string  `json:"cautions" csv:"join"`
}

type sumDoc struct {
	Expected *float64 `json:"expected,omitempty"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Reserve  *float64 `json:"reserve,omitempty"`
}

type reserveDoc struct {
	Schema   string           `json:"schema"`
	AsOf     string           `json:"as_of,omitempty"`
	Currency string           `json:"currency"`
	Market   marketDoc        `json:"market"`
	Chance   float64          `json:"chance"`
	Boats    []reserveBoatDoc `json:"boats"`
	Sum      sumDoc           `json:"sum"`
}

// reserveOf turns a fleet into its document.
func reserveOf(f *analysis.Fleet) reserveDoc {
	c := coinOf(f.Survey.Market.Currency)
	d := reserveDoc{Schema: "askance.reserve/1", AsOf: day(f.Survey.Market.AsOf), Currency: c.currency, Market: marketOf(f.Survey), Chance: f.Chance, Boats: []reserveBoatDoc{},
		Sum: sumDoc{Expected: c.positive(f.Sum.Expected), Low: c.positive(f.Sum.Low), High: c.positive(f.Sum.High), Reserve: c.positive(f.Sum.Reserve)}}
	for i := range f.Boats {
		b := &f.Boats[i]
		row := reserveBoatDoc{Row: b.Row, Title: b.Listing.Title, Expected: c.positive(b.Valuation.Expected), Low: c.positive(b.Valuation.Low), High: c.positive(b.Valuation.High),
			Contributions: partsOf(c, b.Valuation), Cautions: listed(b.Cautions)}
		if b.Reserve != nil {
			row.Reserve = c.positive(b.Reserve.Reserve)
		}
		d.Boats = append(d.Boats, row)
	}
	return d
}

// listed makes a list that is present even when it is empty.
func listed(s []string) []string { return append([]string{}, s...) }
