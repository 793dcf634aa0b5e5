package price

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// A point is a set of parameters: shared ones and one effect a class.
type point struct{ theta, class []float64 }

func (pt point) clone() point {
	return point{append([]float64(nil), pt.theta...), append([]float64(nil), pt.class...)}
}

// An anchor is a price known from outside the market, such as that of a new
// boat of a class named in the knowhow: one more row with a spread of its own.
type anchor struct {
	boat     encoded
	logPrice float64
	sd       float64
}

// A problem is the least-squares problem of the model: rows, logs of asks,
// priors and anchors.
type problem struct {
	plan    *plan
	rows    []encoded
	y       []float64
	anchors []anchor
	classSD float64 // spread of class effects
	// rowSD scales the noise of each row; 1 where spread is constant
	rowSD []float64
}

// priorPoint is the middle of the priors.
func (q *problem) priorPoint() point {
	pt := point{theta: make([]float64, len(q.plan.priors)), class: make([]float64, len(q.plan.classes))}
	for i, t := range q.plan.priors {
		pt.theta[i] = t.mean
	}
	return pt
}

// penalty is what the priors and the anchors hold against a point: the sum of
// squared standard deviations.
func (q *problem) penalty(pt point, s *state) float64 {
	sum := 0.0
	for i, t := range q.plan.priors {
		d := (pt.theta[i] - t.mean) / t.sd
		sum += d * d
	}
	for _, c := range pt.class {
		d := c / q.classSD
		sum += d * d
	}
	for _, a := range q.anchors {
		d := (a.logPrice - s.logPrice(&a.boat)) / a.sd
		sum += d * d
	}
	return sum
}

// residuals gives log ask less prediction for every row, over its relative
// spread.
func (q *problem) residuals(pt point) []float64 {
	s := q.plan.stateAt(pt.theta, pt.class)
	r := make([]float64, len(q.rows))
	for i := range q.rows {
		r[i] = (q.y[i] - s.logPrice(&q.rows[i])) / q.rowSD[i]
	}
	return r
}

// objective is the weighted sum of squares over scale squared, plus penalty.
func (q *problem) objective(pt point, index []int, weights []float64, scale float64) float64 {
	s := q.plan.stateAt(pt.theta, pt.class)
	sum := q.penalty(pt, s)
	for k, i := range index {
		r := (q.y[i] - s.logPrice(&q.rows[i])) / (q.rowSD[i] * scale)
		sum += weights[k] * r * r
	}
	return sum
}

// An arrow is a symmetric matrix whose class block is diagonal: shared by
// shared, shared by class, and the diagonal of class by class.
type arrow struct {
	shared *mat.SymDense
	cross  []float64 // class-major: cross[c*p:(c+1)*p]
	diag   []float64
	p      int
}

// newArrow starts from the precision of the priors.
func (q *problem) newArrow() *arrow {
	p := len(q.plan.priors)
	a := &arrow{shared: mat.NewSymDense(p, nil), cross: make([]float64, len(q.plan.classes)*p), diag: make([]float64, len(q.plan.classes)), p: p}
	for i, t := range q.plan.priors {
		a.shared.SetSym(i, i, 1/(t.sd*t.sd))
	}
	for c := range a.diag {
		a.diag[c] = 1 / (q.classSD * q.classSD)
	}
	return a
}

// add adds weight * g g' for a row of the given class, -1 for none.
func (a *arrow) add(g []float64, class int, byClass, weight float64) {
	blas64.Syr(weight, blas64.Vector{N: a.p, Inc: 1, Data: g}, a.shared.RawSymmetric())
	if class >= 0 {
		blas64.Axpy(weight*byClass, blas64.Vector{N: a.p, Inc: 1, Data: g}, blas64.Vector{N: a.p, Inc: 1, Data: a.cross[class*a.p : (class+1)*a.p]})
		a.diag[class] += weight * byClass * byClass
	}
}

// A factored arrow solves systems with it.
type factored struct {
	arrow *arrow
	chol  mat.Cholesky // of the Schur complement of the class block
}

var errIndefinite = errors.New("price: the normal equations are not positive definite")

// factor eliminates the class block and factors the rest by Cholesky, adding
// ridge to the diagonal.
func (a *arrow) factor(ridge float64) (*factored, error) {
	f := &factored{arrow: a}
	schur := mat.NewSymDense(a.p, nil)
	schur.CopySym(a.shared)
	raw := schur.RawSymmetric()
	for i := range a.p {
		raw.Data[i*raw.Stride+i] *= 1 + ridge
	}
	for c, d := range a.diag {
		if d <= 0 {
			return nil, errIndefinite
		}
		blas64.Syr(-1/d, blas64.Vector{N: a.p, Inc: 1, Data: a.cross[c*a.p : (c+1)*a.p]}, raw)
	}
	if !f.chol.Factorize(schur) {
		return nil, errIndefinite
	}
	return f, nil
}

// solve gives A^-1 b for b in two blocks.
func (f *factored) solve(shared, class []float64) point {
	a := f.arrow
	rhs := append([]float64(nil), shared...)
	for c, v := range class {
		if v != 0 {
			blas64.Axpy(-v/a.diag[c], blas64.Vector{N: a.p, Inc: 1, Data: a.cross[c*a.p : (c+1)*a.p]}, blas64.Vector{N: a.p, Inc: 1, Data: rhs})
		}
	}
	x := mat.NewVecDense(a.p, nil)
	_ = f.chol.SolveVecTo(x, mat.NewVecDense(a.p, rhs)) // a poor condition is answered by the step control
	out := point{theta: x.RawVector().Data, class: make([]float64, len(class))}
	for c, v := range class {
		out.class[c] = (v - dot(a.cross[c*a.p:(c+1)*a.p], out.theta)) / a.diag[c]
	}
	return out
}

// halfSolve gives z with z'z = g' A^-1 g for a row's gradient, so that
// products between rows are dot products of their z. The last element is the
// class's own share.
func (f *factored) halfSolve(g []float64, class int, byClass float64) []float64 {
	a := f.arrow
	z := make([]float64, a.p+1)
	copy(z, g)
	if class >= 0 && byClass != 0 {
		d := a.diag[class]
		blas64.Axpy(-byClass/d, blas64.Vector{N: a.p, Inc: 1, Data: a.cross[class*a.p : (class+1)*a.p]}, blas64.Vector{N: a.p, Inc: 1, Data: z[:a.p]})
		z[a.p] = byClass / math.Sqrt(d)
	}
	u := f.chol.RawU().(*mat.TriDense)
	blas64.Trsv(blas.Trans, u.RawTriangular(), blas64.Vector{N: a.p, Inc: 1, Data: z[:a.p]})
	return z
}

func dot(a, b []float64) float64 {
	return blas64.Dot(blas64.Vector{N: len(a), Inc: 1, Data: a}, blas64.Vector{N: len(b), Inc: 1, Data: b})
}

// descend takes at most steps Gauss-Newton steps on the weighted problem,
// halving a step that does not lower the objective. It reports whether the
// last step was negligible.
func (q *problem) descend(pt point, index []int, weights []float64, scale float64, steps int) (point, bool) {
	before := q.objective(pt, index, weights, scale)
	for range steps {
		next, after, moved := q.step(pt, before, index, weights, scale)
		if !moved {
			return pt, true
		}
		negligible := before-after < 1e-10*(1+before)
		pt, before = next, after
		if negligible {
			return pt, true
		}
	}
	return pt, false
}

// step takes one Gauss-Newton step; moved is false where no step lowers the
// objective.
func (q *problem) step(pt point, before float64, index []int, weights []float64, scale float64) (next point, after float64, moved bool) {
	a, rhs := q.normal(pt, index, weights, scale)
	for _, ridge := range []float64{0, 1e-6, 1e-3, 1e-1, 10} {
		f, err := a.factor(ridge)
		if err != nil {
			continue
		}
		delta := f.solve(rhs.theta, rhs.class)
		for size := 1.0; size > 1e-3; size /= 2 {
			trial := pt.moved(delta, size)
			if v := q.objective(trial, index, weights, scale); v < before {
				return trial, v, true
			}
		}
	}
	return pt, before, false
}

// moved returns pt + size*delta.
func (pt point) moved(delta point, size float64) point {
	out := pt.clone()
	for i, d := range delta.theta {
		out.theta[i] += size * d
	}
	for c, d := range delta.class {
		out.class[c] += size * d
	}
	return out
}

// normal builds the normal matrix at a point and the right-hand side of the
// Gauss-Newton step.
func (q *problem) normal(pt point, index []int, weights []float64, scale float64) (*arrow, point) {
	a := q.newArrow()
	rhs := point{theta: make([]float64, a.p), class: make([]float64, len(pt.class))}
	for i, t := range q.plan.priors {
		rhs.theta[i] = (t.mean - pt.theta[i]) / (t.sd * t.sd)
	}
	for c, v := range pt.class {
		rhs.class[c] = -v / (q.classSD * q.classSD)
	}
	s := q.plan.stateAt(pt.theta, pt.class)
	g := make([]float64, a.p)
	row := func(e *encoded, y, weight float64) {
		f, byClass := s.gradient(e, g)
		a.add(g, e.class, byClass, weight)
		blas64.Axpy(weight*(y-f), blas64.Vector{N: a.p, Inc: 1, Data: g}, blas64.Vector{N: a.p, Inc: 1, Data: rhs.theta})
		if e.class >= 0 {
			rhs.class[e.class] += weight * (y - f) * byClass
		}
	}
	for k, i := range index {
		if weights[k] > 0 {
			sd := scale * q.rowSD[i]
			row(&q.rows[i], q.y[i], weights[k]/(sd*sd))
		}
	}
	for _, an := range q.anchors {
		row(&an.boat, an.logPrice, 1/(an.sd*an.sd))
	}
	return a, rhs
}
