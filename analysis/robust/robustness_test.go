package robust

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// planted is a line y = 2 + 3 v1 - v2 with normal noise of 0.5 in which a share of
// the rows, the first ones, lies on another plane far out in v1.
func planted(seed uint64, n int, share float64) (*mat.Dense, []float64) {
	random := rand.New(rand.NewPCG(seed, 7))
	x, y := mat.NewDense(n, 3, nil), make([]float64, n)
	for i := range n {
		v1, v2 := random.NormFloat64(), random.NormFloat64()
		y[i] = 2 + 3*v1 - v2 + 0.5*random.NormFloat64()
		if float64(i) < share*float64(n) {
			v1 += 8
			y[i] = -20 + random.NormFloat64()
		}
		x.SetRow(i, []float64{1, v1, v2})
	}
	return x, y
}

// With 30 % of bad rows far out in the design S, LTS and MM find the plane of the
// rest; least squares and Huber's M do not.
func TestBadRowsDoNotLeadAstray(t *testing.T) {
	truth := []float64{2, 3, -1}
	for seed := range uint64(4) {
		x, y := planted(seed, 100, 0.3)
		for _, c := range []struct {
			name   string
			fit    func(mat.Matrix, []float64, Settings) (*Fit, error)
			set    Settings
			within float64
			holds  bool
		}{
			{"MM", MM, Settings{}, 0.35, true},
			{"S", S, Settings{}, 0.6, true},
			{"LTS", LTS, Settings{}, 0.6, true},
			{"least squares", LeastSquares, Settings{}, 1, false},
			{"Huber", M, Settings{Loss: Huber{C: 1.345}}, 1, false},
		} {
			fit, err := c.fit(x, y, c.set)
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			worst := 0.0
			for j, b := range truth {
				worst = math.Max(worst, math.Abs(fit.Coefficients[j]-b))
			}
			if c.name == "MM" {
				for i := range 30 {
					if fit.Weights[i] != 0 {
						t.Errorf("seed %d: bad row %d has weight %g", seed, i, fit.Weights[i])
					}
				}
			}
			if (worst < c.within) != c.holds {
				t.Errorf("seed %d: %s: coefficients %.3f off by %.3f from %v", seed, c.name, fit.Coefficients, worst, truth)
			}
		}
	}
}

// Standard errors of MM tell the truth: over many samples without bad rows the
// spread of the slope equals the mean standard error, and the efficiency is 95 %.
func TestMMStandardErrors(t *testing.T) {
	const samples, n = 200, 60
	loss, _ := BisquareForEfficiency(0.95)
	scaleLoss, _ := BisquareForBreakdown(0.5)
	var square, claimed, leastSquares float64
	for seed := range uint64(samples) {
		x, y := planted(1000+seed, n, 0)
		fit, err := MM(x, y, Settings{Subsets: 20, Finalists: 2, Loss: loss, ScaleLoss: scaleLoss})
		if err != nil {
			t.Fatal(err)
		}
		plain, _ := LeastSquares(x, y, Settings{})
		square += (fit.Coefficients[1] - 3) * (fit.Coefficients[1] - 3) / samples
		leastSquares += (plain.Coefficients[1] - 3) * (plain.Coefficients[1] - 3) / samples
		claimed += fit.StandardErrors[1] / samples
	}
	t.Logf("spread of the slope %.4f, mean standard error %.4f, efficiency %.3f", math.Sqrt(square), claimed, leastSquares/square)
	// the relative error of the spread over 200 samples is 5 %; in 60 rows the
	// sandwich is known to be a little small
	if ratio := claimed / math.Sqrt(square); ratio < 0.85 || ratio > 1.15 {
		t.Errorf("mean standard error over spread is %.3f", ratio)
	}
	if e := leastSquares / square; e < 0.88 || e > 1.0 {
		t.Errorf("efficiency %.3f, want about 0.95", e)
	}
}

// Regression, scale and affine equivariance: y -> a*y + x*g moves the coefficients
// by g after multiplying them by a.
func TestFitsAreEquivariant(t *testing.T) {
	x, y := planted(3, 30, 0.2)
	methods := map[string]func(mat.Matrix, []float64, Settings) (*Fit, error){"M": M, "LTS": LTS, "S": S, "MM": MM}
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0.01, 100).Draw(t, "a")
		g := rapid.SliceOfN(rapid.Float64Range(-5, 5), 3, 3).Draw(t, "g")
		name := rapid.SampledFrom([]string{"M", "LTS", "S", "MM"}).Draw(t, "method")
		moved := make([]float64, len(y))
		for i := range y {
			moved[i] = a*y[i] + dot(x.RawRowView(i), g)
		}
		// 50 subsets: the same ones for both, and quick
		one, err1 := methods[name](x, y, Settings{Subsets: 50})
		two, err2 := methods[name](x, moved, Settings{Subsets: 50})
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for j := range g {
			if want := a*one.Coefficients[j] + g[j]; math.Abs(two.Coefficients[j]-want) > 1e-6*(1+a) {
				t.Fatalf("%s: coefficient %d is %g, want %g", name, j, two.Coefficients[j], want)
			}
		}
		if math.Abs(two.Scale-a*one.Scale) > 1e-7*a {
			t.Fatalf("%s: scale %g, want %g", name, two.Scale, a*one.Scale)
		}
	})
}

// The same call gives the same fit, and rows of weight 0 have no say.
func TestFitsAreRepeatable(t *testing.T) {
	x, y := planted(5, 60, 0.25)
	one, err := MM(x, y, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	two, _ := MM(x, y, Settings{})
	if !reflect.DeepEqual(one.Coefficients, two.Coefficients) || one.Scale != two.Scale {
		t.Error("two calls differ")
	}
	wild, weights := append([]float64(nil), y...), make([]float64, len(y))
	for i := range weights {
		weights[i] = 1
	}
	weights[50], wild[50] = 0, 1e6
	a, err1 := MM(x, wild, Settings{Weights: weights})
	wild[50] = -3
	b, err2 := MM(x, wild, Settings{Weights: weights})
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if apart(a.Coefficients, b.Coefficients) > 0 || a.Weights[50] != 0 || a.DegreesOfFreedom != 56 {
		t.Errorf("row of weight 0: %v and %v, weight %g, %d degrees of freedom", a.Coefficients, b.Coefficients, a.Weights[50], a.DegreesOfFreedom)
	}
}

// Rows that lie exactly on a plane: S finds it with scale 0 and says so.
func TestExactFit(t *testing.T) {
	x, y := planted(9, 40, 0)
	for i := range y {
		if i >= 15 {
			y[i] = dot(x.RawRowView(i), []float64{1, -2, 0.5})
		}
	}
	for name, method := range map[string]func(mat.Matrix, []float64, Settings) (*Fit, error){"S": S, "MM": MM} {
		fit, err := method(x, y, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		if apart(fit.Coefficients, []float64{1, -2, 0.5}) > 1e-9 || fit.Scale != 0 || len(fit.Warnings) == 0 {
			t.Errorf("%s: coefficients %v, scale %g, warnings %q", name, fit.Coefficients, fit.Scale, fit.Warnings)
		}
		for i, w := range fit.Weights {
			if i >= 15 && w != 1 {
				t.Errorf("%s: row %d lies on the plane and has weight %g", name, i, w)
			}
		}
	}
}

// A rare dummy, 1 in 3 of 60 rows: most subsets of p rows do not determine it, and
// the fit must work all the same.
func TestRareDummy(t *testing.T) {
	x, y := planted(11, 60, 0.1)
	wide := mat.NewDense(60, 5, nil)
	for i := range 60 {
		dummy, other := 0.0, 0.0
		if i%20 == 19 {
			dummy = 1
			y[i] += 4
		}
		if i%12 == 11 {
			other = 1
		}
		wide.SetRow(i, append(append([]float64(nil), x.RawRowView(i)...), dummy, other))
	}
	fit, err := MM(wide, y, Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(fit.Coefficients[3]-4) > 1.2 || math.Abs(fit.Coefficients[1]-3) > 0.4 {
		t.Errorf("coefficients %.3f, want 2 3 -1 4 0 or near", fit.Coefficients)
	}
}

// Twelve categories of five rows: of random subsets of twelve rows one in 20,000
// has one row of each, so subsets must be enlarged to be of any use. One row of
// each category is bad.
func TestManyCategories(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	x, y := mat.NewDense(60, 12, nil), make([]float64, 60)
	for i := range 60 {
		x.Set(i, i%12, 1)
		y[i] = float64(i%12) + 0.1*random.NormFloat64()
		if i < 12 {
			y[i] += 50
		}
	}
	for name, method := range map[string]func(mat.Matrix, []float64, Settings) (*Fit, error){"LTS": LTS, "S": S, "MM": MM} {
		fit, err := method(x, y, Settings{Subsets: 200})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for j, b := range fit.Coefficients {
			if math.Abs(b-float64(j)) > 0.3 {
				t.Errorf("%s: category %d: %.3f, want about %d", name, j, b, j)
			}
		}
	}
}

func TestRobustFitErrors(t *testing.T) {
	x, y := planted(1, 10, 0)
	twice := mat.NewDense(10, 2, nil)
	for i := range 10 {
		twice.SetRow(i, []float64{float64(i), 2 * float64(i)})
	}
	for name, method := range map[string]func(mat.Matrix, []float64, Settings) (*Fit, error){"M": M, "LTS": LTS, "S": S, "MM": MM} {
		if _, err := method(twice, y, Settings{}); !errors.Is(err, errSingular) {
			t.Errorf("%s: dependent columns: got error %v", name, err)
		}
		if _, err := method(x, y[:9], Settings{}); err == nil {
			t.Errorf("%s: short y: want an error", name)
		}
	}
	if _, err := LTS(x, y, Settings{Kept: 3}); err == nil {
		t.Error("LTS: keeping too few: want an error")
	}
	if _, err := S(x.Slice(0, 3, 0, 3), y[:3], Settings{}); err == nil {
		t.Error("S: as many rows as coefficients: want an error")
	}
	fit, err := MM(x, y, Settings{MaxIterations: 1})
	if err != nil || fit.Converged || len(fit.Warnings) == 0 {
		t.Errorf("one iteration: %v, converged %v, warnings %q", err, fit.Converged, fit.Warnings)
	}
}

// The trap of ties in a fit: seven of nine rows lie on a line, the median residual
// is nought. M and MM end on that line with scale 0 and say so; nothing is NaN.
func TestFitsWithTies(t *testing.T) {
	x := design(true, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9})
	y := []float64{5, 5, 5, 5, 5, 5, 5, 9, 100}
	for name, method := range map[string]func(mat.Matrix, []float64, Settings) (*Fit, error){"M": M, "MM": MM} {
		fit, err := method(x, y, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(fit.Coefficients[0]-5) > 1e-9 || math.Abs(fit.Coefficients[1]) > 1e-9 ||
			fit.Scale != 0 || !fit.Converged || len(fit.Warnings) != 1 || fit.Weights[3] != 1 || fit.Weights[8] != 0 {
			t.Errorf("%s: coefficients %v, scale %g, weights %v, warnings %q", name, fit.Coefficients, fit.Scale, fit.Weights, fit.Warnings)
		}
	}
}

func BenchmarkTuning(b *testing.B) {
	for b.Loop() {
		if _, err := BisquareForEfficiency(0.95); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMM(b *testing.B) {
	x, y := planted(1, 300, 0.2)
	for b.Loop() {
		if _, err := MM(x, y, Settings{}); err != nil {
			b.Fatal(err)
		}
	}
}
