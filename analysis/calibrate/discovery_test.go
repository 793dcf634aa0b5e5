package calibrate

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// R 4.2.2 stats::p.adjust(p, "BH").
func TestAdjustBHAgreesWithAnotherProgram(t *testing.T) {
	cases := reference[struct {
		Cases map[string]struct{ P, BH []number }
	}](t, "p_adjust.json").Cases
	if len(cases) != 7 {
		t.Fatalf("%d cases, want 7", len(cases))
	}
	worst := 0.0
	for _, name := range slices.Sorted(maps.Keys(cases)) {
		want := floats(cases[name].BH)
		got, err := AdjustBH(floats(cases[name].P))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for i := range want {
			if !near(got[i], want[i], 1e-14) {
				t.Errorf("%s: p-value %d adjusted to %.15g, want %.15g", name, i, got[i], want[i])
			}
			if !math.IsNaN(want[i]) {
				worst = math.Max(worst, math.Abs(got[i]-want[i]))
			}
		}
	}
	t.Logf("largest difference %.1e", worst)
}

// The worked example of Benjamini & Hochberg (1995): at q = 0.05 the four smallest
// of fifteen are rejected; at 0.10 nine are (computed with R 4.2.2 p.adjust).
func TestRejectBHWorkedExample(t *testing.T) {
	p := []float64{0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1}
	for _, c := range []struct {
		q    float64
		want int
	}{{0, 0}, {0.05, 4}, {0.10, 9}, {1, 15}} {
		rejected, err := RejectBH(p, c.q)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range rejected {
			if r != (i < c.want) {
				t.Errorf("q %g: p-value %g rejected: %v", c.q, p[i], r)
			}
		}
	}
}

// The procedure as its paper states it: reject the k smallest for the largest k
// with p_(k) <= k/m q.
func TestRejectBHByDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SliceOfN(rapid.Map(rapid.IntRange(0, 1000), func(i int) float64 { return float64(i*i) / 1e6 }), 1, 30).Draw(t, "p")
		q := rapid.Float64Range(0.01, 0.5).Draw(t, "q")
		sorted := slices.Sorted(slices.Values(p))
		cut := -1.0
		for k, v := range sorted {
			if v <= float64(k+1)/float64(len(p))*q {
				cut = v
			}
		}
		rejected, err := RejectBH(p, q)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range rejected {
			if r != (p[i] <= cut) {
				t.Fatalf("p-value %g rejected: %v, cut %g", p[i], r, cut)
			}
		}
	})
}

// The promise: with 30 true and 10 false hypotheses the mean share of false
// rejections over 2000 studies is at most q, and near q * 30/40.
func TestFalseDiscoveryRateHolds(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	const studies, q = 2000, 0.2
	rate := 0.0
	for range studies {
		p := make([]float64, 40)
		for i := range p {
			z := random.NormFloat64()
			if i >= 30 {
				z += 3
			}
			p[i] = TwoSidedP(z, math.Inf(1))
		}
		rejected, err := RejectBH(p, q)
		if err != nil {
			t.Fatal(err)
		}
		wrong, all := 0, 0
		for i, r := range rejected {
			if r {
				all++
				if i < 30 {
					wrong++
				}
			}
		}
		if all > 0 {
			rate += float64(wrong) / float64(all) / studies
		}
	}
	t.Logf("false-discovery rate %.4f, theory %.4f", rate, q*30/40)
	if math.Abs(rate-q*30/40) > 0.015 {
		t.Errorf("false-discovery rate %.4f, want %.4f", rate, q*30/40)
	}
}

func TestDiscoveryErrors(t *testing.T) {
	for _, p := range [][]float64{{0.1, -0.1}, {1.1}, {math.Inf(1)}} {
		if _, err := AdjustBH(p); err == nil {
			t.Errorf("%v: want an error", p)
		}
	}
	for _, q := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := RejectBH([]float64{0.1}, q); err == nil {
			t.Errorf("q %g: want an error", q)
		}
	}
	if got, err := AdjustBH(nil); err != nil || len(got) != 0 {
		t.Errorf("no p-values: got %v, %v", got, err)
	}
}
