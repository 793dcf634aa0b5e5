package price

import (
	"math"
	"strconv"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// encode sees a listing through the plan. Names and levels that the plan does
// not know count as not stated.
func (p *plan) encode(l *boat.Listing) encoded {
	e := encoded{class: -1, kind: -1, maker: -1, age: p.typical.age, extras: make([]int, len(p.extras))}
	if l.Maker.Known {
		e.maker = lookup(p.makerIndex, fold(l.Maker.Value))
	}
	if c := p.classOf(l.Class, l.Maker); c >= 0 {
		p.setClass(&e, c)
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
		for _, knot := range m.knots {
			e.measures = append(e.measures, beyond(v, knot))
		}
	}
	for i := range p.factors {
		f, level := &p.factors[i], -1
		if v, ok := f.value(l); ok {
			level = lookup(f.index, v)
		}
		e.factors = append(e.factors, level)
		if f.column != "" && (f.width == 1 || f.nested == nesting{}) {
			e.combined += strconv.Itoa(level) + " "
		}
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

// encoded is a listing as the model sees it. An index of -1, or NaN, is not
// stated.
type encoded struct {
	class, maker int
	kind         int     // of the class's name among those that several makers use
	logLength    float64 // over the reference length
	lengthKnown  bool
	measures     []float64 // of each measure: logarithm, bend, and how far beyond each knot
	factors      []int
	combined     string  // the user's factors as one key
	yearsBack    float64 // date of the listing less the newest, 0 or less
	seller       int     // 0 private or not stated, 1 dealer, 2 club
	age          float64
	ageKnown     bool
	levels       []int // one a table
	extras       []int // 1 yes, 0 no, -1 not stated
}

// fromTypical is the log of a boat's length over the market's middle one.
func (p *plan) fromTypical(e *encoded) float64 {
	return e.logLength - math.Log(p.typical.length/p.refLength)
}

// manySizes is how many listings it takes to ask how length bends and how it
// changes the rate of ageing.
const manySizes = 150

func lookup(index map[string]int, key string) int {
	if i, ok := index[key]; ok {
		return i
	}
	return -1
}
