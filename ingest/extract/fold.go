package extract

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// letters that carry no accent to strip and are still written in two ways.
var twoWays = strings.NewReplacer("ß", "ss", "æ", "a", "ø", "o", "œ", "o", "đ", "d", "ł", "l", "ð", "d")

// fold makes the ways of writing one word equal: letter case, accents, ß as
// ss, and ä, ö, ü, æ, ø, œ as ae, oe, ue, which all become a, o and u.
func fold(s string) string {
	if plain(s) {
		return s
	}
	var room [64]byte
	return string(appendFold(room[:0], s))
}

// appendFold appends the folded form of s.
func appendFold(b []byte, s string) []byte {
	before := byte(0)
	for i, r := range s {
		letters := ""
		if r < mostLatin {
			letters = latin[r]
		} else {
			return appendWithoutDigraphs(b, before, foldLetters(s[i:]))
		}
		b = appendWithoutDigraphs(b, before, letters)
		if letters != "" {
			before = letters[len(letters)-1]
		}
	}
	return b
}

// mostLatin is the end of the letters, and of the accents by themselves, that
// are folded one by one by a table.
const mostLatin = 0x370

// latin holds the folded form of each of them.
var latin = func() (table [mostLatin]string) {
	for r := range table {
		table[r] = foldLetters(string(rune(r)))
	}
	return table
}()

// foldLetters folds everything but the digraphs.
func foldLetters(s string) string {
	return twoWays.Replace(withoutAccents(strings.ToLower(s)))
}

// plain tells that folding would change nothing.
func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 0x80 || 'A' <= c && c <= 'Z' || c == 'e' && i > 0 && (s[i-1] == 'a' || s[i-1] == 'o' || s[i-1] == 'u') {
			return false
		}
	}
	return true
}

func withoutAccents(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
}

// appendWithoutDigraphs appends s without the e of ae, oe and ue; before is
// the letter before it.
func appendWithoutDigraphs(b []byte, before byte, s string) []byte {
	for i := 0; i < len(s); i++ {
		if s[i] != 'e' || before != 'a' && before != 'o' && before != 'u' {
			b = append(b, s[i])
		}
		before = s[i]
	}
	return b
}
