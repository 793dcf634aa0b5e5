package extract

import (
	"testing"
	"time"
)

// FuzzDate reads a date from any text: it never fails, and never gives a day
// out of bounds or, where the text has no year, one after the file's.
func FuzzDate(f *testing.F) {
	for _, s := range []string{"2026-04-12", "12.04.2026", "4/12/26", "12 April 2026", "April 12, 2026", "12. Apr.", "today 08:30", "vor 3 Tagen", "il y a 2 semaines", "for 999999999999 dager siden", "99.99.9999", "\xff12\x00"} {
		f.Add(s, true)
	}
	r, _ := builtin(f)
	w := r.dates
	asOf := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text string, monthFirst bool) {
		day, ok := w.date(text, asOf, monthFirst)
		if !ok {
			return
		}
		if day.Year() < 1900 || day.Year() > 2200 {
			t.Errorf("%q: %v", text, day)
		}
		if h, m, s := day.Clock(); h+m+s != 0 {
			t.Errorf("%q: a time of day: %v", text, day)
		}
		if again, _ := w.date(text, asOf, monthFirst); !again.Equal(day) {
			t.Errorf("%q: %v, then %v", text, day, again)
		}
	})
}
