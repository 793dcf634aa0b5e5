package money

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// group writes digits in groups of three.
func group(whole int, mark string) string {
	digits := strconv.Itoa(whole)
	var parts []string
	for len(digits) > 3 {
		parts = append([]string{digits[len(digits)-3:]}, parts...)
		digits = digits[:len(digits)-3]
	}
	return strings.Join(append([]string{digits}, parts...), mark)
}

// An amount written in any of the usual ways is read back, whatever stands
// around it.
func TestParseReadsWhatWasWritten(t *testing.T) {
	w := testWords(t)
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.IntRange(100, 9_999_999).Draw(t, "whole")
		if _, joke := w.placeholders[float64(whole)]; joke {
			whole++
		}
		cents := 0
		style := rapid.SampledFrom([][2]string{{".", ","}, {",", "."}, {" ", ","}, {" ", "."}, {"'", "."}, {"\u202f", ","}, {"", ","}, {"", "."}}).Draw(t, "marks")
		number := group(whole, style[0])
		switch rapid.SampledFrom([]string{"none", "cents", "dash"}).Draw(t, "end") {
		case "cents":
			cents = rapid.IntRange(0, 99).Draw(t, "cents")
			number += fmt.Sprintf("%s%02d", style[1], cents)
		case "dash":
			number += style[1] + "-"
		}
		sign := rapid.SampledFrom([][2]string{{"€", "EUR"}, {"EUR", "EUR"}, {"£", "GBP"}, {"CHF", "CHF"}, {"zł", "PLN"}}).Draw(t, "currency")
		space := rapid.SampledFrom([]string{"", " ", "\u00a0"}).Draw(t, "space")
		text := sign[0] + space + number
		if rapid.Bool().Draw(t, "sign last") {
			text = number + space + sign[0]
		}
		text = fmt.Sprintf(rapid.SampledFrom([]string{"%s", "VB %s", "%s ono", "(%s)", "now %s, was 8.111", "%s, built 1998", "NP 9.999, %s"}).Draw(t, "around"), text)
		got := Parse(text, w, Hint{Currency: "SEK"})
		if want := (Amount{int64(whole)*100 + int64(cents), sign[1]}); !got.Known || got.Amount != want || !got.Told {
			t.Fatalf("%q: wanted %v, found %+v", text, want, got)
		}
	})
}

// Habit finds the mark of decimals in a file's own prices.
func TestHabitFindsTheMark(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		style := rapid.SampledFrom([][2]string{{".", ","}, {",", "."}}).Draw(t, "marks")
		var texts []string
		for _, whole := range rapid.SliceOfN(rapid.IntRange(1000, 999_999), 1, 20).Draw(t, "prices") {
			text := group(whole, style[0])
			if rapid.Bool().Draw(t, "cents") {
				text += style[1] + "50"
			}
			texts = append(texts, "€ "+text)
		}
		if got := Habit(texts); string(got.Decimal) != style[1] {
			t.Fatalf("%q: wanted %s, found %c", texts, style[1], got.Decimal)
		}
	})
}
