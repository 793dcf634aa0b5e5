package price

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"askance/analysis/robust"
)

// Tuning holds every setting of the fit. The zero value is the recommended
// setting.
type Tuning struct {
	Efficiency float64 // of the bisquare at the normal, 0 means 0.95
	Starts     int     // random subsets, 0 means 40
	Keep       float64 // share of rows that the trimmed start fits, 0 means 0.60
	Seed       uint64  // 0 means 1
	Steps      int     // most Gauss-Newton steps of the refinement, 0 means 100
	PriorScale float64 // multiplies the spread of every prior, 0 means 1: what if the priors were half or twice as firm
}

func (t Tuning) filled() Tuning {
	if t.Efficiency == 0 {
		t.Efficiency = 0.95
	}
	if t.Starts == 0 {
		t.Starts = 40
	}
	if t.Keep == 0 {
		t.Keep = 0.60
	}
	if t.Seed == 0 {
		t.Seed = 1
	}
	if t.Steps == 0 {
		t.Steps = 100
	}
	if t.PriorScale == 0 {
		t.PriorScale = 1
	}
	return t
}

// A fitted problem: where the refinement ended, with the pieces that the
// left-out predictions need.
type fitted struct {
	problem    *problem
	shape      shape // of the spread, by which rows weigh
	at         point
	scale      float64
	loss       robust.Bisquare
	residuals  []float64 // over rowSD
	weights    []float64 // bisquare, 0 to 1
	inverse    *factored // of the Hessian A
	shrunk     bool      // A was indefinite, so weights stand for psi'
	halves     []halved
	leverage   []float64 // q_i = g_i' A^-1 g_i
	effective  float64   // parameters that the data, not the priors, settle
	iterations int
	converged  bool
}

// fit fits the problem: a trimmed start of high breakdown, then bisquare
// refinement with the scale held, the scale estimated once more, and the
// refinement again.
//
// Least trimmed squares: Rousseeuw (1984), J. Am. Stat. Assoc. 79, 871-880,
// doi:10.1080/01621459.1984.10477105; concentration steps: Rousseeuw and
// Van Driessen (2006), Data Min. Knowl. Discov. 12, 29-45,
// doi:10.1007/s10618-005-0024-4. Bisquare refinement with the scale of the
// start: Yohai (1987), Ann. Stat. 15, 642-656, doi:10.1214/aos/1176350366.
func (q *problem) fit(t Tuning, noise noisePrior) (*fitted, error) {
	t = t.filled()
	loss, err := robust.BisquareForEfficiency(t.Efficiency)
	if err != nil {
		return nil, err
	}
	start := q.trimmedStart(t, noise.sd)
	counted, scale := weightedScale(q.residuals(start), q.keptSpread(start, t.Keep), 0)
	scale = noise.pooled(scale, counted/2)
	f := &fitted{problem: q, loss: loss, scale: scale, at: start}
	f.refine(t.Steps, rough)
	f.rescale(noise)
	return f, f.again(t, noise, rough)
}

// again refines from where the fit stands, at last to a tolerance.
func (f *fitted) again(t Tuning, noise noisePrior, tolerance float64) error {
	f.refine(t.Steps, rough)
	f.rescale(noise)
	f.refine(t.Steps, tolerance)
	return f.finish()
}

// noisePrior is what is known beforehand of the spread: its size, and how
// many listings that knowledge is worth.
type noisePrior struct{ sd, worth float64 }

// pooled draws a scale that rests on n listings towards the prior.
func (p noisePrior) pooled(scale, n float64) float64 {
	n = math.Max(n, 0)
	return math.Sqrt((n*scale*scale + p.worth*p.sd*p.sd) / (n + p.worth))
}

// everyRow lists the rows with weight one.
func (q *problem) everyRow() ([]int, []float64) {
	index, weights := make([]int, len(q.rows)), make([]float64, len(q.rows))
	for i := range index {
		index[i], weights[i] = i, 1
	}
	return index, weights
}

// trimmedStart searches the fit whose best rows fit best.
func (q *problem) trimmedStart(t Tuning, scale float64) point {
	n := len(q.rows)
	if n == 0 {
		pt, _ := q.descend(q.priorPoint(), nil, nil, scale, t.Steps)
		return pt
	}
	random := rand.New(rand.NewPCG(t.Seed, uint64(n)))
	size := min(n, startRows, 6+len(q.plan.classes)/4)
	type candidate struct {
		at   point
		cost float64
	}
	var found []candidate
	ones := make([]float64, n)
	for i := range ones {
		ones[i] = 1
	}
	part := q.sample(random, startRows)
	for k := range t.Starts + 1 {
		at := q.priorPoint()
		if k > 0 { // the first start is the priors' own middle
			subset := random.Perm(len(part.rows))[:size]
			at, _ = part.descend(at, subset, ones[:size], scale, 4)
		}
		var cost float64
		for range 2 {
			at, cost = part.concentrate(at, t.Keep, scale, 2)
		}
		found = append(found, candidate{at, cost})
	}
	slices.SortStableFunc(found, func(a, b candidate) int { return compare(a.cost, b.cost) })
	best := candidate{cost: math.Inf(1)}
	for _, c := range found[:min(5, len(found))] {
		for range 30 {
			at, cost := q.concentrate(c.at, t.Keep, scale, 4)
			done := c.cost-cost < 1e-8*(1+cost)
			c = candidate{at, cost}
			if done {
				break
			}
		}
		if c.cost < best.cost {
			best = c
		}
	}
	return best.at
}

// startRows is how many rows the first stage of the trimmed start looks at:
// more would not find a better start, only later.
const startRows = 1000

// sample is the problem with at most that many of its rows, picked at random.
func (q *problem) sample(random *rand.Rand, most int) *problem {
	if len(q.rows) <= most {
		return q
	}
	part := *q
	part.rows, part.y, part.rowSD = nil, nil, nil
	picked := random.Perm(len(q.rows))[:most]
	slices.Sort(picked)
	for _, i := range picked {
		part.rows, part.y, part.rowSD = append(part.rows, q.rows[i]), append(part.y, q.y[i]), append(part.rowSD, q.rowSD[i])
	}
	return &part
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// concentrate refits on the rows that the point fits best, and gives the
// trimmed cost of the new point.
func (q *problem) concentrate(at point, keep, scale float64, steps int) (point, float64) {
	best := q.bestRows(at, keep)
	ones := make([]float64, len(best))
	for i := range ones {
		ones[i] = 1
	}
	at, _ = q.descend(at, best, ones, scale, steps)
	return at, q.objective(at, q.bestRows(at, keep), ones, scale)
}

// bestRows lists the rows with the smallest residuals, in row order.
func (q *problem) bestRows(at point, keep float64) []int {
	r := q.residuals(at)
	order := make([]int, len(r))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(math.Abs(r[a]), math.Abs(r[b])) })
	best := order[:trimmedCount(len(r), keep)]
	slices.Sort(best)
	return best
}

func trimmedCount(n int, keep float64) int { return min(n, int(math.Ceil(keep*float64(n)))) }

// keptSpread is the root mean square of the residuals of the best rows, which
// lies below the spread of the market, so that the search for that spread
// starts from below and stops before it takes in what is mispriced.
func (q *problem) keptSpread(at point, keep float64) float64 {
	n := len(q.rows)
	if n == 0 {
		return 0
	}
	h := trimmedCount(n, keep)
	return robust.TrimmedScale(q.residuals(at), h) / robust.TrimmedConsistency(h, n)
}

// The share of the objective that a step must still win to go on: fine where
// the fit ends, rough where only the scale is estimated from it.
const (
	fine  = 1e-11
	rough = 1e-7
)

// refine takes reweighted Gauss-Newton steps to the bisquare fit at the scale
// that is set.
func (f *fitted) refine(most int, tolerance float64) {
	q := f.problem
	index, weights := q.everyRow()
	rho := func(pt point) float64 {
		sum := q.penalty(pt, q.plan.stateAt(pt))
		for _, r := range q.residuals(pt) {
			sum += 2 * f.loss.Rho(r/f.scale)
		}
		return sum
	}
	before := rho(f.at)
	for range most {
		f.iterations++
		for i, r := range q.residuals(f.at) {
			weights[i] = f.loss.Weight(r / f.scale)
		}
		next, _, moved := q.step(f.at, q.objective(f.at, index, weights, f.scale), index, weights, f.scale)
		if !moved {
			f.converged = true
			break
		}
		after := rho(next)
		f.at = next
		if math.Abs(before-after) < tolerance*(1+before) {
			f.converged = true
			break
		}
		before = after
	}
	f.residuals = q.residuals(f.at)
	f.weights = make([]float64, len(f.residuals))
	for i, r := range f.residuals {
		f.weights[i] = f.loss.Weight(r / f.scale)
	}
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

// edge is how many spreads off a residual may be and still count for how the
// spread grows.
const edge = 2.5

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
