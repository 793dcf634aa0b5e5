package extract

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"askance/ingest/knowhow"
)

// dateWords are the words about days.
type dateWords struct {
	months   map[string]time.Month
	relative []dayWords // days ago
	ago      []dayWords // words with # for a number, and the days of each
}

// dayWords are folded words with a space before and behind, and what they
// stand for.
type dayWords struct {
	words string
	days  int
}

func newDateWords(book *knowhow.Book) dateWords {
	w := dateWords{months: map[string]time.Month{}}
	relative, ago := map[string]int{}, map[string]int{}
	for _, p := range book.Phrases("month", "relative_day", "ago") {
		n, err := strconv.Atoi(p.For)
		if err != nil {
			continue
		}
		switch p.Kind {
		case "month":
			w.months[fold(p.Phrase)] = time.Month(n)
		case "relative_day":
			relative[wordsKey(lex(p.Phrase))] = n
		case "ago":
			ago[wordsKey(lex(p.Phrase))] = n
		}
	}
	w.relative, w.ago = longestFirst(relative), longestFirst(ago)
	return w
}

// longestFirst lists words, those of one length in the order of letters.
func longestFirst(byWords map[string]int) []dayWords {
	out := make([]dayWords, 0, len(byWords))
	for words, days := range byWords {
		out = append(out, dayWords{" " + words + " ", days})
	}
	slices.SortFunc(out, func(a, b dayWords) int {
		return cmp.Or(cmp.Compare(len(b.words), len(a.words)), cmp.Compare(a.words, b.words))
	})
	return out
}

// wordsKey joins the words of a phrase, numbers as #.
func wordsKey(tokens []token) string {
	var words []string
	for _, t := range tokens {
		switch {
		case t.kind == word:
			words = append(words, t.fold)
		case t.kind == number || t.fold == "#":
			words = append(words, "#")
		}
	}
	return strings.Join(words, " ")
}

// date reads a day in the common notations: 2026-04-12, 12.04.2026, 12/4/26,
// "12 April 2026", "April 12, 2026", "12. Apr.", "today", "3 days ago". What
// is relative counts from asOf, and a day without a year is the last such day
// before asOf. Of two numbers that could both be a month the first is the
// day, unless monthFirst.
func (w dateWords) date(text string, asOf time.Time, monthFirst bool) (time.Time, bool) {
	tokens := lex(strings.TrimSpace(text))
	if day, ok := w.relativeDay(tokens, asOf); ok {
		return day, true
	}
	var numbers []int
	month, monthAt := time.Month(0), -1
	for _, t := range tokens {
		if t.kind == word {
			if m, ok := w.months[t.fold]; ok && month == 0 {
				month, monthAt = m, len(numbers)
			}
			continue
		}
		if t.kind != number {
			continue
		}
		for part := range strings.FieldsFuncSeq(t.fold, func(r rune) bool { return r < '0' || r > '9' }) {
			if n, err := strconv.Atoi(part); err == nil && len(part) <= 4 {
				numbers = append(numbers, n)
			}
		}
	}
	if month > 0 {
		return namedMonth(numbers, month, monthAt, asOf)
	}
	if len(numbers) < 2 {
		return time.Time{}, false
	}
	if numbers[0] > 31 && len(numbers) >= 3 {
		return day(numbers[0], numbers[1], numbers[2])
	}
	d, m := numbers[0], numbers[1]
	if m > 12 || monthFirst && d <= 12 {
		d, m = m, d
	}
	if len(numbers) >= 3 && (numbers[2] >= 1000 || !strings.Contains(text, ":")) {
		return day(century(numbers[2], asOf), m, d)
	}
	return lastSuch(d, m, asOf)
}

// relativeDay reads "today", "yesterday, 18:20", "3 days ago".
func (w dateWords) relativeDay(tokens []token, asOf time.Time) (time.Time, bool) {
	if asOf.IsZero() {
		return asOf, false
	}
	key := " " + wordsKey(tokens) + " "
	for _, r := range w.relative {
		if strings.HasPrefix(key, r.words) {
			return daysBefore(asOf, r.days)
		}
	}
	for _, a := range w.ago {
		if !strings.Contains(key, a.words) {
			continue
		}
		n := 1
		for _, t := range tokens {
			if v := t.whole(); v > 0 {
				n = v
				break
			}
		}
		if n > maxDaysAgo {
			return time.Time{}, false
		}
		return daysBefore(asOf, n*a.days)
	}
	return time.Time{}, false
}

// maxDaysAgo keeps a count that nobody means ("70000 days ago") from any
// reckoning.
const maxDaysAgo = 36_600

// daysBefore gives the day so many days before asOf, false if it lies out of
// the bounds of day.
func daysBefore(asOf time.Time, days int) (time.Time, bool) {
	t := asOf.AddDate(0, 0, -days)
	return day(t.Year(), int(t.Month()), t.Day())
}

func namedMonth(numbers []int, month time.Month, at int, asOf time.Time) (time.Time, bool) {
	year, d := 0, 0
	for i, n := range numbers {
		switch {
		case n >= 1900 && year == 0:
			year = n
		case n >= 1 && n <= 31 && d == 0:
			d = n
		case year == 0 && n < 100 && i >= at:
			year = century(n, asOf)
		}
	}
	switch {
	case d == 0 && year == 0:
		return time.Time{}, false
	case d == 0:
		return day(year, int(month), 1)
	case year == 0:
		return lastSuch(d, int(month), asOf)
	}
	return day(year, int(month), d)
}

// century widens a year of two digits to the nearest that is not far ahead.
func century(y int, asOf time.Time) int {
	if y >= 100 {
		return y
	}
	y += 2000
	if !asOf.IsZero() && y > asOf.Year()+1 {
		y -= 100
	}
	return y
}

// lastSuch gives the last day with that day and month not after asOf.
func lastSuch(d, m int, asOf time.Time) (time.Time, bool) {
	if asOf.IsZero() {
		return asOf, false
	}
	t, ok := day(asOf.Year(), m, d)
	if ok && t.After(asOf) {
		return day(asOf.Year()-1, m, d)
	}
	return t, ok
}

// day makes a date, false if there is no such day.
func day(year, month, d int) (time.Time, bool) {
	if year < 1970 || year > 2200 || month < 1 || month > 12 || d < 1 || d > 31 {
		return time.Time{}, false
	}
	t := time.Date(year, time.Month(month), d, 0, 0, 0, 0, time.UTC)
	return t, t.Day() == d
}
