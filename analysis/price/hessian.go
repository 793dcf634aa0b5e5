package price

// used counts the parameters that the data settle: the trace of A^-1 times
// the data's share of A.
func (f *fitted) used() float64 {
	q := f.problem
	index, _ := q.everyRow()
	a, _ := q.normal(f.at, index, f.weights, f.scale)
	inverse, err := a.factor(0)
	if err != nil {
		return 0
	}
	s := q.plan.stateAt(f.at)
	g := make([]float64, a.p)
	trace := 0.0
	for i := range q.rows {
		sd := f.scale * q.rowSD[i]
		trace += f.weights[i] / (sd * sd) * inverse.halfOf(s, &q.rows[i], g).variance()
	}
	return trace
}

// finish computes the Hessian of the bisquare objective at the fit and each
// row's leverage in it. Where the Hessian is not positive definite, weights
// stand for the derivative of psi and the model's own bend is left away.
func (f *fitted) finish() error {
	q := f.problem
	index, _ := q.everyRow()
	var err error
	if f.inverse, err = f.hessian().factor(0); err != nil {
		f.shrunk = true
		a, _ := q.normal(f.at, index, f.weights, f.scale)
		if f.inverse, err = a.factor(0); err != nil {
			return err
		}
	}
	f.effective = f.used()
	s := q.plan.stateAt(f.at)
	g := make([]float64, len(q.plan.priors))
	f.halves, f.leverage = make([]halved, len(q.rows)), make([]float64, len(q.rows))
	for i := range q.rows {
		f.halves[i] = f.inverse.halfOf(s, &q.rows[i], g)
		f.leverage[i] = f.halves[i].variance()
	}
	return nil
}

// halfOf halves the gradient of a boat at a state; g is scratch.
func (f *factored) halfOf(s *state, e *encoded, g []float64) halved {
	_, own := s.gradient(e, g)
	return f.half(g, e.class, e.maker, own)
}

// hessian builds the second derivative of half the objective:
// sum of psi' g g' / s^2 - psi/s * (second derivative of the prediction) + P.
//
// With f = log y the second derivative of f is y”/y - g g'. In y, two
// parameters of the hull's logarithm bend like their product, and a step
// exp(theta) bends like itself; what the limit under deductions and the tilts
// bend is left away, being small.
func (f *fitted) hessian() *arrow {
	q := f.problem
	a := q.newArrow()
	s := q.plan.stateAt(f.at)
	g := make([]float64, a.p)
	row := func(e *encoded, pull, firm float64) {
		_, own := s.gradient(e, g)
		a.add(g, e, own, firm+pull)
		if pull == 0 {
			return
		}
		raw := a.shared.RawSymmetric()
		for k := range a.p {
			if q.plan.isStep[k] {
				raw.Data[k*raw.Stride+k] -= pull * g[k]
			}
		}
		if hull := g[q.plan.at.level]; hull > 0 {
			for k := range g {
				if !q.plan.inHull[k] {
					g[k] = 0
				}
			}
			a.add(g, e, own, -pull/hull)
		}
	}
	for i, r := range f.residuals {
		sd := f.scale * q.rowSD[i]
		row(&q.rows[i], f.loss.Psi(r/f.scale)/sd, f.loss.PsiPrime(r/f.scale)/(sd*sd))
	}
	for _, an := range q.anchors {
		row(&an.boat, 0, 1/(an.sd*an.sd))
	}
	return a
}
