package report

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"

	"askance/ingest/boat"
)

// TestContradictionsStandAmongTheProblems sees that what an ad says against
// itself is told beside the cells that could not be read.
func TestContradictionsStandAmongTheProblems(t *testing.T) {
	var out bytes.Buffer
	l := full(1)
	if err := ReadJSONL(&out, []boat.Listing{l}); err != nil {
		t.Fatal(err)
	}
	var told struct{ Problems []string }
	if err := json.Unmarshal(out.Bytes(), &told); err != nil {
		t.Fatal(err)
	}
	want := []string{l.Problems[0].String(), l.Notes[0]}
	if !slices.Equal(told.Problems, want) {
		t.Errorf("problems %q, want %q", told.Problems, want)
	}
}
