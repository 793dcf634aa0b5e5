package price

import (
	"math"

	"askance/ingest/boat"
	"askance/ingest/money"
)

// Value prices one boat at a range of the given width, such as 0.80. A boat
// of the fitted market is kept out of its own price.
func (m *Model) Value(l *boat.Listing, width float64) Valuation {
	s := m.state()
	e := m.plan.encode(l)
	row, inFit := m.rowOf[l]
	full := s.logPrice(&e)
	v := Valuation{Fitted: m.round(math.Exp(full)), Weight: 1, InFit: inFit, DF: m.spread.df, Unusable: m.plan.unusable(l)}
	p := prediction{log: full}
	here := priceRow(s, &e)
	moved := 0.0
	if inFit {
		p, moved = m.leftOut[row], m.moved[row]
		v.Weight = m.fit.weights[row]
	} else {
		p.variance, moved = m.ownVariance(s, &e), m.nearby.correctionFor(l, &here, -1)
	}
	p.log += moved
	p.variance += m.unknownVariance(s, l, &e)
	v.Expected = m.round(math.Exp(p.log))
	v.ModelSD = math.Sqrt(p.variance)
	v.LogSD = math.Sqrt(m.spread.variance(e.age, s.unsaid(&e)) + p.variance)
	reach := m.spread.multiplier(width) * v.LogSD
	v.Low, v.High = m.round(math.Exp(p.log-reach)), m.round(math.Exp(p.log+reach))
	if l.Price.Known && l.Price.Minor > 0 {
		v.Residual = math.Log(l.Price.Major()) - p.log
	}
	v.Parts = m.parts(s, l, &e, moved, v.Expected)
	v.Sides = m.sides(s, l, &e)
	v.Comparable = m.comparables(s, l, &e, 5)
	return v
}

func (m *Model) state() *state { return m.plan.stateAt(m.fit.at) }

// ownVariance is the model's own uncertainty, in log, on a boat that was not
// in the fit.
func (m *Model) ownVariance(s *state, e *encoded) float64 {
	return m.fit.inverse.halfOf(s, e, make([]float64, len(m.plan.priors))).variance()
}

// unknownVariance is what an unknown class, length or age adds to the
// variance of a log price.
func (m *Model) unknownVariance(s *state, l *boat.Listing, e *encoded) float64 {
	v := 0.0
	if e.class < 0 && len(m.plan.classes) > 0 {
		v += square(m.fit.problem.classSD[0])
		if e.maker < 0 && len(m.plan.makers) > 0 {
			v += square(m.fit.problem.makerSD[0])
		}
	}
	if e.class < 0 && !e.lengthKnown && m.plan.hasLength {
		power := s.theta[m.plan.at.power]
		v += power * power * m.varianceOver(func(r *encoded) (float64, bool) { return r.logLength, r.lengthKnown })
	}
	if !e.ageKnown && m.plan.hasAge {
		v += m.varianceOver(func(r *encoded) (float64, bool) {
			return math.Log(s.share(r.age, s.own(r)[1])), r.ageKnown
		})
	}
	return v
}

// varianceOver is the variance of a quantity over the rows that have it.
func (m *Model) varianceOver(quantity func(*encoded) (float64, bool)) float64 {
	n, mean, sum := 0.0, 0.0, 0.0
	for i := range m.fit.problem.rows {
		if x, ok := quantity(&m.fit.problem.rows[i]); ok {
			n++
			d := x - mean
			mean += d / n
			sum += d * (x - mean)
		}
	}
	if n < 2 {
		return 0
	}
	return sum / (n - 1)
}

// round rounds to the minor unit of the market's currency.
func (m *Model) round(x float64) float64 { return money.Of(x, m.currency).Major() }

// sides tells a boat with a structural defect as a range: sound, and with its
// hull multiplied by the defect's low and high factor.
func (m *Model) sides(s *state, l *boat.Listing, e *encoded) *Sides {
	id := structural(l, m.book)
	if id == "" {
		return nil
	}
	b := s.bracket(e)
	out := &Sides{Item: id, Sound: m.round(b.price())}
	it, _ := m.book.Item(id)
	present, _ := it.Value("present")
	if present.FactorHigh > 0 {
		with := func(factor float64) float64 {
			hull := b.hull * factor
			through, _, _ := limited(b.deducts, m.plan.limit*hull)
			return m.round(hull + b.adds - through)
		}
		out.Low, out.High = with(present.FactorLow), with(present.FactorHigh)
	}
	return out
}

// Structural returns the gravest structural defect that a listing states as
// present, "" if none.
func (m *Model) Structural(l *boat.Listing) string { return structural(l, m.book) }

// Ratio is how many times the price of one boat that of another is, by the
// full fit.
func (m *Model) Ratio(from, to *boat.Listing) float64 {
	s := m.state()
	a, b := m.plan.encode(from), m.plan.encode(to)
	return math.Exp(s.logPrice(&b) - s.logPrice(&a))
}
