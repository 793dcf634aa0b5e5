package price

import (
	"math"

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

// everyRow lists the rows with weight one.
func (q *problem) everyRow() ([]int, []float64) {
	index, weights := make([]int, len(q.rows)), make([]float64, len(q.rows))
	for i := range index {
		index[i], weights[i] = i, 1
	}
	return index, weights
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
