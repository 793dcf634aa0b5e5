package price

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"askance/analysis/robust"
)

// noisePrior is what is known beforehand of the spread: its size, and how
// many listings that knowledge is worth.
type noisePrior struct{ sd, worth float64 }

// pooled draws a scale that rests on n listings towards the prior.
func (p noisePrior) pooled(scale, n float64) float64 {
	n = math.Max(n, 0)
	return math.Sqrt((n*scale*scale + p.worth*p.sd*p.sd) / (n + p.worth))
}

// rescale estimates the spread anew from the weighted residuals, less the
// freedom that the fit has used, drawn towards the prior.
func (f *fitted) rescale(noise noisePrior) {
	used := f.used()
	counted, scale := weightedScale(f.residuals, 0.6*f.scale, used)
	f.scale = noise.pooled(scale, counted-used)
}

// weightedScale is the scale s at which the mean square of the residuals,
// weighted by a bisquare that gives no weight from some 3.5 s on, is what it is for a
// normal of scale s; used is the freedom that a fit took from the residuals.
// A boat asked twice its worth lies beyond and does not count. It also returns
// how many residuals count, as the sum of weights over its value at the
// normal. start is a first guess; one from below finds the spread of the core
// where mispriced boats would make for a second, wider answer.
func weightedScale(residuals []float64, start, used float64) (counted, scale float64) {
	loss, _ := robust.BisquareForEfficiency(scaleEfficiency)
	variance, share := normalMoments(loss)
	scale = start
	for range 100 {
		sum, weight := 0.0, 0.0
		for _, r := range residuals {
			w := loss.Weight(r / scale)
			sum += w * r * r
			weight += w
		}
		counted = math.Min(weight/share, float64(len(residuals)))
		if counted == 0 {
			return 0, start
		}
		free := math.Max(counted-used, 0.25*counted)
		next := math.Sqrt(sum / weight / variance * counted / free)
		if math.Abs(next-scale) < 1e-9*scale {
			break
		}
		scale = next
	}
	return counted, scale
}

// scaleEfficiency tunes the bisquare of the spread. A looser one lets
// mispriced boats widen the spread and hide each other, a tighter one takes
// the market's own tails for mispricing. Chosen on simulated markets with
// seeds from 1001 on.
const scaleEfficiency = 0.87

// normalMoments gives E[w(z)z^2]/E[w(z)] and E[w(z)] of a loss's weight at
// the normal.
func normalMoments(loss robust.Bisquare) (variance, share float64) {
	mean := func(f func(z float64) float64) float64 {
		return quad.Fixed(func(z float64) float64 { return f(z) * distuv.UnitNormal.Prob(z) }, -loss.C, loss.C, 64, quad.Legendre{}, 0)
	}
	share = mean(loss.Weight)
	return mean(func(z float64) float64 { return loss.Weight(z) * z * z }) / share, share
}
