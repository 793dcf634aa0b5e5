package extract

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// A token is a word, a number or a mark of punctuation of a text.
type token struct {
	kind       tokenKind
	glued      bool   // no white space before it
	upper      bool   // begins with a capital
	known      int32  // what the matcher knows it as, once asked; see matcher.look
	fold       string // folded word, digits as written, or the mark
	start, end int    // byte offsets
	accented   string // a short word with an accent, in lower case
}

type tokenKind uint8

const (
	word tokenKind = iota
	number
	mark
	newline // fold is "\n", or "\n\n" for a blank line
)

// lex cuts a text into tokens. Dots, hyphens and apostrophes inside words
// part them without a mark: "o.n.o." and "glass-fibre" are words in a row.
func lex(text string) []token { return appendTokens(make([]token, 0, len(text)/4+4), text) }

// appendTokens appends the tokens of a text.
func appendTokens(tokens []token, text string) []token {
	glued := false
	for i := 0; i < len(text); {
		r, size := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(text[i:])
		}
		start := i
		switch {
		case r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029':
			lines := 0
			for i < len(text) {
				r, size = utf8.DecodeRuneInString(text[i:])
				if !unicode.IsSpace(r) {
					break
				}
				if r == '\n' || r == '\u2028' || r == '\u2029' || r == '\r' && !strings.HasPrefix(text[i+1:], "\n") {
					lines++
				}
				i += size
			}
			tokens = append(tokens, token{kind: newline, fold: "\n\n"[:min(lines, 2)], start: start, end: i})
			glued = false
			continue
		case unicode.IsSpace(r):
			i += size
			glued = false
			continue
		case '0' <= r && r <= '9': // numberEnd knows no other digits
			i = numberEnd(text, i)
			tokens = append(tokens, token{kind: number, fold: text[start:i], start: start, end: i, glued: glued})
		case unicode.IsLetter(r):
			i = wordEnd(text, i)
			t := token{kind: word, fold: fold(text[start:i]), start: start, end: i, glued: glued, upper: unicode.IsUpper(r)}
			if len(t.fold) <= shortWord && i-start > len(t.fold) {
				t.accented = norm.NFC.String(strings.ToLower(text[start:i]))
			}
			tokens = append(tokens, t)
		default:
			i += size
			if glued && strings.ContainsRune(".-'’‑‐´`", r) && i < len(text) {
				if next, _ := utf8.DecodeRuneInString(text[i:]); (unicode.IsLetter(next) || unicode.IsDigit(next)) && !newSentence(tokens, text, i, r, next) {
					continue // inside a word
				}
			}
			tokens = append(tokens, token{kind: mark, fold: text[start:i], start: start, end: i, glued: glued})
		}
		glued = true
	}
	return tokens
}

// shortWord is the number of letters up to which words that differ by an
// accent alone are mostly different words: "är" and "år".
const shortWord = 3

// newSentence tells that a dot without a space after it still ends a
// sentence: "gut.Trampolin".
func newSentence(tokens []token, text string, at int, dot, next rune) bool {
	if dot != '.' || !unicode.IsUpper(next) || len(tokens) == 0 {
		return false
	}
	last := tokens[len(tokens)-1]
	return last.kind == word && last.end-last.start >= 3 && wordEnd(text, at)-at >= 3
}

func wordEnd(text string, i int) int {
	for i < len(text) {
		c := text[i]
		switch {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z':
			i++
			continue
		case c < utf8.RuneSelf:
			return i
		}
		r, size := utf8.DecodeRuneInString(text[i:])
		if !unicode.IsLetter(r) && !unicode.Is(unicode.Mn, r) {
			break
		}
		i += size
	}
	return i
}

// numberEnd takes digits and the separators between them: "3.450", "5,05".
func numberEnd(text string, i int) int {
	for i < len(text) {
		c := text[i]
		if c >= '0' && c <= '9' {
			i++
			continue
		}
		if (c == '.' || c == ',' || c == '\'') && i+1 < len(text) && text[i+1] >= '0' && text[i+1] <= '9' {
			i++
			continue
		}
		break
	}
	return i
}

// whole gives the value of a token of plain digits, -1 otherwise.
func (t token) whole() int {
	if t.kind != number || len(t.fold) > 6 {
		return -1
	}
	n, err := strconv.Atoi(t.fold)
	if err != nil {
		return -1
	}
	return n
}

// decimal gives the value of "5.05", "5,05" or "16".
func (t token) decimal() (float64, bool) {
	if t.kind != number {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(t.fold, ",", ".", 1), 64)
	return v, err == nil
}
