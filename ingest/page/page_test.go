package page

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"askance/ingest/money"
	"askance/ingest/record"
)

// amountPattern knows a few signs and codes, enough for these pages.
var amountPattern = regexp.MustCompile(`(?i)(?:(?:vb|ono)\s+)?(?:(€|\$|£|\beur|\bkr\.?|\bsek|\busd)\s?(\d[\d.,' ]*\d|\d)|(\d[\d.,' ]*\d|\d)(?:,-|,–)?\s?(€|£|eur\b|euros?\b|kr\b|sek\b|usd\b|zł))(?:\s+(?:vb|ono|vhb))?`)

func readPrice(text string) (money.Amount, string, bool) {
	m := amountPattern.FindStringSubmatch(text)
	if m == nil {
		return money.Amount{}, "", false
	}
	currency := map[string]string{"€": "EUR", "eur": "EUR", "euro": "EUR", "euros": "EUR", "$": "USD", "usd": "USD", "£": "GBP", "kr": "SEK", "kr.": "SEK", "sek": "SEK", "zł": "PLN"}[strings.ToLower(m[1]+m[4])]
	number := strings.Map(func(r rune) rune {
		if r == ' ' || r == '\'' || r == '\u00a0' {
			return -1
		}
		return r
	}, m[2]+m[3])
	if i := strings.LastIndexAny(number, ".,"); i >= 0 && len(number)-i == 3 {
		number = strings.NewReplacer(".", "", ",", "").Replace(number[:i]) + "." + number[i+1:]
	} else {
		number = strings.NewReplacer(".", "", ",", "").Replace(number)
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return money.Amount{}, "", false
	}
	return money.Of(v, currency), m[0], true
}

func readLabel(label string) (field, unit string, ok bool) {
	field, ok = map[string]string{
		"title": "title", "name": "title", "titel": "title", "boat": "title", "price": "price", "preis": "price", "prix": "price", "pris": "price", "asking price": "price",
		"year": "year", "baujahr": "year", "année": "year", "årsmodell": "year", "location": "place", "place": "place", "ort": "place", "lieu": "place",
		"date": "listed", "condition": "condition", "zustand": "condition", "maker": "maker", "length": "length", "seller": "seller", "description": "text", "url": "url", "link": "url", "currency": "currency", "hull number": "hull_number",
	}[strings.ToLower(label)]
	return field, "", ok
}

func testOptions() Options {
	return Options{Labels: readLabel, Price: readPrice, Words: Words{
		Similar:   []string{"similar", "ähnliche", "du même genre", "liknande", "related"},
		Ad:        []string{"anzeige", "advertisement", "sponsored", "annons", "ad"},
		Nav:       []string{"breadcrumb", "sidebar", "filter", "menu"},
		OldPrice:  []string{"was", "statt", "before", "au lieu de", "new price", "old"},
		PerPeriod: []string{"per month", "/ month", "mtl.", "/monat", "par mois"},
		Delivery:  []string{"versand", "delivery", "shipping", "livraison"},
	}}
}

// A want is the expectation beside a page: the same stem, .json.
type want struct {
	Listings []wantListing
	Skipped  []string // reasons, in page order
	URL      string   `json:",omitempty"`
	Language string   `json:",omitempty"`
	Date     string   `json:",omitempty"`
	Currency string   `json:",omitempty"`
	Problems int      `json:",omitempty"` // of the page and its rows
	Note     string   `json:",omitempty"`
}

type wantListing struct {
	Title string
	Price string            `json:",omitempty"`
	URL   string            `json:",omitempty"`
	Text  string            `json:",omitempty"`
	Also  map[string]string `json:",omitempty"` // further fields, or "?HEADER" for an unrecognised label
	At    string            `json:",omitempty"`
}

func TestCorpus(t *testing.T) {
	var pages []string
	for _, pattern := range []string{"testdata/*.html", "testdata/*.mhtml"} {
		found, _ := filepath.Glob(pattern)
		pages = append(pages, found...)
	}
	if len(pages) < 20 {
		t.Fatalf("found only %d pages", len(pages))
	}
	listings := 0
	for _, file := range pages {
		stem := strings.TrimSuffix(file, filepath.Ext(file))
		t.Run(filepath.Base(stem), func(t *testing.T) {
			var w want
			expected, err := os.ReadFile(stem + ".json")
			if err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(expected, &w); err != nil {
				t.Fatal(err)
			}
			batch := readFile(t, file)
			listings += len(batch.Rows)
			if diff := cmp.Diff(w, summary(batch, w)); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
	t.Logf("%d pages, %d listings", len(pages), listings)
}

func readFile(t testing.TB, file string) record.Batch {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	batch, err := Read(filepath.Base(file), data, testOptions())
	if err != nil {
		t.Fatal(err)
	}
	return batch
}

// summary puts a batch in the form of an expectation. Text, further fields
// and the page's own facts are compared where the expectation has them.
func summary(b record.Batch, w want) want {
	got := want{Note: w.Note, Problems: len(b.Problems)}
	for i, row := range b.Rows {
		got.Problems += len(row.Problems)
		l := wantListing{Title: row.Text("title"), Price: row.Text("price"), URL: row.Text("url")}
		if i < len(w.Listings) {
			if w.Listings[i].Text != "" {
				l.Text = row.Text("text")
			}
			if w.Listings[i].At != "" {
				l.At = row.At.At()
			}
			for field := range w.Listings[i].Also {
				if l.Also == nil {
					l.Also = map[string]string{}
				}
				l.Also[field] = row.Text(field)
				if header, ok := strings.CutPrefix(field, "?"); ok {
					for _, c := range row.Cells {
						if c.Field == "" && c.Header == header {
							l.Also[field] = c.Text
						}
					}
				}
			}
		}
		got.Listings = append(got.Listings, l)
	}
	for _, s := range b.Skipped {
		got.Skipped = append(got.Skipped, s.Reason)
	}
	if w.URL != "" {
		got.URL = b.URL
	}
	if w.Language != "" {
		got.Language = b.Language
	}
	if w.Currency != "" {
		got.Currency = b.Currency
	}
	if w.Date != "" {
		got.Date = b.Date.Format("2006-01-02T15:04:05Z07:00")
	}
	return got
}
