package robust

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// At the exact quantiles of a normal distribution with standard deviation 3 the
// trimmed scale must be 3 whatever the trimming.
func TestTrimmedScaleIsConsistent(t *testing.T) {
	n := 20001
	x := make([]float64, n)
	for i := range x {
		x[i] = 3 * distuv.UnitNormal.Quantile((float64(i)+0.5)/float64(n))
	}
	for _, h := range []int{n/2 + 1, 3 * n / 5, 3 * n / 4, n} {
		if got := TrimmedScale(x, h); math.Abs(got-3) > 2e-3 {
			t.Errorf("h = %d of %d: got %.6f, want 3", h, n, got)
		}
	}
	for _, h := range []int{0, -1, n + 1} {
		if got := TrimmedScale(x, h); !math.IsNaN(got) {
			t.Errorf("h = %d of %d: got %g, want NaN", h, n, got)
		}
	}
}
