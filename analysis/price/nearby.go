package price

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"askance/ingest/boat"
)

// The nearest comparables have the last word: a prediction is corrected by
// what its neighbours ask over or under the model, as in the sales-comparison
// step of an appraisal. How near a neighbour must be, and how many it takes
// before they are believed, comes from cross-validation on the market at
// hand; where that shows no gain, nothing is corrected. Which neighbours count
// does not hang on a boat's items, so that a better item cannot lower a price
// by bringing other neighbours.

// A kernel says how much a neighbour counts.
type kernel struct {
	age    float64 // width in log(3 + age); +Inf: age does not matter
	price  float64 // width in log of the predicted price, items left aside
	maker  float64 // weight of another class of the same maker and length
	others float64 // weight of any class of the same length
	place  float64 // weight of another place, and of another level of a factor
	worth  float64 // the neighbours' weight that their absence of a difference is worth; +Inf: no correction
}

// noCorrection leaves predictions as they are.
func noCorrection() kernel { return kernel{worth: math.Inf(1)} }

// widths of the kernel in log length, for other classes.
const lengthWidth = 0.06

// A pair is one neighbour of a boat with what its weight is made of.
type pair struct {
	row      int
	residual float64 // as the boat sees it: without that boat in the fit, clipped
	weight   float64 // bisquare
	kind     int     // 0 same class, 1 same maker, 2 neither
	age      float64 // squared difference of log(3 + age)
	price    float64 // squared difference of log price, items left aside
	length   float64 // squared difference of log length
	apart    int     // differences of place and factors
}

func (k kernel) weigh(p *pair) float64 {
	w := p.weight * math.Exp(-0.5*(p.age/(k.age*k.age)+p.price/(k.price*k.price)))
	switch p.kind {
	case 1:
		w *= k.maker * math.Exp(-0.5*p.length/(lengthWidth*lengthWidth))
	case 2:
		w *= k.others * math.Exp(-0.5*p.length/(lengthWidth*lengthWidth))
	}
	for range p.apart {
		w *= k.place
	}
	return w
}

// correction is the log by which the neighbours move a prediction.
func (k kernel) correction(pairs []pair) float64 {
	if math.IsInf(k.worth, 1) {
		return 0
	}
	sum, weight := 0.0, k.worth
	for i := range pairs {
		w := k.weigh(&pairs[i])
		sum += w * pairs[i].residual
		weight += w
	}
	return sum / weight
}

// A neighbourhood finds neighbours without looking at every pair of rows.
type neighbourhood struct {
	model  *Model
	orders []rowOrder
	shift  []float64 // of each row: (full - left-out) / leverage
	kernel kernel
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
	n := &neighbourhood{model: m, kernel: noCorrection()}
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
	for i := range n.orders {
		n.orders[i].sort(m.rows)
	}
	f := m.fit
	for i, p := range m.leftOut {
		n.shift = append(n.shift, (m.rows[i].logPrice-p.log)/f.leverage[i])
	}
	return n
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
		default:
			p.kind = 2
		}
		p.age = square(math.Log((3 + e.age) / (3 + here.boat.age)))
		p.price = square(m.rows[j].bare - here.bare)
		p.length = square(e.logLength - here.boat.logLength)
		p.apart = apart(l, other, here.boat, e)
		out = append(out, p)
	}
	return out
}

func square(x float64) float64 { return x * x }

// apart counts in how many of place and the user's factors two boats differ.
func apart(a, b *boat.Listing, ea, eb *encoded) int {
	n := 0
	if a.Place.Known && b.Place.Known && fold(a.Place.Value) != fold(b.Place.Value) {
		n++
	}
	for i := range ea.factors {
		if ea.factors[i] != eb.factors[i] {
			n++
		}
	}
	return n
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

// choosingRows is how many rows at most the kernel is chosen on; they are a
// random sample of a larger market.
const choosingRows = 4000

// choose picks the kernel by leave-one-out over the market: one setting after
// the other, in two rounds. Without a gain that stands out from its own
// scatter there is no correction; it must stand out by three times, since the
// best of some thirty settings always seems to gain a little.
func (n *neighbourhood) choose() {
	m := n.model
	if len(m.rows) < 40 {
		return
	}
	rows := rand.New(rand.NewPCG(m.tuning.Seed, 2)).Perm(len(m.rows))
	rows = rows[:min(len(rows), choosingRows)]
	slices.Sort(rows)
	all := make([][]pair, len(rows))
	raw := make([]float64, len(rows))
	for k, i := range rows {
		all[k] = n.pairs(m.listings[i], &m.rows[i], i)
		raw[k] = m.fit.problem.y[i] - m.leftOut[i].log
	}
	loss := func(k kernel) []float64 {
		out := make([]float64, len(raw))
		for i, r := range raw {
			out[i] = math.Min(math.Abs(r-k.correction(all[i])), 3*m.fit.scale)
		}
		return out
	}
	inf := math.Inf(1)
	best := kernel{age: 0.6, price: inf, maker: 0.3, others: 0, place: 1, worth: 8}
	least := total(loss(best))
	try := func(set func(*kernel, float64), values ...float64) {
		for _, v := range values {
			k := best
			set(&k, v)
			if t := total(loss(k)); t < least-1e-12 {
				best, least = k, t
			}
		}
	}
	for range 2 {
		try(func(k *kernel, v float64) { k.worth = v }, 0.5, 1, 2, 4, 8, 16, 32)
		try(func(k *kernel, v float64) { k.age = v }, 0.08, 0.15, 0.3, 0.6, 1.2, inf)
		try(func(k *kernel, v float64) { k.price = v }, 0.1, 0.2, 0.4, inf)
		try(func(k *kernel, v float64) { k.maker = v }, 0, 0.1, 0.3, 0.6, 1)
		try(func(k *kernel, v float64) { k.others = v }, 0, 0.05, 0.2, 0.5, 1)
		try(func(k *kernel, v float64) { k.place = v }, 1, 0.7, 0.4, 0.2)
	}
	without, with := loss(noCorrection()), loss(best)
	gain, scatter := 0.0, 0.0
	for i := range with {
		gain += (without[i] - with[i]) / float64(len(with))
	}
	for i := range with {
		scatter += square(without[i] - with[i] - gain)
	}
	if scatter = math.Sqrt(scatter) / float64(len(with)); gain > 3*scatter {
		n.kernel = best
	}
}

func total(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum
}
