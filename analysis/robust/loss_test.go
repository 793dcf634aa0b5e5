package robust

import (
	"math"
	"testing"
)

// Constants as published, to half a unit of their last digit: Huber 1.345
// (Holland & Welsch 1977, doi:10.1080/03610927708827533), bisquare 1.54764 as cut
// off after its fifth decimal. At efficiency 0.97 one widely used table has
// 5.596823, which belongs to 0.975; the right one is 5.343924.
func TestTunedConstants(t *testing.T) {
	for _, c := range []struct {
		name         string
		constant     func() (float64, error)
		want, within float64
	}{
		{"huber 0.95", func() (float64, error) { l, err := HuberForEfficiency(0.95); return l.C, err }, 1.345, 5e-4},
		{"bisquare 0.97", func() (float64, error) { l, err := BisquareForEfficiency(0.97); return l.C, err }, 5.343924, 5e-7},
		{"bisquare 0.975", func() (float64, error) { l, err := BisquareForEfficiency(0.975); return l.C, err }, 5.596823, 5e-7},
		{"bisquare breakdown 0.5", func() (float64, error) { l, err := BisquareForBreakdown(0.5); return l.C, err }, 1.547645, 5e-7},
	} {
		got, err := c.constant()
		if err != nil || math.Abs(got-c.want) > c.within {
			t.Errorf("%s: got %.8f, %v, want %g", c.name, got, err, c.want)
		}
	}
}

// The constants that R robustbase 0.95-0 prints, .Mpsi.tuning.default and
// .Mchi.tuning.default (lqq: for (-0.5, 1.5, 0.95, NA) and (-0.5, 1.5, NA, 0.5)),
// are rounded in their own way: what they really give is off from 0.95 and 0.5 by
// up to 7e-5, and the constants computed here from them by up to 2e-4 of their
// size. Both are held to that, and the computed ones to exactly what was asked.
func TestTunedConstantsAgainstAnotherProgram(t *testing.T) {
	efficiencies := []struct {
		name    string
		printed Loss
		tuned   func(float64) (Loss, error)
		off     float64
	}{
		{"bisquare", Bisquare{C: 4.685061}, tuner(BisquareForEfficiency), 2e-7},
		{"hampel", Hampel{A: 1.35241275, B: 3.15562975, C: 7.212868}, tuner(HampelForEfficiency), 3e-5},
		{"optimal", Optimal{C: 1.060158}, tuner(OptimalForEfficiency), 1e-5},
		{"lqq", LQQ{B: 1.4734061, C: 0.9822707, S: 1.5}, tuner(LQQForEfficiency), 1e-5},
	}
	for _, c := range efficiencies {
		tuned, err := c.tuned(0.95)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%-8s printed %.9v gives efficiency %.8f; %.9v gives %.12f", c.name, c.printed, Efficiency(c.printed), tuned, Efficiency(tuned))
		if off := math.Abs(Efficiency(c.printed) - 0.95); off > c.off {
			t.Errorf("%s: printed constant is off by %.1e", c.name, off)
		}
		if off := math.Abs(Efficiency(tuned) - 0.95); off > 1e-12 {
			t.Errorf("%s: tuned constant is off by %.1e", c.name, off)
		}
	}
	breakdowns := []struct {
		name    string
		printed BoundedLoss
		tuned   func(float64) (Loss, error)
		off     float64
	}{
		{"bisquare", Bisquare{C: 1.54764}, tuner(BisquareForBreakdown), 2e-6},
		{"hampel", Hampel{A: 0.31787445, B: 0.74170705, C: 1.6953304}, tuner(HampelForBreakdown), 5e-5},
		{"optimal", Optimal{C: 0.4047}, tuner(OptimalForBreakdown), 7e-5},
		{"lqq", LQQ{B: 0.4015457, C: 0.2676971, S: 1.5}, tuner(LQQForBreakdown), 5e-5},
	}
	for _, c := range breakdowns {
		tuned, err := c.tuned(0.5)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%-8s printed %.9v gives b %.8f; tuned %.9v", c.name, c.printed, consistentMean(c.printed), tuned)
		if off := math.Abs(consistentMean(c.printed) - 0.5); off > c.off {
			t.Errorf("%s: printed constant is off by %.1e", c.name, off)
		}
		if off := math.Abs(consistentMean(tuned.(BoundedLoss)) - 0.5); off > 1e-12 {
			t.Errorf("%s: tuned constant is off by %.1e", c.name, off)
		}
	}
}

// tuner drops the type of a loss so that tuning functions fit in one table.
func tuner[L Loss](f func(float64) (L, error)) func(float64) (Loss, error) {
	return func(v float64) (Loss, error) { return f(v) }
}

// The quadrature against closed forms: with the truncated moments of the normal,
// E psi'^2/E psi^2 of a bisquare and of a Hampel loss, and b of a bisquare.
func TestEfficiencyInClosedForm(t *testing.T) {
	for _, c := range []float64{1, 1.547645, 4.685065, 9} {
		even := func(k int) float64 { return 2 * truncatedMoment(2*k, 0, c) / math.Pow(c, float64(2*k)) }
		slope := even(0) - 6*even(1) + 5*even(2)
		square := c * c * (even(1) - 4*even(2) + 6*even(3) - 4*even(4) + even(5))
		if got, want := Efficiency(Bisquare{C: c}), slope*slope/square; math.Abs(got-want) > 1e-12 {
			t.Errorf("bisquare %g: efficiency %.15g, want %.15g", c, got, want)
		}
		b := 3*even(1) - 3*even(2) + even(3) + math.Erfc(c/math.Sqrt2)
		if got := consistentMean(Bisquare{C: c}); math.Abs(got-b) > 1e-12 {
			t.Errorf("bisquare %g: b %.15g, want %.15g", c, got, b)
		}
	}
	h := Hampel{A: 1.35, B: 3.15, C: 7.2}
	k := h.A / (h.C - h.B)
	slope := 2 * (truncatedMoment(0, 0, h.A) - k*truncatedMoment(0, h.B, h.C))
	square := 2 * (truncatedMoment(2, 0, h.A) + h.A*h.A*truncatedMoment(0, h.A, h.B) +
		k*k*(h.C*h.C*truncatedMoment(0, h.B, h.C)-2*h.C*truncatedMoment(1, h.B, h.C)+truncatedMoment(2, h.B, h.C)))
	if got, want := Efficiency(h), slope*slope/square; math.Abs(got-want) > 1e-12 {
		t.Errorf("hampel: efficiency %.15g, want %.15g", got, want)
	}
}

// truncatedMoment is the integral of x^k phi(x) from a to b, by recursion.
func truncatedMoment(k int, a, b float64) float64 {
	switch k {
	case 0:
		return (math.Erfc(a/math.Sqrt2) - math.Erfc(b/math.Sqrt2)) / 2
	case 1:
		return normalDensity(a) - normalDensity(b)
	}
	p := float64(k - 1)
	return math.Pow(a, p)*normalDensity(a) - math.Pow(b, p)*normalDensity(b) + p*truncatedMoment(k-2, a, b)
}

var everyLoss = []Loss{
	Huber{C: 1.345}, Bisquare{C: 4.685}, Bisquare{C: 1.547645}, Hampel{A: 1.35, B: 3.15, C: 7.2},
	Hampel{A: 2, B: 2, C: 8}, Optimal{C: 1.06}, LQQ{B: 1.4734061, C: 0.9822707, S: 1.5}, LQQ{B: 0.5, C: 1, S: 2.5},
}

// The four functions of a loss check each other: Psi is the numeric derivative of
// Rho, PsiPrime that of Psi (away from corners), Weight is Psi(r)/r, Rho is even,
// grows from 0 and ends at Height.
func TestLossesAgreeWithThemselves(t *testing.T) {
	const h = 1e-5
	for _, l := range everyLoss {
		corners := l.(cornered).corners()
		before := 0.0
		if l.Rho(0) != 0 || l.Psi(0) != 0 || l.Weight(0) != 1 {
			t.Errorf("%v: at 0: rho %g, psi %g, weight %g", l, l.Rho(0), l.Psi(0), l.Weight(0))
		}
		for r := 0.003; r < 12; r += 0.0137 {
			near := false
			for _, c := range corners {
				near = near || math.Abs(r-c) < 2*h
			}
			if got, want := l.Psi(r), (l.Rho(r+h)-l.Rho(r-h))/(2*h); math.Abs(got-want) > 1e-8 && !near {
				t.Errorf("%v: psi(%g) = %g, slope of rho %g", l, r, got, want)
			}
			if got, want := l.PsiPrime(r), (l.Psi(r+h)-l.Psi(r-h))/(2*h); math.Abs(got-want) > 1e-8 && !near {
				t.Errorf("%v: psi'(%g) = %g, slope of psi %g", l, r, got, want)
			}
			if got, want := l.Weight(r), l.Psi(r)/r; math.Abs(got-want) > 1e-14 || got < 0 || got > 1 {
				t.Errorf("%v: weight(%g) = %g, psi/r %g", l, r, got, want)
			}
			if l.Rho(r) < before || l.Rho(-r) != l.Rho(r) || l.Psi(-r) != -l.Psi(r) || l.PsiPrime(-r) != l.PsiPrime(r) {
				t.Errorf("%v: not even or not growing at %g", l, r)
			}
			before = l.Rho(r)
		}
		if b, ok := l.(BoundedLoss); ok && math.Abs(b.Rho(100)-b.Height()) > 1e-14 {
			t.Errorf("%v: rho ends at %g, height %g", l, b.Rho(100), b.Height())
		}
	}
}

// R robustbase 0.95-0: Mpsi, Mchi, Mwgt and Mpsi(deriv = 1) at 16 points. Where
// Psi has a corner, at the constant itself, the derivative there is its outer one.
func TestLossesAgreeWithAnotherProgram(t *testing.T) {
	type table struct {
		X, Psi, Rho, Wgt, DPsi, Chi []float64
		RhoUnnormalised             []float64 `json:"rho_unnormalised"`
		ChiNormalised               []float64 `json:"chi_normalised"`
	}
	tables := reference[struct{ Losses map[string]table }](t, "robust_losses.json").Losses
	compared := 0
	for _, c := range []struct {
		name string
		loss Loss
	}{
		{"huber_1.345", Huber{C: 1.345}},
		{"bisquare_default", Bisquare{C: 4.685061}},
		{"bisquare_S", Bisquare{C: 1.54764}},
		{"lqq_default", LQQ{B: 1.4734061, C: 0.9822707, S: 1.5}},
		{"lqq_S", LQQ{B: 0.4015457, C: 0.2676971, S: 1.5}},
	} {
		v := tables[c.name]
		normalised := func(r float64) float64 { return c.loss.Rho(r) / c.loss.(BoundedLoss).Height() }
		for _, column := range []struct {
			what string
			f    func(float64) float64
			want []float64
		}{
			{"psi", c.loss.Psi, v.Psi}, {"rho", c.loss.Rho, v.Rho}, {"rho", c.loss.Rho, v.RhoUnnormalised},
			{"weight", c.loss.Weight, v.Wgt}, {"psi'", c.loss.PsiPrime, v.DPsi},
			{"normalised rho", normalised, v.Chi}, {"normalised rho", normalised, v.ChiNormalised},
		} {
			for i, want := range column.want {
				compared++
				if got := column.f(v.X[i]); math.Abs(got-want) > 2e-14 {
					t.Errorf("%s: %s(%g) = %.15g, want %.15g", c.name, column.what, v.X[i], got, want)
				}
			}
		}
	}
	if compared < 16*15 {
		t.Errorf("only %d figures compared", compared)
	}
}

func TestTuningRefusesTheImpossible(t *testing.T) {
	for _, v := range []float64{math.NaN(), 0, 0.5, 1, 2} {
		if _, err := BisquareForEfficiency(v); err == nil {
			t.Errorf("efficiency %g: want an error", v)
		}
	}
	for _, v := range []float64{math.NaN(), 0, 0.51, -0.1} {
		if _, err := BisquareForBreakdown(v); err == nil {
			t.Errorf("breakdown %g: want an error", v)
		}
	}
}
