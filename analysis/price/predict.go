package price

import "math"

// A state is the plan at given parameters, ready to predict.
type state struct {
	plan *plan
	point
	tables []levelTable
	slopes []float64 // of the curve of steps, one a piece
}

func (p *plan) stateAt(pt point) *state {
	s := &state{plan: p, point: pt, tables: make([]levelTable, len(p.tables))}
	for i := range p.tables {
		p.tables[i].at(pt.theta, &s.tables[i])
	}
	if p.at.pieces >= 0 {
		for i := range p.knots {
			s.slopes = append(s.slopes, math.Exp(pt.theta[p.at.pieces+i]))
		}
	}
	return s
}

// own sums the effects of a boat's class and maker; to the rate of ageing its
// size adds.
func (s *state) own(e *encoded) effect {
	var out effect
	if e.class >= 0 {
		out = s.class[e.class]
	}
	if e.maker >= 0 {
		out[0] += s.maker[e.maker][0]
		out[1] += s.maker[e.maker][1]
	}
	if k := e.kind; k >= 0 && s.plan.hasAge {
		out[1] += s.theta[s.plan.at.kindRates+k]
	}
	if k := s.plan.at.sizeRate; k >= 0 {
		out[1] += s.theta[k] * s.plan.fromTypical(e)
	}
	return out
}

// A bracket is what stands inside the logarithm of the model, taken apart.
type bracket struct {
	hull     float64 // class, length, measures, factors, seller, age and condition
	share    float64 // of new, by age
	adds     float64 // money that items add
	deducts  float64 // money that items take away, as a positive sum
	withheld float64 // of which the limit does not let through
}

func (b bracket) price() float64 { return b.hull + b.adds - b.deducts + b.withheld }

// itemMoney gives the money of a table at a level, -1 being not stated.
func (s *state) itemMoney(table, level int) float64 {
	if level < 0 {
		return s.tables[table].mean
	}
	return s.tables[table].value[level]
}

// limited gives how much of deductions d comes through when they may take at
// most m: d/(1+(d/m)^4)^(1/4), which is d while d is well under m, with its
// derivatives by d and by m.
func limited(d, m float64) (l, byD, byM float64) {
	if d <= 0 || m <= 0 {
		return 0, 1, 0
	}
	t := d / m
	t4 := t * t * t * t
	root := math.Pow(1+t4, 0.25)
	byD = 1 / (root * (1 + t4))
	return d / root, byD, byD * t4 * t
}

// logHull gives the log of what stands before age in the product.
func (s *state) logHull(e *encoded) float64 {
	h := s.own(e)[0]
	s.plan.eachTerm(e, func(k int, by float64) { h += s.theta[k] * by })
	return h
}

// bracket takes the prediction for a listing apart.
func (s *state) bracket(e *encoded) bracket {
	p := s.plan
	var b bracket
	b.share = s.share(e.age, s.own(e)[1])
	h := s.logHull(e)
	for i, level := range e.levels {
		v := s.itemMoney(i, level)
		switch {
		case i < p.products:
			h += v
		case v >= 0:
			b.adds += v
		default:
			b.deducts -= v
		}
	}
	for i, yes := range e.extras {
		if yes == 1 {
			if v := s.theta[p.at.extras+i]; v >= 0 {
				b.adds += v
			} else {
				b.deducts -= v
			}
		}
	}
	b.hull = math.Exp(h) * b.share
	through, _, _ := limited(b.deducts, p.limit*b.hull)
	b.withheld = b.deducts - through
	return b
}

// logPrice predicts the log of the ask.
func (s *state) logPrice(e *encoded) float64 { return math.Log(s.bracket(e).price()) }

// gradient predicts the log of the ask and writes its derivatives by the
// shared parameters into g, which has the plan's size. The derivatives by the
// effects of the listing's class, and alike of its maker, are returned.
func (s *state) gradient(e *encoded, g []float64) (logPrice float64, own effect) {
	p := s.plan
	clear(g)
	b := s.bracket(e)
	y := b.price()
	_, byD, byM := limited(b.deducts, p.limit*b.hull)
	byHull := b.hull * (1 - byM*p.limit) / y // by the log of the hull
	p.eachTerm(e, func(k int, by float64) { g[k] = byHull * by })
	own[0] = byHull
	own[1] = s.ageSlopes(e.age, s.own(e)[1], byHull, g)
	if k := e.kind; k >= 0 && p.hasAge {
		g[p.at.kindRates+k] = own[1]
	}
	if p.at.sizeRate >= 0 {
		g[p.at.sizeRate] = own[1] * p.fromTypical(e)
	}
	for i := range e.levels {
		s.itemGradient(i, e.levels[i], byHull, byD, y, g)
	}
	for i, yes := range e.extras {
		if yes == 1 {
			k := p.at.extras + i
			g[k] = 1 / y
			if s.theta[k] < 0 {
				g[k] = byD / y
			}
		}
	}
	return math.Log(y), own
}

// itemGradient adds the derivatives by one item's steps and tilt.
func (s *state) itemGradient(i, level int, byHull, byD, y float64, g []float64) {
	t, table := &s.plan.tables[i], &s.tables[i]
	factor := 1 / y
	if i < s.plan.products {
		factor = byHull
	} else if s.itemMoney(i, level) < 0 {
		factor = byD / y
	}
	steps := table.meanGrad
	if level >= 0 {
		steps = table.grad[level]
	} else if t.tilt >= 0 {
		g[t.tilt] = factor * table.meanGrad[t.steps]
	}
	for k := range t.steps {
		g[t.first+k] = factor * steps[k]
	}
}

// unsaid gives the variance of the log price that comes from what the listing
// leaves unsaid.
func (s *state) unsaid(e *encoded) float64 {
	b := s.bracket(e)
	y := b.price()
	v := 0.0
	for i, level := range e.levels {
		if level >= 0 {
			continue
		}
		scale := 1 / y
		if i < s.plan.products {
			scale = b.hull / y
		}
		v += s.tables[i].variance * scale * scale
	}
	return v
}
