package price

import (
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"askance/analysis/robust"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// A plan says which drivers of price a market has and where each stands in
// the vector of parameters. A driver that no listing states is not in it.
type plan struct {
	book        *knowhow.Book
	classes     []string       // names as first met; their effects are the class block
	classIndex  map[string]int // by folded name
	makers      []string
	makerIndex  map[string]int
	makerOf     []int     // of each class: the maker that most of its listings name, -1 for none
	classLength []float64 // of each class: the middle of its listings, 0 where none tells
	factors     []factorPlan
	measures    []measurePlan
	extras      []string   // headers of the user's yes/no columns
	tables      []itemPlan // condition and hulls first, then the items worth money
	products    int        // how many of tables multiply the hull
	refLength   float64    // metres
	typical     typical    // what stands in where a listing does not tell
	curve       curve
	knots       []float64   // of the curve of steps
	newest      time.Time   // of the listings' dates
	limit       float64     // share of the hull that deductions may take
	priors      []priorTerm // one a shared parameter
	pools       []pool
	inHull      []bool // whether the parameter moves the hull's logarithm
	isStep      []bool // whether it is the logarithm of a step
	at          offsets
	ages        int // listings that tell one
	hasAge      bool
	hasLength   bool
	hasClass    bool
}

// offsets are the places of the shared parameters.
type offsets struct {
	level, power, floor, rate, dealer, club int
	sizeBend, sizeRate                      int // how length bends, and how it changes the rate of ageing
	trend                                   int // of asks over the dates of listings, a year
	pieces, measures, extras                int // first of each run
	size                                    int
}

type factorPlan struct {
	header string
	levels []string
	index  map[string]int
	first  int // parameter of the first level
}

// A measurePlan enters by its logarithm, and by how far it bends away from a
// power law.
type measurePlan struct {
	header string
	centre float64 // log, subtracted
}

// bendAt is the second basis of a measure, x - 1 - log x for x the measure over
// its centre: nought and flat there, so the slope stays the logarithm's. It is
// held beyond five times the centre.
func bendAt(log float64) float64 {
	x := math.Min(math.Exp(log), 5)
	return x - 1 - math.Log(x)
}

// A pool is a run of parameters whose spread round nought the market itself
// shows: the levels of a factor, the makers.
type pool struct {
	first, count int
	prior        float64
}

// typical holds the middle of what the market states.
type typical struct {
	age    float64
	length float64
	logAsk float64
}

// A priorTerm is a normal prior on one shared parameter.
type priorTerm struct{ mean, sd float64 }

// encoded is a listing as the model sees it. An index of -1, or NaN, is not
// stated.
type encoded struct {
	class, maker int
	logLength    float64 // over the reference length
	lengthKnown  bool
	measures     []float64 // two a measure: logarithm and bend
	factors      []int
	combined     string  // all of factors as one key
	yearsBack    float64 // date of the listing less the newest, 0 or less
	seller       int     // 0 private or not stated, 1 dealer, 2 club
	age          float64
	ageKnown     bool
	levels       []int // one a table
	extras       []int // 1 yes, 0 no, -1 not stated
}

// extraItem returns the header of a finding that stands for a column of the
// user's own.
func extraItem(item string) (string, bool) { return strings.CutPrefix(item, "extra:") }

// fold makes two spellings of a name one.
func fold(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '.' || r == '\u00a0'
	}), "")
}

// newPlan looks at what the listings state. scale converts the knowhow's
// money to the market's.
func newPlan(listings []*boat.Listing, book *knowhow.Book, scale float64, shape curve) *plan {
	p := &plan{book: book, curve: shape, classIndex: map[string]int{}, makerIndex: map[string]int{}, limit: book.Number("deduction_limit").Value}
	stated := map[string]int{}
	factors, measures, extras := map[string]map[string]bool{}, map[string][]float64{}, map[string]bool{}
	var ages, lengths, asks []float64
	var first, newest time.Time
	seller := false
	for _, l := range listings {
		if l.Class.Known {
			addName(&p.classes, p.classIndex, l.Class.Value)
		}
		if l.Maker.Known {
			addName(&p.makers, p.makerIndex, l.Maker.Value)
		}
		if a, ok := l.Age(); ok {
			ages = append(ages, a)
		}
		if l.Length.Known {
			lengths = append(lengths, l.Length.Value)
		}
		if l.Price.Known && l.Price.Minor > 0 {
			asks = append(asks, math.Log(l.Price.Major()))
		}
		seller = seller || l.Seller.Known && l.Seller.Value != "private"
		for h, v := range l.Factors {
			if factors[h] == nil {
				factors[h] = map[string]bool{}
			}
			factors[h][v] = true
		}
		for h, v := range l.Measures {
			measures[h] = append(measures[h], math.Log(v))
		}
		for _, f := range l.Findings {
			if h, own := extraItem(f.Item); own {
				extras[h] = true
			} else {
				stated[f.Item]++
			}
		}
		if l.Condition.Known {
			stated["condition"]++
		}
		if l.AsOf.After(newest) {
			newest = l.AsOf
		}
		if first.IsZero() || l.AsOf.Before(first) {
			first = l.AsOf
		}
	}
	p.nest(listings)
	p.measureClasses(listings)
	p.hasClass, p.hasLength = len(p.classes) > 0, len(lengths) > 0
	p.ages, p.hasAge = len(ages), len(ages) > 0 && len(ages) >= len(listings)/tellingAges
	p.refLength = book.Number("reference_length").Value
	p.typical = typical{age: median(ages, 10), length: median(lengths, p.refLength), logAsk: median(asks, math.Log(book.Number("new_price").Value*scale*0.3))}
	if p.hasLength {
		scale *= math.Pow(p.typical.length/p.refLength, book.Number("length_power").Value)
	}
	p.knots = ageKnots(ages)
	p.newest = newest
	p.layOut(stated, factors, measures, extras, seller, newest.Sub(first) > 366*24*time.Hour, len(listings), scale)
	return p
}

// nest gives each class its maker. A single maker in the whole market tells
// nothing and leaves the plan.
func (p *plan) nest(listings []*boat.Listing) {
	p.makerOf = make([]int, len(p.classes))
	for c := range p.makerOf {
		p.makerOf[c] = -1
	}
	if len(p.makers) < 2 {
		p.makers, p.makerIndex = nil, map[string]int{}
		return
	}
	named := make([]map[int]int, len(p.classes))
	for _, l := range listings {
		if !l.Class.Known || !l.Maker.Known {
			continue
		}
		c, m := p.classIndex[fold(l.Class.Value)], p.makerIndex[fold(l.Maker.Value)]
		if named[c] == nil {
			named[c] = map[int]int{}
		}
		named[c][m]++
		if best := p.makerOf[c]; best < 0 || named[c][m] > named[c][best] {
			p.makerOf[c] = m
		}
	}
}

// measureClasses finds the length of each class.
func (p *plan) measureClasses(listings []*boat.Listing) {
	told := make([][]float64, len(p.classes))
	for _, l := range listings {
		if l.Class.Known && l.Length.Known {
			c := p.classIndex[fold(l.Class.Value)]
			told[c] = append(told[c], l.Length.Value)
		}
	}
	for _, lengths := range told {
		p.classLength = append(p.classLength, median(lengths, 0))
	}
}

// addName gives a name its place at the first meeting.
func addName(names *[]string, index map[string]int, name string) {
	key := fold(name)
	if _, ok := index[key]; !ok {
		index[key] = len(*names)
		*names = append(*names, name)
	}
}

// median of x, or the fallback where x is empty.
func median(x []float64, fallback float64) float64 {
	if len(x) == 0 {
		return fallback
	}
	return robust.Median(x)
}

// factorSpread is the spread, in log price, that the levels of a factor are
// drawn towards.
const factorSpread = 0.25

// layOut gives every driver its parameters and each parameter its prior.
func (p *plan) layOut(stated map[string]int, factors map[string]map[string]bool, measures map[string][]float64, extras map[string]bool, seller, dated bool, n int, scale float64) {
	add := func(mean, sd float64) int {
		p.priors = append(p.priors, priorTerm{mean, sd})
		return len(p.priors) - 1
	}
	floor, rate, power := p.book.Number("floor"), p.book.Number("rate"), p.book.Number("length_power")
	share := 1.0
	p.at = offsets{power: -1, floor: -1, rate: -1, pieces: -1, sizeBend: -1, sizeRate: -1, trend: -1, dealer: -1, club: -1, measures: -1, extras: -1}
	if p.hasAge {
		share = floor.Value + (1-floor.Value)*math.Exp(-rate.Value*p.typical.age)
	}
	p.at.level = add(p.typical.logAsk-math.Log(share), 0.8)
	if p.hasLength {
		p.at.power = add(power.Value, power.Spread)
		if n >= manySizes {
			p.at.sizeBend = add(0, 0.25)
		}
	}
	if p.hasAge {
		p.layOutAge(add)
		if p.hasLength && n >= manySizes {
			p.at.sizeRate = add(0, 0.15)
		}
	}
	if dated {
		p.at.trend = add(0, 0.05)
	}
	if seller {
		sd := p.book.Number("seller").Spread
		p.at.dealer, p.at.club = add(0, sd), add(0, sd)
	}
	for _, h := range sortedKeys(measures) {
		m := measurePlan{header: h, centre: median(measures[h], 0)}
		i := add(0, 1)
		add(0, 0.3) // the bend
		if p.at.measures < 0 {
			p.at.measures = i
		}
		p.measures = append(p.measures, m)
	}
	for _, h := range sortedKeys(factors) {
		f := factorPlan{header: h, levels: sortedKeys(factors[h]), index: map[string]int{}}
		for i, level := range f.levels {
			f.index[level] = i
			if k := add(0, factorSpread); i == 0 {
				f.first = k
			}
		}
		p.pools = append(p.pools, pool{f.first, len(f.levels), factorSpread})
		p.factors = append(p.factors, f)
	}
	p.layOutItems(stated, n, scale, add)
	for _, h := range sortedKeys(extras) {
		p.extras = append(p.extras, h)
		if k := add(0, 0.05*math.Exp(p.typical.logAsk)); p.at.extras < 0 {
			p.at.extras = k
		}
	}
	p.at.size = len(p.priors)
	p.markParameters()
}

// markParameters notes which parameters move the hull and which are steps.
func (p *plan) markParameters() {
	p.inHull, p.isStep = make([]bool, p.at.size), make([]bool, p.at.size)
	firstItem := p.at.size
	for i, t := range p.tables {
		firstItem = min(firstItem, t.first)
		for k := t.first; k < t.first+t.steps; k++ {
			p.isStep[k] = true
			p.inHull[k] = i < p.products
		}
	}
	for k := range p.inHull {
		p.inHull[k] = p.inHull[k] || k < firstItem && (p.at.extras < 0 || k < p.at.extras)
	}
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// encode sees a listing through the plan. Names and levels that the plan does
// not know count as not stated.
func (p *plan) encode(l *boat.Listing) encoded {
	e := encoded{class: -1, maker: -1, age: p.typical.age, extras: make([]int, len(p.extras))}
	if l.Class.Known {
		e.class = lookup(p.classIndex, fold(l.Class.Value))
	}
	if l.Maker.Known {
		e.maker = lookup(p.makerIndex, fold(l.Maker.Value))
	}
	if e.class >= 0 {
		e.maker = p.makerOf[e.class]
	}
	if p.hasLength {
		e.logLength = math.Log(p.typical.length / p.refLength)
		switch {
		case l.Length.Known:
			e.logLength, e.lengthKnown = math.Log(l.Length.Value/p.refLength), true
		case e.class >= 0 && p.classLength[e.class] > 0:
			e.logLength = math.Log(p.classLength[e.class] / p.refLength)
		}
	}
	for _, m := range p.measures {
		v := math.NaN()
		if x, ok := l.Measures[m.header]; ok && x > 0 {
			v = math.Log(x) - m.centre
		}
		e.measures = append(e.measures, v, bendAt(v))
	}
	for _, f := range p.factors {
		level := -1
		if v, ok := l.Factors[f.header]; ok {
			level = lookup(f.index, v)
		}
		e.factors = append(e.factors, level)
		e.combined += strconv.Itoa(level) + " "
	}
	if p.at.trend >= 0 && !l.AsOf.IsZero() {
		e.yearsBack = l.AsOf.Sub(p.newest).Hours() / 24 / 365.25
	}
	if p.at.dealer >= 0 && l.Seller.Known {
		e.seller = map[string]int{"dealer": 1, "club": 2}[l.Seller.Value]
	}
	if a, ok := l.Age(); ok && p.hasAge {
		e.age, e.ageKnown = a, true
	}
	for _, t := range p.tables {
		e.levels = append(e.levels, t.levelOf(l))
	}
	for i, h := range p.extras {
		e.extras[i] = -1
		if f, ok := l.Find("extra:" + h); ok {
			e.extras[i] = 0
			if f.Value == knowhow.Included {
				e.extras[i] = 1
			}
		}
	}
	return e
}

// manySizes is how many listings it takes to ask how length bends and how it
// changes the rate of ageing.
const manySizes = 150

// fromTypical is the log of a boat's length over the market's middle one.
func (p *plan) fromTypical(e *encoded) float64 {
	return e.logLength - math.Log(p.typical.length/p.refLength)
}

func lookup(index map[string]int, key string) int {
	if i, ok := index[key]; ok {
		return i
	}
	return -1
}
