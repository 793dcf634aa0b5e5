package price

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

// refinedWithout refines the fit without one row, starting from the full fit.
func (f *fitted) refinedWithout(row int) *fitted {
	part := *f.problem
	part.rows = without(part.rows, row)
	part.y = without(part.y, row)
	part.rowSD = without(part.rowSD, row)
	g := &fitted{problem: &part, loss: f.loss, scale: f.scale, at: f.at.clone()}
	g.refine(60, fine)
	return g
}

// refitWithout predicts a row by the fit refined without it.
func (f *fitted) refitWithout(row int) prediction {
	g := f.refinedWithout(row)
	part := g.problem
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

func without[T any](x []T, i int) []T {
	out := make([]T, 0, len(x)-1)
	return append(append(out, x[:i]...), x[i+1:]...)
}
