package ingest

import (
	"slices"
	"strings"
	"unicode"
)

// A dayPhrase is the words of a relative date: "vor # tagen", a # for a number.
type dayPhrase struct {
	words []string
	alone bool // nothing but a time of day may follow, and nothing stand before
}

// dayPhrases sorts the knowhow's words for relative dates and the names of
// months, each by its first word.
func (v *vocabulary) dayPhrases() map[string][]dayPhrase {
	byFirst := map[string][]dayPhrase{}
	for _, kind := range []string{"relative_day", "ago"} {
		for _, p := range v.book.Phrases(kind) {
			words := dayWords(p.Phrase)
			if len(words) > 0 {
				byFirst[dayKey(words)] = append(byFirst[dayKey(words)], dayPhrase{words, kind == "relative_day"})
			}
		}
	}
	for _, p := range v.book.Phrases("month") {
		for _, words := range [][]string{dayWords("# " + p.Phrase), dayWords("# de " + p.Phrase)} {
			byFirst[dayKey(words)] = append(byFirst[dayKey(words)], dayPhrase{words, true})
		}
	}
	for first, list := range byFirst {
		slices.SortStableFunc(list, func(a, b dayPhrase) int { return len(b.words) - len(a.words) })
		byFirst[first] = list
	}
	return byFirst
}

// dayKey is the first word, with the next where it is a number.
func dayKey(words []string) string {
	if words[0] == "#" && len(words) > 1 {
		return "# " + words[1]
	}
	return words[0]
}

// dayWords folds a text to its words; a number is a #.
func dayWords(s string) []string {
	var words []string
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r != '#' && r != '\'' && !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}) {
		if strings.Trim(w, "0123456789") == "" {
			w = "#"
		}
		words = append(words, w)
	}
	return words
}

const (
	longestDay = 60 // bytes of a text that is a date
	besideDay  = 3  // words that may stand before "3 days ago"
	afterDay   = 4  // words and numbers of a time of day or a year behind it
)

// dateIn gives the date in the words of a short text of a page: "vor 3 Tagen",
// "Heute, 08:30", "12 april 2026", or what follows a mark: "Kiel · gestern".
func (in *intake) dateIn(text string) (quote string, ok bool) {
	if len(text) > longestDay || strings.TrimSpace(text) == "" {
		return "", false
	}
	for _, piece := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("·|•–—", r) }) {
		for part := range strings.SplitSeq(piece, " - ") {
			if in.isDay(dayWords(part)) {
				return strings.TrimSpace(part), true
			}
		}
	}
	return "", false
}

// isDay says whether words are a date and little else.
func (in *intake) isDay(words []string) bool {
	for i := range words {
		if i > besideDay {
			return false
		}
		for _, p := range in.days[dayKey(words[i:])] {
			rest := words[i:]
			if len(rest) < len(p.words) || !slices.Equal(rest[:len(p.words)], p.words) {
				continue
			}
			rest = rest[len(p.words):]
			if p.alone && (i > 0 || !isTime(rest)) || len(rest) > afterDay {
				continue
			}
			return true
		}
	}
	return false
}

// isTime says whether words are no more than a time of day or a year: numbers
// and short words between.
func isTime(words []string) bool {
	for _, w := range words {
		if w != "#" && len(w) > 3 {
			return false
		}
	}
	return len(words) == 0 || len(words) <= afterDay && slices.Contains(words, "#")
}
