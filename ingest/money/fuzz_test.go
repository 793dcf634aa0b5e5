package money

import "testing"

func FuzzParse(f *testing.F) {
	for _, row := range readTable(f, "testdata/seen.csv") {
		f.Add(row[0], row[4])
	}
	f.Add("\xff3\xfe450 €", "cur=EUR")
	w := testWords(f)
	f.Fuzz(func(t *testing.T, text, h string) {
		for _, got := range []Reading{Parse(text, w, hint(h)), InText(text, w, hint(h))} {
			if got.Known && (got.Minor < 0 || got.Major() > mostTold) {
				t.Errorf("%q: an amount out of bounds: %+v", text, got)
			}
			if got.Start < 0 || got.End < got.Start || got.End > len(text) || text[got.Start:got.End] != got.Quote {
				t.Errorf("%q: quote from %d to %d", text, got.Start, got.End)
			}
			if got.Ambiguous && got.Reason == "" {
				t.Errorf("%q: ambiguous without a reason: %+v", text, got)
			}
		}
	})
}
