package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Share is how many of a number of cases had some property, with the range of
// probabilities that goes with it.
type Share struct {
	Hits, Cases      int
	Value, Low, High float64 // within [0, 1]; NaN, 0 and 1 without cases
}

// Coverage is the share of the values (n) that lie within their ranges, ends
// included, with its Wilson interval at the given level, within (0, 1). It is an
// error when the lengths differ or the level is out of range; a NaN is a miss.
func Coverage(values []float64, ranges []Interval, level float64) (Share, error) {
	if len(values) != len(ranges) {
		return Share{}, fmt.Errorf("coverage: wanted a range for each of the %d values, got %d", len(values), len(ranges))
	}
	hits := 0
	for i, v := range values {
		if v >= ranges[i].Low && v <= ranges[i].High {
			hits++
		}
	}
	return Wilson(hits, len(values), level)
}

// Wilson is the share of hits among the cases with its score interval at the given
// level, within (0, 1): all probabilities that a two-sided score test does not
// reject. It is an error when hits is not within 0 and cases or the level is out
// of range.
//
// Wilson (1927), J. Am. Stat. Assoc. 22, 209-212, doi:10.1080/01621459.1927.10502953.
func Wilson(hits, cases int, level float64) (Share, error) {
	if hits < 0 || hits > cases {
		return Share{}, fmt.Errorf("share: wanted hits within 0 and %d, got %d", cases, hits)
	}
	if !(level > 0 && level < 1) {
		return Share{}, fmt.Errorf("share: wanted a level within (0, 1), got %g", level)
	}
	if cases == 0 {
		return Share{Value: math.NaN(), Low: 0, High: 1}, nil
	}
	n := float64(cases)
	share := float64(hits) / n
	z := distuv.UnitNormal.Quantile((1 + level) / 2)
	centre := share + z*z/(2*n)
	reach := z * math.Sqrt(share*(1-share)/n+z*z/(4*n*n))
	return Share{
		Hits: hits, Cases: cases, Value: share,
		Low: math.Max(0, (centre-reach)/(1+z*z/n)), High: math.Min(1, (centre+reach)/(1+z*z/n)),
	}, nil
}
