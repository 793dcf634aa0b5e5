package robust

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// refinements is how often, at most, least squares improves its first solution;
// two usually bring what there is to gain.
const refinements = 4

// LeastSquares fits y (n) to the columns of the design x (n by p) by least
// squares, weighted by Settings.Weights; a constant term needs a column of ones.
// It uses Householder QR with columns of about unit length and iterative
// refinement, so that poorly conditioned designs keep their digits. The scale is
// sqrt(RSS/(n-p)), NaN for n = p. It is an error when the sizes do not fit, a
// number is not finite, n < p, or the columns are dependent; a poorly conditioned
// design is a warning.
//
// Businger & Golub (1965), Numer. Math. 7, 269-276, doi:10.1007/BF01436084;
// Björck (1967), BIT 7, 257-278, doi:10.1007/BF01939321 (from memory).
func LeastSquares(x mat.Matrix, y []float64, settings Settings) (*Fit, error) {
	q, err := newProblem(x, y, settings)
	if err != nil {
		return nil, err
	}
	f, err := factor(q.x)
	if err != nil {
		return nil, err
	}
	b := f.solve(q.y)
	f.refine(q.x, q.y, b, refinements)

	r := q.residuals(b)
	rss := dot(r, r)
	fit := q.newFit(MethodLeastSquares, b, repeat(1, q.n), math.Sqrt(rss/float64(q.degrees())))
	fit.Converged = true
	fit.R2 = 1 - rss/q.totalSquares()
	fit.Leverages = make([]float64, len(q.allY))
	for k, h := range f.leverages() {
		fit.Leverages[q.rows[k]] = h
	}
	fit.spread(f.gramInverse(), fit.Scale*fit.Scale)
	fit.checkCondition(f)
	if q.degrees() == 0 {
		fit.warn("as many coefficients as rows: the fit is exact and has no scale")
	}
	return fit, nil
}

// spread sets covariance and standard errors to factor times the matrix.
func (f *Fit) spread(m *mat.SymDense, factor float64) {
	p := m.SymmetricDim()
	f.Covariance = mat.NewSymDense(p, nil)
	f.Covariance.ScaleSym(factor, m)
	f.StandardErrors = make([]float64, p)
	for j := range p {
		f.StandardErrors[j] = math.Sqrt(f.Covariance.At(j, j))
	}
}

func (f *Fit) checkCondition(factors *factors) {
	f.Condition = factors.condition
	if f.Condition > poorCondition {
		f.warn("the columns nearly depend on one another: condition %.2g, about %d digits of the coefficients are lost", f.Condition, int(math.Log10(f.Condition)))
	}
}

// totalSquares is the sum of squares of y about its weighted mean where a column
// of the design is constant, else about nought.
func (q *problem) totalSquares() float64 {
	if !q.hasConstant() {
		return dot(q.y, q.y)
	}
	mean := dot(q.root, q.y) / dot(q.root, q.root)
	total := 0.0
	for k, v := range q.y {
		d := v - q.root[k]*mean
		total += d * d
	}
	return total
}

func (q *problem) hasConstant() bool {
	_, p := q.all.Dims()
	for j := range p {
		column := mat.Col(nil, j, q.all)
		if slices.Min(column) == slices.Max(column) && column[0] != 0 {
			return true
		}
	}
	return false
}

func repeat(v float64, n int) []float64 { return slices.Repeat([]float64{v}, n) }
