package calibrate

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

type ratioSet struct {
	Estimate, Price []float64
	Published       map[string]any
	MedianRatio     float64 `json:"median_ratio"`
	MeanRatio       float64 `json:"mean_ratio"`
	WeightedMean    float64 `json:"weighted_mean_ratio"`
	COD, COV        float64
	PRD, PRB        float64
	PRBSE           float64   `json:"PRB_se"`
	PRB95           []float64 `json:"PRB_ci95"`
	PRB80           []float64 `json:"PRB_ci80"`
	MKI, KI         *float64
	Exact           struct{ Lower, Upper float64 } `json:"median_ci95_exact_binomial"`
	Formula         struct{ Lower, Upper float64 } `json:"median_ci95_iaao_formula"`
}

// Nine ratio studies, computed with numpy, scipy and statsmodels; see the file.
// The other program's t quantiles are right to nine digits only (for 34 degrees of
// freedom TestTwoSidedPForEvenDF shows which is right), so the ranges of PRB are
// compared to 2e-10.
func TestRatioStudyAgreesWithAnotherProgram(t *testing.T) {
	sets := reference[struct{ Sets map[string]ratioSet }](t, "ratio_studies.json").Sets
	if len(sets) != 9 {
		t.Fatalf("%d sets, want 9", len(sets))
	}
	worst := 0.0
	for _, name := range slices.Sorted(maps.Keys(sets)) {
		set := sets[name]
		got, err := RatioStudy(set.Estimate, set.Price, 0.95)
		got80, err80 := RatioStudy(set.Estimate, set.Price, 0.80)
		if err != nil || err80 != nil {
			t.Errorf("%s: %v %v", name, err, err80)
			continue
		}
		figures := map[string][2]float64{
			"median": {got.Median, set.MedianRatio}, "mean": {got.Mean, set.MeanRatio},
			"weighted mean": {got.WeightedMean, set.WeightedMean}, "COD": {got.COD, set.COD}, "COV": {got.COV, set.COV},
			"PRD": {got.PRD, set.PRD}, "PRB": {got.PRB, set.PRB}, "PRB error": {got.PRBError, set.PRBSE},
			"PRB 95 % low": {got.PRBRange.Low, set.PRB95[0]}, "PRB 95 % high": {got.PRBRange.High, set.PRB95[1]},
			"PRB 80 % low": {got80.PRBRange.Low, set.PRB80[0]}, "PRB 80 % high": {got80.PRBRange.High, set.PRB80[1]},
			"median low": {got.MedianRange.Low, set.Exact.Lower}, "median high": {got.MedianRange.High, set.Exact.Upper},
		}
		if set.MKI != nil {
			figures["MKI"] = [2]float64{got.MKI, *set.MKI}
			figures["KI"] = [2]float64{got.KI, *set.KI}
		}
		for what, f := range figures {
			within := 1e-11
			if strings.Contains(what, "%") {
				within = 2e-10
			} else {
				worst = math.Max(worst, math.Abs(f[0]-f[1])/math.Max(1, math.Abs(f[1])))
			}
			if !near(f[0], f[1], within) {
				t.Errorf("%s: %s is %.15g, want %.15g", name, what, f[0], f[1])
			}
		}
	}
	t.Logf("largest difference but for the ranges of PRB %.1e", worst)
}

// The figures as printed in the IAAO Standard on Ratio Studies (2013), Tables 1-1,
// 1-4, D-1 and D-2, in Quintos (2020), and of an open sample of county sales.
func TestRatioStudyPublishedFigures(t *testing.T) {
	sets := reference[struct{ Sets map[string]ratioSet }](t, "ratio_studies.json").Sets
	for _, c := range []struct {
		set, figure  string
		want, within float64
		of           func(Ratios) float64
	}{
		{"iaao_table_1_1", "COD", 29.8, 0.05, func(r Ratios) float64 { return r.COD }},
		{"iaao_table_1_1", "PRD", 0.98, 0.005, func(r Ratios) float64 { return r.PRD }},
		{"iaao_table_1_1", "PRB", 0.232, 0.0005, func(r Ratios) float64 { return r.PRB }},
		{"iaao_table_1_1", "median low (from memory)", 0.684, 0.0005, func(r Ratios) float64 { return r.MedianRange.Low }},
		{"iaao_table_1_1", "median high (from memory)", 1.067, 0.0005, func(r Ratios) float64 { return r.MedianRange.High }},
		{"iaao_table_1_4", "COD", 14.5, 0.05, func(r Ratios) float64 { return r.COD }},
		{"iaao_table_1_4", "PRD", 0.98, 0.005, func(r Ratios) float64 { return r.PRD }},
		{"iaao_table_1_4", "PRB", 0.135, 0.0005, func(r Ratios) float64 { return r.PRB }},
		{"iaao_table_d_1", "COD", 7.5, 0.05, func(r Ratios) float64 { return r.COD }},
		{"iaao_table_d_1", "PRD", 1.027, 0.0005, func(r Ratios) float64 { return r.PRD }},
		{"iaao_table_d_1", "PRB", -0.120, 0.0005, func(r Ratios) float64 { return r.PRB }},
		{"iaao_table_d_2", "COD", 7.8, 0.05, func(r Ratios) float64 { return r.COD }},
		{"iaao_table_d_2", "PRD", 1.056, 0.0005, func(r Ratios) float64 { return r.PRD }},
		{"iaao_table_d_2", "PRB", -0.011, 0.0005, func(r Ratios) float64 { return r.PRB }},
		{"quintos_sample", "MKI", 0.794, 0.0005, func(r Ratios) float64 { return r.MKI }},
		{"quintos_sample", "KI", -0.06, 0.005, func(r Ratios) float64 { return r.KI }},
		{"ccao_ratios_sample", "COD", 17.81456901196891, 1e-11, func(r Ratios) float64 { return r.COD }},
		{"ccao_ratios_sample", "PRD", 1.0484192615223522, 1e-12, func(r Ratios) float64 { return r.PRD }},
		{"ccao_ratios_sample", "PRB (cut off, not rounded)", 0.00247575, 5e-8, func(r Ratios) float64 { return r.PRB }},
		{"ccao_ratios_sample", "PRB low", -0.01404379, 5e-9, func(r Ratios) float64 { return r.PRBRange.Low }},
		{"ccao_ratios_sample", "PRB high", 0.01899536, 5e-9, func(r Ratios) float64 { return r.PRBRange.High }},
		{"texas_pvs_category_a", "weighted mean", 0.8216, 0.00005, func(r Ratios) float64 { return r.WeightedMean }},
		{"texas_pvs_category_a", "median", 0.81, 0.005, func(r Ratios) float64 { return r.Median }},
		{"cabarrus_10", "median", 0.83, 0.005, func(r Ratios) float64 { return r.Median }},
		{"seven_homes", "median", 0.9692, 0.00005, func(r Ratios) float64 { return r.Median }},
	} {
		r, err := RatioStudy(sets[c.set].Estimate, sets[c.set].Price, 0.95)
		if got := c.of(r); err != nil || !(math.Abs(got-c.want) <= c.within) {
			t.Errorf("%s: %s is %.8g, %v, want %g", c.set, c.figure, got, err, c.want)
		}
	}
}

// What must hold for any study: all estimates times k multiply the level and leave
// the rest, and swapping cases changes nothing.
func TestRatioStudyIsAboutRatios(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 40).Draw(t, "n")
		amount := rapid.Float64Range(100, 10000)
		estimates, prices := rapid.SliceOfN(amount, n, n).Draw(t, "estimates"), rapid.SliceOfN(amount, n, n).Draw(t, "prices")
		k := rapid.Float64Range(0.5, 2).Draw(t, "k")
		scaled := make([]float64, n)
		for i, v := range estimates {
			scaled[n-1-i] = k * v
		}
		reversed := slices.Clone(prices)
		slices.Reverse(reversed)
		if len(slices.Compact(slices.Sorted(slices.Values(prices)))) < n {
			return // ties in price have no order of their own
		}
		a, err1 := RatioStudy(estimates, prices, 0.9)
		b, err2 := RatioStudy(scaled, reversed, 0.9)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for what, f := range map[string][2]float64{
			"median": {k * a.Median, b.Median}, "mean": {k * a.Mean, b.Mean}, "weighted": {k * a.WeightedMean, b.WeightedMean},
			"COD": {a.COD, b.COD}, "COV": {a.COV, b.COV}, "PRD": {a.PRD, b.PRD}, "PRB": {a.PRB, b.PRB}, "MKI": {a.MKI, b.MKI},
		} {
			if !near(f[0], f[1], 1e-7) {
				t.Fatalf("%s: %g and %g", what, f[0], f[1])
			}
		}
	})
}

func TestRatioStudyEdges(t *testing.T) {
	same := []float64{100, 100, 100, 100}
	got, err := RatioStudy(same, same, 0.95)
	if err != nil || got.COD != 0 || got.PRD != 1 || !math.IsNaN(got.PRB) || !math.IsNaN(got.MKI) ||
		!strings.Contains(strings.Join(got.Warnings, "; "), "need at least 6 values") || len(got.Warnings) != 3 {
		t.Errorf("equal amounts: %+v, %v", got, err)
	}
	for _, c := range []struct{ estimates, prices []float64 }{
		{[]float64{1, 2}, []float64{1, 2}}, {[]float64{1, 2, 3}, []float64{1, 2}},
		{[]float64{1, 2, 3}, []float64{1, 0, 3}}, {[]float64{1, -2, 3}, []float64{1, 2, 3}}, {[]float64{1, math.NaN(), 3}, []float64{1, 2, 3}},
	} {
		if _, err := RatioStudy(c.estimates, c.prices, 0.95); err == nil {
			t.Errorf("%v over %v: want an error", c.estimates, c.prices)
		}
	}
	if _, err := RatioStudy(same, same, 1); err == nil {
		t.Error("level 1: want an error")
	}
}
