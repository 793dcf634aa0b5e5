package robust

import (
	"fmt"
	"math"
)

// MScale is the scale s that solves sum rho(r/s)/height = b * divisor for the
// residuals r, in their unit. The divisor is the number of residuals, or that
// less the number of coefficients, and b lies within (0, 1); with the loss from
// BisquareForBreakdown(b) the scale is consistent at the normal distribution.
// It is 0, without error, when so many residuals are 0 (or 1e-250 of the largest)
// that no positive scale solves the equation. It is an error when b, the divisor or a residual is
// out of range or not a number.
//
// Huber (1964), Ann. Math. Statist. 35, 73-101, doi:10.1214/aoms/1177703732;
// for regression Rousseeuw & Yohai (1984), Lecture Notes in Statistics 26,
// 256-272, doi:10.1007/978-1-4615-7821-5_15.
func MScale(residuals []float64, loss BoundedLoss, b, divisor float64) (float64, error) {
	if !(b > 0 && b < 1) || !(divisor > 0) || math.IsInf(divisor, 0) {
		return math.NaN(), fmt.Errorf("m-scale: wanted b within (0, 1) and a divisor above 0, got b %g, divisor %g", b, divisor)
	}
	largest := 0.0
	for i, r := range residuals {
		if !finite(r) {
			return math.NaN(), fmt.Errorf("m-scale: residual %d is %g, wanted a finite number", i, r)
		}
		largest = math.Max(largest, math.Abs(r))
	}
	// in units of the largest nothing over- or underflows
	relative := make([]float64, 0, len(residuals))
	for _, r := range residuals {
		if u := math.Abs(r) / largest; u > dust {
			relative = append(relative, u)
		}
	}
	if float64(len(relative)) <= b*divisor {
		return 0, nil
	}
	return largest * solveScale(relative, loss, b*divisor, Median(relative)), nil
}

// dust is the size, relative to the largest residual, up to which one counts as 0.
const dust = 1e-250

// solveScale finds s with sum rho(r/s)/height = target by Newton's method in
// log s, kept within a shrinking bracket.
func solveScale(residuals []float64, loss BoundedLoss, target, s float64) float64 {
	low, high := math.Inf(-1), math.Inf(1) // log s
	at := math.Log(s)
	height := loss.Height()
	for range 2000 { // a step of 1 may have to cross all of float64's range
		s := math.Exp(at)
		excess, slope := -target*height, 0.0
		for _, r := range residuals {
			u := r / s
			excess += loss.Rho(u)
			slope += loss.Psi(u) * u
		}
		switch {
		case excess == 0:
			return s
		case excess > 0:
			low = at
		default:
			high = at
		}
		// where the losses are nearly flat a Newton step leads far astray
		step := math.Max(-1, math.Min(1, excess/slope))
		if next := at + step; step != 0 && low < next && next < high {
			at = next
		} else if middle := low + (high-low)/2; finite(middle) {
			step = middle - at
			at = middle
		}
		if math.Abs(step) <= 1e-15*math.Max(1, math.Abs(at)) {
			break
		}
	}
	return math.Exp(at)
}

// SpreadSource tells which of the scales a Spread came from.
type SpreadSource string

// The sources of a Spread, in the order in which they are tried.
const (
	FromMAD     SpreadSource = "median absolute deviation"
	FromNonzero SpreadSource = "median of the deviations that are not nought"
	FromNothing SpreadSource = "no spread: all values are equal"
)

// Spread is the MAD of x about centre (constant as in MADAbout) where that is
// above 0, and else, when more than half of the values are tied with the centre,
// the median of the deviations that are not nought times the same constant: too
// large for the whole sample, but positive and not led by one far value. It is 0
// only when all values equal the centre, or there are none. The source tells which it is. The
// fallback is this package's own choice, no source.
func Spread(x []float64, centre, constant float64) (float64, SpreadSource) {
	if s := MADAbout(x, centre, constant); s > 0 {
		return s, FromMAD
	}
	var apart []float64
	for _, v := range x {
		if v != centre {
			apart = append(apart, v)
		}
	}
	if len(apart) == 0 {
		return 0, FromNothing
	}
	return MADAbout(apart, centre, constant), FromNonzero
}
