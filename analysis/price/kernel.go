package price

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// A kernel says how much a neighbour counts: as much as nought differences
// would, times what each difference leaves of it.
type kernel struct {
	age      float64   // width in log(3 + age); +Inf: age does not matter
	price    float64   // width in log of the predicted price, items left aside
	maker    float64   // weight of another class of the same maker and length
	others   float64   // weight of any class of the same length
	named    float64   // weight of another maker's class of the same name
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
	kind     int       // 0 same class, 1 same maker, 2 neither, 3 same name of another maker
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
	byKind                  [4]float64
	byTrait, byMeasure      []float64
}

func (k kernel) ready() weighing {
	inverse := func(width float64) float64 { return 0.5 / (width * width) }
	w := weighing{kernel: k, byAge: inverse(k.age), byPrice: inverse(k.price), byPlace: -math.Log(k.place),
		byKind: [4]float64{0, -math.Log(k.maker), -math.Log(k.others), -math.Log(k.named)}}
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

// choose picks the kernel by leave-one-out over the market, and keeps it only
// where it helps rows that it was not chosen on: each half of the rows is
// corrected by the kernel that the other half picks, and the gain must stand
// out from its own scatter.
func (n *neighbourhood) choose() {
	m := n.model
	if len(m.rows) < 40 {
		return
	}
	rows := rand.New(rand.NewPCG(m.tuning.Seed, 2)).Perm(len(m.rows))
	rows = rows[:min(len(rows), choosingRows)]
	cases := make([]pricedCase, len(rows))
	for k, i := range rows {
		cases[k] = pricedCase{pairs: n.pairs(m.listings[i], &m.rows[i], i), residual: m.fit.problem.y[i] - m.leftOut[i].log}
	}
	clip := 3 * m.fit.scale
	half := len(cases) / 2
	var gains []float64
	for _, part := range [][2][]pricedCase{{cases[:half], cases[half:]}, {cases[half:], cases[:half]}} {
		picked := n.search(part[0], clip).ready()
		for _, c := range part[1] {
			gains = append(gains, c.miss(noCorrection().ready(), clip)-c.miss(picked, clip))
		}
	}
	if gain, sd := stat.MeanStdDev(gains, nil); gain > clearGain*sd/math.Sqrt(float64(len(gains))) {
		n.kernel = n.search(cases, clip).ready()
	}
}

// clearGain is by how many of its standard errors the neighbours' gain must
// stand out.
const clearGain = 2

// A pricedCase is a row with its neighbours, and how far its ask lies from its
// left-out price.
type pricedCase struct {
	pairs    []pair
	residual float64
}

// miss is how far off the corrected price is, at most clip.
func (c *pricedCase) miss(w weighing, clip float64) float64 {
	return math.Min(math.Abs(c.residual-w.correction(c.pairs)), clip)
}

// search takes one setting of the kernel after the other to where the loss is
// least, in rounds until nothing is gained.
func (n *neighbourhood) search(cases []pricedCase, clip float64) kernel {
	loss := func(k kernel) float64 {
		w, sum := k.ready(), 0.0
		for i := range cases {
			sum += cases[i].miss(w, clip)
		}
		return sum
	}
	inf := math.Inf(1)
	p := n.model.plan
	best := kernel{age: 0.6, price: inf, maker: 0.3, others: 0, named: 0.3, place: 1, worth: 8,
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
		if len(p.kinds) > 0 {
			try(func(k *kernel, v float64) { k.named = v }, 0, 0.1, 0.3, 0.6, 1)
		}
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
