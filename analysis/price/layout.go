package price

import (
	"math"
)

// layOut gives every driver its parameters and each parameter its prior.
func (p *plan) layOut(stated map[string]int, measures map[string][]float64, extras map[string]bool, seller, dated bool, n int, scale float64) {
	add := func(mean, sd float64) int {
		p.priors = append(p.priors, priorTerm{mean, sd})
		return len(p.priors) - 1
	}
	floor, rate, power := p.book.Number("floor"), p.book.Number("rate"), p.book.Number("length_power")
	share := 1.0
	p.at = offsets{power: -1, floor: -1, rate: -1, pieces: -1, sizeBend: -1, sizeRate: -1, sizeKnots: -1, trend: -1, dealer: -1, club: -1, measures: -1, extras: -1}
	if p.hasAge {
		share = floor.Value + (1-floor.Value)*math.Exp(-rate.Value*p.typical.age)
	}
	p.at.level = add(p.typical.logAsk-math.Log(share), 0.8)
	if p.hasLength {
		p.at.power = add(power.Value, power.Spread)
		if n >= manySizes {
			p.at.sizeBend = add(0, 0.25)
		}
		p.at.sizeKnots = p.addPool(add, len(p.sizeKnots), bendSpread)
	}
	if p.hasAge {
		p.layOutAge(add)
		if p.hasLength && n >= manySizes {
			p.at.sizeRate = add(0, 0.15)
		}
	}
	p.layOutKinds(add)
	if dated {
		p.at.trend = add(0, 0.05)
	}
	if seller {
		sd := p.book.Number("seller").Spread
		p.at.dealer, p.at.club = add(0, sd), add(0, sd)
	}
	for _, h := range sortedKeys(measures) {
		m := measurePlan{header: h, centre: median(measures[h], 0)}
		m.knots = bendKnots(measures[h], m.centre)
		i := add(0, 1)
		add(0, 0.3) // the bend
		p.addPool(add, len(m.knots), bendSpread)
		if p.at.measures < 0 {
			p.at.measures = i
		}
		m.first = i - p.at.measures
		p.measures = append(p.measures, m)
	}
	for i := range p.factors {
		p.factors[i].first = p.addPool(add, len(p.factors[i].levels), factorSpread)
	}
	p.layOutItems(stated, n, scale, add)
	for _, h := range sortedKeys(extras) {
		p.extras = append(p.extras, h)
		if k := add(0, 0.05*math.Exp(p.typical.logAsk)); p.at.extras < 0 {
			p.at.extras = k
		}
	}
	p.at.size = len(p.priors)
	p.markParameters()
}

// factorSpread is the spread, in log price, that the levels of a factor are
// drawn towards.
const factorSpread = 0.25

// addPool adds a run of parameters that share one spread, and returns the
// first.
func (p *plan) addPool(add func(mean, sd float64) int, count int, sd float64) int {
	first := len(p.priors)
	for range count {
		add(0, sd)
	}
	if count > 0 {
		p.pools = append(p.pools, pool{first, count, sd})
	}
	return first
}

// markParameters notes which parameters move the hull and which are steps.
func (p *plan) markParameters() {
	p.inHull, p.isStep = make([]bool, p.at.size), make([]bool, p.at.size)
	firstItem := p.at.size
	for i, t := range p.tables {
		firstItem = min(firstItem, t.first)
		for k := t.first; k < t.first+t.steps; k++ {
			p.isStep[k] = true
			p.inHull[k] = i < p.products
		}
	}
	for k := range p.inHull {
		p.inHull[k] = p.inHull[k] || k < firstItem && (p.at.extras < 0 || k < p.at.extras)
	}
}
