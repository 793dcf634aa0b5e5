// Package analysis fits a market and judges every listing of it.
package analysis

import (
	"askance/analysis/calibrate"
	"askance/analysis/outlay"
	"askance/analysis/price"
	"askance/analysis/settle"
	"askance/analysis/verdict"
	"askance/ingest/boat"
)

// Options say how to judge. The zero value is the recommended setting.
type Options struct {
	Range   float64 // width of the price range, 0 means 0.80
	Purpose string  // id of a purpose of the knowhow, "" for none
	Once    bool    // fit the market once, without Sensitivity
}

// A Judged boat is one listing with all that the analysis says of it.
type Judged struct {
	Listing   *boat.Listing
	Valuation price.Valuation
	Verdict   verdict.Verdict
	Outlay    *outlay.Outlay // nil without a purpose
	Offer     *settle.Offer  // nil where nothing can be said
	Checks    []outlay.Check
	Cautions  []string
}

// A Survey is a market with everything that was found out about it, enough to
// write every sheet, table and document.
type Survey struct {
	Market      *boat.Market
	Options     Options
	Model       price.Summary
	Formula     price.Formula
	Sensitivity []Sensitive       // with firmer and looser priors; none on a market of over SensitiveMost listings
	Coverage    float64           // share of listings judged near whose ask lies in its own left-out range
	SmallestGap float64           // the smallest gap that this market could tell from chance
	Ratio       *calibrate.Ratios // of the left-out prices over the asks judged near; nil with fewer than 3
	Boats       []Judged          // one a listing, in the market's order
	Used        int               // judged
	NotJudged   int
	Warnings    []string
}

// A Sensitive figure is one that the knowhow's priors may bear on: as fitted,
// and with every prior's spread halved and doubled.
type Sensitive struct {
	Item, Value            string // "" for the whole market
	What                   string // for the whole market: which figure
	Amount, Firmer, Looser float64
}

// SensitiveMost is the largest market that is fitted again for Sensitivity.
const SensitiveMost = 500

// A Priced boat is one that was valued against a market.
type Priced struct {
	Listing   boat.Listing
	Row       int // in the table it came from, 0 if none
	Valuation price.Valuation
	Asking    float64 // advised asking price
	Place     float64 // its place in the range, 0.5 the middle
	Reserve   *settle.Reserve
	Cautions  []string
}

// A Pricing is what `price` found.
type Pricing struct {
	Survey *Survey
	Boat   Priced
}

// A Fleet is what `reserve` found.
type Fleet struct {
	Survey   *Survey
	Chance   float64
	PaidOver float64 // paid over asked, and where it is from
	PaidFrom string
	Boats    []Priced
	Sum      Sum
}

// A Sum is the joint distribution of a fleet in four figures.
type Sum struct{ Expected, Low, High, Reserve float64 }
