package robust

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// worstCondition is the condition number of the design, columns of unit length,
// from which on its columns count as dependent; poorCondition earns a warning.
const worstCondition, poorCondition = 1e13, 1e7

// factors are x = q r scale⁻¹ of a design with n rows and p columns: q has
// orthonormal columns, r is upper triangular, column j of x times scale[j] has a
// length between 1/2 and 1. The scales are powers of two, so nothing is rounded.
type factors struct {
	q         *mat.Dense // n by p
	r         blas64.Triangular
	scale     []float64 // p
	condition float64
}

// factor decomposes a design by Householder reflections. It is an error when a
// column is nought or depends on the others, so far as float64 can tell.
//
// Businger & Golub (1965), Numer. Math. 7, 269-276, doi:10.1007/BF01436084.
func factor(x *mat.Dense) (*factors, error) {
	n, p := x.Dims()
	f := &factors{q: mat.DenseCopyOf(x), scale: make([]float64, p)}
	a := f.q.RawMatrix()
	for j := range p {
		length := blas64.Nrm2(blas64.Vector{N: n, Inc: a.Stride, Data: a.Data[j:]})
		if length == 0 {
			return nil, fmt.Errorf("linear model: column %d is nought in every row that has a say: %w", j, errSingular)
		}
		_, exponent := math.Frexp(length)
		f.scale[j] = math.Ldexp(1, -exponent)
		blas64.Scal(f.scale[j], blas64.Vector{N: n, Inc: a.Stride, Data: a.Data[j:]})
	}
	tau := make([]float64, p)
	work := make([]float64, 1)
	lapack64.Geqrf(a, tau, work, -1)
	work = make([]float64, max(int(work[0]), p))
	lapack64.Geqrf(a, tau, work, len(work))

	f.r = blas64.Triangular{N: p, Stride: p, Data: make([]float64, p*p), Uplo: blas.Upper, Diag: blas.NonUnit}
	for i := range p {
		copy(f.r.Data[i*p+i:(i+1)*p], a.Data[i*a.Stride+i:i*a.Stride+p])
	}
	f.condition = 1 / lapack64.Trcon(lapack.MaxColumnSum, f.r, make([]float64, 3*p), make([]int, p))
	if !(f.condition < worstCondition) {
		return nil, fmt.Errorf("linear model: the columns depend on one another (condition %.2g): %w", f.condition, errSingular)
	}
	lapack64.Orgqr(a, tau, work, len(work))
	return f, nil
}

var errSingular = fmt.Errorf("singular design")

// solve is the least-squares solution (p) for the responses y (n).
func (f *factors) solve(y []float64) []float64 {
	b := f.effects(y)
	f.back(b)
	for j := range b {
		b[j] *= f.scale[j]
	}
	return b
}

// effects are q'y.
func (f *factors) effects(y []float64) []float64 {
	b := make([]float64, len(f.scale))
	blas64.Gemv(blas.Trans, 1, f.q.RawMatrix(), vector(y), 0, vector(b))
	return b
}

// back replaces b by r⁻¹b, forth by r⁻ᵀb.
func (f *factors) back(b []float64)  { blas64.Trsv(blas.NoTrans, f.r, vector(b)) }
func (f *factors) forth(b []float64) { blas64.Trsv(blas.Trans, f.r, vector(b)) }

// gramInverse is (x'x)⁻¹.
func (f *factors) gramInverse() *mat.SymDense {
	p := len(f.scale)
	// the columns of r⁻ᵀ, one for each coefficient
	rows := make([][]float64, p)
	for j := range p {
		rows[j] = make([]float64, p)
		rows[j][j] = f.scale[j]
		f.forth(rows[j])
	}
	g := mat.NewSymDense(p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			g.SetSym(i, j, dot(rows[i], rows[j]))
		}
	}
	return g
}

// leverages are the row sums of squares of q, the diagonal of the hat matrix.
func (f *factors) leverages() []float64 {
	n, _ := f.q.Dims()
	h := make([]float64, n)
	for i := range h {
		row := f.q.RawRowView(i)
		h[i] = dot(row, row)
	}
	return h
}

func vector(x []float64) blas64.Vector { return blas64.Vector{N: len(x), Inc: 1, Data: x} }

// refine improves a least-squares solution by solving the augmented system
// r + xb = y, x'r = 0 again for what is left of its right-hand sides, these being
// summed with twice the digits. At most steps times; it stops when the
// corrections no longer shrink.
//
// Björck (1967), BIT 7, 257-278, doi:10.1007/BF01939321 (from memory).
func (f *factors) refine(x *mat.Dense, y, b []float64, steps int) {
	n, p := x.Dims()
	r := residuals(x, y, b)
	before := math.Inf(1)
	for range steps {
		// what is left of the two equations
		top := make([]float64, n)
		for i := range top {
			row := x.RawRowView(i)
			top[i] = newSum(y[i]).plus(-r[i]).minusDot(row, b).value()
		}
		d := make([]float64, p) // becomes the correction of b, in scaled columns
		for j := range d {
			sum := newSum(0)
			for i := range n {
				sum = sum.plusProduct(-x.At(i, j), r[i])
			}
			d[j] = sum.value() * f.scale[j]
		}
		f.forth(d)
		e := f.effects(top)
		size := 0.0
		step := make([]float64, p)
		for j := range step {
			step[j] = e[j] - d[j]
			size += step[j] * step[j]
		}
		if !(size < before) {
			return
		}
		before = size
		// the residual's correction: q d + (top - q e)
		for j := range d {
			d[j] -= e[j]
		}
		for i := range r {
			r[i] += top[i] + dot(f.q.RawRowView(i), d)
		}
		f.back(step)
		for j := range b {
			b[j] += step[j] * f.scale[j]
		}
	}
}

// sum is a number held as an unrounded pair, about 32 digits.
//
// Ogita, Rump & Oishi (2005), SIAM J. Sci. Comput. 26, 1955-1988,
// doi:10.1137/030601818.
type sum struct{ high, low float64 }

func newSum(v float64) sum { return sum{high: v} }

func (s sum) plus(v float64) sum {
	high := s.high + v
	back := high - s.high
	return sum{high, s.low + ((s.high - (high - back)) + (v - back))}
}

func (s sum) plusProduct(a, b float64) sum {
	product := a * b
	s = s.plus(product)
	s.low += math.FMA(a, b, -product)
	return s
}

func (s sum) minusDot(a, b []float64) sum {
	for i := range a {
		s = s.plusProduct(-a[i], b[i])
	}
	return s
}

func (s sum) value() float64 { return s.high + s.low }
