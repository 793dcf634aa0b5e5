package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Closed forms: df 1: 1 - 2/pi atan t; df 2: 1 - t/sqrt(2+t²);
// df 4: with u = t²/(4+t²), 1 - sqrt(u)(3 - u)/2 (Johnson, Kotz & Balakrishnan
// 1995, Continuous Univariate Distributions 2, chapter 28); infinite: erfc.
func TestTwoSidedPInClosedForm(t *testing.T) {
	for v := 0.0; v < 12; v += 0.25 {
		u := v * v / (4 + v*v)
		for _, c := range []struct{ df, want float64 }{
			{1, 1 - 2/math.Pi*math.Atan(v)},
			{2, 1 - v/math.Sqrt(2+v*v)},
			{4, 1 - math.Sqrt(u)*(3-u)/2},
			{math.Inf(1), math.Erfc(v / math.Sqrt2)},
		} {
			for _, x := range []float64{v, -v} {
				if got := TwoSidedP(x, c.df); math.Abs(got-c.want) > 1e-14 {
					t.Errorf("t %g, df %g: p %.16g, want %.16g", x, c.df, got, c.want)
				}
			}
		}
	}
	// the far tail for df 2: 1 - t/sqrt(2+t²) is 1/t² - 3/(2t⁴) + ...
	if got, want := TwoSidedP(1e6, 2), 1e-12; math.Abs(got/want-1) > 1e-10 {
		t.Errorf("far tail: %g, want %g", got, want)
	}
	for _, df := range []float64{0, -1, math.NaN()} {
		if !math.IsNaN(TwoSidedP(1, df)) || !math.IsNaN(StudentQuantile(0.5, df)) {
			t.Errorf("df %g: want NaN", df)
		}
	}
}

// For even degrees of freedom the probability is a finite sum (Abramowitz & Stegun
// 1964, 26.7.4): with tan a = t/sqrt(df), 1 - sin a (1 + cos²a/2 + 1*3 cos⁴a/(2*4)
// + ... to the power df-2).
func TestTwoSidedPForEvenDF(t *testing.T) {
	for _, df := range []int{2, 6, 14, 34, 60} {
		for _, p := range []float64{0.5, 0.2, 0.05, 0.001} {
			v := StudentQuantile(1-p/2, float64(df))
			a := math.Atan(v / math.Sqrt(float64(df)))
			sum, term := 1.0, 1.0
			for k := 1; k <= (df-2)/2; k++ {
				term *= float64(2*k-1) / float64(2*k) * math.Cos(a) * math.Cos(a)
				sum += term
			}
			if got := 1 - math.Sin(a)*sum; math.Abs(got-p) > 1e-14 {
				t.Errorf("df %d, t %.15g: p %.15g, want %g", df, v, got, p)
			}
		}
	}
}

// For degrees of freedom that are no whole number: the integral of the density.
func TestTwoSidedPIsTheIntegral(t *testing.T) {
	for _, df := range []float64{4.3, 7.75, 31.5} {
		density := distuv.StudentsT{Sigma: 1, Nu: df}
		for _, v := range []float64{0.5, 1, 2, 3.5} {
			want := 1 - 2*quad.Fixed(density.Prob, 0, v, 60, quad.Legendre{}, 0)
			if got := TwoSidedP(v, df); math.Abs(got-want) > 1e-12 {
				t.Errorf("t %g, df %g: p %.15g, want %.15g", v, df, got, want)
			}
		}
	}
}

// Printed in every table of the t-distribution (from memory), to its digits.
func TestStudentQuantileTable(t *testing.T) {
	for _, c := range []struct{ p, df, want float64 }{
		{0.975, 1, 12.7062}, {0.975, 5, 2.5706}, {0.975, 10, 2.2281}, {0.975, 30, 2.0423},
		{0.995, 10, 3.1693}, {0.95, 20, 1.7247}, {0.975, math.Inf(1), 1.9600}, {0.5, 7, 0}, {0.025, 10, -2.2281},
	} {
		if got := StudentQuantile(c.p, c.df); math.Abs(got-c.want) > 5e-5 {
			t.Errorf("p %g, df %g: %.6f, want %g", c.p, c.df, got, c.want)
		}
	}
	if StudentQuantile(0, 5) != math.Inf(-1) || StudentQuantile(1, 5) != math.Inf(1) || !math.IsNaN(StudentQuantile(1.1, 5)) {
		t.Error("p 0, 1 and 1.1: want -Inf, Inf and NaN")
	}
}

func TestQuantileUndoesP(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(1e-6, 0.5).Draw(t, "p")
		df := rapid.OneOf(rapid.Float64Range(1, 200), rapid.Just(math.Inf(1))).Draw(t, "df")
		x := StudentQuantile(p, df)
		if got := TwoSidedP(x, df) / 2; math.Abs(got/p-1) > 1e-9 {
			t.Fatalf("quantile %g has p %g, want %g", x, got, p)
		}
	})
}

// The defining property: no degrees of freedom nearby, and no other scale, have a
// higher likelihood; and the degrees of freedom of a large sample come out.
func TestFitStudent(t *testing.T) {
	for _, c := range []struct {
		df, low, high float64
	}{{3, 4, 4.000001}, {5, 4.2, 6}, {8, 6.5, 10.5}, {math.Inf(1), 40, math.Inf(1)}} {
		random := rand.New(rand.NewPCG(11, 3))
		x := make([]float64, 4000)
		for i := range x {
			x[i] = 0.2 * random.NormFloat64()
			if !math.IsInf(c.df, 1) {
				x[i] /= math.Sqrt(distuv.ChiSquared{K: c.df, Src: random}.Rand() / c.df)
			}
		}
		fit, err := FitStudent(x)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("true df %g: df %.3f, scale %.4f, gain %.2f", c.df, fit.DF, fit.Scale, fit.Gain)
		if fit.DF < c.low || fit.DF > c.high || c.df >= 5 && math.Abs(fit.Scale-0.2) > 0.01 {
			t.Errorf("true df %g: df %g, want %g to %g; scale %g, want 0.2", c.df, fit.DF, c.low, c.high, fit.Scale)
		}
		likelihood := func(df, scale float64) float64 {
			sum := 0.0
			for _, r := range x {
				if math.IsInf(df, 1) {
					sum += distuv.Normal{Sigma: scale}.LogProb(r)
				} else {
					sum += distuv.StudentsT{Sigma: scale, Nu: df}.LogProb(r)
				}
			}
			return sum
		}
		top := likelihood(fit.DF, fit.Scale)
		if math.Abs(top-fit.LogLikelihood) > 1e-6 {
			t.Errorf("true df %g: log-likelihood %.8f, want %.8f", c.df, fit.LogLikelihood, top)
		}
		for _, factor := range []float64{0.98, 1.02} {
			if likelihood(fit.DF, fit.Scale*factor) >= top {
				t.Errorf("true df %g: scale times %g is likelier", c.df, factor)
			}
			if df := fit.DF * factor; df >= leastDF && !math.IsInf(df, 1) && studentAt(x, df, 0.3).LogLikelihood >= top {
				t.Errorf("true df %g: df times %g is likelier", c.df, factor)
			}
		}
	}
}

// Residuals with shorter tails than the normal give +Inf and the standard deviation.
func TestFitStudentShortTails(t *testing.T) {
	x := []float64{-1, -0.9, -0.8, 0.8, 0.9, 1, -1, 1, 0.85, -0.85}
	fit, err := FitStudent(x)
	square := 0.0
	for _, v := range x {
		square += v * v / 10
	}
	if err != nil || !math.IsInf(fit.DF, 1) || math.Abs(fit.Scale-math.Sqrt(square)) > 1e-15 || fit.Gain != 0 {
		t.Errorf("got %+v, %v", fit, err)
	}
	for _, bad := range [][]float64{{1, 2}, {0, 0, 0, 0}, {1, math.NaN(), 2}, {0, 0, 0, 0, 0, 0, 0, 0, 0, 3}} {
		if _, err := FitStudent(bad); err == nil {
			t.Errorf("%v: want an error", bad)
		}
	}
	one, _ := FitStudent([]float64{-1, 2, -3, 40, 5})
	two, _ := FitStudent([]float64{-10, 20, -30, 400, 50})
	if math.Abs(two.Scale/one.Scale-10) > 1e-6 || math.Abs(two.DF-one.DF) > 1e-6 {
		t.Errorf("ten times the residuals: %+v, then %+v", one, two)
	}
}
