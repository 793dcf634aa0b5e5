package extract

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"askance/ingest/record"
)

// TestFoldLetterByLetter wants from the table what folding the whole word by
// the rules gives.
func TestFoldLetterByLetter(t *testing.T) {
	digraphs := strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")
	rapid.Check(t, func(t *rapid.T) {
		letter := rapid.OneOf(rapid.SampledFrom([]rune("aeouAEOUäöüßæøœéÅİſxẞ日ﬁά\u0301\u0345")), rapid.Rune())
		s := string(rapid.SliceOf(letter).Draw(t, "letters"))
		if got, want := fold(s), digraphs.Replace(foldLetters(s)); got != want {
			t.Fatalf("%q: %q, want %q", s, got, want)
		}
	})
}

// TestDoubledA reads Danish written without its own letters.
func TestDoubledA(t *testing.T) {
	r, _ := builtin(t)
	l := r.Listing(rowOf("title", "Skerrik 16 saelges", "text", "Aargang 2011. Trampolinen er raadden, sejlene har mange timer paa bagen."), record.Batch{}, Options{AsOf: adsAsOf})
	got := told(l)
	for key, want := range map[string]string{"year": "2011", "trampoline": "replace", "sails": "worn"} {
		if got[key] != want {
			t.Errorf("%s: %q, want %q", key, got[key], want)
		}
	}
}
