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
	s = strings.ToLower(s)
	for i := 0; i < len(s); i++ {
		if s[i] >= 0x80 {
			s = twoWays.Replace(withoutAccents(s))
			break
		}
	}
	return withoutDigraphs(s)
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

func withoutDigraphs(s string) string {
	var b []byte
	for i := 0; i < len(s); i++ {
		if s[i] == 'e' && i > 0 && (s[i-1] == 'a' || s[i-1] == 'o' || s[i-1] == 'u') {
			if b == nil {
				b = append(b, s[:i]...)
			}
			continue
		}
		if b != nil {
			b = append(b, s[i])
		}
	}
	if b == nil {
		return s
	}
	return string(b)
}
