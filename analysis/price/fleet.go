package price

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"askance/ingest/boat"
)

// A Draws holds simulated asks of several boats: one row a draw, one column a
// boat, in money.
type Draws [][]float64

// Joint draws the asks of several boats at once: the model's own error is
// shared between them, the noise is each boat's own. The draws are the same
// for the same seed.
func (m *Model) Joint(boats []*boat.Listing, draws int, seed uint64) Draws {
	s := m.state()
	random := rand.New(rand.NewPCG(seed, uint64(len(boats))))
	tail := tailDraw(m.spread.df, random)
	type one struct {
		at, own float64
		half    halved
		encoded
	}
	cases := make([]one, len(boats))
	gradient := make([]float64, len(m.plan.priors))
	for i, l := range boats {
		e := m.plan.encode(l)
		here := priceRow(s, &e)
		cases[i] = one{at: here.logPrice + m.nearby.correctionFor(l, &here, -1), half: m.fit.inverse.halfOf(s, &e, gradient),
			own: math.Sqrt(m.spread.variance(e.age, s.unsaid(&e)) + m.unknownVariance(s, l, &e)), encoded: e}
	}
	normals := func(x []float64) {
		for k := range x {
			x[k] = random.NormFloat64()
		}
	}
	shared, class, maker := make([]float64, len(m.plan.priors)), make([]effect, len(m.plan.classes)), make([]effect, len(m.plan.makers))
	out := make(Draws, draws)
	for d := range out {
		normals(shared)
		for k := range class {
			normals(class[k][:])
		}
		for k := range maker {
			normals(maker[k][:])
		}
		out[d] = make([]float64, len(boats))
		for i, c := range cases {
			model := dot(c.half.shared, shared)
			if c.class >= 0 {
				model += dot(c.half.class[:], class[c.class][:])
			}
			if c.maker >= 0 {
				model += dot(c.half.maker[:], maker[c.maker][:])
			}
			out[d][i] = math.Exp(c.at + model + c.own*tail())
		}
	}
	return out
}

// tailDraw draws standard t, or normal, deviates.
func tailDraw(df float64, random *rand.Rand) func() float64 {
	if math.IsInf(df, 1) {
		return random.NormFloat64
	}
	return distuv.StudentsT{Sigma: 1, Nu: df, Src: random}.Rand
}

// SumQuantile is the p-quantile of the sum over the boats.
func (d Draws) SumQuantile(p float64) float64 {
	sums := make([]float64, len(d))
	for i, row := range d {
		for _, v := range row {
			sums[i] += v
		}
	}
	slices.Sort(sums)
	at := p * float64(len(sums)-1)
	low := int(at)
	if low+1 >= len(sums) {
		return sums[len(sums)-1]
	}
	return sums[low] + (at-float64(low))*(sums[low+1]-sums[low])
}

// SumRange is the range of the sum of asks of several boats, at a width such
// as 0.80, from 20,000 joint draws.
func (m *Model) SumRange(boats []*boat.Listing, width float64) (low, high float64) {
	if len(boats) == 0 {
		return 0, 0
	}
	d := m.Joint(boats, 20000, 1)
	return m.round(d.SumQuantile((1 - width) / 2)), m.round(d.SumQuantile((1 + width) / 2))
}
