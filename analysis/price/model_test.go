package price

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// invent makes n listings of three classes by a law of its own. Every driver
// that the plan knows is stated by some of them.
func invent(t testing.TB, n int, seed uint64) ([]*boat.Listing, *knowhow.Book) {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(seed, 3))
	asOf := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	at := record.Pos{File: "invented.csv", Kind: record.Line}
	var out []*boat.Listing
	for i := range n {
		class := random.IntN(3)
		age := random.IntN(30)
		l := &boat.Listing{ID: fmt.Sprint(i), AsOf: asOf, Factors: map[string]string{"Region": []string{"north", "south", ""}[random.IntN(3)]},
			Measures: map[string]float64{"Sail area": math.Exp(2 + 0.3*random.NormFloat64())}}
		l.Class = boat.Know([]string{"Alder 16", "Birch 14", "Cedar 18"}[class], "column", "", at)
		l.Maker = boat.Know([]string{"Oak Yard", "Elm Yard"}[class%2], "column", "", at)
		l.Length = boat.Know([]float64{4.9, 4.3, 5.5}[class], "column", "", at)
		l.Year.Fact = boat.Know(asOf.Year()-age, "column", "", at)
		l.Seller = boat.Know([]string{"private", "dealer", "club"}[random.IntN(3)], "column", "", at)
		if random.IntN(2) == 0 {
			l.Condition = boat.Know([]string{"poor", "fair", "good", "very_good"}[random.IntN(4)], "text", "in good order", at)
		}
		price := []float64{11000, 8000, 13500}[class] * (0.12 + 0.88*math.Exp(-0.085*float64(age)))
		for _, it := range book.Items {
			if it.Kind == knowhow.Condition || it.IsStructural() || random.IntN(3) > 0 {
				continue
			}
			v := it.Levels[random.IntN(len(it.Levels))]
			if it.Factor {
				price *= v.Factor
			} else {
				price += v.Adds
			}
			l.Findings = append(l.Findings, boat.Finding{Item: it.ID, Value: v.ID, Quote: v.Label})
		}
		if random.IntN(3) == 0 {
			l.Findings = append(l.Findings, boat.Finding{Item: "extra:Sail number", Value: []string{"included", "absent"}[random.IntN(2)]})
		}
		l.Price = boat.Price{Amount: money.Of(math.Max(price, 300)*math.Exp(0.12*random.NormFloat64()), "EUR"), Known: true}
		out = append(out, l)
	}
	return out, book
}

func fitted3(t testing.TB, n int, seed uint64) (*Model, []*boat.Listing) {
	t.Helper()
	listings, book := invent(t, n, seed)
	m, err := Fit(listings, book, "EUR", Tuning{})
	if err != nil {
		t.Fatal(err)
	}
	return m, listings
}

// The gradient agrees with differences at random parameters and listings.
func TestGradientIsTheDerivative(t *testing.T) {
	listings, book := invent(t, 200, 1)
	listings[3].AsOf = listings[3].AsOf.AddDate(-2, 0, 0)
	for _, shape := range []curve{decay, steps} {
		p := newPlan(listings, book, 1, shape)
		holdGradient(t, p, listings)
	}
}

func holdGradient(t *testing.T, p *plan, listings []*boat.Listing) {
	t.Helper()
	rapid.Check(t, func(t *rapid.T) {
		pt := p.zero()
		theta, class := pt.theta, pt.class
		for i, prior := range p.priors {
			theta[i] = prior.mean + prior.sd*rapid.Float64Range(-1, 1).Draw(t, "shared")
		}
		for i := range p.extras { // the slope has a corner where an extra's worth changes sign
			if k := p.at.extras + i; math.Abs(theta[k]) < 1 {
				theta[k] = 1
			}
		}
		for i := range class {
			class[i] = effect{rapid.Float64Range(-0.4, 0.4).Draw(t, "level"), rapid.Float64Range(-0.4, 0.4).Draw(t, "rate")}
		}
		e := p.encode(listings[rapid.IntRange(0, len(listings)-1).Draw(t, "listing")])
		g := make([]float64, len(theta))
		_, byClass := p.stateAt(pt).gradient(&e, g)
		const h = 1e-5
		slope := func(x *float64) float64 {
			was := *x
			*x = was + h
			up := p.stateAt(pt).logPrice(&e)
			*x = was - h
			down := p.stateAt(pt).logPrice(&e)
			*x = was
			return (up - down) / (2 * h)
		}
		for i := range theta {
			if want := slope(&theta[i]); math.Abs(g[i]-want) > 1e-6*(1+math.Abs(want)) {
				t.Fatalf("parameter %d of %d: gradient %g, differences %g", i, len(theta), g[i], want)
			}
		}
		for b := range byClass {
			if want := slope(&class[e.class][b]); math.Abs(byClass[b]-want) > 1e-6 {
				t.Fatalf("class: gradient %g, differences %g", byClass[b], want)
			}
		}
	})
}

// At the fit the bisquare objective has no slope: the defining equation.
func TestFitSolvesItsEquation(t *testing.T) {
	m, _ := fitted3(t, 80, 3)
	q := m.fit.problem
	s := q.plan.stateAt(m.fit.at)
	slope := make([]float64, len(q.plan.priors))
	g := make([]float64, len(slope))
	for i := range q.rows {
		s.gradient(&q.rows[i], g)
		for k := range g {
			slope[k] += m.fit.loss.Psi(m.fit.residuals[i]/m.fit.scale) / (m.fit.scale * q.rowSD[i]) * g[k]
		}
	}
	for k, prior := range q.plan.priors {
		slope[k] -= (m.fit.at.theta[k] - prior.mean) / (prior.sd * prior.sd)
		if math.Abs(slope[k]*prior.sd) > 1e-3 {
			t.Errorf("parameter %d: slope %g in units of its prior", k, slope[k]*prior.sd)
		}
	}
}

// One Newton step out of the full fit agrees with refitting without the boat.
func TestLeftOutAgreesWithRefits(t *testing.T) {
	m, _ := fitted3(t, 150, 4)
	var off []float64
	for i, p := range m.leftOut {
		if p.refitted {
			continue
		}
		exact := m.fit.refitWithout(i)
		off = append(off, math.Abs(p.log-exact.log))
	}
	if len(off) < 20 {
		t.Fatalf("only %d of %d took the short way", len(off), len(m.leftOut))
	}
	slices.Sort(off)
	at99 := off[int(0.99*float64(len(off)-1))]
	t.Logf("%d listings: 99 %% within %.4f, worst %.4f", len(off), at99, off[len(off)-1])
	if at99 > 0.005 {
		t.Errorf("99 %% of left-out prices are within %.4f of refits, wanted 0.005", at99)
	}
}

func TestPartsAddUpToTheCent(t *testing.T) {
	m, listings := fitted3(t, 80, 5)
	for _, l := range listings {
		v := m.Value(l, 0.8)
		sum := int64(0)
		for _, p := range v.Parts {
			sum += money.Of(p.Amount, "EUR").Minor
		}
		if want := money.Of(v.Expected, "EUR").Minor; sum != want {
			t.Errorf("listing %s: parts add up to %d cents, expected is %d", l.ID, sum, want)
		}
	}
}

// Whatever the market says, a better value of an item never lowers a price.
func TestBetterIsNeverWorthLess(t *testing.T) {
	m, listings := fitted3(t, 60, 6)
	rapid.Check(t, func(t *rapid.T) {
		l := *listings[rapid.IntRange(0, len(listings)-1).Draw(t, "listing")]
		table := &m.plan.tables[rapid.IntRange(0, len(m.plan.tables)-1).Draw(t, "item")]
		if table.item.Kind == knowhow.Condition {
			return
		}
		before := math.Inf(-1)
		levels := slices.Clone(table.item.Levels)
		if table.item.Kind == knowhow.Extra {
			slices.Reverse(levels) // absent, at extra cost, included
		}
		for _, v := range levels {
			with := l
			with.Findings = append(without(append(slices.Clone(l.Findings), boat.Finding{}), len(l.Findings)), boat.Finding{Item: table.item.ID, Value: v.ID})
			for i, f := range with.Findings {
				if f.Item == table.item.ID {
					with.Findings[i].Value = v.ID
				}
			}
			price := m.Value(&with, 0.8).Expected
			if price < before {
				t.Fatalf("%s %s: %g after %g", table.item.ID, v.ID, price, before)
			}
			before = price
		}
	})
}

func TestLimitKeepsDeductionsWithinTheHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, m := rapid.Float64Range(0, 5000).Draw(t, "deductions"), rapid.Float64Range(1, 5000).Draw(t, "most")
		l, byD, byM := limited(d, m)
		if l > d+1e-9 || l > m*(1+1e-12) || l < 0 {
			t.Fatalf("limited(%g, %g) = %g", d, m, l)
		}
		if d < 0.2*m && l < 0.999*d {
			t.Fatalf("limited(%g, %g) = %g: small deductions should come through", d, m, l)
		}
		if byD < 0 || byD > 1 || byM < 0 || byM > 1 {
			t.Fatalf("slopes %g, %g", byD, byM)
		}
	})
}

// The spread of the middle is consistent at the normal and hardly moves when
// a tenth of the residuals is four spreads off.
func TestWeightedScale(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	r := make([]float64, 20000)
	for i := range r {
		r[i] = 0.15 * random.NormFloat64()
	}
	if _, s := weightedScale(r, 0.3, 0); math.Abs(s/0.15-1) > 0.02 {
		t.Errorf("scale %.4f of normal residuals of scale 0.15", s)
	}
	for i := range len(r) / 10 {
		r[i] = 0.6
	}
	if _, s := weightedScale(r, 0.3, 0); math.Abs(s/0.15-1) > 0.04 {
		t.Errorf("scale %.4f with a tenth planted, wanted 0.15", s)
	}
}

// A fit gives the same bits twice.
func TestFitIsDeterministic(t *testing.T) {
	a, listings := fitted3(t, 60, 8)
	b, again := fitted3(t, 60, 8)
	for i := range listings {
		if x, y := a.Value(listings[i], 0.8), b.Value(again[i], 0.8); x.Expected != y.Expected || x.Low != y.Low {
			t.Fatalf("listing %d: %v and %v", i, x.Expected, y.Expected)
		}
	}
}

// A market of none, one or a few boats is answered from the knowhow.
func TestThinMarkets(t *testing.T) {
	for _, n := range []int{0, 1, 2, 5} {
		listings, book := invent(t, n, 9)
		m, err := Fit(listings, book, "EUR", Tuning{})
		if err != nil {
			t.Fatalf("%d listings: %v", n, err)
		}
		one, _ := invent(t, 1, 10)
		v := m.Value(one[0], 0.8)
		if !(v.Low > 0 && v.Low < v.Expected && v.Expected < v.High) || math.IsInf(v.High, 0) {
			t.Errorf("%d listings: expected %g from %g to %g", n, v.Expected, v.Low, v.High)
		}
		if len(m.Summary().Warnings) == 0 {
			t.Errorf("%d listings: no warning", n)
		}
	}
}
