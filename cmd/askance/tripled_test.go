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
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

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
	files, err := demoFiles(fixtures.Market(), "demo")
	if err != nil {
		t.Fatal(err)
	}
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	before, once := expectedOf(t, files, book)
	tried, moved, worst := 0, 0, 0.0
	for _, e := range []export{
		{"harbourboard-2026-06-14.csv", ',', "Price", "URL", func(s string) string { return strings.ReplaceAll(s, ",", "") }},
		{"strandmarkt_2026-07-02.csv", ';', "Preis", "Link", func(s string) string { return strings.ReplaceAll(strings.TrimSuffix(s, ",00"), ".", "") }},
	} {
		at := slices.IndexFunc(files, func(f ingest.File) bool { return path.Base(f.Name) == e.file })
		rows := e.rows(t, files[at].Data)
		url := slices.Index(rows[0], e.url)
		for i := 1; i < len(rows); i++ {
			link := rows[i][url]
			was, ok := before[link]
			if !ok || !once[link] {
				continue
			}
			changed := slices.Clone(files)
			changed[at].Data = e.tripled(t, rows, i)
			now, _ := expectedOf(t, changed, book)
			shift := math.Abs(now[link]/was - 1)
			tried++
			worst = max(worst, shift)
			if shift >= 0.01 {
				moved++
				t.Logf("%s: expected %.0f, %.0f with three times the ask", link, was, now[link])
			}
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
	s, err := analysis.Run(m, book, analysis.Options{Once: true})
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

// An export is a table of the invented market.
type export struct {
	file       string
	comma      rune
	price, url string                // headers
	digits     func(s string) string // of an amount, without marks
}

// rows reads the table: UTF-8, else windows-1252.
func (e export) rows(t *testing.T, data []byte) [][]string {
	t.Helper()
	if !utf8.Valid(data) {
		var err error
		if data, err = charmap.Windows1252.NewDecoder().Bytes(data); err != nil {
			t.Fatal(err)
		}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma = e.comma
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// amount finds a price in its cell.
var amount = regexp.MustCompile(`[0-9][0-9.,]*`)

// tripled writes the table with one ask times three.
func (e export) tripled(t *testing.T, rows [][]string, row int) []byte {
	t.Helper()
	price := slices.Index(rows[0], e.price)
	changed := slices.Clone(rows)
	changed[row] = slices.Clone(rows[row])
	changed[row][price] = amount.ReplaceAllStringFunc(rows[row][price], func(s string) string {
		n, err := strconv.Atoi(e.digits(s))
		if err != nil {
			t.Fatal(err)
		}
		return strconv.Itoa(3 * n)
	})
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Comma = e.comma
	if err := w.WriteAll(changed); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
