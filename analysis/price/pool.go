package price

import "math"

// poolWorth is how many members a pool's prior spread is worth.
const poolWorth = 4

// pool re-estimates how far classes, makers and the levels of factors spread
// round nought, from the effects of the fit and their own uncertainty, drawn
// towards the prior spread. It reports whether there is anything to pool.
//
// Partial pooling by the expectation step of a random-effects model: Laird and
// Ware (1982), Biometrics 38, 963-974, doi:10.2307/2529876.
func (f *fitted) pool(classPrior effect) bool {
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
	if n := len(f.at.class); n > 1 {
		any = true
		for b, prior := range classPrior {
			var unit effect
			unit[b] = 1
			effects := make([]float64, n)
			for c, e := range f.at.class {
				effects[c] = e[b]
			}
			q.classSD[b] = spread(prior, effects, func(c int) float64 {
				z := f.inverse.halfSolve(g, c, unit)
				return dot(z, z)
			})
		}
	}
	for _, p := range q.plan.pools {
		any = true
		sd := spread(p.prior, f.at.theta[p.first:p.first+p.count], func(k int) float64 {
			g[p.first+k] = 1
			z := f.inverse.halfSolve(g, -1, effect{})
			g[p.first+k] = 0
			return dot(z, z)
		})
		for k := range p.count {
			q.plan.priors[p.first+k].sd = sd
		}
	}
	return any
}
