package price

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// An effect is what is a class's own: its level in log price, and the log of
// its rate of ageing over the market's.
type effect [2]float64

// A block is a symmetric 2 by 2 matrix: two diagonal elements and the one
// beside them.
type block struct{ level, rate, both float64 }

func (b block) determinant() float64 { return b.level*b.rate - b.both*b.both }

// solve gives the block's inverse times v.
func (b block) solve(v effect) effect {
	d := b.determinant()
	return effect{(b.rate*v[0] - b.both*v[1]) / d, (b.level*v[1] - b.both*v[0]) / d}
}

// An arrow is a symmetric matrix whose class part is a run of small blocks:
// shared by shared, shared by class, and one block a class. Its cost is linear
// in the number of classes.
type arrow struct {
	shared *mat.SymDense
	cross  []float64 // two rows a class, each as long as the shared parameters
	blocks []block
	p      int
}

// newArrow starts from the precision of the priors.
func (q *problem) newArrow() *arrow {
	p := len(q.plan.priors)
	a := &arrow{shared: mat.NewSymDense(p, nil), cross: make([]float64, 2*len(q.plan.classes)*p), blocks: make([]block, len(q.plan.classes)), p: p}
	for i, t := range q.plan.priors {
		a.shared.SetSym(i, i, 1/(t.sd*t.sd))
	}
	for c := range a.blocks {
		a.blocks[c] = block{level: 1 / square(q.classSD[0]), rate: 1 / square(q.classSD[1])}
	}
	return a
}

// beside is the shared-by-class row of one effect of a class.
func (a *arrow) beside(class, b int) []float64 {
	at := (2*class + b) * a.p
	return a.cross[at : at+a.p]
}

func vector(x []float64) blas64.Vector { return blas64.Vector{N: len(x), Inc: 1, Data: x} }

func dot(a, b []float64) float64 { return blas64.Dot(vector(a), vector(b)) }

// add adds weight * g g' for a row of the given class, -1 for none.
func (a *arrow) add(g []float64, class int, byClass effect, weight float64) {
	blas64.Syr(weight, vector(g), a.shared.RawSymmetric())
	if class < 0 {
		return
	}
	for b, v := range byClass {
		if v != 0 {
			blas64.Axpy(weight*v, vector(g), vector(a.beside(class, b)))
		}
	}
	k := &a.blocks[class]
	k.level += weight * byClass[0] * byClass[0]
	k.rate += weight * byClass[1] * byClass[1]
	k.both += weight * byClass[0] * byClass[1]
}

// A factored arrow solves systems with it.
type factored struct {
	arrow *arrow
	chol  mat.Cholesky // of the Schur complement of the class part
	upper blas64.Triangular
}

var errIndefinite = errors.New("the normal equations are not positive definite")

// factor eliminates the classes and factors the rest by Cholesky, adding ridge
// times the diagonal.
func (a *arrow) factor(ridge float64) (*factored, error) {
	f := &factored{arrow: a}
	schur := mat.NewSymDense(a.p, nil)
	schur.CopySym(a.shared)
	raw := schur.RawSymmetric()
	for i := range a.p {
		raw.Data[i*raw.Stride+i] *= 1 + ridge
	}
	for c, k := range a.blocks {
		d := k.determinant()
		if k.level <= 0 || d <= 0 {
			return nil, errIndefinite
		}
		blas64.Syr(-k.rate/d, vector(a.beside(c, 0)), raw)
		blas64.Syr(-k.level/d, vector(a.beside(c, 1)), raw)
		blas64.Syr2(k.both/d, vector(a.beside(c, 0)), vector(a.beside(c, 1)), raw)
	}
	if !f.chol.Factorize(schur) {
		return nil, errIndefinite
	}
	f.upper = f.chol.RawU().(*mat.TriDense).RawTriangular()
	return f, nil
}

// solve gives A^-1 b for b in two parts.
func (f *factored) solve(shared []float64, class []effect) point {
	a := f.arrow
	rhs := append([]float64(nil), shared...)
	for c, v := range class {
		if v != (effect{}) {
			f.reduce(rhs, c, v)
		}
	}
	blas64.Trsv(blas.Trans, f.upper, vector(rhs))
	blas64.Trsv(blas.NoTrans, f.upper, vector(rhs))
	out := point{theta: rhs, class: make([]effect, len(class))}
	for c, v := range class {
		for b := range v {
			v[b] -= dot(a.beside(c, b), out.theta)
		}
		out.class[c] = a.blocks[c].solve(v)
	}
	return out
}

// reduce takes a class's part of a right-hand side into the shared part.
func (f *factored) reduce(shared []float64, class int, v effect) {
	for b, w := range f.arrow.blocks[class].solve(v) {
		blas64.Axpy(-w, vector(f.arrow.beside(class, b)), vector(shared))
	}
}

// halfSolve gives z with z'z = g' A^-1 g for a row's gradient, so that
// products between rows are dot products of their z. Its last two elements are
// the class's own; they meet only those of the same class.
func (f *factored) halfSolve(g []float64, class int, byClass effect) []float64 {
	a := f.arrow
	z := make([]float64, a.p+2)
	copy(z, g)
	if class >= 0 && byClass != (effect{}) {
		f.reduce(z[:a.p], class, byClass)
		// the lower Cholesky factor of the block
		k := a.blocks[class]
		l := math.Sqrt(k.level)
		z[a.p] = byClass[0] / l
		z[a.p+1] = (byClass[1] - k.both/l*z[a.p]) / math.Sqrt(k.rate-k.both*k.both/k.level)
	}
	blas64.Trsv(blas.Trans, f.upper, vector(z[:a.p]))
	return z
}
