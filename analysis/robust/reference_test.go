package robust

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// reference reads a file of figures from other programs; its first line names
// where they come from.
func reference[T any](t *testing.T, name string) T {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	var v T
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

// digits is how many decimal digits of got are right, 16 at most; about nought
// it counts the digits behind the point.
func digits(got, want float64) float64 {
	off := math.Abs(got - want)
	if want != 0 {
		off /= math.Abs(want)
	}
	if math.IsNaN(off) {
		return -1
	}
	return math.Min(16, -math.Log10(off))
}

// fewestDigits is the least of digits over two slices.
func fewestDigits(got, want []float64) float64 {
	if len(got) != len(want) {
		return -1
	}
	fewest := 16.0
	for i := range got {
		fewest = math.Min(fewest, digits(got[i], want[i]))
	}
	return fewest
}

// apart is the largest difference between two slices relative to the larger of
// the value and 1e-3 of the largest value.
func apart(got, want []float64) float64 {
	if len(got) != len(want) {
		return math.Inf(1)
	}
	largest, worst := 0.0, 0.0
	for _, v := range want {
		largest = math.Max(largest, math.Abs(v))
	}
	for i := range got {
		worst = math.Max(worst, math.Abs(got[i]-want[i])/math.Max(math.Abs(want[i]), 1e-3*largest))
	}
	return worst
}

// design puts the columns side by side, after a column of ones if asked.
func design(intercept bool, columns ...[]float64) *mat.Dense {
	if intercept {
		ones := make([]float64, len(columns[0]))
		for i := range ones {
			ones[i] = 1
		}
		columns = append([][]float64{ones}, columns...)
	}
	x := mat.NewDense(len(columns[0]), len(columns), nil)
	for j, c := range columns {
		x.SetCol(j, c)
	}
	return x
}
