package robust

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

type certified struct {
	Degree     int
	Intercept  bool
	X          [][]float64
	Y          []float64
	Coef, SE   []float64
	ResidualSD float64 `json:"residual_sd"`
	R2         float64
}

func (c certified) design() *mat.Dense {
	columns := c.X
	for power := 2; power <= c.Degree; power++ {
		column := make([]float64, len(c.Y))
		for i := range column {
			column[i] = columns[power-2][i] * c.X[0][i]
		}
		columns = append(columns, column)
	}
	return design(c.Intercept, columns...)
}

// NIST Statistical Reference Datasets, linear regression: certified to 15 digits.
// Filip (a polynomial of degree 10) is asked only for what float64 powers of x
// leave of it.
func TestLeastSquaresOnCertifiedSets(t *testing.T) {
	sets := reference[struct{ Sets map[string]certified }](t, "nist_linear.json").Sets
	for _, c := range []struct {
		name   string
		digits float64
	}{
		{"Norris", 12}, {"Pontius", 12}, {"Longley", 12}, {"Filip", 7},
		{"Wampler1", 9}, {"Wampler2", 12}, {"Wampler3", 12}, {"Wampler4", 12}, {"Wampler5", 12},
		{"NoInt1", 14}, {"NoInt2", 14},
	} {
		set := sets[c.name]
		fit, err := LeastSquares(set.design(), set.Y, Settings{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		coef := fewestDigits(fit.Coefficients, set.Coef)
		se, sd, r2 := fewestDigits(fit.StandardErrors, set.SE), digits(fit.Scale, set.ResidualSD), digits(fit.R2, set.R2)
		t.Logf("%-8s digits right: coefficients %4.1f, standard errors %4.1f, residual SD %4.1f, R2 %4.1f; condition %.2g",
			c.name, coef, se, sd, r2, fit.Condition)
		if math.Min(math.Min(coef, se), math.Min(sd, r2)) < c.digits {
			t.Errorf("%s: want %g digits", c.name, c.digits)
		}
	}
	if fit, _ := LeastSquares(sets["Filip"].design(), sets["Filip"].Y, Settings{}); len(fit.Warnings) == 0 {
		t.Error("Filip: want a warning of its condition")
	}
}

// A whole-number weight does what that many copies of the row do.
func TestWeightsCountAsCopies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 12).Draw(t, "n")
		number := rapid.Float64Range(-10, 10)
		x, y := make([][]float64, n), make([]float64, n)
		weights := make([]float64, n)
		var copiesX [][]float64
		var copiesY []float64
		for i := range n {
			x[i] = []float64{1, float64(i), number.Draw(t, "x")}
			y[i] = number.Draw(t, "y")
			weights[i] = float64(rapid.IntRange(0, 3).Draw(t, "weight"))
			for range int(weights[i]) {
				copiesX, copiesY = append(copiesX, x[i]), append(copiesY, y[i])
			}
		}
		if len(copiesX) == 0 {
			return
		}
		a, _ := Rows(x)
		b, _ := Rows(copiesX)
		weighted, err1 := LeastSquares(a, y, Settings{Weights: weights})
		copied, err2 := LeastSquares(b, copiesY, Settings{})
		if err1 != nil || err2 != nil || copied.Condition > 1e5 {
			return // too few rows, or nearly dependent ones
		}
		if d := apart(weighted.Coefficients, copied.Coefficients); d > 1e-8 {
			t.Fatalf("coefficients %v, want %v", weighted.Coefficients, copied.Coefficients)
		}
		if math.Abs(weighted.R2-copied.R2) > 1e-8 {
			t.Fatalf("R2 %g, want %g", weighted.R2, copied.R2)
		}
	})
}

// The defining equation: the residuals are orthogonal to every column. And the
// leverages sum to the number of coefficients.
func TestLeastSquaresNormalEquations(t *testing.T) {
	set := reference[struct{ Sets map[string]certified }](t, "nist_linear.json").Sets["Longley"]
	x := set.design()
	weights := make([]float64, len(set.Y))
	for i := range weights {
		weights[i] = 1 + float64(i%3)
	}
	fit, err := LeastSquares(x, set.Y, Settings{Weights: weights})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, h := range fit.Leverages {
		sum += h
	}
	if math.Abs(sum-7) > 1e-9 {
		t.Errorf("leverages sum to %g, want 7", sum)
	}
	for j := range 7 {
		product, size := 0.0, 0.0
		for i, r := range fit.Residuals {
			product += weights[i] * r * x.At(i, j)
			size += math.Abs(weights[i] * r * x.At(i, j))
		}
		if math.Abs(product) > 1e-8*size {
			t.Errorf("column %d: x'wr = %g of %g", j, product, size)
		}
	}
}

func TestLinearModelErrors(t *testing.T) {
	x := mat.NewDense(4, 2, []float64{1, 1, 1, 2, 1, 3, 1, 4})
	y := []float64{1, 2, 3, 5}
	twice := mat.NewDense(4, 2, []float64{1, 2, 2, 4, 3, 6, 4, 8})
	nought := mat.NewDense(4, 2, []float64{1, 0, 1, 0, 1, 0, 1, 0})
	for _, c := range []struct {
		name     string
		x        mat.Matrix
		y        []float64
		settings Settings
		want     string
	}{
		{"short y", x, y[:3], Settings{}, "wanted 4 responses, one a row, got 3"},
		{"short weights", x, y, Settings{Weights: y[:2]}, "wanted 4 weights"},
		{"negative weight", x, y, Settings{Weights: []float64{1, -1, 1, 1}}, "row 1: wanted a weight"},
		{"nan", x, []float64{1, 2, math.NaN(), 4}, Settings{}, "row 2: wanted finite numbers"},
		{"too few rows", x, y, Settings{Weights: []float64{0, 0, 0, 1}}, "at least as many rows as the 2 coefficients, got 1"},
		{"dependent", twice, y, Settings{}, "depend on one another"},
		{"nought", nought, y, Settings{}, "column 1 is nought"},
		{"efficiency", x, y, Settings{Efficiency: 1.2}, "wanted an efficiency within"},
		{"breakdown", x, y, Settings{Breakdown: 0.7}, "wanted a breakdown point within"},
		{"iterations", x, y, Settings{MaxIterations: -1}, "wanted no negative number"},
	} {
		_, err := MM(c.x, c.y, c.settings)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error %v, want one with %q", c.name, err, c.want)
		}
	}
	if _, err := Rows([][]float64{{1, 2}, {3}}); err == nil || !strings.Contains(err.Error(), "row 1: wanted 2 columns") {
		t.Errorf("ragged rows: got error %v", err)
	}
	if _, err := Rows(nil); err == nil {
		t.Error("no rows: want an error")
	}
}
