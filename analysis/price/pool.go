package price

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// poolWorth is how many members a pool's prior spread is worth.
const poolWorth = 4

// pool re-estimates how far classes, makers and the levels of factors spread
// round nought, from the effects of the fit and their own uncertainty, drawn
// towards the prior spread. It reports whether there is anything to pool.
//
// Partial pooling by the expectation step of a random-effects model: Laird and
// Ware (1982), Biometrics 38, 963-974, doi:10.2307/2529876.
func (f *fitted) pool(classPrior, makerPrior effect) bool {
	q := f.problem
	g := make([]float64, len(q.plan.priors))
	spread := func(prior float64, effects []float64, variance func(int) float64) float64 {
		sum := poolWorth * prior * prior
		for i, effect := range effects {
			sum += effect*effect + variance(i)
		}
		return math.Sqrt(sum / float64(poolWorth+len(effects)))
	}
	any := false
	tier := func(effects []effect, prior effect, half func(i int, unit effect) halved) effect {
		if len(effects) < 2 {
			return prior
		}
		any = true
		for b := range prior {
			var unit effect
			unit[b] = 1
			own := make([]float64, len(effects))
			for i, e := range effects {
				own[i] = e[b]
			}
			prior[b] = spread(prior[b], own, func(i int) float64 { return half(i, unit).variance() })
		}
		return prior
	}
	q.classSD = tier(f.at.class, classPrior, func(c int, unit effect) halved { return f.inverse.effectHalf(c, -1, unit) })
	q.makerSD = tier(f.at.maker, makerPrior, func(m int, unit effect) halved { return f.inverse.effectHalf(-1, m, unit) })
	for _, p := range q.plan.pools {
		any = true
		sd := spread(p.prior, f.at.theta[p.first:p.first+p.count], func(k int) float64 {
			g[p.first+k] = 1
			defer func() { g[p.first+k] = 0 }()
			return f.inverse.half(g, -1, -1, effect{}).variance()
		})
		for k := range p.count {
			q.plan.priors[p.first+k].sd = sd
		}
	}
	return any
}

// effectHalf halves the unit vector of one effect of a class, or of a maker.
func (f *factored) effectHalf(class, maker int, unit effect) halved {
	h := halved{shared: make([]float64, f.arrow.p)}
	if class >= 0 {
		f.takeClass(h.shared, class, unit)
		h.class = f.arrow.class.blocks[class].half(unit)
		if maker = f.arrow.makerOf[class]; maker >= 0 {
			h.maker = f.less(effect{}, class, unit)
		}
	} else {
		h.maker = unit
	}
	if maker >= 0 {
		f.takeMaker(h.shared, maker, h.maker)
		h.maker = f.maker.blocks[maker].half(h.maker)
	}
	blas64.Trsv(blas.Trans, f.upper, vector(h.shared))
	return h
}
