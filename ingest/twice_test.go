package ingest

import (
	"testing"
)

const boilerplate = "Our boats are checked by our own workshop before they are handed over. Finance and delivery can be arranged. Call us for a viewing, we are open on seven days a week and look forward to hearing from you."

// TestListedTwice reads one boat from two exports, and a dealer's two boats of
// one class that share their words.
func TestListedTwice(t *testing.T) {
	files := []File{
		csv("april.csv", "title,price,year,url,date,text",
			"Zephrin 16 blue,EUR 2900,2004,https://boats.example/ad/7?utm_source=mail,2026-04-01,A family boat",
			"Pluvo 18,EUR 6900,,https://dealer.example/1,2026-04-01,"+`"`+boilerplate+`"`,
			"Pluvo 18,EUR 7400,,https://dealer.example/2,2026-04-01,"+`"`+boilerplate+`"`),
		csv("may.csv", "title,price,year,url,date,text",
			"Zephrin 16 blue - reduced,EUR 2450,2004,https://www.boats.example/ad/7/,2026-05-01,A family boat"),
	}
	m, err := Read(files, builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Listings) != 3 || m.Duplicates != 1 {
		t.Fatalf("wanted 3 boats and 1 duplicate, found %d and %d", len(m.Listings), m.Duplicates)
	}
	for _, l := range m.Listings {
		if l.Year.Value != 2004 {
			continue
		}
		if l.Price.Major() != 2450 || l.Source.At.File != "may.csv" {
			t.Errorf("wanted the newest price, found %v of %s", l.Price.Major(), l.Source.At)
		}
		if len(l.Also) != 1 || l.Also[0].Price.Major() != 2900 || l.Also[0].Source.At.File != "april.csv" || !l.Also[0].Listed.Equal(day("2026-04-01")) {
			t.Errorf("wanted the earlier price with its place and day, found %+v", l.Also)
		}
	}
}
