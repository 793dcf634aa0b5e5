package price

import (
	"math"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// An itemPlan is one item of the knowhow in the model. Its levels are built
// from positive steps: level l is worth sum_s coef[l][s]*exp(theta_s), in
// money, or in log price for what multiplies the hull. So a better grade is
// never worth less, whatever the market says.
type itemPlan struct {
	item   knowhow.Item
	first  int         // parameter of the first step
	steps  int         // how many steps
	tilt   int         // parameter that tilts the usual shares, -1 for none
	coef   [][]float64 // per level, per step
	usual  []float64   // share of each level among boats that say nothing
	slope  []float64   // how the tilt moves each level's share
	stated int         // listings that state it
}

// levelOf gives the index of the level that the listing states, -1 for none.
func (t *itemPlan) levelOf(l *boat.Listing) int {
	value := ""
	if t.item.Kind == knowhow.Condition {
		if l.Condition.Known {
			value = l.Condition.Value
		}
	} else if f, ok := l.Find(t.item.ID); ok {
		value = f.Value
	}
	for i, v := range t.item.Levels {
		if v.ID == value {
			return i
		}
	}
	return -1
}

// multiplies tells whether the item multiplies the hull.
func (t *itemPlan) multiplies() bool { return t.item.Factor }

// layOutItems takes the items that some listing states into the plan: first
// those that multiply the hull, then those worth money.
func (p *plan) layOutItems(stated map[string]int, n int, scale float64, add func(mean, sd float64) int) {
	for _, products := range []bool{true, false} {
		for _, it := range p.book.Items {
			if it.Factor != products || it.IsStructural() || stated[it.ID] == 0 {
				continue
			}
			t := itemPlan{item: it, tilt: -1, stated: stated[it.ID]}
			t.first = len(p.priors)
			t.build(scale, add)
			if t.steps == 0 {
				continue
			}
			if t.stated < n {
				t.tilt = add(0, 0.5)
			}
			p.tables = append(p.tables, t)
			if products {
				p.products++
			}
		}
	}
}

// build lays out the steps of one item with their priors.
func (t *itemPlan) build(scale float64, add func(mean, sd float64) int) {
	levels := t.item.Levels
	t.coef = make([][]float64, len(levels))
	worth := func(v knowhow.Value) float64 {
		if t.item.Factor {
			return math.Log(v.Factor)
		}
		return v.Adds * scale
	}
	switch t.item.Kind {
	case knowhow.Extra, knowhow.Defect:
		t.buildSingle(worth, add)
	default:
		t.steps = len(levels) - 1
		for i := 1; i < len(levels); i++ {
			spread := levels[i].Spread
			if levels[i].ID == t.item.Reference { // the step up to the reference is told by the level below it
				spread = levels[i-1].Spread
			}
			add(math.Log(worth(levels[i])-worth(levels[i-1])), spread)
		}
		reference := 0
		for i, v := range levels {
			if v.ID == t.item.Reference {
				reference = i
			}
		}
		for i := range levels {
			t.coef[i] = make([]float64, t.steps)
			for s := min(i, reference); s < max(i, reference); s++ {
				t.coef[i][s] = math.Copysign(1, float64(i-reference))
			}
		}
	}
	for i, v := range levels {
		t.usual = append(t.usual, v.Usual)
		at := float64(i) / float64(len(levels)-1)
		if t.item.Kind == knowhow.Extra || t.item.Kind == knowhow.Defect { // told against the rest
			at = 0
			if v.ID == knowhow.Included || v.ID == knowhow.Present {
				at = 1
			}
		}
		t.slope = append(t.slope, at*2)
	}
}

// buildSingle lays out an item of one step: an extra that adds, or a defect
// that takes away; its other levels are a fixed share of that step.
func (t *itemPlan) buildSingle(worth func(knowhow.Value) float64, add func(mean, sd float64) int) {
	whole := knowhow.Value{}
	for _, v := range t.item.Levels {
		if v.ID == knowhow.Included || v.ID == knowhow.Present {
			whole = v
		}
	}
	step := worth(whole)
	if step == 0 {
		return
	}
	t.steps = 1
	add(math.Log(math.Abs(step)), whole.Spread)
	for i, v := range t.item.Levels {
		t.coef[i] = []float64{math.Copysign(1, step) * worth(v) / step}
	}
}

// A levelTable is an itemPlan at given parameters.
type levelTable struct {
	value    []float64   // per level: money, or log factor
	grad     [][]float64 // per level: its derivative by each step
	mean     float64     // where nothing is said: the expected money, or the log of the expected factor
	meanGrad []float64   // its derivative by each step, and by the tilt last
	variance float64     // where nothing is said: of the money, or of the factor relative to its mean
}

// at evaluates the item's levels at the parameters theta.
func (t *itemPlan) at(theta []float64, out *levelTable) {
	n := len(t.coef)
	if out.value == nil {
		out.value, out.grad, out.meanGrad = make([]float64, n), make([][]float64, n), make([]float64, t.steps+1)
		for i := range out.grad {
			out.grad[i] = make([]float64, t.steps)
		}
	}
	for i := range n {
		out.value[i] = 0
		for s := range t.steps {
			g := t.coef[i][s] * math.Exp(theta[t.first+s])
			out.grad[i][s] = g
			out.value[i] += g
		}
	}
	share, total := make([]float64, n), 0.0
	tilt := 0.0
	if t.tilt >= 0 {
		tilt = theta[t.tilt]
	}
	for i := range n {
		share[i] = t.usual[i] * math.Exp(tilt*t.slope[i])
		total += share[i]
	}
	clear(out.meanGrad)
	mean, square, slope := 0.0, 0.0, 0.0
	for i := range n {
		share[i] /= total
		slope += share[i] * t.slope[i]
	}
	for i := range n {
		v, outer := out.value[i], 1.0
		if t.multiplies() {
			v = math.Exp(v)
			outer = v
		}
		mean += share[i] * v
		square += share[i] * v * v
		for s := range t.steps {
			out.meanGrad[s] += share[i] * outer * out.grad[i][s]
		}
		out.meanGrad[t.steps] += share[i] * (t.slope[i] - slope) * v
	}
	out.mean, out.variance = mean, math.Max(square-mean*mean, 0)
	if t.multiplies() {
		out.mean, out.variance = math.Log(mean), out.variance/(mean*mean)
		for s := range out.meanGrad {
			out.meanGrad[s] /= mean
		}
	}
}
