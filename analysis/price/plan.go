package price

import (
	"math"
	"sort"
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
	makerOf     []int          // of each class: the maker that most of its listings name, -1 for none
	kinds       []string       // folded class names that several makers use, the frequent ones
	split       map[string]int // every folded name that several makers use: its place among kinds, -1 for none
	kindOf      []int          // of each class: its name among them, -1 for none
	kindPower   []int          // of each such name: the parameter of its own power of the length, -1 for none
	classLength []float64      // of each class: the middle of its listings, 0 where none tells
	factors     []factorPlan
	measures    []measurePlan
	extras      []string   // headers of the user's yes/no columns
	tables      []itemPlan // condition and hulls first, then the items worth money
	products    int        // how many of tables multiply the hull
	refLength   float64    // metres
	typical     typical    // what stands in where a listing does not tell
	sizeKnots   []float64  // where length may bend, in logs over the middle one
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
	kinds, kindRates                        int // first of the levels and of the rates of class names that several makers use
	sizeBend, sizeRate                      int // how length bends, and how it changes the rate of ageing
	trend                                   int // of asks over the dates of listings, a year
	pieces, sizeKnots, measures, extras     int // first of each run
	size                                    int
}

// A measurePlan enters by its logarithm, and by how far it bends away from a
// power law.
type measurePlan struct {
	header string
	centre float64   // log, subtracted
	knots  []float64 // where it may bend besides, in logs less the centre
	first  int       // its place in a boat's measures: logarithm, bend, then the knots
}

// columns is how many parameters the measure has.
func (m *measurePlan) columns() int { return 2 + len(m.knots) }

// of gives the measure's part of a boat's measures.
func (m *measurePlan) of(e *encoded) []float64 { return e.measures[m.first : m.first+m.columns()] }

// bendAt is the second basis of a measure, x - 1 - log x for x the measure over
// its centre: nought and flat there, so the slope stays the logarithm's. It is
// held beyond five times the centre.
func bendAt(log float64) float64 {
	x := math.Min(math.Exp(log), 5)
	return x - 1 - math.Log(x)
}

// beyond is how far x lies above a knot; NaN stays NaN.
func beyond(x, knot float64) float64 { return math.Max(x-knot, 0) }

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
	p := &plan{book: book, curve: shape, classIndex: map[string]int{}, split: map[string]int{}, makerIndex: map[string]int{}, limit: book.Number("deduction_limit").Value}
	stated := map[string]int{}
	measures, extras := map[string][]float64{}, map[string]bool{}
	var ages, lengths, asks []float64
	var first, newest time.Time
	seller := false
	for _, l := range listings {
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
	p.nameClasses(listings)
	p.hasClass, p.hasLength = len(p.classes) > 0, len(lengths) > 0
	p.ages, p.hasAge = len(ages), len(ages) > 0 && len(ages) >= len(listings)/tellingAges
	p.refLength = book.Number("reference_length").Value
	p.typical = typical{age: median(ages, 10), length: median(lengths, p.refLength), logAsk: median(asks, math.Log(book.Number("new_price").Value*scale*0.3))}
	if p.hasLength {
		scale *= math.Pow(p.typical.length/p.refLength, book.Number("length_power").Value)
	}
	p.knots = ageKnots(ages)
	p.newest = newest
	p.factors = factorsOf(listings)
	if p.hasLength {
		logs := make([]float64, len(lengths))
		for i, v := range lengths {
			logs[i] = math.Log(v)
		}
		p.sizeKnots = bendKnots(logs, math.Log(p.typical.length))
	}
	p.layOut(stated, measures, extras, seller, newest.Sub(first) > 366*24*time.Hour, len(listings), scale)
	return p
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

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
