package extract

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
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
