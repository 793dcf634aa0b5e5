package extract

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestNoPhoneIsPassedOver wants no telephone number where the cheap look at a
// text says that there is none.
func TestNoPhoneIsPassedOver(t *testing.T) {
	piece := rapid.SampledFrom([]string{"0", "00", "(0", "+", "1", "49", "171", "234", " ", "\u00a0", "-", "/", ".", "(", ")", "x", "_", "ä", "€", "\xa0"})
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(piece, 0, 30).Draw(t, "pieces"), "")
		if got := replacePhones(text); !mayHoldPhone(text) && got != text {
			t.Fatalf("%q holds a number: %q", text, got)
		}
	})
}
