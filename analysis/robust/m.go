package robust

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// M fits y (n) to the columns of the design x (n by p) by an M-estimate with
// Settings.Loss, beginning from least squares and taking the scale anew in each
// step: the median |residual| times Settings.MADConstant. It resists outlying
// responses but, with Huber's loss always and with others often, not outlying
// rows of the design: use MM for those. It is an error when the model is one for
// LeastSquares, or when the weights of a step leave too few rows. A scale of 0,
// where more than half of the rows lie exactly on the fit, and a want of
// convergence are warnings.
//
// Huber (1973), Ann. Stat. 1, 799-821, doi:10.1214/aos/1176342503; iteration by
// reweighting: Holland & Welsch (1977), Commun. Stat. A 6, 813-827,
// doi:10.1080/03610927708827533.
func M(x mat.Matrix, y []float64, settings Settings) (*Fit, error) {
	q, err := newProblem(x, y, settings)
	if err != nil {
		return nil, err
	}
	if err := q.given.tuneLoss(); err != nil {
		return nil, err
	}
	f, err := factor(q.x)
	if err != nil {
		return nil, err
	}
	w, err := q.reweight(f.solve(q.y), q.given.Loss, func(r []float64) float64 {
		return MADAbout(r, 0, q.given.MADConstant)
	})
	if err != nil {
		return nil, fmt.Errorf("M: %w", err)
	}
	fit := w.fit(q, MethodM)
	if fit.Scale == 0 {
		fit.warn("more than half of the rows lie exactly on the fit: the scale and the standard errors are 0")
	}
	fit.spread(f.gramInverse(), w.huberFactor(q))
	return fit, nil
}

// reweighted is where an iteration of reweighted least squares ended.
type reweighted struct {
	loss         Loss
	coefficients []float64 // p
	residuals    []float64 // m, of the rows times the root of their prior weight
	weights      []float64 // m
	scale        float64
	condition    float64 // of the design as weighted in the last step
	iterations   int
	converged    bool
}

// reweight solves x'psi(r/s) = 0 by least squares with the weights psi(r/s)/(r/s)
// until the fitted values stand still. The scale is asked for in each step.
func (q *problem) reweight(start []float64, loss Loss, scale func(residuals []float64) float64) (*reweighted, error) {
	w := &reweighted{loss: loss, coefficients: start, residuals: q.residuals(start), weights: repeat(1, q.n)}
	for w.iterations < q.given.MaxIterations && !w.converged {
		w.iterations++
		if w.scale = scale(w.residuals); w.scale <= q.rounding {
			return w.exact(q.rounding), nil
		}
		for k, r := range w.residuals {
			w.weights[k] = loss.Weight(r / w.scale)
		}
		f, err := q.weighted(w.weights)
		if err != nil {
			return nil, fmt.Errorf("step %d: %w", w.iterations, err)
		}
		w.condition = f.condition
		w.coefficients = f.solve(q.rootWeighted(w.weights))
		moved := 0.0
		for k, r := range q.residuals(w.coefficients) {
			moved = math.Max(moved, math.Abs(r-w.residuals[k]))
			w.residuals[k] = r
		}
		w.converged = moved <= q.given.Tolerance*w.scale
	}
	if w.scale = scale(w.residuals); w.scale <= q.rounding {
		return w.exact(q.rounding), nil
	}
	for k, r := range w.residuals {
		w.weights[k] = loss.Weight(r / w.scale)
	}
	return w, nil
}

// exact ends an iteration at a fit that goes through so many rows that its scale
// is 0.
func (w *reweighted) exact(rounding float64) *reweighted {
	w.scale, w.converged = 0, true
	for k, r := range w.residuals {
		w.weights[k] = 0
		if math.Abs(r) <= rounding {
			w.weights[k] = 1
		}
	}
	return w
}

// weighted is the factored design with its rows times the root of the weights (m).
func (q *problem) weighted(weights []float64) (*factors, error) {
	x := mat.NewDense(q.n, q.p, nil)
	rows := 0
	for k, w := range weights {
		if w > 0 {
			rows++
		}
		root, row := math.Sqrt(w), x.RawRowView(k)
		for j, v := range q.x.RawRowView(k) {
			row[j] = root * v
		}
	}
	if rows < q.p {
		return nil, fmt.Errorf("wanted at least %d rows with a weight, got %d", q.p, rows)
	}
	f, err := factor(x)
	if errors.Is(err, errSingular) {
		return nil, fmt.Errorf("the %d rows that keep a weight do not determine the coefficients: %w", rows, err)
	}
	return f, err
}

func (q *problem) rootWeighted(weights []float64) []float64 {
	y := make([]float64, q.n)
	for k, w := range weights {
		y[k] = math.Sqrt(w) * q.y[k]
	}
	return y
}

// fit is the Fit that the iteration found.
func (w *reweighted) fit(q *problem, method Method) *Fit {
	fit := q.newFit(method, w.coefficients, w.weights, w.scale)
	fit.Iterations, fit.Converged = w.iterations, w.converged
	fit.Condition = w.condition
	if w.condition > poorCondition {
		fit.warn("the columns as weighted nearly depend on one another: condition %.2g", w.condition)
	}
	if !w.converged {
		fit.warn("no convergence to %g of the scale in %d iterations: raise MaxIterations or Tolerance", q.given.Tolerance, q.given.MaxIterations)
	}
	return fit
}

// huberFactor times (x'x)⁻¹ is the covariance of M-estimates:
// k² s² [sum psi²/(n-p)] / [mean psi']² with k = 1 + p/n var(psi')/(mean psi')².
//
// Huber (1981), Robust Statistics, Wiley, section 7.6, doi:10.1002/0471725250.
func (w *reweighted) huberFactor(q *problem) float64 {
	if w.scale == 0 {
		return 0
	}
	n, p := float64(q.n), float64(q.p)
	square, mean := 0.0, 0.0
	slopes := make([]float64, q.n)
	for k, r := range w.residuals {
		psi := w.loss.Psi(r / w.scale)
		square += psi * psi
		slopes[k] = w.loss.PsiPrime(r / w.scale)
		mean += slopes[k] / n
	}
	variance := 0.0
	for _, v := range slopes {
		variance += (v - mean) * (v - mean) / (n - 1)
	}
	k := 1 + p/n*variance/(mean*mean)
	return k * k * w.scale * w.scale * square / (n - p) / (mean * mean)
}
