package price

import "gonum.org/v1/gonum/blas/blas64"

// A point is a set of parameters: shared ones, and the effects of each class.
type point struct {
	theta []float64
	class []effect
}

func (pt point) clone() point {
	return point{append([]float64(nil), pt.theta...), append([]effect(nil), pt.class...)}
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
	// rowSD scales the noise of each row; 1 where spread is constant
	rowSD []float64
}

// priorPoint is the middle of the priors.
func (q *problem) priorPoint() point {
	pt := point{theta: make([]float64, len(q.plan.priors)), class: make([]effect, len(q.plan.classes))}
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
		for b := range c {
			d := c[b] / q.classSD[b]
			sum += d * d
		}
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
		for b := range d {
			out.class[c][b] += size * d[b]
		}
	}
	return out
}

// normal builds the normal matrix at a point and the right-hand side of the
// Gauss-Newton step.
func (q *problem) normal(pt point, index []int, weights []float64, scale float64) (*arrow, point) {
	a := q.newArrow()
	rhs := point{theta: make([]float64, a.p), class: make([]effect, len(pt.class))}
	for i, t := range q.plan.priors {
		rhs.theta[i] = (t.mean - pt.theta[i]) / (t.sd * t.sd)
	}
	for c, v := range pt.class {
		for b := range v {
			rhs.class[c][b] = -v[b] / (q.classSD[b] * q.classSD[b])
		}
	}
	s := q.plan.stateAt(pt.theta, pt.class)
	g := make([]float64, a.p)
	row := func(e *encoded, y, weight float64) {
		f, byClass := s.gradient(e, g)
		a.add(g, e.class, byClass, weight)
		blas64.Axpy(weight*(y-f), vector(g), vector(rhs.theta))
		if e.class >= 0 {
			for b := range byClass {
				rhs.class[e.class][b] += weight * (y - f) * byClass[b]
			}
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
