package price

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// A kernel says how much a neighbour counts: as much as nought differences
// would, times what each difference leaves of it.
type kernel struct {
	age      float64   // width in log(3 + age); +Inf: age does not matter
	price    float64   // width in log of the predicted price, items left aside
	maker    float64   // weight of another class of the same maker and length
	others   float64   // weight of any class of the same length
	place    float64   // weight of another place
	traits   []float64 // weight of another level of each factor, and of each of the user's extras
	measures []float64 // width in the log of each measure, over the market's own spread
	worth    float64   // the neighbours' weight that their absence of a difference is worth; +Inf: no correction
}

// noCorrection leaves predictions as they are.
func noCorrection() kernel { return kernel{worth: math.Inf(1)} }

// lengthWidth is the width in log length for other classes.
const lengthWidth = 0.06

// A pair is one neighbour of a boat with what its weight is made of.
type pair struct {
	row      int
	residual float64   // as the boat sees it: without that boat in the fit, clipped
	weight   float64   // bisquare
	kind     int       // 0 same class, 1 same maker, 2 neither
	age      float64   // squared difference of log(3 + age)
	price    float64   // squared difference of log price, items left aside
	length   float64   // squared difference of log length
	place    bool      // whether the places differ
	traits   uint64    // one bit for each trait that differs
	measures []float64 // squared difference of each measure
}

// maxTraits is how many factors and extras a pair can tell apart.
const maxTraits = 64

// A weighing is a kernel made ready for many pairs: what each difference takes
// from the log of the weight.
type weighing struct {
	kernel
	byAge, byPrice, byPlace float64
	byKind                  [3]float64
	byTrait, byMeasure      []float64
}

func (k kernel) ready() weighing {
	inverse := func(width float64) float64 { return 0.5 / (width * width) }
	w := weighing{kernel: k, byAge: inverse(k.age), byPrice: inverse(k.price), byPlace: -math.Log(k.place),
		byKind: [3]float64{0, -math.Log(k.maker), -math.Log(k.others)}}
	for _, t := range k.traits {
		w.byTrait = append(w.byTrait, -math.Log(t))
	}
	for _, m := range k.measures {
		w.byMeasure = append(w.byMeasure, inverse(m))
	}
	return w
}

func (w *weighing) weigh(p *pair) float64 {
	loss := p.age*w.byAge + p.price*w.byPrice + w.byKind[p.kind]
	if p.kind > 0 {
		loss += p.length * (0.5 / (lengthWidth * lengthWidth))
	}
	if p.place {
		loss += w.byPlace
	}
	for set := p.traits; set != 0; set &= set - 1 {
		loss += w.byTrait[bits.TrailingZeros64(set)]
	}
	for i, d := range p.measures {
		loss += d * w.byMeasure[i]
	}
	if loss > 30 {
		return 0
	}
	return p.weight * math.Exp(-loss)
}

// correction is the log by which the neighbours move a prediction.
func (w *weighing) correction(pairs []pair) float64 {
	if math.IsInf(w.worth, 1) {
		return 0
	}
	sum, weight := 0.0, w.worth
	for i := range pairs {
		v := w.weigh(&pairs[i])
		sum += v * pairs[i].residual
		weight += v
	}
	return sum / weight
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
		w := k.ready()
		out := make([]float64, len(raw))
		for i, r := range raw {
			out[i] = math.Min(math.Abs(r-w.correction(all[i])), 3*m.fit.scale)
		}
		return out
	}
	best := n.search(func(k kernel) float64 { return total(loss(k)) })
	without, with := loss(noCorrection()), loss(best)
	gain, scatter := 0.0, 0.0
	for i := range with {
		gain += (without[i] - with[i]) / float64(len(with))
	}
	for i := range with {
		scatter += square(without[i] - with[i] - gain)
	}
	if scatter = math.Sqrt(scatter) / float64(len(with)); gain > 3*scatter {
		n.kernel = best.ready()
	}
}

// search takes one setting of the kernel after the other to where the loss is
// least, in rounds until nothing is gained.
func (n *neighbourhood) search(loss func(kernel) float64) kernel {
	inf := math.Inf(1)
	p := n.model.plan
	best := kernel{age: 0.6, price: inf, maker: 0.3, others: 0, place: 1, worth: 8,
		traits: slices.Repeat([]float64{1}, min(len(p.factors)+len(p.extras), maxTraits)), measures: slices.Repeat([]float64{inf}, len(p.measures))}
	least := loss(best)
	try := func(set func(*kernel, float64), values ...float64) {
		for _, v := range values {
			k := best
			k.traits, k.measures = slices.Clone(best.traits), slices.Clone(best.measures)
			set(&k, v)
			if t := loss(k); t < least-1e-12 {
				best, least = k, t
			}
		}
	}
	for range 3 {
		before := least
		try(func(k *kernel, v float64) { k.worth = v }, 0.25, 0.5, 1, 2, 4, 8, 16, 32)
		try(func(k *kernel, v float64) { k.age = v }, 0.08, 0.15, 0.3, 0.6, 1.2, inf)
		try(func(k *kernel, v float64) { k.price = v }, 0.1, 0.2, 0.4, inf)
		try(func(k *kernel, v float64) { k.maker = v }, 0, 0.1, 0.3, 0.6, 1)
		try(func(k *kernel, v float64) { k.others = v }, 0, 0.05, 0.2, 0.5, 1)
		try(func(k *kernel, v float64) { k.place = v }, 1, 0.7, 0.4, 0.2)
		for i := range best.traits {
			try(func(k *kernel, v float64) { k.traits[i] = v }, 1, 0.75, 0.5, 0.25, 0.05, 0)
		}
		for i := range best.measures {
			try(func(k *kernel, v float64) { k.measures[i] = v }, inf, 2, 1, 0.5, 0.25, 0.12)
		}
		if before-least < 1e-4*before {
			break
		}
	}
	return best
}

func total(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum
}
