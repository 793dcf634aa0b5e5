package extract

import (
	"testing"

	"askance/ingest/record"

	"github.com/google/go-cmp/cmp"
)

// TestListingsAreReadAsOneByOne wants from rows read side by side what each
// gives by itself, in the order of the rows.
func TestListingsAreReadAsOneByOne(t *testing.T) {
	r, _ := builtin(t)
	var batch record.Batch
	for _, a := range readAds(t, "seen")[:120] {
		batch.Rows = append(batch.Rows, a.row)
	}
	opts := Options{AsOf: adsAsOf}
	got := r.Listings(batch, opts)
	for i, row := range batch.Rows {
		if diff := cmp.Diff(r.Listing(row, batch, opts), got[i]); diff != "" {
			t.Fatalf("row %d: %s", i, diff)
		}
	}
}
