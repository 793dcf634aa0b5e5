package calibrate

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
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

// number is a JSON number, or null for NaN, or "Inf" or "-Inf".
type number float64

func (n *number) UnmarshalJSON(data []byte) error {
	switch string(data) {
	case "null":
		*n = number(math.NaN())
		return nil
	case `"Inf"`:
		*n = number(math.Inf(1))
		return nil
	case `"-Inf"`:
		*n = number(math.Inf(-1))
		return nil
	}
	return json.Unmarshal(data, (*float64)(n))
}

func floats(numbers []number) []float64 {
	x := make([]float64, len(numbers))
	for i, v := range numbers {
		x[i] = float64(v)
	}
	return x
}

// near compares relative to the larger of 1 and the wanted value; equal infinities
// and two NaN are near.
func near(got, want, within float64) bool {
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return true
	}
	return math.Abs(got-want) <= within*math.Max(1, math.Abs(want))
}
