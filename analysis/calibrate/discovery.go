package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// AdjustBH are the p-values (n, within [0, 1]) adjusted for being n: the least
// false-discovery rate q at which the procedure of Benjamini and Hochberg rejects
// each, p_(i) becoming min over j >= i of p_(j) m/j with m the number of p-values
// that are not NaN. NaN stands for no test, stays NaN and does not count. The
// order is kept. It is an error when a p-value is out of range.
//
// Benjamini & Hochberg (1995), J. R. Stat. Soc. B 57, 289-300,
// doi:10.1111/j.2517-6161.1995.tb02031.x.
func AdjustBH(p []float64) ([]float64, error) {
	adjusted := make([]float64, len(p))
	var tested []int
	for i, v := range p {
		switch {
		case math.IsNaN(v):
			adjusted[i] = v
		case v < 0 || v > 1:
			return nil, fmt.Errorf("p-value %d: wanted a number within [0, 1], got %g", i, v)
		default:
			tested = append(tested, i)
		}
	}
	slices.SortStableFunc(tested, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	least := 1.0
	for rank := len(tested); rank >= 1; rank-- {
		i := tested[rank-1]
		least = math.Min(least, p[i]*float64(len(tested))/float64(rank))
		adjusted[i] = least
	}
	return adjusted, nil
}

// RejectBH says which of the p-values (n) the procedure of Benjamini and Hochberg
// rejects, so that of the rejections the expected share of false ones is at most q
// when the tests are independent, or depend positively. NaN is never rejected. It
// is an error when q or a p-value is not within [0, 1].
//
// Benjamini & Hochberg (1995), J. R. Stat. Soc. B 57, 289-300,
// doi:10.1111/j.2517-6161.1995.tb02031.x; positive dependence: Benjamini &
// Yekutieli (2001), Ann. Stat. 29, 1165-1188, doi:10.1214/aos/1013699998.
func RejectBH(p []float64, q float64) ([]bool, error) {
	if !(q >= 0 && q <= 1) {
		return nil, fmt.Errorf("false-discovery rate: wanted a number within [0, 1], got %g", q)
	}
	adjusted, err := AdjustBH(p)
	if err != nil {
		return nil, err
	}
	rejected := make([]bool, len(p))
	for i, v := range adjusted {
		rejected[i] = v <= q
	}
	return rejected, nil
}
