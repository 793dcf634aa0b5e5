// Package outlay adds up what a boat costs once it is fit for a purpose, and
// lists what to look at when going to see it.
package outlay

// A Job is one repair or upgrade that a purpose asks for.
type Job struct {
	Item, From, To string
	What           string // in words
	Low, High      float64
	Must           bool
	Chance         float64 // chance that it is needed: 1 where the listing states it, else from what is usual
}

// An Outlay is what it takes to make one boat ready for a purpose.
type Outlay struct {
	Purpose           string
	Jobs              []Job
	CostLow, CostHigh float64 // all jobs that are certain, at their low and high cost
	CostToReady       float64 // expected cost, uncertain jobs by their chance
	AllIn             float64 // ask plus CostToReady; 0 without an ask
	ReadyExpected     float64 // what such a boat asks once it is ready
	ReadyLow          float64
	ReadyHigh         float64
	Margin            float64 // ReadyExpected less AllIn
	NotFit            string  // why the boat cannot be made ready, "" if it can
}

// A Check is one thing to look at or to ask when going to see a boat.
type Check struct {
	Item string
	Why  string
}
