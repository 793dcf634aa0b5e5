package extract

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"askance/ingest/record"
)

// TestAsking reads testdata/asking.txt: ways to tell a price, its terms, the
// build year, the kind and the seller. The ads were written beside the rules
// that read them, so this holds what is reached and measures nothing.
func TestAsking(t *testing.T) {
	r, _ := builtin(t)
	data, err := os.ReadFile("testdata/asking.txt")
	if err != nil {
		t.Fatal(err)
	}
	ads := 0
	for line := range strings.Lines(string(data)) {
		fields := strings.SplitN(strings.TrimSpace(line), "|", 4)
		if strings.HasPrefix(line, "#") {
			continue
		}
		if len(fields) < 4 {
			t.Fatalf("%q: wanted language, what is wanted, title and text", line)
		}
		ads++
		wanted := map[string]string{"kind": "", "price": "", "boats": ""}
		var row record.Row
		for said := range strings.SplitSeq(fields[1], ";") {
			key, value, _ := strings.Cut(strings.TrimSpace(said), "=")
			if field, column := strings.CutPrefix(key, "c:"); column {
				row.Cells = append(row.Cells, record.Cell{Field: field, Header: field, Text: value})
				continue
			}
			wanted[key] = value
		}
		if wanted["kind"] == "boat" {
			wanted["kind"] = ""
		}
		text := strings.ReplaceAll(fields[3], `\n`, "\n")
		row.Cells = append(row.Cells, record.Cell{Field: "title", Text: fields[2]}, record.Cell{Field: "text", Text: text})
		l := r.Listing(row, record.Batch{}, Options{AsOf: adsAsOf})
		got := told(l)
		for key, value := range wanted {
			if got[key] != value {
				t.Errorf("%s: %s: wanted %q, found %q in %s | %s", fields[0], key, value, got[key], fields[2], fields[3])
			}
		}
	}
	if ads < 900 {
		t.Errorf("wanted 900 ads, found %s", strconv.Itoa(ads))
	}
}
