package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// WeightedQuantile is the value of x (n) below which the share p, within [0, 1], of
// the weights (n, 0 or more) lies: the smallest value whose cumulated weight
// exceeds p of the total, or the mean of that and the one before it where the
// share is met exactly, so that for equal weights and p = 0.5 it is the median.
// It is an error when the lengths differ, p or a weight is out of range, a value
// is NaN, or no weight is above 0.
//
// Inverse of the empirical distribution with averaging: definition 2 of Hyndman &
// Fan (1996), Am. Stat. 50, 361-365, doi:10.1080/00031305.1996.10473566, carried
// over to weights.
func WeightedQuantile(x, weights []float64, p float64) (float64, error) {
	if len(x) != len(weights) {
		return math.NaN(), fmt.Errorf("weighted quantile: wanted a weight for each of the %d values, got %d", len(x), len(weights))
	}
	if !(p >= 0 && p <= 1) {
		return math.NaN(), fmt.Errorf("weighted quantile: wanted a share within [0, 1], got %g", p)
	}
	var counted []int
	total := 0.0
	for i, w := range weights {
		if !(w >= 0) || math.IsInf(w, 0) || math.IsNaN(x[i]) {
			return math.NaN(), fmt.Errorf("weighted quantile: value %d: wanted a number with a weight of 0 or more, got %g with %g", i, x[i], w)
		}
		if w > 0 {
			counted = append(counted, i)
			total += w
		}
	}
	if len(counted) == 0 {
		return math.NaN(), fmt.Errorf("weighted quantile: wanted at least one weight above 0, got none")
	}
	slices.SortStableFunc(counted, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	sum := 0.0
	for k, i := range counted[:len(counted)-1] {
		sum += weights[i]
		// sums of weights such as 0.1 meet a share up to rounding only
		switch over := sum - p*total; {
		case math.Abs(over) <= 1e-12*total && sum < total:
			return (x[i] + x[counted[k+1]]) / 2, nil
		case over > 0:
			return x[i], nil
		}
	}
	return x[counted[len(counted)-1]], nil
}

// MedianInterval is the range between two of the values (n) that holds the median
// of the distribution they come from with probability level, within (0, 1), or
// more: the innermost pair of order statistics of equal rank from both ends whose
// binomial probability suffices. With too few values the range is infinite and a
// warning says how many would be enough. It is an error when the level is out of
// range or a value is NaN.
//
// Thompson (1936), Ann. Math. Stat. 7, 122-128, doi:10.1214/aoms/1177732502.
func MedianInterval(values []float64, level float64) (Interval, error) {
	if !(level > 0 && level < 1) {
		return Interval{}, fmt.Errorf("median: wanted a level within (0, 1), got %g", level)
	}
	if slices.ContainsFunc(values, math.IsNaN) {
		return Interval{}, fmt.Errorf("median: wanted numbers, got NaN among them")
	}
	n := len(values)
	rank := 0
	for heads := (distuv.Binomial{N: float64(n), P: 0.5}); rank < n/2 && 1-2*heads.CDF(float64(rank)) >= level; {
		rank++
	}
	if rank == 0 {
		need := int(math.Ceil(1 - math.Log2(1-level) - 1e-9))
		return Interval{math.Inf(-1), math.Inf(1), []string{
			fmt.Sprintf("need at least %d values for a %.4g %% range of the median, got %d", need, 100*level, n)}}, nil
	}
	sorted := slices.Sorted(slices.Values(values))
	return Interval{Low: sorted[rank-1], High: sorted[n-rank]}, nil
}
