package hull_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"askance/ingest/hull"

	"pgregory.net/rapid"
)

// TestDecodeReference decodes the published and built numbers of
// testdata/reference/hull_numbers.csv, whose first lines name the sources.
func TestDecodeReference(t *testing.T) {
	f, err := os.Open("../../testdata/reference/hull_numbers.csv")
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
	if len(rows) != 37 {
		t.Fatalf("wanted a header and 36 numbers, found %d rows", len(rows))
	}
	number := func(s string) int {
		if s == "" {
			return 0
		}
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	for _, row := range rows[1:] {
		got := hull.Decode(row[0])
		if want := row[1] == "yes"; got.Valid != want {
			t.Errorf("%s: wanted valid %v, found %+v", row[0], want, got)
		}
		if !got.Valid && len(got.Problems) == 0 {
			t.Errorf("%s: not valid, yet no problem is told", row[0])
		}
		if row[1] == "no" {
			continue
		}
		want := hull.Number{Country: row[2], Maker: row[3], Serial: row[4],
			Month: number(row[5]), Year: number(row[6]), ModelYear: number(row[7])}
		if got.Country != want.Country || got.Maker != want.Maker || got.Serial != want.Serial ||
			got.Month != want.Month || got.Year != want.Year || got.ModelYear != want.ModelYear {
			t.Errorf("%s: wanted %+v, found %+v", row[0], want, got)
		}
	}
}

func TestDecodeFormatAndNumber(t *testing.T) {
	tests := []struct{ text, number, format string }{
		{"ABC 12345 A 7 88", "ABC12345A788", hull.Present},
		{"us-xxx12345d626", "US-XXX12345D626", hull.Present},
		{"CA-ABC2AB41G091", "CA-ABC2AB41G091", hull.Canada},
		{"FRXXX1A234C414", "FR-XXX1A234C414", hull.ISO},
		{"fr – xxx 1a234 / c4.14", "FR-XXX1A234C414", hull.ISO},
		{"XB-XXX1A234C414", "XB-XXX1A234C414", hull.ISO}, // a code left to users
		{"XXX12345M80A", "XXX12345M80A", hull.ModelYear},
		{"XXX123450773", "XXX123450773", hull.StraightYear},
	}
	for _, tt := range tests {
		got := hull.Decode(tt.text)
		if !got.Valid || got.Number != tt.number || got.Format != tt.format {
			t.Errorf("%s: wanted %s in %s, found %+v", tt.text, tt.number, tt.format, got)
		}
	}
}

func TestDecodeTellsWhatIsWrong(t *testing.T) {
	tests := []struct{ text, problem string }{
		{"XXX1234A585", "wanted 12 characters, or 14 with the country, found 11"},
		{"", "found 0"},
		{"XXXO2345A585", "wanted a serial without the letters I, O and Q in positions 4 to 8, found O2345 (hint: perhaps the digit 0)"},
		{"XXXQ2345A585", "found Q2345 (hint: perhaps the digit 0)"},
		{"XXX1I345A585", "found 1I345 (hint: perhaps the digit 1)"},
		{"XXX12345A5B5", "wanted two digits of the model year in positions 11 and 12, found B5 (hint: perhaps the digit 8)"},
		{"XXX12AB71000", "wanted a year from 72 to 84 in positions 11 and 12 after a month of two digits, found 00 (hint: perhaps the letter I, September, in position 9)"},
		{"XXX12345N585", "wanted a month letter A to L, the letter M or a digit in position 9, found N"},
		{"XXX123451383", "wanted a month from 01 to 12 in positions 9 and 10, found 13"},
		{"XXX12345M80N", "wanted a month letter A (August) to L (July) in position 12"},
		{"XXX12345M95A", "wanted a model year from 72 to 85"},
		{"AB-XXX1A234C414", "wanted a country's two letters (ISO 3166) before the 12 characters, found AB"},
		{"FR-XXX12345M80A", "wanted a month letter A to L in position 9, as ISO 10087 has it, found M"},
		{"X1X12345A585", "wanted three letters of the maker in positions 1 to 3, found X1X"},
		{"XXX12345É585", "wanted letters A to Z and digits"},
		{"GB-ABC00042-A3-99", "wanted a last digit of a year of production near the model year 1999 in position 10, found 3"},
	}
	for _, tt := range tests {
		got := hull.Decode(tt.text)
		if !strings.Contains(strings.Join(got.Problems, "\n"), tt.problem) {
			t.Errorf("%s: wanted the problem %q, found %q", tt.text, tt.problem, got.Problems)
		}
	}
}

func TestBuildYear(t *testing.T) {
	tests := []struct {
		text string
		want int
	}{
		{"ABC12345L495", 1995}, {"ABC123451275", 1975}, {"XXX12345M80A", 1980}, {"XXXO2345A585", 0}, {"", 0},
	}
	for _, tt := range tests {
		if got := hull.Decode(tt.text).BuildYear(); got != tt.want {
			t.Errorf("%s: wanted %d, found %d", tt.text, tt.want, got)
		}
	}
}

// drawNumber builds a number from its parts by the rules; digit makes sure of
// a digit in the serial.
func drawNumber(t *rapid.T) (string, hull.Number) {
	want := hull.Number{
		Maker:  rapid.StringMatching(`[A-Z]{3}`).Draw(t, "maker"),
		Serial: rapid.StringMatching(`[0-9][A-HJ-NPR-Z0-9]{4}`).Draw(t, "serial"),
		Month:  rapid.IntRange(1, 12).Draw(t, "month"),
	}
	letters := "ABCDEFGHIJKL"
	two := func(year int) string { return strconv.Itoa(100 + year%100)[1:] }
	var date string
	switch rapid.SampledFrom([]string{"present", "straight", "model"}).Draw(t, "layout") {
	case "present":
		want.Country = rapid.SampledFrom([]string{"", "US", "CA", "FR", "DE", "GB", "SE", "PL"}).Draw(t, "country")
		want.ModelYear = rapid.IntRange(1984, 2060).Draw(t, "model year")
		want.Year = want.ModelYear + rapid.IntRange(-2, 1).Draw(t, "before")
		date = letters[want.Month-1:want.Month] + strconv.Itoa(want.Year%10) + two(want.ModelYear)
	case "straight":
		want.Year = rapid.IntRange(1972, 1984).Draw(t, "year")
		date = strconv.Itoa(100 + want.Month)[1:] + two(want.Year)
	case "model":
		want.ModelYear = rapid.IntRange(1973, 1985).Draw(t, "model year")
		want.Year = want.ModelYear
		step := (want.Month + 4) % 12 // months since August
		if step <= 4 {
			want.Year--
		}
		date = "M" + two(want.ModelYear) + letters[step:step+1]
	}
	want.Number = want.Maker + want.Serial + date
	if want.Country != "" {
		want.Number = want.Country + "-" + want.Number
	}
	return want.Number, want
}

func same(a, b hull.Number) bool {
	return a.Number == b.Number && a.Country == b.Country && a.Maker == b.Maker && a.Serial == b.Serial &&
		a.Month == b.Month && a.Year == b.Year && a.ModelYear == b.ModelYear
}

func TestDecodeGivesBackWhatWasEncoded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, want := drawNumber(t)
		got := hull.Decode(text)
		if !got.Valid || len(got.Problems) > 0 || !same(got, want) {
			t.Fatalf("%s: wanted %+v, found %+v", text, want, got)
		}
		if spaced := hull.Decode(strings.ToLower(strings.Join(strings.Split(text, ""), " "))); !same(spaced, want) {
			t.Fatalf("%s, spaced: wanted %+v, found %+v", text, want, spaced)
		}
	})
}

func TestFindGivesBackWhatWasHidden(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, want := drawNumber(t)
		before := rapid.SampledFrom([]string{"", "HIN: ", "Rumpfnummer ", "hull no.", "(", "Größe 5 m, ", "HIN-"}).Draw(t, "before")
		after := rapid.SampledFrom([]string{"", ".", ", 2 sails", ")", "\nTrailer"}).Draw(t, "after")
		found := hull.Find(before + text + after)
		if len(found) != 1 || found[0].Start != len(before) || found[0].End != len(before)+len(text) || !same(found[0].Number, want) {
			t.Fatalf("%q: wanted %+v at %d, found %+v", before+text+after, want, len(before), found)
		}
	})
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{"FR-XXX1A234C414", "ABC123451275", "XXX12345M80A", "GB-ABC00042-A3-99", "ÄXX12345A585", "\xff\xff", "1234567890123"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n := hull.Decode(s)
		if n.Problems == nil || !n.Valid && len(n.Problems) == 0 {
			t.Errorf("%q: not valid without a problem: %+v", s, n)
		}
		if n.Valid && !same(hull.Decode(n.Number), n) {
			t.Errorf("%q: its normal form %s decodes to something else", s, n.Number)
		}
	})
}

func FuzzFind(f *testing.F) {
	for _, s := range []string{"HIN FR-XXX1A234C414, 2014", "ABC 12345 A 7 88", "www.example.org/abc12345a788 xxx", "\xffABC12345A788"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		last := 0
		for _, m := range hull.Find(s) {
			if m.Start < last || m.End > len(s) || m.Start >= m.End {
				t.Fatalf("%q: offsets %d to %d after %d", s, m.Start, m.End, last)
			}
			last = m.End
			if !m.Number.Valid || !same(hull.Decode(s[m.Start:m.End]), m.Number) {
				t.Errorf("%q: found %+v, which its words do not say", s, m)
			}
		}
	})
}
