package price

import (
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
)

// A point is a set of parameters: shared ones, and the effects of each class
// and maker.
type point struct {
	theta        []float64
	class, maker []effect
}

func (p *plan) zero() point {
	return point{make([]float64, len(p.priors)), make([]effect, len(p.classes)), make([]effect, len(p.makers))}
}

func (pt point) clone() point {
	return point{slices.Clone(pt.theta), slices.Clone(pt.class), slices.Clone(pt.maker)}
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
	classSD effect // spread of the effects of classes
	makerSD effect // and of makers
	// rowSD scales the noise of each row; 1 where spread is constant
	rowSD []float64
}

// priorPoint is the middle of the priors.
func (q *problem) priorPoint() point {
	pt := q.plan.zero()
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
	for _, e := range pt.class {
		sum += square(e[0]/q.classSD[0]) + square(e[1]/q.classSD[1])
	}
	for _, e := range pt.maker {
		sum += square(e[0]/q.makerSD[0]) + square(e[1]/q.makerSD[1])
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
	s := q.plan.stateAt(pt)
	r := make([]float64, len(q.rows))
	for i := range q.rows {
		r[i] = (q.y[i] - s.logPrice(&q.rows[i])) / q.rowSD[i]
	}
	return r
}

// objective is the weighted sum of squares over scale squared, plus penalty.
func (q *problem) objective(pt point, index []int, weights []float64, scale float64) float64 {
	s := q.plan.stateAt(pt)
	sum := q.penalty(pt, s)
	for k, i := range index {
		r := (q.y[i] - s.logPrice(&q.rows[i])) / (q.rowSD[i] * scale)
		sum += weights[k] * r * r
	}
	return sum
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
		delta := f.solve(rhs)
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
	moveEffects(out.class, delta.class, size)
	moveEffects(out.maker, delta.maker, size)
	return out
}

func moveEffects(to, by []effect, size float64) {
	for i, d := range by {
		to[i][0] += size * d[0]
		to[i][1] += size * d[1]
	}
}

// normal builds the normal matrix at a point and the right-hand side of the
// Gauss-Newton step.
func (q *problem) normal(pt point, index []int, weights []float64, scale float64) (*arrow, point) {
	a := q.newArrow()
	rhs := q.plan.zero()
	for i, t := range q.plan.priors {
		rhs.theta[i] = (t.mean - pt.theta[i]) / (t.sd * t.sd)
	}
	for i, v := range pt.class {
		rhs.class[i] = priorBlock(q.classSD).times(effect{-v[0], -v[1]})
	}
	for i, v := range pt.maker {
		rhs.maker[i] = priorBlock(q.makerSD).times(effect{-v[0], -v[1]})
	}
	s := q.plan.stateAt(pt)
	g := make([]float64, a.p)
	row := func(e *encoded, y, weight float64) {
		f, own := s.gradient(e, g)
		a.add(g, e, own, weight)
		blas64.Axpy(weight*(y-f), vector(g), vector(rhs.theta))
		pull := effect{weight * (y - f) * own[0], weight * (y - f) * own[1]}
		if e.class >= 0 {
			moveEffects(rhs.class[e.class:e.class+1], []effect{pull}, 1)
		}
		if e.maker >= 0 {
			moveEffects(rhs.maker[e.maker:e.maker+1], []effect{pull}, 1)
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
