package ingest

import (
	"bytes"
	encoding "encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"askance/ingest/table"
)

// adTable is a table of all seen ads, several times over with a line of their
// own each.
func adTable(tb testing.TB, times int) []byte {
	files, err := filepath.Glob("../testdata/ads/seen/*.txt")
	if err != nil || len(files) == 0 {
		tb.Fatal("no ads", err)
	}
	var b bytes.Buffer
	w := encoding.NewWriter(&b)
	w.Write([]string{"title", "text", "price", "url", "listed"})
	for k := range times {
		for i, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				tb.Fatal(err)
			}
			_, body, _ := strings.Cut(string(data), "\n\n")
			title, text, _ := strings.Cut(body, "\n")
			n := k*len(files) + i
			w.Write([]string{title, fmt.Sprintf("%s\nNr. %d", text, n), fmt.Sprint(1000 + n%4000), fmt.Sprintf("https://example.org/ad/%d", n), "2026-05-01"})
		}
	}
	w.Flush()
	return b.Bytes()
}

// BenchmarkMarket reads a table of advertisements into a market.
func BenchmarkMarket(b *testing.B) {
	data, book, day := adTable(b, 4), builtin(b), time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Read([]File{{Name: "x.csv", Data: data, Modified: day}}, book, Options{Today: day}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMarketFloor cuts the same table into rows, and nothing else.
func BenchmarkMarketFloor(b *testing.B) {
	data, words := adTable(b, 4), newVocabulary(builtin(b), nil)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := table.Read("x.csv", data, table.Options{Headers: words.header}); err != nil {
			b.Fatal(err)
		}
	}
}
