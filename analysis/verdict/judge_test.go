package verdict

import (
	"math"
	"testing"

	"askance/analysis/price"
)

// ask makes an ask that lies so many spreads from an expectation of 1,000.
func ask(z, spread float64) Ask {
	return Ask{Ask: 1000 * math.Exp(z*spread), Valuation: price.Valuation{Expected: 1000, Low: 1000 * math.Exp(-1.28*spread), High: 1000 * math.Exp(1.28*spread),
		LogSD: spread, DF: math.Inf(1), Residual: z * spread}}
}

func judge(t *testing.T, asks []Ask) []Verdict {
	t.Helper()
	out, err := Judge(asks, Rules{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestVerdicts(t *testing.T) {
	asks := []Ask{ask(0, 0.15), ask(-5, 0.15), ask(5, 0.15), ask(2.0, 0.15)}
	for range 40 {
		asks = append(asks, ask(0.5, 0.15))
	}
	got := judge(t, asks)
	for i, want := range []string{Near, WellBelow, WellAbove, Near} {
		if got[i].Verdict != want {
			t.Errorf("ask %d of %.0f: %s, wanted %s", i, asks[i].Ask, got[i].Verdict, want)
		}
	}
	if !got[3].OutsideRange || got[0].OutsideRange {
		t.Error("two spreads off is outside the range, nought is not")
	}
	if got[3].P > 0.05 || got[3].PAdjusted <= 0.08 {
		t.Errorf("alone it would stand out (p %.3f), among 44 it may be chance (adjusted %.3f)", got[3].P, got[3].PAdjusted)
	}
}

// A gap under 12 % is near however sure it is.
func TestSmallGapsAreNear(t *testing.T) {
	asks := []Ask{ask(8, 0.012), ask(-8, 0.012)}
	for i, v := range judge(t, asks) {
		if v.Verdict != Near || v.PAdjusted > 0.01 {
			t.Errorf("ask %d: %s with gap %.3f and p %.4f", i, v.Verdict, v.Gap, v.PAdjusted)
		}
	}
}

func TestNotJudged(t *testing.T) {
	far, told, blind := ask(13, 0.15), ask(0, 0.15), ask(-6, 0.15)
	told.Because = "a structural defect"
	blind.Valuation.Unusable = "the build year is unknown"
	got := judge(t, []Ask{far, told, blind, ask(-5, 0.15)})
	for i := range 3 {
		if got[i].Verdict != NotJudged || got[i].Because == "" {
			t.Errorf("ask %d: %s because %q", i, got[i].Verdict, got[i].Because)
		}
	}
	if got[3].Verdict != WellBelow || got[3].PAdjusted != got[3].P {
		t.Error("those that are not judged must not count among the tests")
	}
}

// The smallest gap seen is one that would have been given a verdict, and a
// slightly smaller one would not.
func TestSmallestSeen(t *testing.T) {
	asks := make([]Ask, 50)
	for i := range asks {
		asks[i] = ask(0, 0.15)
	}
	gap := SmallestSeen(asks, judge(t, asks), Rules{})
	for _, trial := range []struct {
		times float64
		want  string
	}{{1.01, WellAbove}, {0.97, Near}} {
		asks[7] = ask(math.Log(1+gap*trial.times)/0.15, 0.15)
		if got := judge(t, asks)[7].Verdict; got != trial.want {
			t.Errorf("%.2f times the smallest gap of %.3f: %s, wanted %s", trial.times, gap, got, trial.want)
		}
	}
	if !math.IsNaN(SmallestSeen(nil, nil, Rules{})) {
		t.Error("no listing can see no gap")
	}
}
