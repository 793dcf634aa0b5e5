//go:build validity

package main

import (
	"bytes"
	"encoding/csv"
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"askance/analysis"
	"askance/fixtures"
	"askance/ingest"
	"askance/ingest/knowhow"
)

// TestValidityTripledAsk multiplies one ask after the other by three in an
// export, judges the whole market again each time, and looks how far the
// listing's own expected ask moves: not by 1 % for 95 % of the listings. A
// boat that stands on two sites is left aside: its other listing still tells
// its old price.
func TestValidityTripledAsk(t *testing.T) {
	const export = "harbourboard-2026-06-14.csv"
	files, err := demoFiles(fixtures.Market(), "demo")
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(files, func(f ingest.File) bool { return path.Base(f.Name) == export })
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	before, once := expectedOf(t, files, book)
	rows, err := csv.NewReader(bytes.NewReader(files[at].Data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	price, url := slices.Index(rows[0], "Price"), slices.Index(rows[0], "URL")
	tried, moved, worst := 0, 0, 0.0
	for i := 1; i < len(rows); i++ {
		was, ok := before[rows[i][url]]
		if !ok || !once[rows[i][url]] {
			continue
		}
		changed := slices.Clone(files)
		changed[at].Data = tripled(t, rows, i, price)
		now, _ := expectedOf(t, changed, book)
		shift := math.Abs(now[rows[i][url]]/was - 1)
		tried++
		worst = max(worst, shift)
		if shift >= 0.01 {
			moved++
			t.Logf("%s: expected %.0f, %.0f with three times the ask", rows[i][url], was, now[rows[i][url]])
		}
	}
	t.Logf("%d asks tripled one at a time: %d moved their own expected ask by 1 %% or more, the worst by %.2f %%", tried, moved, 100*worst)
	if tried < 30 {
		t.Errorf("only %d listings were tried", tried)
	}
	if float64(moved) > 0.05*float64(tried) {
		t.Errorf("%d of %d moved by 1 %% or more, want at most 5 %%", moved, tried)
	}
}

// expectedOf gives each listing's expected ask by its address, and whether it
// stands in the market once only.
func expectedOf(t *testing.T, files []ingest.File, book *knowhow.Book) (expected map[string]float64, once map[string]bool) {
	t.Helper()
	m, err := ingest.Read(files, book, ingest.Options{AsOf: demoDay})
	if err != nil {
		t.Fatal(err)
	}
	s, err := analysis.Run(m, book, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	expected, once = map[string]float64{}, map[string]bool{}
	for _, j := range s.Boats {
		expected[j.Listing.Source.URL] = j.Valuation.Expected
		once[j.Listing.Source.URL] = len(j.Listing.Also) == 0
	}
	return expected, once
}

// tripled writes the export with one ask times three.
func tripled(t *testing.T, rows [][]string, row, price int) []byte {
	t.Helper()
	number := regexp.MustCompile(`[0-9][0-9,]*`)
	changed := slices.Clone(rows)
	changed[row] = slices.Clone(rows[row])
	changed[row][price] = number.ReplaceAllStringFunc(rows[row][price], func(s string) string {
		n, err := strconv.Atoi(strings.ReplaceAll(s, ",", ""))
		if err != nil {
			t.Fatal(err)
		}
		return strconv.Itoa(3 * n)
	})
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	if err := w.WriteAll(changed); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
