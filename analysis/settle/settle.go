// Package settle turns a valuation into a number to act on: an asking price,
// a reserve, the highest sensible offer.
package settle

// A Reason is one step towards a number, in money.
type Reason struct {
	What   string
	Amount float64
}

// An Offer is what a buyer should pay at most.
type Offer struct {
	Highest float64
	Because []Reason
}

// A Reserve is the least a club should take for a boat.
type Reserve struct {
	Reserve float64
	Because []Reason
}
