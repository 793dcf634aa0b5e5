// Package price is the price model: what a market says that age, class,
// condition, fittings and extras are worth, and what that makes of one boat,
// part by part in money.
package price

import "askance/ingest/boat"

// A Part is one step from nothing to the expected price, in money.
type Part struct {
	What   string // "class", "length", "measure:H", "factor:H", "seller", "listed", "age", "condition", "item", "extra:H", "limit", "comparables", "left_out", "rounding"
	Item   string // for "item", and for the hulls' share of "condition"
	Value  string
	Quote  string // the words behind it, where there are any
	Amount float64
}

// An Adjustment is one difference between a comparable and the boat, in money
// to be added to the comparable's ask.
type Adjustment struct {
	What   string // as Part.What, or the item's id
	Value  string // "comparable's value -> boat's value"
	Amount float64
}

// A Comparable is another listing of the market that is near to the boat,
// with its ask adjusted line by line to the boat's particulars.
type Comparable struct {
	Listing     *boat.Listing
	Ask         float64
	Adjustments []Adjustment
	Adjusted    float64 // Ask plus all adjustments
	Weight      float64 // share of the say that it has among the comparables, 0 to 1
}

// A Valuation is one boat against the model.
type Valuation struct {
	Expected   float64 // the median ask to be expected, the boat kept out of its own price
	Fitted     float64 // what the full fit says
	Low, High  float64 // the range of asks of such boats, at the width asked for
	Parts      []Part  // they add up to Expected
	LogSD      float64 // spread of log asks round Expected: noise and the model's own uncertainty
	ModelSD    float64 // the model's own uncertainty, in log
	DF         float64 // degrees of freedom of the t tail of asks round Expected
	Residual   float64 // log ask less log Expected; 0 where there is no ask
	Weight     float64 // bisquare weight in the fit, 0 to 1; 1 where the boat was not in the fit
	InFit      bool
	Unusable   string // why no verdict can rest on it: the year, or class and length, are unknown; "" otherwise
	Sides      *Sides // of a structural defect: told as a range
	Comparable []Comparable
	Warnings   []string
}

// Sides is the range at which a boat with a structural defect is told: its
// price as if sound, its hull multiplied by the defect's low and high factor.
type Sides struct {
	Item      string
	Sound     float64 // expected as if the defect were not there
	Low, High float64 // both 0 where the defect is not priced at all
}

// A Worth is what the market says one value of an item adds over the item's
// reference value, at the market's median boat for what multiplies.
type Worth struct {
	Item, Value string
	Amount      float64
	Low, High   float64 // 80 % range
	Listings    int     // listings that state this value
	Prior       float64 // what the knowhow says
	Mostly      string  // "market" or "prior"
	Backing
}

// An AgePoint is one point of the age curve.
type AgePoint struct {
	Age       float64 // years
	Share     float64 // of the price of a new boat
	Low, High float64 // 80 % range
}

// A Summary is what there is to tell of a fitted model.
type Summary struct {
	Scale        float64 // log spread of asks round the model
	Listings     int     // listings in the fit
	Downweighted int     // of which with a weight under one half
	AgeCurve     []AgePoint
	Values       []Worth
	Classes      []ClassLevel
	Iterations   int
	Warnings     []string
}

// A ClassLevel is what a new boat of a class costs by the model, everything
// else not stated.
type ClassLevel struct {
	Class     string
	Listings  int
	New       float64
	Low, High float64
	HalvedBy  int // how many listings of the class would halve the range of its level
}
