package page

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// plain takes the markup out of a text that may hold some. White space is
// folded, lines are kept.
func plain(s string) string {
	if !strings.ContainsAny(s, "<&") {
		return foldLines(s)
	}
	s = clip(s, 1<<20)
	n, err := html.Parse(strings.NewReader("<body>" + s))
	if err != nil || !strings.Contains(s, "<") {
		return foldLines(html.UnescapeString(s))
	}
	return linesOf(nil, n)
}

// foldLines folds white space inside lines, and several empty lines into one.
func foldLines(s string) string {
	if strings.ContainsAny(s, "\r\u2028\u2029") {
		s = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n\n").Replace(s)
	}
	var b strings.Builder
	for _, line := range strings.Split(s, "\n") {
		line = fold(line)
		if line != "" || b.Len() > 0 && !strings.HasSuffix(b.String()[max(0, b.Len()-2):], "\n\n") {
			b.WriteString(line + "\n")
		}
	}
	return strings.TrimRight(b.String(), "\n")
}

// clip cuts a text to at most n bytes at a character.
func clip(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n]
}

// letters counts the letters of a text.
func letters(s string) int {
	n := 0
	for _, c := range s {
		if unicode.IsLetter(c) {
			n++
		}
	}
	return n
}
