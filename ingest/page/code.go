package page

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"

	"askance/ingest/money"
)

// isCode says whether an element shows what programs read or write, in which
// no number is money: code, or text kept in its lines that is parted into
// elements or is full of the signs of code.
func isCode(n *html.Node) bool {
	switch n.Data {
	case "code", "kbd", "samp", "tt", "var":
		return true
	case "pre":
	default:
		return false
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.ElementNode && c.Data != "a" && c.Data != "b" && c.Data != "i" && c.Data != "br" {
			return true
		}
	}
	text := textOf(nil, n)
	signs := 0
	for _, r := range text {
		signs += btoi(strings.ContainsRune("{}[]<>=$\\;_|#", r))
	}
	return 30*signs > len(text)
}

// moneyIn is what Options.Price finds in a text, without what only looks like
// an amount: a part of a name, "x512e", "A-2021-4", or the number of a
// chapter, "2.3. Euro". It looks behind such a part.
func moneyIn(text string, find func(string) (money.Amount, string, bool)) (money.Amount, string, bool) {
	rest := text
	for range 3 {
		amount, quote, ok := find(rest)
		at := strings.Index(rest, quote)
		if !ok || quote == "" || at < 0 {
			return amount, quote, ok
		}
		before, after := rest[:at], rest[at+len(quote):]
		if !inName(before, quote, after) && !isNumbering(before, quote) && !(amount.Currency == "" && amount.Minor%100 != 0 && fractional(quote)) {
			return amount, quote, true
		}
		if rest = after; yearBefore.MatchString(quote) {
			_, rest, _ = strings.Cut(text[strings.Index(text, quote):], ". ")
		}
	}
	return money.Amount{}, "", false
}

var (
	chapter    = regexp.MustCompile(`^\d{1,2}(?:\.\d{1,2})*\. \p{L}`)
	yearBefore = regexp.MustCompile(`^(?:19|20)\d{2}\. \p{L}`) // the end of one sentence and the sign in the next
	fraction   = regexp.MustCompile(`\d[.,]\d{4,}`)
	tenths     = regexp.MustCompile(`\d[.,]\d(?:\D|$)`)
	called     = regexp.MustCompile(`\p{L}\(\d`)
	padded     = regexp.MustCompile(`(?:^|\D)0\d+\p{L}`)
)

// isNumbering says whether a quote is the number of a chapter and the first
// letters of its name, or a number as no price is written.
func isNumbering(before, quote string) bool {
	return strings.Contains(quote, ". ") && (letters(before) == 0 && chapter.MatchString(quote) || yearBefore.MatchString(quote)) ||
		len(quote) > 5 && strings.ContainsAny(quote, ".,") && fraction.MatchString(quote) ||
		strings.Contains(quote, "(") && called.MatchString(quote) ||
		strings.Contains(quote, "0") && letters(quote) > 0 && padded.MatchString(quote)
}

// fractional says whether a quote has one decimal.
func fractional(quote string) bool { return tenths.MatchString(quote) }

// inName says whether a quote stands inside a longer word.
func inName(before, quote, after string) bool {
	first, _ := utf8.DecodeRuneInString(quote)
	last, _ := utf8.DecodeLastRuneInString(quote)
	prev, n := utf8.DecodeLastRuneInString(before)
	prior, _ := utf8.DecodeLastRuneInString(before[:len(before)-n])
	next, n := utf8.DecodeRuneInString(after)
	later, _ := utf8.DecodeRuneInString(after[n:])
	bare := letters(quote) == 0 && digits(quote) > 0 && isWord(first) && isWord(last)
	switch {
	case isWord(first) && (isWord(prev) || prev == '_' || prev == '\\' || prev == '%' || prev == '$'):
		return true
	case bare && prev == '-' && unicode.IsLetter(prior):
		return true
	case (prev == '.' || prev == '-') && isWord(prior) && unicode.IsLetter(first):
		return true
	case isWord(last) && (isWord(next) || next == '_'), last == '$' && (isWord(next) || strings.ContainsRune("_{[(", next)), last == '-' && unicode.IsDigit(next):
		return true
	case unicode.IsLetter(last) && !inWord(quote) && strings.ContainsRune("-+:", next) && isWord(later):
		return true // one letter taken for a currency
	}
	return false
}

// inWord says whether the last letter of a quote has another beside it.
func inWord(quote string) bool {
	_, n := utf8.DecodeLastRuneInString(quote)
	r, _ := utf8.DecodeLastRuneInString(quote[:len(quote)-n])
	return unicode.IsLetter(r)
}

func isWord(r rune) bool { return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r)) }
