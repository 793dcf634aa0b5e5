package price

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"askance/analysis/robust"
	"askance/ingest/boat"
	"askance/ingest/money"
	"askance/ingest/record"
)

func TestNestingOf(t *testing.T) {
	towns := func(form string) map[string]int {
		count := map[string]int{}
		for i := range 40 {
			count[fmt.Sprintf(form, i, i%5)] = 3
		}
		return count
	}
	for _, c := range []struct {
		values    map[string]int
		separator string
		lastWide  bool
		depth     int
	}{
		{towns("Bay %d, County %d"), ",", true, 2},
		{map[string]int{"a": 40, "b": 2}, "", false, 0}, // too few to ask
		{towns("Town %d%d"), "", false, 0},
		{towns("Town %d, house %[1]d%[2]d"), "", false, 0}, // no end is wider
	} {
		n, depth := nestingOf(c.values)
		if n.separator != c.separator || n.lastWide != c.lastWide || depth != c.depth {
			t.Errorf("%v...: %q, last wide %v, depth %d", c, n.separator, n.lastWide, depth)
		}
	}
	wide := map[string]int{}
	for i := range 60 {
		wide[fmt.Sprintf("Land %d » Shire %d » Town %d", i%3, i%12, i)] = 2
	}
	n, depth := nestingOf(wide)
	if depth != 3 || n.widest("Land 1 » Shire 4 » Town 9", 2) != "Land 1 » Shire 4" || n.widest("Land 1", 2) != "Land 1" {
		t.Errorf("%+v, depth %d: %q", n, depth, n.widest("Land 1 » Shire 4 » Town 9", 2))
	}
}

// On a large market the place is a driver, by what it lies in where it is
// rare, and a factor of as many levels as listings costs nothing.
func TestPlacesOfALargeMarket(t *testing.T) {
	listings, truth, book := inventTypes(t, 600, 4)
	random := rand.New(rand.NewPCG(2, 2))
	for i, l := range listings {
		land := random.IntN(4)
		l.Place = boat.Know(fmt.Sprintf("Town %d, Land %d", i, land), "column", "", record.Pos{})
		l.Factors = map[string]string{"Number": fmt.Sprint(i)}
		truth[i] += 0.3 * float64(land)
		l.Price.Amount = money.Of(math.Exp(truth[i]+0.1*random.NormFloat64()), "EUR")
	}
	off := func() float64 {
		m, err := Fit(listings, book, "EUR", Tuning{})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(m.plan.priors); got > 300 {
			t.Errorf("%d parameters", got)
		}
		var out []float64
		for i, l := range listings {
			out = append(out, math.Abs(math.Log(m.Value(l, 0.8).Expected)-truth[i]))
		}
		if told := strings.Contains(fmt.Sprint(m.Value(listings[0], 0.8).Parts), "factor:place, wide"); told != listings[0].Place.Known {
			t.Errorf("place known %v, in the parts %v", listings[0].Place.Known, told)
		}
		return robust.Median(out)
	}
	with := off()
	for _, l := range listings {
		l.Place = boat.Fact[string]{}
	}
	if without := off(); with > without/3 {
		t.Errorf("median error %.3f with the places, %.3f without", with, without)
	}
}
