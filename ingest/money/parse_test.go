package money

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

func readTable(t testing.TB, file string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func testWords(t testing.TB) *Words {
	var entries []Entry
	for _, row := range readTable(t, "testdata/words.csv") {
		entries = append(entries, Entry{Kind: row[0], For: row[1], Phrase: row[2]})
	}
	return NewWords(entries)
}

// hint reads "cur=EUR lang=de country=AT dec=, long".
func hint(s string) Hint {
	var h Hint
	for _, part := range strings.Fields(s) {
		key, value, _ := strings.Cut(part, "=")
		switch key {
		case "cur":
			h.Currency = value
		case "lang":
			h.Language = value
		case "country":
			h.Country = value
		case "dec":
			h.Decimal, _ = utf8.DecodeRuneInString(value)
		case "long":
			h.Long = true
		}
	}
	return h
}

// TestParseSeen reads the ways of writing a price that this package was made
// for: testdata/seen.csv, invented, outcome "ambiguous" or "unknown" or "".
func TestParseSeen(t *testing.T) {
	w := testWords(t)
	rows := readTable(t, "testdata/seen.csv")
	if len(rows) < 150 {
		t.Fatalf("wanted at least 150 texts, found %d", len(rows))
	}
	wrong := 0
	for _, row := range rows {
		text, outcome := row[0], row[5]
		got := Parse(text, w, hint(row[4]))
		amount := ""
		if got.Known {
			amount = strconv.FormatFloat(got.Major(), 'f', -1, 64)
		}
		currency := got.Currency
		if !got.Known {
			currency = ""
		}
		if got.Known == (outcome == "unknown") || amount != row[1] || currency != row[2] || got.Terms != row[3] || got.Ambiguous != (outcome == "ambiguous") {
			wrong++
			t.Errorf("%q (%s): wanted %s %s %q %s, found %s %s %+v", text, row[4], row[1], row[2], row[3], outcome, amount, got.Currency, got)
		}
		if text[got.Start:got.End] != got.Quote {
			t.Errorf("%q: quote %q is not text[%d:%d]", text, got.Quote, got.Start, got.End)
		}
		if !got.Known && strings.TrimSpace(text) != "" && (got.Quote == "" || got.Reason == "") {
			t.Errorf("%q: wanted a quote and a reason, found %+v", text, got)
		}
	}
	t.Logf("%d of %d texts read as wanted", len(rows)-wrong, len(rows))
}
