package robust

import (
	"math"
	"slices"
)

// MADNormal makes the median absolute deviation consistent for the standard
// deviation of a normal sample: 1/Phi⁻¹(3/4). Other programs round it to 1.4826
// or to 1/0.6745.
const MADNormal = 1.482602218505602

// Median is the middle of x, or the mean of the two middle values; NaN when x
// is empty. x is not changed.
func Median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	return sortedMedian(slices.Sorted(slices.Values(x)))
}

func sortedMedian(sorted []float64) float64 {
	n := len(sorted)
	if n%2 == 1 {
		return sorted[n/2]
	}
	low, high := sorted[n/2-1], sorted[n/2]
	return low + (high-low)/2
}

// MAD is the median absolute deviation of x from its median, times constant
// (0 means MADNormal), in the unit of x; NaN when x is empty. It is 0 when more
// than half of x are equal.
//
// Hampel (1974), J. Am. Stat. Assoc. 69, 383-393, doi:10.1080/01621459.1974.10482962.
func MAD(x []float64, constant float64) float64 {
	return MADAbout(x, Median(x), constant)
}

// MADAbout is the median of |x - centre| times constant (0 means MADNormal), in
// the unit of x; NaN when x is empty. Residuals of a regression take centre 0.
func MADAbout(x []float64, centre, constant float64) float64 {
	if constant == 0 {
		constant = MADNormal
	}
	return constant * Median(deviations(x, centre))
}

// deviations are |x - centre|.
func deviations(x []float64, centre float64) []float64 {
	d := make([]float64, len(x))
	for i, v := range x {
		d[i] = math.Abs(v - centre)
	}
	return d
}
