package robust

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The defining equation, for every bounded loss and both divisors.
func TestMScaleSolvesItsEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SliceOfN(rapid.Float64Range(-1e3, 1e3), 5, 60).Draw(t, "residuals")
		b := rapid.Float64Range(0.05, 0.7).Draw(t, "b")
		divisor := float64(len(r) - rapid.IntRange(0, 3).Draw(t, "coefficients"))
		for _, loss := range []BoundedLoss{Bisquare{C: 1.5}, Hampel{A: 0.3, B: 0.7, C: 1.7}, Optimal{C: 0.4}, LQQ{B: 0.4, C: 0.27, S: 1.5}} {
			s, err := MScale(r, loss, b, divisor)
			if err != nil {
				t.Fatal(err)
			}
			mean, nonzero := 0.0, 0
			for _, v := range r {
				if math.Abs(v) > 1e-240 {
					nonzero++
				}
				mean += loss.Rho(v/s) / loss.Height() / divisor
			}
			if s == 0 {
				if float64(nonzero) > b*divisor {
					t.Fatalf("scale 0 although %d residuals are not", nonzero)
				}
				continue
			}
			if math.Abs(mean-b) > 1e-10 {
				t.Fatalf("%T: mean %.15g, want %g (scale %g)", loss, mean, b, s)
			}
		}
	})
}

// Consistent at the normal distribution: the M-scale of a large sample of
// standard deviation 3 is near 3. Its standard error here is about 0.02.
func TestMScaleIsConsistent(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	r := make([]float64, 20000)
	for i := range r {
		r[i] = 3 * random.NormFloat64()
	}
	for _, breakdown := range []float64{0.5, 0.25} {
		loss, err := BisquareForBreakdown(breakdown)
		if err != nil {
			t.Fatal(err)
		}
		s, err := MScale(r, loss, breakdown, float64(len(r)))
		if err != nil || math.Abs(s-3) > 0.1 {
			t.Errorf("breakdown %g: scale %g, %v, want 3", breakdown, s, err)
		}
	}
}

func TestMScaleEdges(t *testing.T) {
	loss := Bisquare{C: 1.547645}
	if s, err := MScale([]float64{0, 0, 0, 0, 7}, loss, 0.5, 5); s != 0 || err != nil {
		t.Errorf("four noughts of five: got %g, %v, want 0", s, err)
	}
	if s, err := MScale([]float64{0, 0, 0, 7, 9}, loss, 0.5, 4); s != 0 || err != nil {
		t.Errorf("as many residuals as b times the divisor: got %g, %v, want 0", s, err)
	}
	for _, c := range []struct {
		name       string
		r          []float64
		b, divisor float64
		want       string
	}{
		{"b", []float64{1, 2}, 1, 2, "wanted b within"},
		{"divisor", []float64{1, 2}, 0.5, 0, "a divisor above 0"},
		{"nan", []float64{1, math.NaN()}, 0.5, 2, "residual 1 is NaN"},
	} {
		if _, err := MScale(c.r, loss, c.b, c.divisor); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error %v, want one with %q", c.name, err, c.want)
		}
	}
}
