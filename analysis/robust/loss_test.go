package robust

import (
	"math"
	"testing"
)

// The published constants: Huber 1.345 (Holland & Welsch 1977), bisquare
// 4.685061 and 1.54764 as printed by R robustbase 0.95-0
// .Mpsi.tuning.default("bisquare"), .Mchi.tuning.default("bisquare").
// The printed 4.685061 is four units off in its last digit: the quadrature gives
// 4.685065, and agrees with the other constants to theirs.
// At efficiency 0.97 one widely used table has 5.596823, which belongs to 0.975.
func TestTunedConstants(t *testing.T) {
	for _, c := range []struct {
		name   string
		got    func() (float64, error)
		want   float64
		within float64
	}{
		{"huber 0.95", func() (float64, error) { h, err := HuberForEfficiency(0.95); return h.C, err }, 1.345, 5e-4},
		{"bisquare 0.95", func() (float64, error) { b, err := BisquareForEfficiency(0.95); return b.C, err }, 4.685061, 5e-6},
		{"bisquare 0.97", func() (float64, error) { b, err := BisquareForEfficiency(0.97); return b.C, err }, 5.343924, 5e-7},
		{"bisquare 0.975", func() (float64, error) { b, err := BisquareForEfficiency(0.975); return b.C, err }, 5.596823, 5e-7},
		{"bisquare breakdown 0.5", func() (float64, error) { b, err := BisquareForBreakdown(0.5); return b.C, err }, 1.54764, 1e-5},
	} {
		got, err := c.got()
		if err != nil || math.Abs(got-c.want) > c.within {
			t.Errorf("%s: got %.7f, %v, want %g", c.name, got, err, c.want)
		}
	}
}
