package price

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// bendSpread is the spread that the bends of length and of the user's measures
// at their knots are drawn towards.
const bendSpread = 0.3

// bendKnots are where a driver may bend: between its fifths, in logs less the
// centre. A driver of few values has none, and in a small market none has.
func bendKnots(logs []float64, centre float64) []float64 {
	if len(logs) < large {
		return nil
	}
	sorted := slices.Sorted(slices.Values(logs))
	var knots []float64
	for _, q := range []float64{0.2, 0.4, 0.6, 0.8} {
		k := stat.Quantile(q, stat.Empirical, sorted, nil) - centre
		if len(knots) == 0 || k > knots[len(knots)-1]+0.02 {
			knots = append(knots, k)
		}
	}
	if len(knots) < 3 {
		return nil
	}
	return knots
}

// eachTerm visits what stands before age in the log of the hull and is linear
// in the shared parameters: each parameter with what it is multiplied by.
func (p *plan) eachTerm(e *encoded, visit func(k int, by float64)) {
	visit(p.at.level, 1)
	if p.at.power >= 0 {
		visit(p.at.power, e.logLength)
		x := p.fromTypical(e)
		if p.at.sizeBend >= 0 {
			visit(p.at.sizeBend, square(x))
		}
		for i, knot := range p.sizeKnots {
			visit(p.at.sizeKnots+i, math.Max(x-knot, 0))
		}
		if k := e.kind; k >= 0 && p.kindPower[k] >= 0 {
			visit(p.kindPower[k], x)
		}
	}
	if k := e.kind; k >= 0 {
		visit(p.at.kinds+k, 1)
	}
	if p.at.trend >= 0 {
		visit(p.at.trend, e.yearsBack)
	}
	for i, v := range e.measures {
		if !math.IsNaN(v) {
			visit(p.at.measures+i, v)
		}
	}
	for i, level := range e.factors {
		if level >= 0 {
			visit(p.factors[i].first+level, 1)
		}
	}
	switch e.seller {
	case 1:
		visit(p.at.dealer, 1)
	case 2:
		visit(p.at.club, 1)
	}
}
