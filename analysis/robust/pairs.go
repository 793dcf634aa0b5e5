package robust

import (
	"math"
	"slices"
	"sort"
)

// Sn is the median over i of the median over j of |x_i - x_j|, with the factors
// that make it consistent at the normal distribution and, for small samples,
// nearly unbiased. In the unit of x; 0 for one value, NaN for none. It looks at
// no centre, breaks down at half the sample and has efficiency 0.58; it takes
// n log n time.
//
// Rousseeuw & Croux (1993), J. Am. Stat. Assoc. 88, 1273-1283,
// doi:10.1080/01621459.1993.10476408; small-sample factors from Croux &
// Rousseeuw (1992), Computational Statistics 1, 411-428.
func Sn(x []float64) float64 {
	n := len(x)
	small := 1.0
	switch {
	case n >= 2 && n <= 9:
		small = [...]float64{0.743, 1.851, 0.954, 1.351, 0.993, 1.198, 1.005, 1.131}[n-2]
	case n%2 == 1:
		small = float64(n) / (float64(n) - 0.9)
	}
	return small * SnAsymptotic(x)
}

// SnAsymptotic is Sn without the factors for small samples.
func SnAsymptotic(x []float64) float64 {
	n := len(x)
	if n == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(x))
	near := make([]float64, n)
	for i := range near {
		near[i] = nearest(sorted, i, n/2+1)
	}
	slices.Sort(near)
	return 1.1926 * near[(n+1)/2-1]
}

// nearest is the distance from sorted[i] within which k of the values lie,
// itself among them.
func nearest(sorted []float64, i, k int) float64 {
	// Of the runs of k neighbours that hold i, the best starts where the reach to
	// the right begins to exceed the reach to the left, or one earlier.
	first, last := max(0, i-k+1), min(i, len(sorted)-k)
	reach := func(start int) float64 {
		return math.Max(sorted[i]-sorted[start], sorted[start+k-1]-sorted[i])
	}
	start := first + sort.Search(last-first, func(s int) bool {
		return sorted[first+s+k-1]-sorted[i] >= sorted[i]-sorted[first+s]
	})
	if start == first {
		return reach(start)
	}
	return math.Min(reach(start), reach(start-1))
}

// Qn is about the first quartile of the distances |x_i - x_j| of all pairs, the
// k-th smallest with k = C(n/2+1, 2), with the factors that make it consistent
// at the normal distribution and, for small samples, nearly unbiased. In the
// unit of x; 0 for one value, NaN for none. It looks at no centre, breaks down
// at half the sample and has efficiency 0.82; it takes n log n time.
//
// Rousseeuw & Croux (1993), J. Am. Stat. Assoc. 88, 1273-1283,
// doi:10.1080/01621459.1993.10476408, with the constant 1/(sqrt(2) Phi⁻¹(5/8))
// = 2.21914; the small-sample factors are those of R robustbase 0.95-0, Qn().
func Qn(x []float64) float64 {
	n := len(x)
	m := float64(n)
	small := 1.0
	switch {
	case n < 2:
	case n <= 12:
		small = [...]float64{0.399356, 0.99365, 0.51321, 0.84401, 0.6122, 0.85877,
			0.66993, 0.87344, 0.72014, 0.88906, 0.75743}[n-2]
	case n%2 == 1:
		small = 1 / (1 + (1.60188+(-2.1284-5.172/m)/m)/m)
	default:
		small = 1 / (1 + (3.67561+(1.9654+(6.987-77/m)/m)/m)/m)
	}
	return small * QnAsymptotic(x)
}

// QnAsymptotic is Qn without the factors for small samples.
func QnAsymptotic(x []float64) float64 {
	n := len(x)
	if n < 2 {
		return MAD(x, 1)
	}
	sorted := slices.Sorted(slices.Values(x))
	h := n/2 + 1
	return 2.21914 * kthDistance(sorted, h*(h-1)/2)
}

// kthDistance is the k-th smallest of the distances between pairs of the sorted
// values. It halves the range of possible float64 values until one is left, as
// the bit patterns of positive floats are ordered like the floats.
func kthDistance(sorted []float64, k int) float64 {
	low, high := uint64(0), math.Float64bits(sorted[len(sorted)-1]-sorted[0])
	for low < high {
		middle := low + (high-low)/2
		if pairsWithin(sorted, math.Float64frombits(middle)) >= k {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return math.Float64frombits(low)
}

// pairsWithin counts the pairs of sorted values at most distance apart.
func pairsWithin(sorted []float64, distance float64) int {
	count, left := 0, 0
	for right := range sorted {
		for sorted[right]-sorted[left] > distance {
			left++
		}
		count += right - left
	}
	return count
}
