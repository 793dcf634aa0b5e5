package price

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"askance/analysis/robust"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// inventTypes makes a market whose classes are types of boat that every maker
// builds, each with a power of the length of its own. truth is the law's own
// log price of each.
func inventTypes(t testing.TB, n int, seed uint64) (listings []*boat.Listing, truth []float64, book *knowhow.Book) {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(seed, 7))
	asOf := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	at := record.Pos{File: "invented.csv", Kind: record.Line}
	types := []string{"Day boat", "Cabin boat", "Open boat", "Fishing boat"}
	level, power := []float64{0, 0.5, -0.3, 0.2}, []float64{1.6, 2.4, 2.0, 1.8}
	makers := make([]float64, 40)
	for i := range makers {
		makers[i] = 0.4 * random.NormFloat64()
	}
	for i := range n {
		k, m, age := random.IntN(len(types)), random.IntN(len(makers)), random.IntN(30)
		length := 6 * math.Exp(0.25*random.NormFloat64())
		log := 9.5 + level[k] + makers[m] + power[k]*math.Log(length/6) + math.Log(0.12+0.88*math.Exp(-0.085*float64(age)))
		l := &boat.Listing{ID: fmt.Sprint(i), AsOf: asOf}
		l.Class, l.Maker = boat.Know(types[k], "column", "", at), boat.Know(fmt.Sprintf("Yard %d", m), "column", "", at)
		l.Length, l.Year.Fact = boat.Know(length, "column", "", at), boat.Know(asOf.Year()-age, "column", "", at)
		l.Price = boat.Price{Amount: money.Of(math.Exp(log+0.12*random.NormFloat64()), "EUR"), Known: true}
		listings, truth = append(listings, l), append(truth, log)
	}
	return listings, truth, book
}

// Where makers share the names of classes, a price knows both the maker and
// the class; and the formula written out is the model.
func TestClassNamesOfSeveralMakers(t *testing.T) {
	listings, truth, book := inventTypes(t, 700, 3)
	m, err := Fit(listings, book, "EUR", Tuning{})
	if err != nil {
		t.Fatal(err)
	}
	var off []float64
	for i, l := range listings {
		off = append(off, math.Abs(math.Log(m.Value(l, 0.8).Expected)-truth[i]))
	}
	// makers lie 0.4 apart, noise is 0.12: without the makers the middle error would be some 0.27
	if got := robust.Median(off); got > 0.06 {
		t.Errorf("median error against the law %.3f", got)
	}
	f := m.Formula(0.8)
	for _, l := range listings[:60] {
		if got, want := f.byHand(l), m.Value(l, 0.8).Fitted; math.Abs(got-want) > 0.006 {
			t.Fatalf("listing %s: by hand %.4f, the model %.4f", l.ID, got, want)
		}
	}
	newcomer := *listings[0]
	newcomer.Maker.Value = "Nobody's yard"
	stranger := newcomer
	stranger.Class.Value = "Never seen"
	if a, b := m.Value(&newcomer, 0.8).Expected, m.Value(&stranger, 0.8).Expected; a == b {
		t.Errorf("a boat of a known type by an unknown maker is priced like one of an unknown type, %.0f", a)
	}
}

func TestOfSeveral(t *testing.T) {
	for _, c := range []struct {
		makers map[string]int
		want   bool
	}{
		{map[string]int{"a": 9}, false}, {map[string]int{"a": 9, "b": 1}, false}, {map[string]int{"a": 2, "b": 2}, false},
		{map[string]int{"a": 4, "b": 4}, true}, {map[string]int{"a": 80, "b": 19}, false}, {map[string]int{"a": 3, "b": 1, "c": 1, "d": 1}, true}, {nil, false},
	} {
		if got := ofSeveral(c.makers); got != c.want {
			t.Errorf("%v: %v", c.makers, got)
		}
	}
}

// A boat of a shared name whose class is refitted without it agrees with the
// whole fit refined without it.
func TestLeftOutWhereMakersShareNames(t *testing.T) {
	listings, _, book := inventTypes(t, 700, 5)
	m, err := Fit(listings, book, "EUR", Tuning{})
	if err != nil {
		t.Fatal(err)
	}
	var off []float64
	for i, p := range m.leftOut {
		if p.refitted && len(off) < 40 {
			off = append(off, math.Abs(p.log-m.fit.refitWithout(i).log))
		}
	}
	if len(off) < 20 {
		t.Fatalf("only %d were refitted", len(off))
	}
	slices.Sort(off)
	if middle := off[len(off)/2]; middle > 0.02 {
		t.Errorf("median difference from exact refits %.4f, worst %.4f", middle, off[len(off)-1])
	} else {
		t.Logf("median difference %.4f, worst %.4f", middle, off[len(off)-1])
	}
}

// Where most classes have one or two listings the fit goes through them; the
// ranges are as wide as the market all the same.
func TestRangesWhereClassesAreSmall(t *testing.T) {
	listings, truth, book := inventTypes(t, 700, 6)
	random := rand.New(rand.NewPCG(1, 9))
	for i, l := range listings { // many yards and kinds of which few are common, and asks with t(4) tails
		l.Maker.Value = fmt.Sprint("Yard ", int(400*math.Pow(random.Float64(), 3)))
		l.Class.Value += fmt.Sprint(" ", int(30*math.Pow(random.Float64(), 3)))
		chi := 0.0
		for range 4 {
			chi += square(random.NormFloat64())
		}
		l.Price.Amount = money.Of(math.Exp(truth[i]+0.22*random.NormFloat64()/math.Sqrt(chi/4)), "EUR")
	}
	m, err := Fit(listings, book, "EUR", Tuning{})
	if err != nil {
		t.Fatal(err)
	}
	if m.fit.effective < float64(len(listings))/4 {
		t.Fatalf("the fit settles only %.0f parameters", m.fit.effective)
	}
	inside := 0
	for _, l := range listings {
		if v := m.Value(l, 0.8); v.Low <= l.Price.Major() && l.Price.Major() <= v.High {
			inside++
		}
	}
	if share := float64(inside) / float64(len(listings)); share < 0.7 || share > 0.92 {
		t.Errorf("%.3f of asks within the range of 0.8", share)
	} else {
		t.Logf("%.3f of asks within the range of 0.8", share)
	}
}
