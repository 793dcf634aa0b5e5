package price

import (
	"math"
	"slices"

	"askance/ingest/boat"
)

// A Pull is how strongly one listing's ask bears on a figure.
type Pull struct {
	Listing *boat.Listing
	Share   float64 // of all listings' pull, 0 to 1
	Shift   float64 // by how much of its value the figure would change without the listing, to first order
}

// A Backing is what the market has behind a figure. Listings that say nothing
// of the item count too: they are what those that do are compared with.
type Backing struct {
	Effective float64 // as many listings of equal pull would settle the figure as firmly; 0 where none pulls
	Strongest []Pull  // the two with the most pull, the stronger first
}

// backing looks at a linear form of the shared parameters, which is the
// logarithm of the figure or, unlogged, the figure itself, of size value. An
// ask bears on it by w_i/s_i^2 form' A^-1 g_i; the effective number is the
// square of the sum of these over the sum of their squares (Kish 1965, Survey
// Sampling, section 11.7).
func (m *Model) backing(form map[int]float64, value float64) Backing {
	g := make([]float64, len(m.plan.priors))
	for k, v := range form {
		g[k] = v
	}
	f := m.fit
	toward := f.inverse.half(g, -1, -1, effect{})
	pulls := make([]Pull, len(f.halves))
	sum, squares := 0.0, 0.0
	for i := range f.halves {
		sd := f.scale * f.problem.rowSD[i]
		bears := f.weights[i] / (sd * sd) * product(toward, f.halves[i], false, false)
		left := math.Max(1-f.loss.PsiPrime(f.residuals[i]/f.scale)*f.leverage[i]/(sd*sd), 0.2)
		pulls[i] = Pull{m.listings[i], math.Abs(bears), -bears * f.residuals[i] * f.problem.rowSD[i] / left / value}
		sum, squares = sum+math.Abs(bears), squares+bears*bears
	}
	if squares == 0 {
		return Backing{}
	}
	for i := range pulls {
		pulls[i].Share /= sum
	}
	slices.SortStableFunc(pulls, func(a, b Pull) int { return compare(b.Share, a.Share) })
	return Backing{Effective: sum * sum / squares, Strongest: pulls[:min(2, len(pulls))]}
}
