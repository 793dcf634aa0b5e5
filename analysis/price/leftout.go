package price

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
)

// A prediction is the log of an ask as the model sees it, with the variance
// of the model's own say.
type prediction struct {
	log      float64
	variance float64
	refitted bool
}

// heavy is the leverage, as a share of a row's variance, from which on one step
// is not exact enough.
const heavy = 0.25

// small is the market up to which a row is left out by refitting everything.
// In a larger one a row can bear much of its own price only through its
// class, so that the class alone is refitted, and the cost stays linear.
const small = 400

// leaveOutEach predicts every row from all other rows, with the scale held.
//
// With A the Hessian of the bisquare objective and q = g'A^-1 g, one
// Newton step away from the full fit gives f - w q r/(s^2 - psi' q), where w
// and psi' are the loss's at the row's residual. Where that step cannot be
// trusted, or the row bears much of its own price, the row is taken out and the fit refined without it. The form is
// derived from the optimality condition of the penalised M-estimate; for
// least squares it is the press residual of Allen (1974), Technometrics 16,
// 125-127, doi:10.1080/00401706.1974.10489157.
func (f *fitted) leaveOutEach() []prediction {
	q := f.problem
	out := make([]prediction, len(q.rows))
	s := q.plan.stateAt(f.at)
	ofClass := make([][]int, len(q.plan.classes))
	for i, e := range q.rows {
		if e.class >= 0 {
			ofClass[e.class] = append(ofClass[e.class], i)
		}
	}
	for i := range q.rows {
		variance := f.scale * f.scale * q.rowSD[i] * q.rowSD[i]
		slope := f.loss.PsiPrime(f.residuals[i] / f.scale)
		rest := variance - slope*f.leverage[i]
		if f.shrunk || rest < 0.2*variance || f.leverage[i] > heavy*variance {
			if len(q.rows) <= small {
				out[i] = f.refitWithout(i)
			} else {
				out[i] = f.refitClassWithout(i, s, ofClass)
			}
			continue
		}
		r := f.residuals[i] * q.rowSD[i]
		out[i] = prediction{log: s.logPrice(&q.rows[i]) - f.weights[i]*f.leverage[i]*r/rest, variance: f.leverage[i] * variance / rest}
	}
	return out
}

// refitWithout refines the fit without one row, starting from the full fit,
// and predicts that row.
func (f *fitted) refitWithout(row int) prediction {
	part := *f.problem
	part.rows = without(part.rows, row)
	part.y = without(part.y, row)
	part.rowSD = without(part.rowSD, row)
	g := &fitted{problem: &part, loss: f.loss, scale: f.scale, at: f.at.clone()}
	g.refine(60)
	s := part.plan.stateAt(g.at)
	gradient := make([]float64, len(part.plan.priors))
	e := &f.problem.rows[row]
	index, _ := part.everyRow()
	a, _ := part.normal(g.at, index, g.weights, g.scale)
	p := prediction{log: s.logPrice(e), refitted: true}
	if inverse, err := a.factor(0); err == nil {
		p.variance = inverse.halfOf(s, e, gradient).variance()
	}
	return p
}

// refitClassWithout leaves out a row of a large market: the shared parameters
// take the Newton step that the row's absence asks for, and the effects of its
// class are refitted to the class's other rows. ofClass lists the rows of each
// class.
func (f *fitted) refitClassWithout(row int, full *state, ofClass [][]int) prediction {
	q := f.problem
	e := &q.rows[row]
	g := make([]float64, len(q.plan.priors))
	_, byClass := full.gradient(e, g)
	variance := square(f.scale * q.rowSD[row])
	rest := math.Max(variance-f.loss.PsiPrime(f.residuals[row]/f.scale)*f.leverage[row], 0.2*variance)
	pull := f.weights[row] * f.residuals[row] * q.rowSD[row] / rest
	at := f.at
	if !f.shrunk { // the shared parameters of a singular fit stay
		unit := q.plan.zero()
		copy(unit.theta, g)
		if e.class >= 0 {
			unit.class[e.class] = byClass
		}
		if e.maker >= 0 {
			unit.maker[e.maker] = byClass
		}
		moved := at.moved(f.inverse.solve(unit), -pull)
		at.theta, at.maker = moved.theta, moved.maker
	}
	p := prediction{refitted: true}
	if e.class < 0 {
		p.log = q.plan.stateAt(at).logPrice(e)
		p.variance = f.leverage[row] * variance / rest
		return p
	}
	at.class = slices.Clone(at.class)
	s := q.plan.stateAt(at)
	k := f.refitClass(s, e.class, row, ofClass[e.class])
	p.log = s.logPrice(e)
	// the shared parameters' say is that of the full fit, the class's own that of its other rows
	v := k.solve(byClass)
	p.variance = byClass[0]*v[0] + byClass[1]*v[1]
	shared := slices.Clone(g)
	for b, w := range v {
		cross := slices.Clone(f.inverse.arrow.class.beside(e.class, b))
		blas64.Axpy(-f.loss.PsiPrime(f.residuals[row]/f.scale)/variance*byClass[b], vector(g), vector(cross))
		blas64.Axpy(-w, vector(cross), vector(shared))
	}
	p.variance += f.inverse.half(shared, -1, e.maker, f.lessClass(row, v)).variance()
	return p
}

// lessClass is what the maker's part of a row's gradient is once its class,
// refitted without the row, has taken v.
func (f *fitted) lessClass(row int, v effect) effect {
	e := &f.problem.rows[row]
	g := make([]float64, len(f.problem.plan.priors))
	_, own := f.problem.plan.stateAt(f.at).gradient(e, g)
	meet := f.inverse.arrow.meet[e.class]
	meet.add(own, -f.loss.PsiPrime(f.residuals[row]/f.scale)/square(f.scale*f.problem.rowSD[row]))
	w := meet.times(v)
	return effect{own[0] - w[0], own[1] - w[1]}
}

// refitClass refits the effects of one class, in place of those of s, to its
// rows but one, the shared parameters held, and returns their precision.
func (f *fitted) refitClass(s *state, class, but int, rows []int) block {
	q := f.problem
	g := make([]float64, len(q.plan.priors))
	var k block
	for range 30 {
		own := s.class[class]
		k = block{level: 1 / square(q.classSD[0]), rate: 1 / square(q.classSD[1])}
		rhs := effect{-own[0] * k.level, -own[1] * k.rate}
		for _, j := range rows {
			if j == but {
				continue
			}
			log, byClass := s.gradient(&q.rows[j], g)
			sd := f.scale * q.rowSD[j]
			r := q.y[j] - log
			w := f.loss.Weight(r/sd) / (sd * sd)
			k.level += w * byClass[0] * byClass[0]
			k.rate += w * byClass[1] * byClass[1]
			k.both += w * byClass[0] * byClass[1]
			rhs[0] += w * r * byClass[0]
			rhs[1] += w * r * byClass[1]
		}
		step := k.solve(rhs)
		s.class[class] = effect{own[0] + step[0], own[1] + step[1]}
		if math.Abs(step[0])+math.Abs(step[1]) < 1e-7 {
			break
		}
	}
	return k
}

func without[T any](x []T, i int) []T {
	out := make([]T, 0, len(x)-1)
	return append(append(out, x[:i]...), x[i+1:]...)
}
