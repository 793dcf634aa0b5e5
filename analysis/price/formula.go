package price

import (
	"math"
	"time"
)

// A Formula is a fitted model written out, for a reader who wants to work a
// price by hand or in a spreadsheet:
//
//	price = hull + adds - min-like(deducts, Limit*hull)
//	hull  = exp(Level + class + maker + Power*x + SizeBend*(x-Typical)^2 + sum of SizeBends + measures + factors + seller)
//	        * share(age) * condition * hulls
//
// with x the log of the length over RefLength, deducts/(1+(deducts/m)^4)^(1/4)
// for what comes through of deductions that may take m, and an item that is
// not stated at its NotStated figure. The correction by comparables is not in
// it.
type Formula struct {
	Level, Power      float64
	SizeBend, Typical float64
	SizeBends         []Bend  // for x less Typical
	RefLength         float64 // metres
	HasLength, HasAge bool
	Floor, Rate       float64   // of floor + (1-floor)*exp(-rate*age); Rate 0 where Pieces stand
	Knots, Pieces     []float64 // slopes of the log of the share between knots in years; none with Floor and Rate
	Oldest            float64   // years beyond which Pieces do not go on
	SizeRate          float64   // added to the log of the rate, times x - Typical
	Classes           []FormulaClass
	Dealer, Club      float64   // log, over private
	Trend             float64   // log, times the years that a listing is older than Newest
	Newest            time.Time // the newest date of the market's listings
	Factors           []FormulaFactor
	Measures          []FormulaMeasure
	Multiply          []FormulaItem // overall condition and hulls: factors
	Add               []FormulaItem // money
	Extras            []FormulaExtra
	Limit             float64
	Corrected         bool    // the market's prices are corrected by comparables besides
	LogSD             float64 // spread of log asks round a price, at the market's middle boat
	Reach             float64 // how many LogSD the range reaches to each side
}

// A FormulaClass is a class's own part, its maker's included.
type FormulaClass struct {
	Name        string
	Level, Rate float64 // log, added
	Power       float64 // added to Power of the length, for x less Typical
	Length      float64 // metres, the middle of its listings; 0 unknown
	Listings    int
}

// A FormulaFactor is one column of the user's with its levels.
type FormulaFactor struct {
	Header string
	Levels []string
	Adds   []float64 // log
}

// A FormulaMeasure is one numeric column of the user's.
type FormulaMeasure struct {
	Header      string
	Centre      float64 // the measure itself, not its log
	Power, Bend float64 // log price = Power*v + Bend*(x-1-v), x = measure/Centre at most 5, v = log x
	Bends       []Bend  // for v besides
}

// A Bend adds Slope for each log unit beyond Knot to the log price.
type Bend struct{ Knot, Slope float64 }

// At is what the bend adds at x.
func (b Bend) At(x float64) float64 { return b.Slope * math.Max(x-b.Knot, 0) }

// A FormulaItem is one item's levels, as factors or as money.
type FormulaItem struct {
	Item      string
	Values    []string
	Worth     []float64
	NotStated float64
}

// A FormulaExtra is one yes/no column of the user's.
type FormulaExtra struct {
	Header string
	Worth  float64
}

// bendsAt pairs knots with their slopes, the first of a run.
func bendsAt(knots, slopes []float64) []Bend {
	var out []Bend
	for i, k := range knots {
		out = append(out, Bend{k, slopes[i]})
	}
	return out
}

// Formula writes the fitted model out. width is that of the price range.
func (m *Model) Formula(width float64) Formula {
	p, s := m.plan, m.state()
	at := func(k int) float64 {
		if k < 0 {
			return 0
		}
		return s.theta[k]
	}
	f := Formula{Level: at(p.at.level), Power: at(p.at.power), SizeBend: at(p.at.sizeBend), SizeRate: at(p.at.sizeRate), RefLength: p.refLength,
		Typical: math.Log(p.typical.length / p.refLength), HasLength: p.hasLength, HasAge: p.hasAge, Oldest: oldest, Dealer: at(p.at.dealer), Club: at(p.at.club), Trend: -at(p.at.trend), Newest: p.newest,
		Limit: p.limit, Corrected: !math.IsInf(m.nearby.kernel.worth, 1), LogSD: m.spread.scale, Reach: m.spread.multiplier(width)}
	if p.at.floor >= 0 {
		f.Floor, f.Rate = math.Exp(at(p.at.floor)), math.Exp(at(p.at.rate))
	}
	if p.at.pieces >= 0 {
		f.Knots = p.knots
		for i := range p.knots {
			f.Pieces = append(f.Pieces, math.Exp(at(p.at.pieces+i)))
		}
	}
	listings := make([]int, len(p.classes))
	for i := range m.rows {
		if c := m.rows[i].boat.class; c >= 0 {
			listings[c]++
		}
	}
	for c, name := range p.classes {
		e := m.blank()
		p.setClass(&e, c)
		own := s.own(&e)
		if p.at.sizeRate >= 0 { // the blank boat's size is not the class's own
			own[1] -= at(p.at.sizeRate) * p.fromTypical(&e)
		}
		power := -1
		if k := p.kindOf[c]; k >= 0 {
			own[0] += at(p.at.kinds + k)
			power = p.kindPower[k]
		}
		f.Classes = append(f.Classes, FormulaClass{Name: name, Level: own[0], Rate: own[1], Power: at(power), Length: p.classLength[c], Listings: listings[c]})
	}
	for _, factor := range p.factors {
		ff := FormulaFactor{Header: factor.header, Levels: factor.levels}
		for i := range factor.levels {
			ff.Adds = append(ff.Adds, at(factor.first+i))
		}
		f.Factors = append(f.Factors, ff)
	}
	for _, measure := range p.measures {
		first := p.at.measures + measure.first
		f.Measures = append(f.Measures, FormulaMeasure{measure.header, math.Exp(measure.centre), at(first), at(first + 1), bendsAt(measure.knots, s.theta[first+2:])})
	}
	f.SizeBends = bendsAt(p.sizeKnots, s.theta[max(p.at.sizeKnots, 0):])
	for i := range p.tables {
		item := FormulaItem{Item: p.tables[i].item.ID, NotStated: s.tables[i].mean}
		for k, v := range p.tables[i].item.Levels {
			item.Values = append(item.Values, v.ID)
			item.Worth = append(item.Worth, s.tables[i].value[k])
		}
		if i < p.products {
			for k := range item.Worth {
				item.Worth[k] = math.Exp(item.Worth[k])
			}
			item.NotStated = math.Exp(item.NotStated)
			f.Multiply = append(f.Multiply, item)
		} else {
			f.Add = append(f.Add, item)
		}
	}
	for i, h := range p.extras {
		f.Extras = append(f.Extras, FormulaExtra{h, at(p.at.extras + i)})
	}
	return f
}
