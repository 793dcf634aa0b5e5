package robust

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Divisor says by what the sum of an M-scale's losses is divided.
type Divisor int

const (
	// DegreesOfFreedom divides by n - p, rows less coefficients, so that the scale
	// does not shrink as coefficients are added. Recommended.
	DegreesOfFreedom Divisor = iota
	// SampleSize divides by n, as the textbook equation does.
	SampleSize
)

// Settings steer the linear models. The zero value is the recommended setting;
// a field that a method does not need is ignored by it.
type Settings struct {
	// Weights are prior weights of the rows, proportional to one over the variance
	// of each; nil means all 1. A row of weight 0 has no say.
	Weights []float64

	// Efficiency at the normal distribution of M and MM; 0 means 0.95.
	Efficiency float64
	// Breakdown point of S; 0 means 0.5.
	Breakdown float64
	// Loss of M and MM; nil means the bisquare of the asked efficiency.
	Loss Loss
	// ScaleLoss of S; nil means the bisquare of the asked breakdown point. It is
	// divided by its height and its mean set equal to Breakdown.
	ScaleLoss BoundedLoss
	// Divisor of the M-scale of S.
	Divisor Divisor
	// MADConstant of the scale that M takes anew in each step; 0 means MADNormal.
	MADConstant float64
	// Kept is how many of n rows least trimmed squares keeps; 0 means (n+p+1)/2,
	// the most robust.
	Kept int

	// Subsets is how many starts S and LTS try; all subsets of p rows are tried
	// when there are not more of them. 0 means 1000.
	Subsets int
	// Finalists is how many of the best starts are followed to the end; 0 means 10.
	Finalists int
	// Seed of the random subsets: the same seed gives the same fit.
	Seed uint64

	// MaxIterations of any iteration; 0 means 1000.
	MaxIterations int
	// Tolerance ends an iteration when no fitted value moves by more than
	// Tolerance times the scale; 0 means 1e-10.
	Tolerance float64
}

// withDefaults replaces the zero fields by what they stand for.
func (s Settings) withDefaults() (Settings, error) {
	setFloat := func(field *float64, value float64) {
		if *field == 0 {
			*field = value
		}
	}
	setInt := func(field *int, value int) {
		if *field == 0 {
			*field = value
		}
	}
	setFloat(&s.Efficiency, 0.95)
	setFloat(&s.Breakdown, 0.5)
	setFloat(&s.MADConstant, MADNormal)
	setFloat(&s.Tolerance, 1e-10)
	setInt(&s.Subsets, 1000)
	setInt(&s.Finalists, 10)
	setInt(&s.MaxIterations, 1000)
	if s.Subsets < 0 || s.Finalists < 0 || s.MaxIterations < 0 || s.Tolerance < 0 || s.MADConstant < 0 {
		return s, fmt.Errorf("settings: wanted no negative number, got subsets %d, finalists %d, iterations %d, tolerance %g, MAD constant %g",
			s.Subsets, s.Finalists, s.MaxIterations, s.Tolerance, s.MADConstant)
	}
	return s, nil
}

// tuneLoss fills in the loss of M and MM, tuneScaleLoss that of S. They are no
// part of withDefaults because finding a constant takes a millisecond or two.
func (s *Settings) tuneLoss() (err error) {
	if s.Loss == nil {
		s.Loss, err = BisquareForEfficiency(s.Efficiency)
	}
	return err
}

func (s *Settings) tuneScaleLoss() (err error) {
	if s.ScaleLoss == nil {
		s.ScaleLoss, err = BisquareForBreakdown(s.Breakdown)
	}
	return err
}

// A Method names the way a Fit was made.
type Method string

// The methods.
const (
	MethodLeastSquares Method = "least squares"
	MethodM            Method = "M"
	MethodLTS          Method = "least trimmed squares"
	MethodS            Method = "S"
	MethodMM           Method = "MM"
)

// A Fit is a fitted linear model of n rows and p coefficients. Coefficients are
// in the unit of y per unit of their column, residuals and scale in that of y.
type Fit struct {
	Method   Method
	Settings Settings // those asked for, defaults filled in

	Coefficients []float64 // p
	// StandardErrors and Covariance (p, p by p) of the coefficients; nil for S and
	// LTS, which are starts and not estimates to report.
	StandardErrors []float64
	Covariance     *mat.SymDense
	Fitted         []float64 // n
	Residuals      []float64 // n: y less fitted, not weighted
	// Weights (n) that the method gave each row, within [0, 1] and without the
	// prior weights: all 1 for least squares, 1 or 0 (kept or not) for LTS.
	Weights []float64
	// Leverages (n), the diagonal of the hat matrix; least squares alone.
	Leverages []float64
	// Scale of the residuals. For rows with prior weights that of a row of weight 1.
	Scale float64
	// DegreesOfFreedom is the number of rows with a say less p.
	DegreesOfFreedom int
	// R2 of least squares: about the (weighted) mean where the design has a
	// constant column, else about nought. NaN for the other methods.
	R2 float64
	// Condition number (1-norm) of the design with columns of unit length, as
	// weighted at the end.
	Condition float64

	Iterations int
	Converged  bool
	Warnings   []string
	// Start is the S fit that MM began with; nil for other methods.
	Start *Fit
}

func (f *Fit) warn(format string, args ...any) {
	f.Warnings = append(f.Warnings, fmt.Sprintf(format, args...))
}

// Rows is the design matrix that has the given rows. It is an error when there
// are none, or when they differ in length.
func Rows(rows [][]float64) (*mat.Dense, error) {
	if len(rows) == 0 || len(rows[0]) == 0 {
		return nil, fmt.Errorf("design: wanted at least one row and one column, got none")
	}
	x := mat.NewDense(len(rows), len(rows[0]), nil)
	for i, row := range rows {
		if len(row) != len(rows[0]) {
			return nil, fmt.Errorf("design: row %d: wanted %d columns as in row 0, got %d", i, len(rows[0]), len(row))
		}
		x.SetRow(i, row)
	}
	return x, nil
}

// problem is a checked linear model. x, y hold the rows that have a say, times
// the square root of their prior weight; all holds every row as given.
type problem struct {
	x     *mat.Dense // m by p
	y     []float64  // m
	root  []float64  // m: square roots of the prior weights
	rows  []int      // m: the row of all that each came from
	all   *mat.Dense // n by p
	allY  []float64  // n
	n, p  int        // n rows have a say
	given Settings
	// rounding is the size of a residual that float64 cannot tell from nought.
	rounding float64
}

// newProblem checks the model and fills in the settings.
func newProblem(x mat.Matrix, y []float64, settings Settings) (*problem, error) {
	s, err := settings.withDefaults()
	if err != nil {
		return nil, err
	}
	n, p := x.Dims()
	if len(y) != n {
		return nil, fmt.Errorf("linear model: wanted %d responses, one a row, got %d", n, len(y))
	}
	if s.Weights != nil && len(s.Weights) != n {
		return nil, fmt.Errorf("linear model: wanted %d weights, one a row, got %d", n, len(s.Weights))
	}
	q := &problem{all: mat.DenseCopyOf(x), allY: append([]float64(nil), y...), p: p, given: s}
	var kept []float64
	for i := range n {
		w := 1.0
		if s.Weights != nil {
			w = s.Weights[i]
		}
		if !(w >= 0) || math.IsInf(w, 0) {
			return nil, fmt.Errorf("linear model: row %d: wanted a weight of 0 or more, got %g", i, w)
		}
		if !finite(y[i]) || !finite(q.all.RawRowView(i)...) {
			return nil, fmt.Errorf("linear model: row %d: wanted finite numbers, got %g from %v", i, y[i], q.all.RawRowView(i))
		}
		if w == 0 {
			continue
		}
		root := math.Sqrt(w)
		for _, v := range q.all.RawRowView(i) {
			kept = append(kept, root*v)
		}
		q.y = append(q.y, root*y[i])
		q.root = append(q.root, root)
		q.rows = append(q.rows, i)
	}
	q.n = len(q.rows)
	if q.n < p {
		return nil, fmt.Errorf("linear model: wanted at least as many rows as the %d coefficients, got %d", p, q.n)
	}
	q.x = mat.NewDense(q.n, p, kept)
	for _, v := range q.y {
		q.rounding = math.Max(q.rounding, 1e-13*math.Abs(v))
	}
	return q, nil
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// residuals of the weighted rows (m).
func (q *problem) residuals(coefficients []float64) []float64 {
	return residuals(q.x, q.y, coefficients)
}

func residuals(x *mat.Dense, y, coefficients []float64) []float64 {
	r := make([]float64, len(y))
	for i := range r {
		r[i] = y[i] - dot(x.RawRowView(i), coefficients)
	}
	return r
}

// degrees is n - p.
func (q *problem) degrees() int { return q.n - q.p }

// newFit is the fit with the given coefficients; weights (m) are those of the
// rows that have a say.
func (q *problem) newFit(method Method, coefficients, weights []float64, scale float64) *Fit {
	f := &Fit{
		Method: method, Settings: q.given, Coefficients: coefficients,
		Residuals: residuals(q.all, q.allY, coefficients),
		Fitted:    make([]float64, len(q.allY)),
		Weights:   make([]float64, len(q.allY)),
		Scale:     scale, DegreesOfFreedom: q.degrees(), R2: math.NaN(),
	}
	for i := range f.Fitted {
		f.Fitted[i] = dot(q.all.RawRowView(i), coefficients)
	}
	for k, i := range q.rows {
		f.Weights[i] = weights[k]
	}
	return f
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}
