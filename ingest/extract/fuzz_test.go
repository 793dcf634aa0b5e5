package extract

import (
	"strings"
	"testing"

	"askance/ingest/record"
)

// FuzzListing reads whatever strangers may write: it must not fail, and each
// finding's quote must stand in the words to the letter.
func FuzzListing(f *testing.F) {
	for _, a := range readAds(f, "bugs") {
		f.Add(a.row.Text("title"), a.row.Text("text"), "")
	}
	f.Add("x", "no trailer (: , - [ ) ] and or 12/1998 '98 7 800 \u20ac ,-", "1\u00a0200,-")
	f.Add("\xff", "sails:\n\n- \n\r\n: not", "\xfe")
	r, _ := builtin(f)
	f.Fuzz(func(t *testing.T, title, text, price string) {
		l := r.Listing(rowOf("title", title, "text", text, "price", price), record.Batch{}, Options{AsOf: adsAsOf})
		for _, found := range l.Findings {
			if found.Quote == "" || !strings.Contains(l.Title, found.Quote) && !strings.Contains(l.Text, found.Quote) {
				t.Errorf("the quote %q stands neither in %q nor in %q", found.Quote, l.Title, l.Text)
			}
		}
		if l.Year.Known && (l.Year.Value < oldest || l.Year.Value > adsAsOf.Year()+1) && l.Year.From == "text" {
			t.Errorf("year %d", l.Year.Value)
		}
		if Mask(l.Text) != l.Text {
			t.Errorf("masking twice changes %q", l.Text)
		}
	})
}
