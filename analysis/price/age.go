package price

import (
	"math"
	"slices"
)

// A curve says which shape the share of new has over age.
type curve int

const (
	// decay is floor + (1-floor)*exp(-rate*age): few parameters, for any
	// market.
	decay curve = iota
	// steps falls in log price along straight pieces whose slopes are
	// positive, so that an older boat is never worth more: for markets large
	// enough to show a shape of their own.
	steps
)

// manyAges is how many listings with an age it takes to try the curve of
// steps.
const manyAges = 300

// tellingAges is the least share of listings, one in so many, that must tell
// an age for it to be a driver of price: fewer are strays, and those that tell
// none would all go unjudged.
const tellingAges = 5

// oldest is the age in years beyond which boats do not bend the curve.
const oldest = 40

// ageKnots are the ends of the pieces, in years, with some of the market's
// ages in each.
func ageKnots(ages []float64) []float64 {
	sorted := slices.Clone(ages)
	slices.Sort(sorted)
	least := max(20, len(ages)/20)
	knots := []float64{0}
	at := 0
	for _, k := range []float64{1, 2, 3, 5, 7, 10, 13, 17, 21, 26, 32} {
		upTo, _ := slices.BinarySearch(sorted, k)
		if upTo-at >= least && len(sorted)-upTo >= least {
			knots = append(knots, k)
			at = upTo
		}
	}
	return knots
}

// layOutAge gives the curve its parameters.
func (p *plan) layOutAge(add func(mean, sd float64) int) {
	floor, rate := p.book.Number("floor"), p.book.Number("rate")
	if p.curve == decay {
		p.at.floor = add(math.Log(floor.Value), floor.Spread)
		p.at.rate = add(math.Log(rate.Value), rate.Spread)
		return
	}
	share := func(age float64) float64 { return floor.Value + (1-floor.Value)*math.Exp(-rate.Value*age) }
	for i, k := range p.knots {
		end := float64(oldest)
		if i+1 < len(p.knots) {
			end = p.knots[i+1]
		}
		slope := math.Log(share(k)/share(end)) / (end - k)
		if j := add(math.Log(slope), 0.7); i == 0 {
			p.at.pieces = j
		}
	}
}

// piece is how much of piece i of the curve lies below an age.
func (p *plan) piece(i int, age float64) float64 {
	end := math.Min(age, oldest)
	if i+1 < len(p.knots) {
		end = math.Min(end, p.knots[i+1])
	}
	return math.Max(end-p.knots[i], 0)
}

// share gives the share of a new boat's price at an age. own is what the
// boat's class, maker and size add to the log of the rate.
func (s *state) share(age, own float64) float64 {
	p := s.plan
	switch {
	case p.at.floor >= 0:
		floor, rate := math.Exp(s.theta[p.at.floor]), math.Exp(s.theta[p.at.rate]+own)
		return floor + (1-floor)*math.Exp(-rate*age)
	case p.at.pieces >= 0:
		log := 0.0
		for i, slope := range s.slopes {
			if age <= p.knots[i] {
				break
			}
			log -= slope * p.piece(i, age)
		}
		return math.Exp(log * math.Exp(own))
	}
	return 1
}

// ageSlopes sets the derivatives of the log of the share by the curve's
// parameters in g, each times factor, and returns the one by own.
func (s *state) ageSlopes(age, own, factor float64, g []float64) (byOwn float64) {
	p := s.plan
	switch {
	case p.at.floor >= 0:
		floor, rate := math.Exp(s.theta[p.at.floor]), math.Exp(s.theta[p.at.rate]+own)
		fall := math.Exp(-rate * age)
		share := floor + (1-floor)*fall
		g[p.at.floor] = factor * floor * (1 - fall) / share
		g[p.at.rate] = -factor * (1 - floor) * fall * rate * age / share
		return g[p.at.rate]
	case p.at.pieces >= 0:
		grown := math.Exp(own)
		for i, slope := range s.slopes {
			d := -factor * slope * grown * p.piece(i, age)
			g[p.at.pieces+i] = d
			byOwn += d
		}
	}
	return byOwn
}
