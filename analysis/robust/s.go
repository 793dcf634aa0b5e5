package robust

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// S fits y (n) to the columns of the design x (n by p) by an S-estimate: the
// coefficients whose residuals have the least M-scale, with Settings.ScaleLoss,
// mean = Settings.Breakdown and Settings.Divisor. Up to about the breakdown
// point's share of bad rows cannot carry it away; its efficiency is low, so it is
// a start for MM and not an estimate to report. The search is over subsets (see
// Settings), the same for the same seed, and nothing proves that it found the
// least of all minima. A scale of 0, where half of the rows lie exactly on a
// fit, is a warning. It is an error when the model is one for LeastSquares, or
// n = p.
//
// Rousseeuw & Yohai (1984), Lecture Notes in Statistics 26, 256-272,
// doi:10.1007/978-1-4615-7821-5_15; the search: Salibian-Barrera & Yohai (2006),
// J. Comput. Graph. Stat. 15, 414-427, doi:10.1198/106186006X113629.
func S(x mat.Matrix, y []float64, settings Settings) (*Fit, error) {
	q, err := newProblem(x, y, settings)
	if err != nil {
		return nil, err
	}
	return q.s()
}

func (q *problem) s() (*Fit, error) {
	if err := q.given.tuneScaleLoss(); err != nil {
		return nil, err
	}
	if _, err := factor(q.x); err != nil {
		return nil, err
	}
	if q.degrees() == 0 {
		return nil, fmt.Errorf("S: wanted more rows than the %d coefficients, got %d", q.p, q.n)
	}
	best := finalists{most: q.given.Finalists}
	for b := range q.starts() {
		c := q.roughS(b)
		if worst, full := best.worst(); full && !q.beats(c.residuals, worst) {
			continue
		}
		c.objective = q.scaleOf(c.residuals)
		best.offer(c)
		if c.objective == 0 {
			break // nothing is less
		}
	}
	if len(best.best) == 0 {
		return nil, fmt.Errorf("S: no subset of rows determines the coefficients: %w", errSingular)
	}
	for i, c := range best.best {
		best.best[i] = q.refineS(c)
	}
	winner := slices.MinFunc(best.best, func(a, b *candidate) int { return cmp.Compare(a.objective, b.objective) })
	weights := make([]float64, q.n)
	for k, r := range winner.residuals {
		weights[k] = q.weightOf(r, winner.objective)
	}
	fit := q.newFit(MethodS, winner.coefficients, weights, winner.objective)
	fit.Iterations, fit.Converged = winner.iterations, winner.converged
	if fit.Scale == 0 {
		fit.warn("so many rows lie exactly on the fit that its scale is 0")
	}
	if !fit.Converged {
		fit.warn("no convergence to %g of the scale in %d iterations: raise MaxIterations or Tolerance", q.given.Tolerance, q.given.MaxIterations)
	}
	return fit, nil
}

// divisor of the M-scale.
func (q *problem) divisor() float64 {
	if q.given.Divisor == SampleSize {
		return float64(q.n)
	}
	return float64(q.degrees())
}

// scaleOf is the M-scale of residuals. What rounding leaves of exact residuals
// counts as nought.
func (q *problem) scaleOf(r []float64) float64 {
	s, err := MScale(r, q.given.ScaleLoss, q.given.Breakdown, q.divisor())
	if err != nil || s <= q.rounding {
		return 0
	}
	return s
}

func (q *problem) weightOf(r, scale float64) float64 {
	if scale == 0 {
		if math.Abs(r) <= q.rounding {
			return 1
		}
		return 0
	}
	return q.given.ScaleLoss.Weight(r / scale)
}

// meanLoss is the left-hand side of the scale's equation.
func (q *problem) meanLoss(r []float64, scale float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += q.given.ScaleLoss.Rho(v / scale)
	}
	return sum / q.given.ScaleLoss.Height() / q.divisor()
}

// beats says whether the M-scale of the residuals is less than scale, without
// computing it.
func (q *problem) beats(r []float64, scale float64) bool {
	return q.meanLoss(r, scale) < q.given.Breakdown
}

// roughS takes two cheap steps from a start: one step of the scale's fixed-point
// iteration, then reweighted least squares.
func (q *problem) roughS(b []float64) *candidate {
	c := &candidate{coefficients: b, residuals: q.residuals(b)}
	scale, _ := Spread(c.residuals, 0, 0)
	for range 2 {
		scale *= math.Sqrt(q.meanLoss(c.residuals, scale) / q.given.Breakdown)
		if !(scale > q.rounding) || !q.stepS(c, scale) {
			return c
		}
	}
	return c
}

// stepS is one step of reweighted least squares; false, and nothing done, when
// too few rows keep a weight.
func (q *problem) stepS(c *candidate, scale float64) bool {
	weights := make([]float64, q.n)
	for k, r := range c.residuals {
		weights[k] = q.weightOf(r, scale)
	}
	f, err := q.weighted(weights)
	if err != nil {
		return false
	}
	c.coefficients = f.solve(q.rootWeighted(weights))
	c.residuals = q.residuals(c.coefficients)
	return true
}

// refineS repeats steps, each with the M-scale of the last, until the fitted
// values stand still. No step makes the scale larger.
func (q *problem) refineS(c *candidate) *candidate {
	for c.iterations < q.given.MaxIterations && !c.converged {
		before := c.residuals
		c.iterations++
		if c.objective == 0 || !q.stepS(c, c.objective) {
			c.converged = c.objective == 0
			return c
		}
		moved := 0.0
		for k, r := range c.residuals {
			moved = math.Max(moved, math.Abs(r-before[k]))
		}
		c.objective = q.scaleOf(c.residuals)
		c.converged = moved <= q.given.Tolerance*c.objective
	}
	return c
}
