package calibrate

import (
	"math"
	"testing"
)

// Newcombe (1998), Stat. Med. 17, 857-872, Table I, score intervals without
// continuity correction, 95 % (from memory), to the printed digits.
func TestWilsonPublishedFigures(t *testing.T) {
	for _, c := range []struct {
		hits, cases int
		low, high   float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		got, err := Wilson(c.hits, c.cases, 0.95)
		if err != nil || math.Abs(got.Low-c.low) > 5e-5 || math.Abs(got.High-c.high) > 5e-5 {
			t.Errorf("%d of %d: got %+v, %v, want %g to %g", c.hits, c.cases, got, err, c.low, c.high)
		}
	}
}

// The defining equation: at either end the score test is just at its limit.
func TestWilsonSolvesItsEquation(t *testing.T) {
	z := StudentQuantile(0.95, math.Inf(1))
	for _, c := range [][2]int{{3, 7}, {50, 60}, {999, 1000}} {
		got, err := Wilson(c[0], c[1], 0.9)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []float64{got.Low, got.High} {
			if score := math.Abs(got.Value-p) / math.Sqrt(p*(1-p)/float64(c[1])); math.Abs(score-z) > 1e-9 {
				t.Errorf("%v: at %g the score is %g, want %g", c, p, score, z)
			}
		}
	}
}

func TestCoverage(t *testing.T) {
	inf := math.Inf(1)
	values := []float64{1, 2, 3, 4, math.NaN()}
	ranges := []Interval{{Low: 1, High: 2}, {Low: 2.5, High: 3}, {Low: -inf, High: inf}, {Low: 3, High: 4}, {Low: -inf, High: inf}}
	got, err := Coverage(values, ranges, 0.95)
	if err != nil || got.Hits != 3 || got.Cases != 5 || got.Value != 0.6 {
		t.Errorf("got %+v, %v, want 3 of 5", got, err)
	}
	if _, err := Coverage(values, ranges[:4], 0.95); err == nil {
		t.Error("unequal lengths: want an error")
	}
	if none, err := Wilson(0, 0, 0.95); err != nil || !math.IsNaN(none.Value) || none.Low != 0 || none.High != 1 {
		t.Errorf("no cases: got %+v, %v", none, err)
	}
	for _, c := range []struct {
		hits, cases int
		level       float64
	}{{-1, 5, 0.9}, {6, 5, 0.9}, {1, 5, 0}, {1, 5, 1}} {
		if _, err := Wilson(c.hits, c.cases, c.level); err == nil {
			t.Errorf("%v: want an error", c)
		}
	}
}
