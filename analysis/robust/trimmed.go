package robust

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// TrimmedScale is the scale of least trimmed squares: the root mean square of
// the h smallest |residuals|, made consistent for the standard deviation of
// normal residuals by TrimmedConsistency. It is in the unit of the residuals;
// NaN when h is not within 1 and the number of residuals. Residuals are taken
// about 0 and are not changed. No correction for small samples is made.
func TrimmedScale(residuals []float64, h int) float64 {
	n := len(residuals)
	if h < 1 || h > n {
		return math.NaN()
	}
	size := deviations(residuals, 0)
	slices.Sort(size)
	sum := 0.0
	for _, r := range size[:h] {
		sum += r * r
	}
	return TrimmedConsistency(h, n) * math.Sqrt(sum/float64(h))
}

// TrimmedConsistency is the factor by which the root mean square of the h
// smallest of n normal residuals falls short of their standard deviation:
// 1/sqrt(1 - (2n/h) q phi(q)) with q = Phi⁻¹((h+n)/(2n)). It is 1 for h = n and
// NaN when h is not within 1 and n.
//
// Croux & Rousseeuw (1992), in Computational Statistics 1, 411-428,
// doi:10.1007/978-3-662-26811-7_58; Pison, Van Aelst & Willems (2002),
// Metrika 55, 111-123, doi:10.1007/s001840200191.
func TrimmedConsistency(h, n int) float64 {
	switch {
	case h < 1 || h > n:
		return math.NaN()
	case h == n:
		return 1
	}
	q := distuv.UnitNormal.Quantile(float64(h+n) / float64(2*n))
	return 1 / math.Sqrt(1-2*float64(n)/float64(h)*q*normalDensity(q))
}
