package price

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"askance/analysis/calibrate"
	"askance/analysis/robust"
)

// A shape says how the spread of asks changes from boat to boat: with age, and
// with what a listing leaves unsaid.
type shape struct {
	perYear    float64 // the log of the spread grows by this a year
	meanAge    float64
	meanUnsaid float64 // variance, over that of the middle
	unsaidPart float64 // how much of the unsaid variance shows in this market, 0 to 1
	scale      float64 // log spread of the middle
}

// relative is the variance at an age and with an unsaid variance, over that of
// the middle.
func (h shape) relative(age, unsaid float64) float64 {
	if h.scale == 0 {
		return 1
	}
	grown := math.Exp(2 * h.perYear * (age - h.meanAge))
	return math.Max(math.Min(math.Max(grown, 0.5), 2)+h.unsaidPart*(unsaid-h.meanUnsaid)/square(h.scale), 0.3)
}

// measureShape looks at the residuals of a fit that took all rows alike.
func (f *fitted) measureShape() shape {
	q := f.problem
	h := shape{scale: f.scale}
	s := q.plan.stateAt(f.at)
	unsaid := make([]float64, len(q.rows))
	for i := range q.rows {
		unsaid[i] = s.unsaid(&q.rows[i])
		h.meanAge += q.rows[i].age / float64(len(q.rows))
		h.meanUnsaid += unsaid[i] / float64(len(q.rows))
	}
	h.perYear = f.growthWithAge(h.meanAge)
	h.unsaidPart = f.unsaidPart(unsaid, h.meanUnsaid)
	return h
}

// A spread says how far asks lie round the model: its shape, how far in the
// middle, and how heavy the tails are.
type spread struct {
	shape
	scale  float64 // log, of the middle
	df     float64
	scores []float64 // |left-out residual| over its spread, of trusted rows, ascending
}

// variance of a log ask round its expectation, at an age and with an unsaid
// variance.
func (sp spread) variance(age, unsaid float64) float64 {
	return square(sp.scale) * sp.relative(age, unsaid)
}

// measureSpread looks at the left-out residuals. On a large market where most
// classes have one or two listings each, the fit goes through those and finds
// less noise than there is; the spread is then sought from that of the boats
// that it knows best.
func (m *Model) measureSpread() spread {
	f := m.fit
	sp := spread{shape: f.shape, scale: f.scale, df: math.Inf(1)}
	n := len(f.problem.rows)
	if n == 0 {
		return sp
	}
	s := m.state()
	noise := m.book.Number("noise")
	through := n >= large && f.effective > float64(n)/4
	if through {
		sp.scale = math.Max(sp.scale, m.spreadOfFirm())
	}
	inside, width := weightedScale(m.standardized(s, sp), 1, 0)
	sp.scale *= noisePrior{sd: 1, worth: noise.Spread}.pooled(width, inside)
	heavy, factor := tails(m.standardized(s, sp))
	sp.scale *= factor
	sp.df = 1 / (1/heavy + 1/math.Max(float64(n)-f.effective+noise.Spread, 4))
	for i, v := range m.standardized(s, sp) {
		if (through || f.weights[i] > 0) && math.Abs(v) < trusted {
			sp.scores = append(sp.scores, math.Abs(v))
		}
	}
	slices.Sort(sp.scores)
	return sp
}

// spreadOfFirm is the spread of the left-out residuals of the half of the
// market that the model foretells most firmly, less what it leaves open there.
func (m *Model) spreadOfFirm() float64 {
	order := make([]int, len(m.leftOut))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(m.leftOut[a].variance, m.leftOut[b].variance) })
	var residuals, variances []float64
	for _, i := range order[:len(order)/2] {
		residuals = append(residuals, m.fit.problem.y[i]-m.leftOut[i].log-m.moved[i])
		variances = append(variances, m.leftOut[i].variance)
	}
	return math.Sqrt(math.Max(square(robust.MAD(residuals, robust.MADNormal))-robust.Median(variances), 0))
}

// trusted is how many spreads off an ask may be and still count as one of its
// market for the width of ranges.
const trusted = 3

// standardized gives the left-out residuals over their spread.
func (m *Model) standardized(s *state, sp spread) []float64 {
	z := make([]float64, len(m.leftOut))
	for i, p := range m.leftOut {
		e := &m.fit.problem.rows[i]
		z[i] = (m.fit.problem.y[i] - p.log - m.moved[i]) / math.Sqrt(sp.variance(e.age, s.unsaid(e))+p.variance)
	}
	return z
}

// growthWithAge regresses log|residual| on age over the rows within edge
// spreads, drawn towards no growth as if growth had a spread of 0.008 a year
// beforehand. The log of the absolute value of a normal has the variance
// pi^2/8.
func (f *fitted) growthWithAge(meanAge float64) float64 {
	const priorSD, variance = 0.008, math.Pi * math.Pi / 8
	var xs, ys []float64
	for i, r := range f.residuals {
		if r = math.Abs(r); r < edge*f.scale {
			xs = append(xs, f.problem.rows[i].age-meanAge)
			ys = append(ys, math.Log(math.Max(r, 0.02*f.scale)))
		}
	}
	if len(xs) < 2 {
		return 0
	}
	covariance, square := stat.Covariance(xs, ys, nil), stat.Variance(xs, nil)
	n := float64(len(xs) - 1)
	return n * covariance / variance / (n*square/variance + 1/(priorSD*priorSD))
}

// unsaidPart regresses the squared residuals on the variance of what each
// listing leaves unsaid: 1 where that variance is all there in the asks, 0
// where those who say nothing are all alike. It is drawn towards one half as
// if it had a spread of one half beforehand.
func (f *fitted) unsaidPart(unsaid []float64, mean float64) float64 {
	const prior, priorSD = 0.5, 0.5
	noise := 2 * math.Pow(f.scale, 4) // variance of a squared normal
	weight, sum := 1/(priorSD*priorSD), prior/(priorSD*priorSD)
	for i, r := range f.residuals {
		if math.Abs(r) < edge*f.scale {
			x := unsaid[i] - mean
			weight += x * x / noise
			sum += x * (r*r - f.scale*f.scale) / noise
		}
	}
	return math.Min(math.Max(sum/weight, 0), 1)
}

// tails estimates the degrees of freedom of t tails from the standardized
// residuals within 2.8 spreads, so that mispriced boats do not pass for heavy
// tails, with the scale that goes with them. It leaves the normal only where
// the likelihood gains clearly, the more so the heavier the tails.
func tails(z []float64) (df, scale float64) {
	const reach = 2.8
	likelihood := func(df, scale float64) float64 {
		var inside float64
		var density func(float64) float64
		if math.IsInf(df, 1) {
			d := distuv.Normal{Sigma: scale}
			inside, density = 2*d.CDF(reach)-1, d.LogProb
		} else {
			d := distuv.StudentsT{Sigma: scale, Nu: df}
			inside, density = 2*d.CDF(reach)-1, d.LogProb
		}
		sum := 0.0
		for _, v := range z {
			if math.Abs(v) < reach {
				sum += density(v) - math.Log(inside)
			}
		}
		return sum
	}
	profile := func(df float64) (best, at float64) {
		best = math.Inf(-1)
		for scale := 0.6; scale <= 1.21; scale += 0.05 {
			if v := likelihood(df, scale); v > best {
				best, at = v, scale
			}
		}
		return best, at
	}
	best, _ := profile(math.Inf(1))
	df, scale = math.Inf(1), 1
	for _, k := range []float64{20, 12, 8, 6, 5, 4} {
		if v, at := profile(k); v-1-8/k > best {
			best, df, scale = v-1-8/k, k, math.Min(at, 1)
		}
	}
	return df, scale
}

// multiplier gives how many spreads the range of the given width reaches to
// each side: by the t distribution, or on a market of 100 trusted listings or
// more by the empirical quantile of their scores, the
// ceil(width*(n+1))-th smallest.
//
// Conformal quantiles of normalised left-out scores: Barber, Candes, Ramdas
// and Tibshirani (2021), Ann. Stat. 49, 486-507, doi:10.1214/20-AOS1965.
func (sp spread) multiplier(width float64) float64 {
	if len(sp.scores) >= 100 {
		if _, k := calibrate.ConformalRanks(len(sp.scores), 1-width); k <= len(sp.scores) {
			return sp.scores[k-1] // they are ascending
		}
	}
	return calibrate.StudentQuantile((1+width)/2, sp.df)
}

// edge is how many spreads off a residual may be and still count for how the
// spread grows.
const edge = 2.5
