package price

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"syscall"
	"testing"
	"time"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// inventYachts makes n listings of n/7 classes by n/50 makers, at many places,
// whose makers age at their own pace and whose asks bear what a place adds.
func inventYachts(t testing.TB, n int, seed uint64) ([]*boat.Listing, *knowhow.Book) {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(seed, 5))
	asOf := time.Date(2026, time.June, 1, 0, 0, 0, 0, time.UTC)
	at := record.Pos{File: "invented.csv", Kind: record.Line}
	makers := max(2, n/50)
	type maker struct{ level, rate float64 }
	made := make([]maker, makers)
	for i := range made {
		made[i] = maker{0.2 * random.NormFloat64(), 0.2 * random.NormFloat64()}
	}
	classes := max(3, n/7)
	type class struct {
		maker         int
		length, level float64
	}
	drawn := make([]class, classes)
	for i := range drawn {
		drawn[i] = class{random.IntN(makers), math.Round(100*(8+7*random.Float64())) / 100, 0.15 * random.NormFloat64()}
	}
	places := []float64{0, 0.1, -0.1, 0.05, 0.2, -0.15}
	out := make([]*boat.Listing, n)
	for i := range out {
		k := random.IntN(classes)
		c := drawn[k]
		age := random.IntN(35)
		place := random.IntN(len(places))
		l := &boat.Listing{ID: fmt.Sprint(i), AsOf: asOf, Factors: map[string]string{"Region": fmt.Sprint("R", place)}}
		l.Class = boat.Know(fmt.Sprint("Class ", k), "column", "", at)
		l.Maker = boat.Know(fmt.Sprint("Yard ", c.maker), "column", "", at)
		l.Length = boat.Know(c.length, "column", "", at)
		l.Year.Fact = boat.Know(asOf.Year()-age, "column", "", at)
		rate := 0.07 * math.Exp(made[c.maker].rate)
		log := 11 + 2.5*math.Log(c.length/10) + c.level + made[c.maker].level + math.Log(0.15+0.85*math.Exp(-rate*float64(age))) + places[place] + 0.15*random.NormFloat64()
		l.Price = boat.Price{Amount: money.Of(math.Exp(log), "EUR"), Known: true}
		out[i] = l
	}
	return out, book
}

// BenchmarkMarket fits and prices whole markets of growing size, in processor
// time, which other programs do not disturb. slope is the exponent by which the
// cost has grown since the smallest market, last-slope since the size before: 1
// where it is linear.
func BenchmarkMarket(b *testing.B) {
	costs, sizes := []float64{}, []int{}
	for _, n := range []int{2000, 20000, 200000} {
		listings, book := inventYachts(b, n, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			from := processorTime(b)
			for b.Loop() {
				m, err := Fit(listings, book, "EUR", Tuning{})
				if err != nil {
					b.Fatal(err)
				}
				for _, l := range listings {
					m.Value(l, 0.8)
				}
			}
			cost := processorTime(b).Seconds() - from.Seconds()
			cost /= float64(b.N)
			b.ReportMetric(1e6*cost/float64(n), "cpu-us/listing")
			since := func(k int) float64 { return math.Log(cost/costs[k]) / math.Log(float64(n)/float64(sizes[k])) }
			if k := len(sizes); k > 0 && sizes[k-1] < n {
				b.ReportMetric(since(0), "slope")
				b.ReportMetric(since(k-1), "last-slope")
			}
			costs, sizes = append(costs, cost), append(sizes, n)
		})
	}
}

// processorTime is what the process has used so far.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// In a large market a row that bears much of its own price is left out by
// refitting its class; that agrees with refitting everything.
func TestClassRefitAgreesWithFullRefit(t *testing.T) {
	listings, book := inventYachts(t, 700, 2)
	m, err := Fit(listings, book, "EUR", Tuning{})
	if err != nil {
		t.Fatal(err)
	}
	var off, spreads []float64
	for i, p := range m.leftOut {
		if !p.refitted || i%5 > 0 {
			continue
		}
		exact := m.fit.refitWithout(i)
		off = append(off, math.Abs(p.log-exact.log))
		spreads = append(spreads, math.Sqrt(p.variance/exact.variance))
	}
	slices.Sort(off)
	slices.Sort(spreads)
	at90, worst := off[len(off)*9/10], off[len(off)-1]
	t.Logf("%d rows: 90 %% within %.4f of full refits, worst %.4f; spread over exact %.2f to %.2f", len(off), at90, worst, spreads[0], spreads[len(spreads)-1])
	if len(off) < 20 || at90 > 0.01 || worst > 0.1 {
		t.Errorf("%d rows, 90 %% within %.4f, worst %.4f; wanted 0.01 and 0.1", len(off), at90, worst)
	}
}
