package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/montanaflynn/stats"
	"pgregory.net/rapid"
)

func TestWeightedQuantile(t *testing.T) {
	for _, c := range []struct {
		name       string
		x, weights []float64
		p, want    float64
	}{
		{"median, odd", []float64{3, 1, 2}, []float64{1, 1, 1}, 0.5, 2},
		{"median, even", []float64{4, 1, 2, 3}, []float64{1, 1, 1, 1}, 0.5, 2.5},
		{"heavy one", []float64{1, 2, 3}, []float64{1, 1, 10}, 0.5, 3},
		{"weight 0", []float64{-100, 1, 2, 3}, []float64{0, 1, 1, 1}, 0, 1},
		{"highest", []float64{1, 2, 3, 9}, []float64{1, 1, 1, 0}, 1, 3},
		{"tenths", []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, []float64{.1, .1, .1, .1, .1, .1, .1, .1, .1, .1}, 0.3, 3.5},
		{"one", []float64{7}, []float64{2}, 0.2, 7},
	} {
		if got, err := WeightedQuantile(c.x, c.weights, c.p); err != nil || got != c.want {
			t.Errorf("%s: got %g, %v, want %g", c.name, got, err, c.want)
		}
	}
	for _, c := range []struct {
		x, weights []float64
		p          float64
	}{
		{[]float64{1}, []float64{1, 2}, 0.5}, {[]float64{1}, []float64{1}, 1.5}, {[]float64{1}, []float64{-1}, 0.5},
		{[]float64{1}, []float64{0}, 0.5}, {[]float64{math.NaN()}, []float64{1}, 0.5}, {nil, nil, 0.5},
	} {
		if got, err := WeightedQuantile(c.x, c.weights, c.p); err == nil || !math.IsNaN(got) {
			t.Errorf("%v: got %g, want an error", c, got)
		}
	}
}

// Whole-number weights do what copies do, and at one half that is the median.
func TestWeightsCountAsCopies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 15).Draw(t, "n")
		x, weights := rapid.SliceOfN(rapid.Float64Range(-5, 5), n, n).Draw(t, "x"), make([]float64, n)
		var copies []float64
		for i := range x {
			w := rapid.IntRange(1, 4).Draw(t, "weight")
			weights[i] = float64(w)
			for range w {
				copies = append(copies, x[i])
			}
		}
		got, err1 := WeightedQuantile(x, weights, 0.5)
		want, err2 := stats.Median(copies)
		if err1 != nil || err2 != nil || math.Abs(got-want) > 1e-14 {
			t.Fatalf("got %g, %v, want %g, %v", got, err1, want, err2)
		}
	})
}

// The promise: the range holds the true median at least as often as asked.
func TestMedianIntervalHolds(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	for _, c := range []struct {
		n        int
		coverage float64 // 1 - 2 P(Bin(n, 1/2) < rank)
	}{{8, 1 - 2.0*9/256}, {25, 0.9567147493362427}} {
		held := 0
		const trials = 8000
		for range trials {
			x := make([]float64, c.n)
			for i := range x {
				x[i] = random.ExpFloat64()
			}
			got, err := MedianInterval(x, 0.9)
			if c.n == 25 {
				got, err = MedianInterval(x, 0.95)
			}
			if err != nil || len(got.Warnings) > 0 {
				t.Fatal(got, err)
			}
			if got.Low <= math.Ln2 && math.Ln2 <= got.High {
				held++
			}
		}
		if share := float64(held) / trials; math.Abs(share-c.coverage) > 0.012 {
			t.Errorf("n %d: held in %.4f, want %.4f", c.n, share, c.coverage)
		}
	}
	if _, err := MedianInterval([]float64{1, math.NaN()}, 0.9); err == nil {
		t.Error("NaN: want an error")
	}
}
