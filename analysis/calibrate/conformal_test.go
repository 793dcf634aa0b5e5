package calibrate

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

type conformalFile struct {
	IndexTable []struct {
		Alpha  string
		N      int
		KUpper int `json:"k_upper"`
		KLower int `json:"k_lower"`
	} `json:"index_table"`
	Tiny []struct {
		Alpha  string
		Scores []float64
		Q      number
	}
	MeanPredictor []struct {
		Alpha    string
		Y        []float64
		Interval []number
	} `json:"mean_predictor"`
	Stackloss struct {
		Predictions []float64 `json:"loo_predictions_at_x0"`
		Residuals   []float64 `json:"loo_abs_residuals"`
		Intervals   []struct {
			Alpha         string
			JackknifePlus []number `json:"jackknife_plus"`
		}
		CVPlus []struct {
			Alpha  string
			CVPlus []number `json:"cv_plus"`
		} `json:"cv_plus_folds_i_mod_3"`
		Split []struct {
			Alpha    string
			Interval []number
		} `json:"split_first11_train_last10_calibrate"`
	}
}

func alphaOf(t *testing.T, text string) float64 {
	t.Helper()
	alpha, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return alpha
}

// Figures from exact rational arithmetic, and a worked leave-one-out example on the
// stack-loss data.
func TestConformalAgreesWithWorkedExamples(t *testing.T) {
	file := reference[conformalFile](t, "conformal.json")
	if len(file.IndexTable) < 90 || len(file.Tiny) == 0 || len(file.MeanPredictor) == 0 || len(file.Stackloss.Intervals) == 0 {
		t.Fatal("parts of the reference are missing")
	}
	for _, c := range file.IndexTable {
		alpha := alphaOf(t, c.Alpha)
		if lower, upper := ConformalRanks(c.N, alpha); lower != c.KLower || upper != c.KUpper {
			t.Errorf("alpha %s, n %d: ranks %d and %d, want %d and %d", c.Alpha, c.N, lower, upper, c.KLower, c.KUpper)
		}
		if finite := c.KUpper <= c.N; finite != (c.N >= ConformalNeed(alpha)) {
			t.Errorf("alpha %s: n %d finite %v, need %d", c.Alpha, c.N, finite, ConformalNeed(alpha))
		}
	}
	for _, c := range file.Tiny {
		if got := UpperQuantile(c.Scores, alphaOf(t, c.Alpha)); got != float64(c.Q) {
			t.Errorf("alpha %s: quantile %g, want %g", c.Alpha, got, float64(c.Q))
		}
	}
	check := func(what string, got Interval, err error, want []number) {
		t.Helper()
		if err != nil || !near(got.Low, float64(want[0]), 1e-14) || !near(got.High, float64(want[1]), 1e-14) {
			t.Errorf("%s: got %+v, %v, want %v", what, got, err, want)
		}
	}
	for _, c := range file.MeanPredictor {
		sum := 0.0
		for _, v := range c.Y {
			sum += v
		}
		predictions, residuals := make([]float64, len(c.Y)), make([]float64, len(c.Y))
		for i, v := range c.Y {
			predictions[i] = (sum - v) / float64(len(c.Y)-1)
			residuals[i] = math.Abs(v - predictions[i])
		}
		got, err := JackknifePlus(predictions, residuals, alphaOf(t, c.Alpha))
		check("mean of the others, alpha "+c.Alpha, got, err, c.Interval)
	}
	for _, c := range file.Stackloss.Intervals {
		got, err := JackknifePlus(file.Stackloss.Predictions, file.Stackloss.Residuals, alphaOf(t, c.Alpha))
		check("stack loss, alpha "+c.Alpha, got, err, c.JackknifePlus)
	}
}

// The same example from its data on: least squares with folds i mod 3 left out, and
// with the first eleven rows for the fit and the last ten for calibration.
func TestConformalOnStackLoss(t *testing.T) {
	file := reference[conformalFile](t, "conformal.json").Stackloss
	set := reference[struct {
		Sets map[string]struct {
			X [][]float64
			Y []float64
		}
	}](t, "robust_regression.json").Sets["stackloss"]
	n := len(set.Y)
	row := func(i int) []float64 { return []float64{1, set.X[0][i], set.X[1][i], set.X[2][i]} }
	// predictor is the least-squares fit of the rows that use says to use
	predictor := func(use func(i int) bool) func(x []float64) float64 {
		var x, y []float64
		for i := range n {
			if use(i) {
				x, y = append(x, row(i)...), append(y, set.Y[i])
			}
		}
		var b mat.VecDense
		if err := b.SolveVec(mat.NewDense(len(y), 4, x), mat.NewVecDense(len(y), y)); err != nil {
			t.Fatal(err)
		}
		return func(x []float64) float64 { return mat.Dot(&b, mat.NewVecDense(4, x)) }
	}
	point := []float64{1, 60, 20, 87}
	predictions, fold, residuals := make([]float64, 3), make([]int, n), make([]float64, n)
	for f := range 3 {
		predict := predictor(func(i int) bool { return i%3 != f })
		predictions[f] = predict(point)
		for i := f; i < n; i += 3 {
			fold[i], residuals[i] = f, math.Abs(set.Y[i]-predict(row(i)))
		}
	}
	for _, c := range file.CVPlus {
		got, err := CVPlus(predictions, fold, residuals, alphaOf(t, c.Alpha))
		if err != nil || !near(got.Low, float64(c.CVPlus[0]), 1e-11) || !near(got.High, float64(c.CVPlus[1]), 1e-11) {
			t.Errorf("cv+, alpha %s: got %+v, %v, want %v", c.Alpha, got, err, c.CVPlus)
		}
	}
	predict := predictor(func(i int) bool { return i < 11 })
	var scores []float64
	for i := 11; i < n; i++ {
		scores = append(scores, math.Abs(set.Y[i]-predict(row(i))))
	}
	for _, c := range file.Split {
		got, err := SplitInterval(predict(point), scores, alphaOf(t, c.Alpha))
		if err != nil || !near(got.Low, float64(c.Interval[0]), 1e-11) || !near(got.High, float64(c.Interval[1]), 1e-11) {
			t.Errorf("split, alpha %s: got %+v, %v, want %v", c.Alpha, got, err, c.Interval)
		}
	}
	if len(file.CVPlus) < 2 || len(file.Split) < 3 {
		t.Error("parts of the reference are missing")
	}
}

// The bound of theorem 4 worked by hand: n = 100, k = 10, alpha = 0.1: the lesser
// of 1.8/11 and 0.9/11 is taken off 0.8.
func TestCVPlusGuarantee(t *testing.T) {
	if got, want := CVPlusGuarantee(100, 10, 0.1), 0.8-0.9/11; math.Abs(got-want) > 1e-15 {
		t.Errorf("got %g, want %g", got, want)
	}
	// two folds: 1/51 is the lesser of 1/51 and 0.98/3
	if got, want := CVPlusGuarantee(100, 2, 0.1), 0.8-1.0/51; math.Abs(got-want) > 1e-15 {
		t.Errorf("two folds: got %g, want %g", got, want)
	}
	// every row a fold of its own: 2(1-1/n)/2 and 0, so the jackknife+ bound
	if got := CVPlusGuarantee(50, 50, 0.1); math.Abs(got-0.8) > 1e-15 {
		t.Errorf("n folds: got %g, want 0.8", got)
	}
	if got := CVPlusGuarantee(50, 5, 0.6); got != 0 {
		t.Errorf("no promise left: got %g, want 0", got)
	}
}

// The promise, by simulation: split and jackknife+ ranges of the mean hold a new
// value in at least 1-alpha of the cases (the split one in exactly
// upper rank/(n+1)); every row a fold of its own makes CV+ the jackknife+.
func TestConformalRangesHold(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	const trials, n, alpha = 20000, 19, 0.2
	split, jackknife := 0, 0
	for range trials {
		y := make([]float64, n+1)
		sum := 0.0
		for i := range y {
			y[i] = random.ExpFloat64()
			if i < n {
				sum += y[i]
			}
		}
		scores, predictions, residuals, fold := make([]float64, n), make([]float64, n), make([]float64, n), make([]int, n)
		for i := range n {
			scores[i] = math.Abs(y[i] - 1)
			predictions[i] = (sum - y[i]) / (n - 1)
			residuals[i] = math.Abs(y[i] - predictions[i])
			fold[i] = i
		}
		s, err1 := SplitInterval(1, scores, alpha)
		j, err2 := JackknifePlus(predictions, residuals, alpha)
		k, err3 := CVPlus(predictions, fold, residuals, alpha)
		if err1 != nil || err2 != nil || err3 != nil || j.Low != k.Low || j.High != k.High {
			t.Fatalf("%v %v %v; jackknife+ %v, cv+ with a fold a row %v", err1, err2, err3, j, k)
		}
		if y[n] >= s.Low && y[n] <= s.High {
			split++
		}
		if y[n] >= j.Low && y[n] <= j.High {
			jackknife++
		}
	}
	t.Logf("coverage: split %.4f, jackknife+ %.4f, asked 0.8", float64(split)/trials, float64(jackknife)/trials)
	// Monte-Carlo error 0.003
	if got := float64(split) / trials; math.Abs(got-16.0/20) > 0.01 {
		t.Errorf("split: coverage %.4f, want 0.8", got)
	}
	if got := float64(jackknife) / trials; got < 0.77 {
		t.Errorf("jackknife+: coverage %.4f", got)
	}
}

// A miss rate computed as 1 - 0.8 is a hair under 0.2, and must not cost a rank.
func TestRoundingCostsNoRank(t *testing.T) {
	level := 0.8
	alpha := 1 - level
	if alpha >= 0.2 {
		t.Fatal("1 - 0.8 is not under 0.2 here")
	}
	if lower, upper := ConformalRanks(4, alpha); lower != 1 || upper != 4 {
		t.Errorf("four scores: ranks %d and %d, want 1 and 4", lower, upper)
	}
	if got := ConformalNeed(alpha); got != 4 {
		t.Errorf("need %d, want 4", got)
	}
}

func TestQuantilesMirrorEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-10, 10), 0, 40).Draw(t, "scores")
		alpha := rapid.Float64Range(0.001, 0.999).Draw(t, "alpha")
		low, high := LowerQuantile(x, alpha), UpperQuantile(x, alpha)
		below, above := 0, 0
		for _, v := range x {
			if v < low {
				below++
			}
			if v > high {
				above++
			}
		}
		if most := alpha * float64(len(x)+1); float64(below) > most || float64(above) > most {
			t.Fatalf("%d below %g and %d above %g of %d", below, low, above, high, len(x))
		}
	})
}

func TestTooFewScores(t *testing.T) {
	got, err := SplitInterval(5, []float64{1, 2, 3}, 0.05)
	if err != nil || !math.IsInf(got.Low, -1) || !math.IsInf(got.High, 1) || len(got.Warnings) != 1 || !strings.Contains(got.Warnings[0], "need at least 19 residuals") {
		t.Errorf("three scores at 0.05: got %+v, %v", got, err)
	}
	if got, err := SplitInterval(5, make([]float64, 19), 0.05); err != nil || len(got.Warnings) != 0 || math.IsInf(got.High, 1) {
		t.Errorf("nineteen scores at 0.05: got %+v, %v", got, err)
	}
}

func TestConformalErrors(t *testing.T) {
	for _, alpha := range []float64{0, 1, -0.1, math.NaN()} {
		if _, err := SplitInterval(0, []float64{1}, alpha); err == nil || !math.IsNaN(UpperQuantile([]float64{1}, alpha)) {
			t.Errorf("alpha %g: want an error", alpha)
		}
	}
	if _, err := SplitInterval(0, []float64{1, -1}, 0.5); err == nil {
		t.Error("negative residual: want an error")
	}
	if _, err := JackknifePlus([]float64{1}, []float64{1, 2}, 0.5); err == nil {
		t.Error("unequal lengths: want an error")
	}
	if _, err := CVPlus([]float64{1, 2}, []int{0, 2}, []float64{1, 1}, 0.5); err == nil {
		t.Error("fold out of range: want an error")
	}
	if _, err := CVPlus([]float64{1, 2}, []int{0}, []float64{1, 1}, 0.5); err == nil {
		t.Error("too few folds: want an error")
	}
}
