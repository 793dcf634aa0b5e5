package price

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat"

	"askance/ingest/boat"
)

// The nearest comparables have the last word: a prediction is corrected by
// what its neighbours ask over or under the model, as in the sales-comparison
// step of an appraisal. How near a neighbour must be, and how many it takes
// before they are believed, comes from cross-validation on the market at
// hand; where that shows no gain, nothing is corrected. Which neighbours count
// does not hang on a boat's items, so that a better item cannot lower a price
// by bringing other neighbours.

// A neighbourhood finds neighbours without looking at every pair of rows.
type neighbourhood struct {
	model  *Model
	orders []rowOrder
	shift  []float64 // of each row: (full - left-out) / leverage
	scales []float64 // spread of the log of each measure
	kernel weighing
}

// A rowOrder is the rows sorted within groups, so that the nearest ones of a
// group stand side by side.
type rowOrder struct {
	rows  []int
	group func(*encoded) int
	key   func(*pricedRow) float64
	reach int // how many to take on each side
}

// sameLevels numbers the combinations of the user's factors that the rows
// have; -1 for any other.
func (m *Model) sameLevels() func(*encoded) int {
	numbers := map[string]int{}
	for i := range m.rows {
		if k := m.rows[i].boat.combined; lookup(numbers, k) < 0 {
			numbers[k] = len(numbers)
		}
	}
	return func(e *encoded) int { return lookup(numbers, e.combined) }
}

// newNeighbourhood sorts the rows by class and age, class and price, maker
// and length, and length alone.
func (m *Model) newNeighbourhood() *neighbourhood {
	n := &neighbourhood{model: m, kernel: noCorrection().ready()}
	class := func(e *encoded) int { return e.class }
	if len(m.plan.classes) == 0 { // all are of one kind
		class = func(*encoded) int { return 0 }
	}
	all := func(*encoded) int { return 0 }
	age := func(r *pricedRow) float64 { return r.boat.age }
	price := func(r *pricedRow) float64 { return r.bare }
	length := func(r *pricedRow) float64 { return r.boat.logLength }
	n.orders = []rowOrder{{group: class, key: age, reach: 20}, {group: class, key: price, reach: 20}, {group: all, key: price, reach: 10}}
	if m.plan.hasLength {
		n.orders = append(n.orders, rowOrder{group: all, key: length, reach: 10})
		if len(m.plan.makers) > 0 {
			n.orders = append(n.orders, rowOrder{group: func(e *encoded) int { return e.maker }, key: length, reach: 15})
		}
	}
	if len(m.plan.factors) > 0 {
		n.orders = append(n.orders, rowOrder{group: m.sameLevels(), key: price, reach: 15})
	}
	if len(m.plan.kinds) > 0 {
		n.orders = append(n.orders, rowOrder{group: func(e *encoded) int { return e.kind }, key: price, reach: 15})
	}
	for i := range m.plan.factors {
		n.orders = append(n.orders, rowOrder{group: func(e *encoded) int { return e.factors[i] }, key: price, reach: max(3, 30/len(m.plan.factors))})
	}
	for i := range m.plan.measures {
		n.orders = append(n.orders, rowOrder{group: class, key: func(r *pricedRow) float64 { return orNought(m.plan.measures[i].of(r.boat)[0]) }, reach: max(3, 30/len(m.plan.measures))})
		n.scales = append(n.scales, m.spreadOfMeasure(i))
	}
	for i := range n.orders {
		n.orders[i].sort(m.rows)
	}
	f := m.fit
	for i, p := range m.leftOut {
		n.shift = append(n.shift, (m.rows[i].logPrice-p.log)/f.leverage[i])
	}
	return n
}

func orNought(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

// spreadOfMeasure is the standard deviation of the log of a measure.
func (m *Model) spreadOfMeasure(i int) float64 {
	var x []float64
	for _, r := range m.rows {
		if v := m.plan.measures[i].of(r.boat)[0]; !math.IsNaN(v) {
			x = append(x, v)
		}
	}
	if len(x) < 2 {
		return 1
	}
	return math.Max(stat.StdDev(x, nil), 1e-9)
}

func (o *rowOrder) sort(rows []pricedRow) {
	o.rows = make([]int, len(rows))
	for i := range rows {
		o.rows[i] = i
	}
	slices.SortStableFunc(o.rows, func(a, b int) int { return o.compare(&rows[a], &rows[b]) })
}

func (o *rowOrder) compare(a, b *pricedRow) int {
	if ga, gb := o.group(a.boat), o.group(b.boat); ga != gb {
		return ga - gb
	}
	return compare(o.key(a), o.key(b))
}

// near lists the rows that stand next to a boat in this order.
func (o *rowOrder) near(rows []pricedRow, here *pricedRow) []int {
	at := sort.Search(len(o.rows), func(k int) bool { return o.compare(&rows[o.rows[k]], here) >= 0 })
	var out []int
	for k := at; k < len(o.rows) && k < at+o.reach && o.group(rows[o.rows[k]].boat) == o.group(here.boat); k++ {
		out = append(out, o.rows[k])
	}
	for k := at - 1; k >= 0 && k >= at-o.reach && o.group(rows[o.rows[k]].boat) == o.group(here.boat); k-- {
		out = append(out, o.rows[k])
	}
	return out
}

// near lists the rows next to a boat in any order, in row order. own is the
// boat's own row, or -1; it is not among them, nor are other listings of the
// same boat.
func (n *neighbourhood) near(l *boat.Listing, here *pricedRow, own int) []int {
	m := n.model
	seen := map[int]bool{own: true}
	var rows []int
	for i := range n.orders {
		if n.orders[i].group(here.boat) < 0 {
			continue // of an unknown class or maker there are no others
		}
		for _, j := range n.orders[i].near(m.rows, here) {
			if !seen[j] {
				seen[j] = true
				if !sameBoat(l, m.listings[j]) {
					rows = append(rows, j)
				}
			}
		}
	}
	slices.Sort(rows)
	return rows
}

// pairs lists the neighbours of a boat, which is row own of the fit, or -1.
func (n *neighbourhood) pairs(l *boat.Listing, here *pricedRow, own int) []pair {
	m := n.model
	rows := n.near(l, here, own)
	out := make([]pair, 0, len(rows))
	clip := 2 * m.fit.scale
	for _, j := range rows {
		other := m.listings[j]
		if m.fit.weights[j] == 0 || twoBrokers(l, other) {
			continue
		}
		e := m.rows[j].boat
		p := pair{row: j, weight: m.fit.weights[j], residual: m.fit.residuals[j] * m.fit.problem.rowSD[j]}
		if own >= 0 {
			p.residual += m.fit.covariance(j, own) * n.shift[own]
		}
		p.residual = math.Min(math.Max(p.residual, -clip), clip)
		switch {
		case e.class == here.boat.class && (e.class >= 0 || len(m.plan.classes) == 0):
		case e.maker >= 0 && e.maker == here.boat.maker:
			p.kind = 1
		case e.kind >= 0 && e.kind == here.boat.kind:
			p.kind = 3
		default:
			p.kind = 2
		}
		p.age = square(math.Log((3 + e.age) / (3 + here.boat.age)))
		p.price = square(m.rows[j].bare - here.bare)
		p.length = square(e.logLength - here.boat.logLength)
		p.place = l.Place.Known && other.Place.Known && fold(l.Place.Value) != fold(other.Place.Value)
		p.traits = traitsApart(here.boat, e)
		p.measures = n.measuresApart(here.boat, e)
		out = append(out, p)
	}
	return out
}

func square(x float64) float64 { return x * x }

// traitsApart has a bit for each of the user's factors and extras in which two
// boats differ, the first maxTraits of them.
func traitsApart(a, b *encoded) uint64 {
	var set uint64
	differ := func(i int, yes bool) {
		if yes && i < maxTraits {
			set |= 1 << i
		}
	}
	for i := range a.factors {
		differ(i, a.factors[i] != b.factors[i])
	}
	for i := range a.extras {
		differ(len(a.factors)+i, a.extras[i] != b.extras[i])
	}
	return set
}

// measuresApart gives the squared difference of each measure over its spread
// in the market; a measure that one of the boats does not tell is one spread
// apart.
func (n *neighbourhood) measuresApart(a, b *encoded) []float64 {
	out := make([]float64, len(n.scales))
	for i, scale := range n.scales {
		x, y := n.model.plan.measures[i].of(a)[0], n.model.plan.measures[i].of(b)[0]
		switch {
		case math.IsNaN(x) && math.IsNaN(y):
		case math.IsNaN(x) || math.IsNaN(y):
			out[i] = 1
		default:
			out[i] = square((x - y) / scale)
		}
	}
	return out
}

// twoBrokers tells rows that may be one boat offered twice: equal class, year
// and length, and asks within 2 %.
func twoBrokers(a, b *boat.Listing) bool {
	if a.Class.Value != b.Class.Value || a.Year.Value != b.Year.Value || a.Length.Value != b.Length.Value || !a.Price.Known || !b.Price.Known {
		return false
	}
	return math.Abs(math.Log(a.Price.Major()/b.Price.Major())) < 0.02
}

// covariance is g_i' A^-1 g_j of two rows.
func (f *fitted) covariance(i, j int) float64 {
	a, b := &f.problem.rows[i], &f.problem.rows[j]
	return product(f.halves[i], f.halves[j], a.maker == b.maker, a.class == b.class)
}

// correctionFor is the log by which the neighbours of a boat move its price.
func (n *neighbourhood) correctionFor(l *boat.Listing, here *pricedRow, own int) float64 {
	if math.IsInf(n.kernel.worth, 1) {
		return 0
	}
	return n.kernel.correction(n.pairs(l, here, own))
}
