package price

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// refitClassWithout leaves out a row of a large market: the shared parameters
// and its maker take the Newton step that the row's absence asks for, and the
// effects of its class are refitted to the class's other rows. ofClass lists
// the rows of each class. What it costs does not hang on the market's size.
func (f *fitted) refitClassWithout(row int, full *state, ofClass [][]int) prediction {
	q := f.problem
	e := &q.rows[row]
	g := make([]float64, len(q.plan.priors))
	_, own := full.gradient(e, g)
	variance := square(f.scale * q.rowSD[row])
	slope := f.loss.PsiPrime(f.residuals[row] / f.scale)
	rest := math.Max(variance-slope*f.leverage[row], 0.2*variance)
	at := f.aloneAt(e)
	if !f.shrunk { // the shared parameters of a singular fit stay
		pull := f.weights[row] * f.residuals[row] * q.rowSD[row] / rest
		theta, maker := f.inverse.step(g, e, own)
		blas64.Axpy(-pull, vector(theta), vector(at.theta))
		moveEffects(at.maker, []effect{maker}, -pull)
	}
	p := prediction{refitted: true}
	s := q.plan.stateAt(at)
	if e.class < 0 {
		one := e.alone()
		p.log, p.variance = s.logPrice(&one), f.leverage[row]*variance/rest
		return p
	}
	k := f.refitClass(s, row, ofClass[e.class])
	one := e.alone()
	p.log = s.logPrice(&one)
	// the shared parameters' say is that of the full fit, the class's own that of its other rows
	v := k.solve(own)
	shared := slices.Clone(g)
	for b, w := range v {
		cross := slices.Clone(f.inverse.arrow.class.beside(e.class, b))
		blas64.Axpy(-slope/variance*own[b], vector(g), vector(cross))
		blas64.Axpy(-w, vector(cross), vector(shared))
	}
	meet := f.inverse.arrow.meet[e.class]
	meet.add(own, -slope/variance)
	w := meet.times(v)
	p.variance = dot(own[:], v[:]) + f.inverse.half(shared, -1, e.maker, effect{own[0] - w[0], own[1] - w[1]}).variance()
	return p
}

// aloneAt is the fit's point as a boat sees it: its own class and maker are
// the only ones.
func (f *fitted) aloneAt(e *encoded) point {
	at := point{slices.Clone(f.at.theta), make([]effect, 1), make([]effect, 1)}
	if e.class >= 0 {
		at.class[0] = f.at.class[e.class]
	}
	if e.maker >= 0 {
		at.maker[0] = f.at.maker[e.maker]
	}
	return at
}

// alone is the boat with its class and maker numbered as in aloneAt.
func (e *encoded) alone() encoded {
	c := *e
	c.class, c.maker = min(c.class, 0), min(c.maker, 0)
	return c
}

// step is A^-1 g for a row's gradient, as far as the shared parameters and the
// row's maker go.
func (f *factored) step(g []float64, e *encoded, own effect) (theta []float64, maker effect) {
	h := f.half(g, e.class, e.maker, own)
	theta = h.shared
	blas64.Trsv(blas.NoTrans, f.upper, vector(theta))
	if e.maker < 0 {
		return theta, maker
	}
	maker = own
	if e.class >= 0 {
		maker = f.less(own, e.class, own)
	}
	return theta, f.maker.blocks[e.maker].solve(f.maker.rest(maker, e.maker, theta))
}

// refitClass refits the effects of the only class of a state to the class's
// rows but one, all else held, and returns their precision.
func (f *fitted) refitClass(s *state, but int, rows []int) block {
	q := f.problem
	g := make([]float64, len(q.plan.priors))
	var k block
	for range 30 {
		own := s.class[0]
		k = priorBlock(q.classSD)
		pull := k.times(effect{-own[0], -own[1]})
		for _, j := range rows {
			if j == but {
				continue
			}
			one := q.rows[j].alone()
			log, byOwn := s.gradient(&one, g)
			sd := f.scale * q.rowSD[j]
			r := q.y[j] - log
			w := f.loss.Weight(r/sd) / (sd * sd)
			k.add(byOwn, w)
			pull[0] += w * r * byOwn[0]
			pull[1] += w * r * byOwn[1]
		}
		step := k.solve(pull)
		moveEffects(s.class, []effect{step}, 1)
		if math.Abs(step[0])+math.Abs(step[1]) < 1e-7 {
			break
		}
	}
	return k
}
