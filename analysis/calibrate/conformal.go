package calibrate

import (
	"fmt"
	"math"
	"slices"
)

// An Interval is a range of values with what is to be said about it. Low and High
// may be infinite: then there were too few scores, and a warning says how many
// would be enough.
type Interval struct {
	Low, High float64
	Warnings  []string
}

// ConformalRanks are the ranks, counted from 1, of the lower and the upper
// conformal quantile of n scores at the miss rate alpha: floor(alpha (n+1)) and
// ceil((1-alpha)(n+1)). A lower rank of 0 stands for minus infinity, an upper one
// of n+1 for infinity.
//
// Barber, Candès, Ramdas & Tibshirani (2021), Ann. Stat. 49, 486-507,
// doi:10.1214/20-AOS1965.
func ConformalRanks(n int, alpha float64) (lower, upper int) {
	// the rounding of alpha must not cost a rank: 0.1*(9+1) is 1
	lower = int(math.Floor(alpha*float64(n+1) + 1e-9))
	return lower, n + 1 - lower
}

// ConformalNeed is the least number of scores for which the conformal quantiles at
// the miss rate alpha are finite: 9 at 0.1, 19 at 0.05.
func ConformalNeed(alpha float64) int {
	return int(math.Ceil(1/alpha-1e-9)) - 1
}

// UpperQuantile is the upper conformal quantile of the scores (n) at the miss rate
// alpha, within (0, 1): a further exchangeable score is at most that with
// probability 1-alpha or more. +Inf when n is less than ConformalNeed(alpha).
// NaN when alpha is out of range. See ConformalRanks for the source.
func UpperQuantile(scores []float64, alpha float64) float64 {
	if !(alpha > 0 && alpha < 1) {
		return math.NaN()
	}
	_, rank := ConformalRanks(len(scores), alpha)
	if rank > len(scores) {
		return math.Inf(1)
	}
	return slices.Sorted(slices.Values(scores))[rank-1]
}

// LowerQuantile is the lower conformal quantile: a further exchangeable score is at
// least that with probability 1-alpha or more. -Inf when there are too few scores,
// NaN when alpha is not within (0, 1).
func LowerQuantile(scores []float64, alpha float64) float64 {
	negated := make([]float64, len(scores))
	for i, v := range scores {
		negated[i] = -v
	}
	return -UpperQuantile(negated, alpha)
}

// SplitInterval is the range about a prediction that holds the true value with
// probability 1-alpha or more, from the absolute residuals of calibration rows
// (n) that had no part in fitting the model: prediction -/+ their upper conformal
// quantile. Units are those of the prediction. It is an error when alpha is not
// within (0, 1) or a residual is negative or NaN.
//
// Papadopoulos, Proedrou, Vovk & Gammerman (2002), ECML, LNCS 2430, 345-356,
// doi:10.1007/3-540-36755-1_29.
func SplitInterval(prediction float64, residuals []float64, alpha float64) (Interval, error) {
	if err := checkScores(residuals, alpha); err != nil {
		return Interval{}, err
	}
	reach := UpperQuantile(residuals, alpha)
	return Interval{prediction - reach, prediction + reach, fewScores(len(residuals), alpha)}, nil
}

// JackknifePlus is the range that holds the true value with probability 1-2 alpha
// or more, and in practice about 1-alpha. predictions[i] (n) is what the model
// fitted without row i predicts for the new point, residuals[i] (n) the absolute
// residual of row i in that same model. Units are those of the predictions. It is
// an error when the lengths differ, alpha is not within (0, 1), or a residual is
// negative or NaN.
//
// Barber, Candès, Ramdas & Tibshirani (2021), Ann. Stat. 49, 486-507,
// doi:10.1214/20-AOS1965.
func JackknifePlus(predictions, residuals []float64, alpha float64) (Interval, error) {
	if len(predictions) != len(residuals) {
		return Interval{}, fmt.Errorf("jackknife+: wanted a prediction for each of the %d residuals, got %d", len(residuals), len(predictions))
	}
	if err := checkScores(residuals, alpha); err != nil {
		return Interval{}, err
	}
	low, high := make([]float64, len(residuals)), make([]float64, len(residuals))
	for i, r := range residuals {
		low[i], high[i] = predictions[i]-r, predictions[i]+r
	}
	return Interval{LowerQuantile(low, alpha), UpperQuantile(high, alpha), fewScores(len(residuals), alpha)}, nil
}

// CVPlus is JackknifePlus with folds in place of single rows: predictions[f] (one
// for each of k folds) is what the model fitted without fold f predicts for the new
// point, fold[i] (n) the fold of row i, counted from 0, residuals[i] (n) the
// absolute residual of row i in the model without its fold. The probability is at
// least CVPlusGuarantee. It is an error when the lengths differ, a fold is out of
// range, alpha is not within (0, 1), or a residual is negative or NaN.
//
// Barber, Candès, Ramdas & Tibshirani (2021), Ann. Stat. 49, 486-507,
// doi:10.1214/20-AOS1965.
func CVPlus(predictions []float64, fold []int, residuals []float64, alpha float64) (Interval, error) {
	if len(fold) != len(residuals) {
		return Interval{}, fmt.Errorf("cv+: wanted a fold for each of the %d residuals, got %d", len(residuals), len(fold))
	}
	each := make([]float64, len(fold))
	for i, f := range fold {
		if f < 0 || f >= len(predictions) {
			return Interval{}, fmt.Errorf("cv+: row %d: wanted a fold within 0 and %d, got %d", i, len(predictions)-1, f)
		}
		each[i] = predictions[f]
	}
	return JackknifePlus(each, residuals, alpha)
}

// CVPlusGuarantee is the probability with which CVPlus at the miss rate alpha
// holds at the least, for n rows in k folds of equal size:
// 1 - 2 alpha - min(2(1-1/k)/(n/k+1), (1-k/n)/(k+1)). It is not under 0.
//
// Barber, Candès, Ramdas & Tibshirani (2021), Ann. Stat. 49, 486-507, theorem 4,
// doi:10.1214/20-AOS1965.
func CVPlusGuarantee(n, k int, alpha float64) float64 {
	rows, folds := float64(n), float64(k)
	excess := math.Min(2*(1-1/folds)/(rows/folds+1), (1-folds/rows)/(folds+1))
	return math.Max(0, 1-2*alpha-excess)
}

func checkScores(residuals []float64, alpha float64) error {
	if !(alpha > 0 && alpha < 1) {
		return fmt.Errorf("conformal range: wanted a miss rate within (0, 1), got %g", alpha)
	}
	for i, r := range residuals {
		if !(r >= 0) {
			return fmt.Errorf("conformal range: residual %d: wanted an absolute value, got %g", i, r)
		}
	}
	return nil
}

// fewScores is the warning of an infinite range, or nothing.
func fewScores(n int, alpha float64) []string {
	if need := ConformalNeed(alpha); n < need {
		return []string{fmt.Sprintf("need at least %d residuals for a finite %.4g %% range, got %d", need, 100*(1-alpha), n)}
	}
	return nil
}
