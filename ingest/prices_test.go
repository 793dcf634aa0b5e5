package ingest

import (
	encoding "encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"askance/ingest/extract"
	"askance/ingest/money"
)

// TestPriceStrings reads price strings written by somebody who had not seen
// the reader, with the words that are shipped and no hint, and tells how many
// come out as wanted. In the file a sign that several currencies share has no
// currency; a joke, a range and a monthly rate have no amount. A range is read
// as its two ends, which is right here.
func TestPriceStrings(t *testing.T) {
	f, err := os.Open("money/testdata/unseen.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := encoding.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	words := extract.New(builtin(t)).MoneyWords()
	var amount, currency, open, none, terms score
	for _, row := range rows[1:] {
		text, wantAmount, wantCurrency, wantTerms := row[0], row[1], row[2], row[3]
		got := money.Parse(text, words, money.Hint{})
		gotAmount, gotCurrency := "", ""
		if got.Known && got.High == (money.Amount{}) {
			gotAmount = strconv.FormatFloat(got.Major(), 'f', -1, 64)
		}
		if gotCurrency = got.Currency; gotCurrency == money.Unsettled {
			gotCurrency = ""
		}
		if wantTerms == "no_amount" { // a reading tells so by having none
			wantTerms = ""
		}
		report := func(what string, right bool) bool {
			if !right {
				t.Logf("%q: %s: wanted %s %s %s, found %+v", text, what, wantAmount, wantCurrency, wantTerms, got)
			}
			return right
		}
		terms.count(report("terms", got.Terms == wantTerms))
		if wantAmount == "" {
			none.count(report("no amount", gotAmount == ""))
			continue
		}
		if !amount.count(report("amount", gotAmount == wantAmount)) || wantAmount == "0" {
			continue
		}
		if wantCurrency == "" {
			open.count(report("open currency", gotCurrency == ""))
			continue
		}
		currency.count(report("currency", gotCurrency == wantCurrency))
	}
	t.Logf("amount %s, none where there is none %s, currency %s, left open %s, terms %s", amount, none, currency, open, terms)
	if amount.share() < 0.99 || none.share() < 0.99 || currency.share() < 0.97 || terms.share() < 0.97 {
		t.Error("wanted 99 in 100 amounts, as many without, 97 in 100 currencies and terms")
	}
}

// A score counts what is right of all.
type score struct{ right, all int }

func (s *score) count(right bool) bool {
	s.all++
	if right {
		s.right++
	}
	return right
}

func (s score) share() float64 { return float64(s.right) / float64(s.all) }

func (s score) String() string { return strconv.Itoa(s.right) + " of " + strconv.Itoa(s.all) }

// TestFileTellsCurrency reads prices whose sign or number alone tells no
// currency.
func TestFileTellsCurrency(t *testing.T) {
	tests := []struct {
		name  string
		lines []string
		want  string // of each price in turn
		note  bool
	}{
		{"most others of the file", []string{"titel,pris", "Zephrin 16,SEK 30.000", "Zephrin 16 b,28000 kr", "Zephrin 16 c,27000"}, "SEK SEK SEK", true},
		{"words of the file", []string{"rubrik,pris,årsmodell,beskrivning", "Zephrin 16,28 000 kr,2004,Båten är i bra skick och säljs för att den inte används"}, "SEK", false},
		{"header with a shared sign", []string{"rubrik,pris (kr),beskrivning", "Zephrin 16,28 000,Båten är i bra skick och säljs för att den inte används"}, "SEK", false},
		{"web address", []string{"title,price,url", "Zephrin 16,28 000 kr,https://boats.example.no/1"}, "NOK", false},
		{"nothing tells", []string{"title,price", "Zephrin 16,28 000 kr"}, "XXX", false},
		{"decimal habit", []string{"title,price", "Zephrin 16,KWD 950.500", "Zephrin 16 b,KWD 1000.25"}, "KWD KWD", false},
	}
	for _, tt := range tests {
		all, err := Listings([]File{csv("m.csv", tt.lines...)}, builtin(t), Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, l := range all.Listings {
			got = append(got, l.Price.Currency)
		}
		if strings.Join(got, " ") != tt.want || (len(all.Notes) > 0) != tt.note {
			t.Errorf("%s: wanted %s, found %s, notes %q", tt.name, tt.want, got, all.Notes)
		}
		if tt.name == "decimal habit" && all.Listings[0].Price.Major() != 950.5 {
			t.Errorf("wanted 950.5, found %v", all.Listings[0].Price.Major())
		}
	}
}
