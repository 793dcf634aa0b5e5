package money

import (
	"slices"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// oneWord tells whether two runes side by side belong to one word: letters and
// their marks do, but of scripts that put no spaces between words.
func oneWord(a, b rune) bool {
	return inWord(a) && inWord(b) && !unspaced(a) && !unspaced(b)
}

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsMark(r) }

// unspaced tells a letter of a script that puts no spaces between words.
func unspaced(r rune) bool {
	return r >= 0x0E00 && unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar)
}

// plain gives the text rune by rune in lower case, with every dash, apostrophe
// and space written the common way, so that places in it are places in the
// text.
func plain(text string) []rune {
	rs := []rune(text)
	for i, r := range rs {
		rs[i] = plainRune(r)
	}
	return rs
}

func plainRune(r rune) rune {
	if r >= 0xFF01 && r <= 0xFF5E { // full-width forms
		r -= 0xFEE0
	}
	switch r {
	case '\n', '\r':
		return '\n'
	case '’', '‘', 'ʼ', '´', '`', '′':
		return '\''
	case '‐', '‑', '‒', '–', '—', '−':
		return '-'
	case '٫': // a decimal mark, and none that groups
		return '·'
	case '٬':
		return '\''
	case '٪':
		return '%'
	}
	if r > 0x7f && unicode.IsDigit(r) {
		return '0' + digitValue(r)
	}
	if (r == 0xAD || r >= 0x600) && unicode.Is(unicode.Cf, r) { // marks of direction and the like
		return ' '
	}
	if unicode.IsSpace(r) || r == '\u2060' || r == '\ufeff' {
		return ' '
	}
	return unicode.ToLower(r)
}

// bare gives a plain form without accents, as people in a hurry write it.
func bare(form []rune) []rune {
	if !slices.ContainsFunc(form, func(r rune) bool { return r >= 0xC0 }) {
		return form
	}
	out := slices.Clone(form)
	for i, r := range out {
		switch parts := norm.NFD.PropertiesString(string(r)).Decomposition(); {
		case r == 'ł':
			out[i] = 'l'
		case r >= 0xC0 && r < 0x250 && len(parts) > 0:
			out[i], _ = utf8.DecodeRune(parts) // é is e and a mark
		}
	}
	return out
}

// digitValue gives the value of a decimal digit of any script: Unicode has
// them in runs of ten, from 0 to 9.
func digitValue(r rune) rune {
	for _, run := range unicode.Nd.R16 {
		if rune(run.Lo) <= r && r <= rune(run.Hi) {
			return (r - rune(run.Lo)) % 10
		}
	}
	for _, run := range unicode.Nd.R32 {
		if rune(run.Lo) <= r && r <= rune(run.Hi) {
			return (r - rune(run.Lo)) % 10
		}
	}
	return 0
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }
