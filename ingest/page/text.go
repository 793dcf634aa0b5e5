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
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n\n").Replace(s)
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

// holds says whether one of the phrases occurs in text as whole words, in any
// letter case. An edge of a phrase that is no letter needs no word's edge.
func holds(text string, phrases []string) bool {
	text = strings.ToLower(text)
	for _, p := range phrases {
		if p = strings.ToLower(strings.TrimSpace(p)); p == "" {
			continue
		}
		for at := 0; ; {
			i := strings.Index(text[at:], p)
			if i < 0 {
				break
			}
			i += at
			if edge(text[:i], p, true) && edge(text[i+len(p):], p, false) {
				return true
			}
			at = i + len(p)
		}
	}
	return false
}

// stems says whether a word of six letters or more begins one of the phrases
// of one word, or the other way round, but for two letters at most, however
// umlauts are written: the class "aehnlich" for "ähnliche".
func stems(words string, phrases []string) bool {
	spell := strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss", "ø", "oe", "æ", "ae", "å", "aa")
	for _, w := range strings.Fields(words) {
		for _, p := range phrases {
			p = spell.Replace(strings.ToLower(p))
			short, long := min(len(w), len(p)), max(len(w), len(p))
			if short >= 6 && long-short <= 2 && w[:short] == p[:short] {
				return true
			}
		}
	}
	return false
}

// edge says whether the phrase ends where its neighbour begins.
func edge(neighbour, phrase string, before bool) bool {
	var n, p rune
	if before {
		n, _ = utf8.DecodeLastRuneInString(neighbour)
		p, _ = utf8.DecodeRuneInString(phrase)
	} else {
		n, _ = utf8.DecodeRuneInString(neighbour)
		p, _ = utf8.DecodeLastRuneInString(phrase)
	}
	return !unicode.IsLetter(p) || !unicode.IsLetter(n)
}

// equalsOne says whether the text as a whole is one of the phrases, but for
// letter case and marks around it.
func equalsOne(text string, phrases []string) bool {
	trim := func(s string) string {
		return strings.ToLower(strings.TrimFunc(fold(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }))
	}
	text = trim(text)
	if text == "" {
		return false
	}
	for _, p := range phrases {
		if text == trim(p) {
			return true
		}
	}
	return false
}

// marks gives the words of an element's class names and id, in one line.
func marks(n *html.Node) string {
	s := attr(n, "class") + " " + attr(n, "id")
	if len(s) > 1000 || s == " " {
		return ""
	}
	return strings.Join(wordsOf(s), " ")
}
