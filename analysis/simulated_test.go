package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"askance/analysis/robust"
	"askance/analysis/verdict"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// A simulation is an invented market whose truth is known.
type simulation struct {
	market  *boat.Market
	book    *knowhow.Book
	truth   []float64 // the ask without noise and planting
	planted []float64 // the factor that an ask was multiplied by, 1 for none
	age     []float64
}

// A simulator says what sort of market to invent.
type simulator struct {
	listings    int
	plantedPart float64    // share of asks that are planted
	plant       [2]float64 // range of the factor
	direction   int        // +1 all too dear, -1 all too cheap, 0 either
	tails       float64    // degrees of freedom of the noise, 0 for normal
}

// simulatedItems are eleven fittings, states, extras and a defect: what the
// listing states where the boat has it and where it has not ("" is silence).
func simulatedItems() []simulatedItem {
	return []simulatedItem{
		{"rudder_blades", "top", "basic", 0.35}, {"mainsheet_block", "top", "basic", 0.4},
		{"sails", "fresh", "worn", 0.25}, {"trampoline", "fresh", "worn", 0.35}, {"mast", "fresh", "worn", 0.3},
		{"standing_rigging", "fresh", "worn", 0.4}, {"launching_trolley", "included", "", 0.5},
		{"road_trailer", "included", "", 0.4}, {"spinnaker_kit", "included", "", 0.2}, {"spare_sails", "included", "", 0.25},
		{"hull_leak", "present", "", 0.2},
	}
}

type simulatedItem struct {
	item, has, hasNot string
	prevalence        float64
}

// builtin is the knowhow as shipped, loaded once.
var builtin = sync.OnceValue(func() *knowhow.Book {
	book, err := knowhow.Load(nil)
	if err != nil {
		panic(err)
	}
	return book
})

// run invents one market. The money in the model's knowhow is off from the
// truth by a log-normal of 0.35, and so are floor and rate.
func (s simulator) run(seed uint64) simulation {
	random := rand.New(rand.NewPCG(seed, 7))
	truthBook := builtin()
	off := func() float64 { return math.Exp(0.35 * random.NormFloat64()) }
	out := simulation{book: misinformed(truthBook, off)}
	classes := []struct {
		name     string
		share    float64
		newPrice float64
		length   float64
	}{{"Alder 16", 0.55, 11000, 4.9}, {"Birch 14", 0.25, 8000, 4.3}, {"Cedar 18", 0.20, 13500, 5.5}}
	age := distuv.Gamma{Alpha: 2.2, Beta: 1.0 / 7, Src: random}
	noise := func() float64 { return 0.15 * random.NormFloat64() }
	if s.tails > 0 {
		t := distuv.StudentsT{Sigma: 0.15, Nu: s.tails, Src: random}
		noise = t.Rand
	}
	asOf := time.Date(2026, time.July, 1, 0, 0, 0, 0, time.UTC)
	m := &boat.Market{Currency: "EUR", AsOf: asOf, Read: s.listings}
	for i := range s.listings {
		at := record.Pos{File: "simulated.csv", Kind: record.Line, Line: i + 2}
		l := boat.Listing{ID: fmt.Sprint("s", i), Kind: boat.ForSale, Boats: 1, AsOf: asOf, Source: boat.Source{At: at}}
		u := random.Float64()
		class := classes[0]
		for _, c := range classes[1:] {
			if u > class.share {
				u -= class.share
				class = c
			}
		}
		years := math.Min(math.Round(age.Rand()), 40)
		l.Title = class.name
		l.Class = boat.Know(class.name, "column", class.name, at)
		l.Length = boat.Know(class.length, "column", "", at)
		l.Year.Fact = boat.Know(asOf.Year()-int(years), "column", "", at)
		share := 0.12 + 0.88*math.Exp(-0.085*years)
		hull, state := class.newPrice*share, "good"
		switch v := random.Float64(); {
		case v < 0.25:
			hull, state = hull*1.08, "fresh"
		case v < 0.40:
			hull, state = hull*0.72, "worn"
		}
		l.Findings = append(l.Findings, boat.Finding{Item: "hulls", Value: state, At: at})
		price := hull
		for _, it := range simulatedItems() {
			younger := math.Exp(-(years - 15) * 0.02) // commoner on younger boats
			value := it.hasNot
			if random.Float64() < math.Min(it.prevalence*younger, 0.9) {
				value = it.has
				item, _ := truthBook.Item(it.item)
				v, _ := item.Value(it.has)
				price += v.Adds
			}
			if value != "" {
				l.Findings = append(l.Findings, boat.Finding{Item: it.item, Value: value, At: at})
			}
		}
		out.truth = append(out.truth, price)
		out.age = append(out.age, years)
		out.planted = append(out.planted, 1)
		l.Price = boat.Price{Amount: money.Of(price*math.Exp(noise()), "EUR"), Known: true}
		m.Listings = append(m.Listings, l)
	}
	s.plantSome(&out, m, random)
	out.market = m
	return out
}

// plantSome multiplies or divides some asks by a factor.
func (s simulator) plantSome(out *simulation, m *boat.Market, random *rand.Rand) {
	count := max(1, int(math.Round(s.plantedPart*float64(s.listings))))
	for _, i := range random.Perm(s.listings)[:count] {
		factor := s.plant[0] + (s.plant[1]-s.plant[0])*random.Float64()
		if s.direction < 0 || s.direction == 0 && random.IntN(2) == 0 {
			factor = 1 / factor
		}
		out.planted[i] = factor
		l := &m.Listings[i]
		l.Price.Amount = money.Of(l.Price.Major()*factor, "EUR")
	}
}

// misinformed is a knowhow whose money, floor and rate are off.
func misinformed(b *knowhow.Book, off func() float64) *knowhow.Book {
	var values strings.Builder
	values.WriteString("item,value,label,adds,factor,factor_low,factor_high,spread,usual,source\n")
	for _, it := range b.Items {
		if it.Factor || it.IsStructural() {
			continue
		}
		var adds []float64
		for i, v := range it.Levels { // each step is off by its own factor, so that order holds
			if i == 0 {
				adds = append(adds, v.Adds)
				continue
			}
			adds = append(adds, adds[i-1]+(v.Adds-it.Levels[i-1].Adds)*off())
		}
		if it.Kind == knowhow.Extra || it.Kind == knowhow.Defect {
			f := off()
			for i, v := range it.Levels {
				adds[i] = v.Adds * f
			}
		}
		shift := 0.0
		for i, v := range it.Levels {
			if v.ID == it.Reference {
				shift = adds[i]
			}
		}
		for i, v := range it.Levels {
			fmt.Fprintf(&values, "%s,%s,%s,%g,,,,%g,%g,\n", it.ID, v.ID, strings.ReplaceAll(v.Label, ",", " "), adds[i]-shift, v.Spread, v.Usual)
		}
	}
	numbers := fmt.Sprintf("id,value,spread,unit,source\nfloor,%g,0.35,,\nrate,%g,0.3,,\n", 0.12*off(), 0.085*off())
	book, err := knowhow.Load(fstest.MapFS{"values.csv": {Data: []byte(values.String())}, "depreciation.csv": {Data: []byte(numbers)}})
	if err != nil {
		panic(err)
	}
	return book
}

// A score is how one simulated market came out.
type score struct {
	coverage    float64    // of clean asks by their own range
	byThird     [3]float64 // the same in each third of age
	byClass     [3]float64 // and in each class, the commonest first
	found       float64    // planted asks judged, the right way
	planted     float64
	falseShare  float64 // of verdicts; 0 when none
	error       float64 // median of |expected/truth - 1|
	fittedError float64 // the same of the full fit
}

// score runs the analysis on the market and compares it with the truth.
func (sim simulation) score() (score, error) {
	s, err := Run(sim.market, sim.book, Options{Once: true})
	if err != nil {
		return score{}, err
	}
	ages := slices.Clone(sim.age)
	slices.Sort(ages)
	var out score
	var inside, clean, insideClass, cleanClass [3]float64
	var wrong, given float64
	var errors, fitted []float64
	for i, b := range s.Boats {
		errors = append(errors, math.Abs(b.Valuation.Expected/sim.truth[i]-1))
		fitted = append(fitted, math.Abs(b.Valuation.Fitted/sim.truth[i]-1))
		f, ask := sim.planted[i], b.Listing.Price.Major()
		right := f > 1 && b.Verdict.Verdict == verdict.WellAbove || f < 1 && b.Verdict.Verdict == verdict.WellBelow
		if f == 1 {
			rank, _ := slices.BinarySearch(ages, sim.age[i])
			third := min(3*rank/len(ages), 2)
			class := slices.Index([]string{"Alder 16", "Birch 14", "Cedar 18"}, b.Listing.Class.Value)
			clean[third]++
			cleanClass[class]++
			if ask >= b.Valuation.Low && ask <= b.Valuation.High {
				inside[third]++
				insideClass[class]++
			}
		} else {
			out.planted++
			if right {
				out.found++
			}
		}
		if b.Verdict.Verdict == verdict.WellAbove || b.Verdict.Verdict == verdict.WellBelow {
			given++
			if !right {
				wrong++
			}
		}
	}
	for third := range 3 {
		out.byThird[third] = inside[third] / clean[third]
		out.byClass[third] = insideClass[third] / cleanClass[third]
	}
	out.coverage = (inside[0] + inside[1] + inside[2]) / (clean[0] + clean[1] + clean[2])
	out.error, out.fittedError = robust.Median(errors), robust.Median(fitted)
	if given > 0 {
		out.falseShare = wrong / given
	}
	return out, nil
}

// TestOneSimulatedMarket holds the pipeline on a single market: planted asks
// are found, and what is expected lies near the truth.
func TestOneSimulatedMarket(t *testing.T) {
	got, err := simulator{listings: 120, plantedPart: 0.09, plant: [2]float64{1.8, 2.5}}.run(1).score()
	if err != nil {
		t.Fatal(err)
	}
	if got.found < 0.7*got.planted || got.error > 0.06 || got.coverage < 0.65 || got.coverage > 0.95 {
		t.Errorf("found %.0f of %.0f, median error %.3f, coverage %.2f", got.found, got.planted, got.error, got.coverage)
	}
}
