package money

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
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

// seenWrong reads testdata/seen.csv and tells each text that is not read as
// wanted: its amount, currency, terms and outcome ("ambiguous", "unknown", "").
func seenWrong(t *testing.T, w *Words) (wrong []string, texts int) {
	rows := readTable(t, "testdata/seen.csv")
	for _, row := range rows {
		text, outcome := row[0], row[5]
		got := Parse(text, w, hint(row[4]))
		amount, currency := "", ""
		if got.Known {
			amount, currency = strconv.FormatFloat(got.Major(), 'f', -1, 64), got.Currency
		}
		if got.Known == (outcome == "unknown") || amount != row[1] || currency != row[2] || got.Terms != row[3] || got.Ambiguous != (outcome == "ambiguous") {
			wrong = append(wrong, fmt.Sprintf("%q (%s): wanted %s %s %q %s, found %+v", text, row[4], row[1], row[2], row[3], outcome, got))
		}
		if text[got.Start:got.End] != got.Quote {
			t.Errorf("%q: quote %q is not text[%d:%d]", text, got.Quote, got.Start, got.End)
		}
		if !got.Known && strings.TrimSpace(text) != "" && (got.Quote == "" || got.Reason == "") {
			t.Errorf("%q: wanted a quote and a reason, found %+v", text, got)
		}
	}
	return wrong, len(rows)
}

// TestParseSeen reads the ways of writing a price that this package was made
// for; the texts are invented.
func TestParseSeen(t *testing.T) {
	wrong, texts := seenWrong(t, testWords(t))
	for _, w := range wrong {
		t.Error(w)
	}
	if texts < 150 {
		t.Errorf("wanted at least 150 texts, found %d", texts)
	}
}

// TestParseSeenWithShippedWords reads the same texts with the words of every
// language at once. They lack a few rare currencies of the tests' own words.
func TestParseSeenWithShippedWords(t *testing.T) {
	wrong, texts := seenWrong(t, shippedWords(t))
	t.Logf("%d of %d texts read as wanted", texts-len(wrong), texts)
	if len(wrong)*20 > texts {
		t.Errorf("wanted 95 in 100 texts read, found:\n%s", strings.Join(wrong, "\n"))
	}
}

// shippedWords are the words of every language at once.
func shippedWords(t testing.TB) *Words {
	t.Helper()
	files, err := filepath.Glob("../knowhow/facts/words/*.csv")
	if err != nil || len(files) == 0 {
		t.Fatalf("no words: %v", err)
	}
	var entries []Entry
	for _, f := range files {
		for _, row := range readTable(t, f) {
			entries = append(entries, Entry{Kind: row[0], For: row[1], Phrase: row[2], Apart: filepath.Base(f) == "mul.csv"})
		}
	}
	return NewWords(entries)
}

func TestQuote(t *testing.T) {
	w := testWords(t)
	tests := []struct{ text, quote string }{
		{"  VB 3.450 €, Tel. abends", "VB 3.450 €"},
		{"Preis: 2.500 Euro (Festpreis) plus", "2.500 Euro (Festpreis)"},
		{"now £3,900 was £4,500", "£3,900"},
		{"please see: price on application!", "price on application"},
		{"1 €", "1 €"},
		{"\xff\xfe 3450 € \xff", "3450 €"},
		{"so so", "so so"},
	}
	for _, tt := range tests {
		if got := Parse(tt.text, w, Hint{}); got.Quote != tt.quote || tt.text[got.Start:got.End] != tt.quote {
			t.Errorf("%q: wanted the quote %q, found %+v", tt.text, tt.quote, got)
		}
	}
}

func TestInText(t *testing.T) {
	w := testWords(t)
	tests := []struct {
		text   string
		amount float64 // 0: none
		terms  string
	}{
		{"Beach cat, built 1998, 16 ft, mast 8.5 m. £2,950 ono, call 0171 123456", 2950, "negotiable"},
		{"Katamaran Bj. 2004, Segel 2015, Preis VB 3400, Trailer 600 kg", 3400, "negotiable"},
		{"Neupreis 12.000 €, jetzt 3.400 €. Gratis dazu: Plane.", 3400, ""},
		{"built 1998, two sails, free of cracks, offers welcome", 0, ""},
		{"99 € pro Monat", 0, ""},
		{"Sail number 1234, hull 5678", 0, ""},
		{"", 0, ""},
	}
	for _, tt := range tests {
		got := InText(tt.text, w, Hint{})
		if got.Known != (tt.amount > 0) || got.Known && got.Major() != tt.amount || got.Terms != tt.terms {
			t.Errorf("%q: wanted %v %q, found %+v", tt.text, tt.amount, tt.terms, got)
		}
	}
}

func TestRange(t *testing.T) {
	got := Parse("3-4k £", testWords(t), Hint{})
	if got.Amount != Of(3000, "GBP") || got.High != Of(4000, "GBP") || !got.Ambiguous {
		t.Errorf("wanted 3000 to 4000 GBP, found %+v", got)
	}
}

func TestHabit(t *testing.T) {
	tests := []struct {
		texts []string
		want  Marks
	}{
		{[]string{"3.450,00 €", "2.900 €"}, Marks{Decimal: ','}},
		{[]string{"£3,450.00", "2,900"}, Marks{Decimal: '.'}},
		{[]string{"3450.00", "2900.00", "3.450"}, Marks{Decimal: '.'}},
		{[]string{"3450,5", "12"}, Marks{Decimal: ','}},
		{[]string{"3.450", "12.900"}, Marks{Decimal: ','}},
		{[]string{"3,450", "12,900"}, Marks{Decimal: '.'}},
		{[]string{"VB 3450,-"}, Marks{Decimal: ','}},
		{[]string{"1.234.567"}, Marks{Decimal: ','}},
		{[]string{"3187.442", "998.315"}, Marks{Decimal: '.', Long: true}},
		{[]string{"3450", "3 450", "3'450"}, Marks{}},
		{[]string{"3450.50", "3450,50"}, Marks{}},
		{nil, Marks{}},
	}
	for _, tt := range tests {
		if got := Habit(tt.texts); got != tt.want {
			t.Errorf("%q: wanted %+v, found %+v", tt.texts, tt.want, got)
		}
	}
}

// TestMinorDigits holds MinorDigits to testdata/reference/iso4217.csv.
func TestMinorDigits(t *testing.T) {
	checked := 0
	for _, row := range readTable(t, "../../testdata/reference/iso4217.csv") {
		want, err := strconv.Atoi(row[1])
		if err != nil {
			continue
		}
		checked++
		if got := MinorDigits(row[0]); got != want {
			t.Errorf("%s: wanted %d, found %d", row[0], want, got)
		}
	}
	if checked < 40 {
		t.Errorf("wanted at least 40 codes, found %d", checked)
	}
}

func TestParseDoesNotHang(t *testing.T) {
	w := testWords(t)
	for _, piece := range []string{"3 450 € VB ", "was 1 ", "1 ", "1.", "€", "vb ", "- ", "np ", "1-2 ", "("} {
		text := strings.Repeat(piece, 100_000/len(piece))
		begun := time.Now()
		InText(text, w, Hint{})
		Parse(text, w, Hint{})
		if took := time.Since(begun); took > time.Minute {
			t.Errorf("%q repeated took %v", piece, took)
		}
	}
}

// In running text a bare number is a price beside a term of its own only.
func TestBareNumberInText(t *testing.T) {
	w := testWords(t)
	for text, want := range map[string]float64{"7 offers": 0, "wanted (6)": 0, "VB 3450": 3450, "3450,-": 3450, "Model 14 £600": 600} {
		if got := InText(text, w, Hint{}); got.Known != (want > 0) || got.Known && got.Major() != want {
			t.Errorf("%q: wanted %v, found %+v", text, want, got)
		}
	}
}
