package robust

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Efficiency is the asymptotic efficiency of the location M-estimate with this
// loss at the standard normal distribution, (E psi')² / E psi², between 0 and 1.
// In a linear model it is the efficiency of the coefficients too.
//
// Huber (1964), Ann. Math. Statist. 35, 73-101, doi:10.1214/aoms/1177703732.
func Efficiency(l Loss) float64 {
	slope := normalMean(l, l.PsiPrime)
	square := normalMean(l, func(r float64) float64 { p := l.Psi(r); return p * p })
	return slope * slope / square
}

// Breakdown is the breakdown point of the M-scale with this loss that is
// consistent at the normal distribution: with b = E rho/height it is min(b, 1-b),
// between 0 and 0.5.
//
// Huber (1981), Robust Statistics, Wiley, section 5.2, doi:10.1002/0471725250.
func Breakdown(l BoundedLoss) float64 {
	b := consistentMean(l)
	return math.Min(b, 1-b)
}

// consistentMean is the right-hand side b that makes the M-scale equal to the
// standard deviation at the normal distribution.
func consistentMean(l BoundedLoss) float64 {
	return normalMean(l, l.Rho) / l.Height()
}

// BisquareForEfficiency is the bisquare whose M-estimates have the asked
// efficiency at the normal distribution. It is an error when efficiency is not
// within [0.65, 0.9999].
func BisquareForEfficiency(efficiency float64) (Bisquare, error) {
	return forEfficiency("bisquare", efficiency, func(c float64) Bisquare { return Bisquare{C: c} })
}

// BisquareForBreakdown is the bisquare whose M-scale has the asked breakdown
// point and is consistent at the normal distribution with b = breakdown. It is
// an error when breakdown is not within [0.01, 0.5].
func BisquareForBreakdown(breakdown float64) (Bisquare, error) {
	return forBreakdown("bisquare", breakdown, func(c float64) Bisquare { return Bisquare{C: c} })
}

// HuberForEfficiency is the Huber loss whose M-estimates have the asked
// efficiency at the normal distribution. It is an error when efficiency is not
// within [0.65, 0.9999]: as C goes to nought the efficiency goes to that of the
// median, 2/pi = 0.6366.
func HuberForEfficiency(efficiency float64) (Huber, error) {
	return forEfficiency("huber", efficiency, func(c float64) Huber { return Huber{C: c} })
}

// HampelForEfficiency is the Hampel loss with parts in the ratio 1.5 : 3.5 : 8
// whose M-estimates have the asked efficiency at the normal distribution. It is
// an error when efficiency is not within [0.65, 0.9999].
func HampelForEfficiency(efficiency float64) (Hampel, error) {
	return forEfficiency("hampel", efficiency, hampelParts)
}

// HampelForBreakdown is the Hampel loss with parts in the ratio 1.5 : 3.5 : 8
// whose consistent M-scale has the asked breakdown point. It is an error when
// breakdown is not within [0.01, 0.5].
func HampelForBreakdown(breakdown float64) (Hampel, error) {
	return forBreakdown("hampel", breakdown, hampelParts)
}

func hampelParts(c float64) Hampel { return Hampel{A: 1.5 * c, B: 3.5 * c, C: 8 * c} }

// OptimalForEfficiency is the optimal loss whose M-estimates have the asked
// efficiency at the normal distribution. It is an error when efficiency is not
// within [0.65, 0.9999].
func OptimalForEfficiency(efficiency float64) (Optimal, error) {
	return forEfficiency("optimal", efficiency, func(c float64) Optimal { return Optimal{C: c} })
}

// OptimalForBreakdown is the optimal loss whose consistent M-scale has the asked
// breakdown point. It is an error when breakdown is not within [0.01, 0.5].
func OptimalForBreakdown(breakdown float64) (Optimal, error) {
	return forBreakdown("optimal", breakdown, func(c float64) Optimal { return Optimal{C: c} })
}

// LQQForEfficiency is the lqq loss with B = 1.5C and steepest fall -0.5 whose
// M-estimates have the asked efficiency at the normal distribution. It is an
// error when efficiency is not within [0.65, 0.9999].
func LQQForEfficiency(efficiency float64) (LQQ, error) {
	return forEfficiency("lqq", efficiency, lqqParts)
}

// LQQForBreakdown is the lqq loss with B = 1.5C and steepest fall -0.5 whose
// consistent M-scale has the asked breakdown point. It is an error when
// breakdown is not within [0.01, 0.5].
func LQQForBreakdown(breakdown float64) (LQQ, error) {
	return forBreakdown("lqq", breakdown, lqqParts)
}

func lqqParts(c float64) LQQ { return LQQ{B: 1.5 * c, C: c, S: 1.5} }

// The constants that a search tries lie between these two; every loss here has
// the efficiencies and breakdown points that may be asked for within them.
const leastConstant, mostConstant = 1e-3, 100

// forEfficiency finds the loss of a family that has the asked efficiency; with
// makes the loss for a constant that stretches its residual axis.
func forEfficiency[L Loss](name string, efficiency float64, with func(c float64) L) (L, error) {
	if !(efficiency >= 0.65 && efficiency <= 0.9999) {
		var none L
		return none, fmt.Errorf("%s: wanted an efficiency within [0.65, 0.9999], got %g", name, efficiency)
	}
	return with(bisect(leastConstant, mostConstant, func(c float64) float64 {
		return Efficiency(with(c)) - efficiency
	})), nil
}

// forBreakdown finds the loss of a family that has the asked breakdown point.
func forBreakdown[L BoundedLoss](name string, breakdown float64, with func(c float64) L) (L, error) {
	if !(breakdown >= 0.01 && breakdown <= 0.5) {
		var none L
		return none, fmt.Errorf("%s: wanted a breakdown point within [0.01, 0.5], got %g", name, breakdown)
	}
	return with(bisect(leastConstant, mostConstant, func(c float64) float64 {
		return breakdown - consistentMean(with(c))
	})), nil
}

// bisect is the place between low and high where the increasing function f
// crosses nought, to the last bit.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			break
		}
		if f(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2
}

// normalReach is the residual beyond which the normal density, about 1e-44
// there, adds nothing to an integral in float64.
const normalReach = 14

// normalMean is the mean of the even function f at the standard normal
// distribution, by Gauss-Legendre quadrature between the corners of the loss.
func normalMean(l Loss, f func(float64) float64) float64 {
	var ends []float64
	if c, ok := l.(cornered); ok {
		ends = c.corners()
	}
	// pieces no longer than 2 keep forty nodes a piece exact to rounding
	sum, from := 0.0, 0.0
	for from < normalReach {
		to := math.Min(from+2, normalReach)
		for _, end := range ends {
			if end > from && end < to {
				to = end
				break
			}
		}
		sum += quad.Fixed(func(r float64) float64 { return f(r) * normalDensity(r) }, from, to, 40, quad.Legendre{}, 0)
		from = to
	}
	return 2 * sum
}

func normalDensity(r float64) float64 {
	return math.Exp(-r*r/2) / math.Sqrt(2*math.Pi)
}
