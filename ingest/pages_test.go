package ingest

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"askance/ingest/boat"
)

// A widePage is what stands beside a page: how many listings it has, the first
// and the last of them.
type widePage struct {
	Note        string
	Count       int
	First, Last wideListing
}

type wideListing struct {
	Title    string
	Amount   float64
	Currency string // "" where the page names none; of what is free, or has no price, it is not compared
	Listed   string // "" is not compared
}

// TestWidePages reads invented pages of many kinds of site with the words that
// are shipped, from the saved page to its listings. Those named y* are of 105
// pages by writers who had not seen the reader, the smaller ones without their
// styles. At first sight the count was right on 38 of the first 55, 21 of the
// next 30 and 16 of the last 20, each batch read by the reader as mended for
// those before; what they showed has been mended since.
func TestWidePages(t *testing.T) {
	files, _ := filepath.Glob("page/testdata/wide/*ml")
	if len(files) < 25 {
		t.Fatalf("found only %d pages", len(files))
	}
	in := newIntake(builtin(t), Options{})
	var counts, ends score
	for _, file := range files {
		var want widePage
		beside, err := os.ReadFile(strings.TrimSuffix(file, filepath.Ext(file)) + ".json")
		if err == nil {
			err = json.Unmarshal(beside, &want)
		}
		if err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var got []boat.Listing
		in.reading = Reading{Unused: map[string][]boat.UnusedColumn{}}
		f := File{Name: filepath.Base(file), Data: data, Modified: day("2026-05-01")}
		if batch, err := in.rows(f); err == nil {
			in.listings(f, batch)
			got = in.reading.Listings
		} else if want.Count > 0 {
			t.Logf("%s: %v", file, err)
		}
		if !counts.count(len(got) == want.Count) {
			t.Logf("%s: wanted %d listings, found:\n%s", file, want.Count, titles(got))
			continue
		}
		if len(got) > 0 && !ends.count(right(&got[0], want.First) && right(&got[len(got)-1], want.Last)) {
			t.Logf("%s: wanted %+v to %+v, found:\n%s", file, want.First, want.Last, titles(got))
		}
	}
	t.Logf("count right on %s pages, first and last on %s", counts, ends)
	if counts.share() < 0.95 || ends.share() < 0.95 {
		t.Error("wanted the count right on 95 pages in 100, and first and last on 95")
	}
}

func right(l *boat.Listing, want wideListing) bool {
	return l.Title == want.Title && l.Price.Major() == want.Amount && (want.Amount == 0 || l.Price.Currency == want.Currency) &&
		(want.Listed == "" || l.Listed.Known && l.Listed.Value == day(want.Listed))
}

func titles(listings []boat.Listing) string {
	var b strings.Builder
	for _, l := range listings {
		fmt.Fprintf(&b, "\t%q %v %s listed %q %v\n", l.Title, l.Price.Major(), l.Price.Currency, l.Listed.Said, l.Listed.Value.Format("2006-01-02"))
	}
	return b.String()
}
