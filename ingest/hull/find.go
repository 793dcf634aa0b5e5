package hull

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Match is a number found in running text: text[Start:End] is what stands
// there.
type Match struct {
	Number     Number
	Start, End int // byte offsets
}

// separators are the characters that people write between the parts.
const separators = " \t\u00a0\u2007\u2009\u202f-\u2010\u2011\u2012\u2013\u2014\u2212/._"

func isSeparator(r rune) bool {
	return strings.ContainsRune(separators, r) || unicode.IsSpace(r)
}

// shape is a number as it may stand in a sentence: its parts whole, with at
// most one space or hyphen between two of them.
var shape = regexp.MustCompile(`(?i)^(?:([a-z]{2})([-‐‑–]?))?([a-z0-9]{3})([ \x{a0}‐‑–-]?)([a-z0-9]{5})([ \x{a0}‐‑–-]?)` +
	`(?:([a-l])([ \x{a0}‐‑–-]?)([0-9])([ \x{a0}‐‑–-]?)([0-9]{2})|(m)([ \x{a0}‐‑–-]?)([0-9]{2})([ \x{a0}‐‑–-]?)([a-l])|([01][0-9])([ \x{a0}‐‑–-]?)([0-9]{2}))`)

// Find finds valid numbers in running text, in order, without overlaps. It
// would rather miss one than take a telephone number, a price or a word for
// one: see plausible. Addresses of the web and of mail are passed over.
func Find(text string) []Match {
	var found []Match
	chunk := 0 // the end of the stretch without spaces that was looked at last
	for i := 0; i < len(text); {
		if !mayStart(text[i]) {
			i++
			continue
		}
		r, size := utf8.DecodeRuneInString(text[i:])
		if !startsWord(text, i, r) {
			i += size
			continue
		}
		if i >= chunk {
			address := false
			if chunk, address = chunkEnd(text, i); address {
				i = chunk
				continue
			}
		}
		if m, ok := matchAt(text, i); ok {
			found = append(found, m)
			i = m.End
			continue
		}
		i += size + signs(text[i+size:])
	}
	return found
}

// mayStart tells of a byte whether a character that begins with it may be a
// letter or a digit.
func mayStart(c byte) bool { return isSign(c) || c >= utf8.RuneSelf }

func isSign(c byte) bool {
	return '0' <= c && c <= '9' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
}

// signs counts the letters A to Z and digits that a text begins with.
func signs(text string) int {
	n := 0
	for n < len(text) && isSign(text[n]) {
		n++
	}
	return n
}

func startsWord(text string, i int, r rune) bool {
	if !isLetter(unicode.ToUpper(r)) && !isDigit(r) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(text[:i])
	return i == 0 || !isWord(before) && before != '/' && before != '='
}

func isWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' }

// chunkEnd gives the end of the stretch without spaces at i, and tells whether
// it is a web or mail address.
func chunkEnd(text string, i int) (end int, address bool) {
	const longest = 2000
	chunk := text[i:min(len(text), i+longest)]
	address = len(chunk) >= 4 && strings.EqualFold(chunk[:4], "www.")
	for at := 0; at < len(chunk); {
		c := chunk[at]
		switch {
		case c == '@', c == ':' && strings.HasPrefix(chunk[at:], "://"):
			address = true
		case c < utf8.RuneSelf:
			if unicode.IsSpace(rune(c)) {
				return i + at, address
			}
		default:
			r, size := utf8.DecodeRuneInString(chunk[at:])
			if unicode.IsSpace(r) {
				return i + at, address
			}
			at += size - 1
		}
		at++
	}
	return i + len(chunk), address
}

// hopeful tells cheaply that a number may begin here, by the lengths of the
// stretches of letters and digits into which its parts may run together, and
// by the digit in its serial.
func hopeful(text string) bool {
	n := signs(text)
	switch {
	case n >= 8:
		return hasDigit(text[3:n])
	case n == 3, n == 5: // the maker, or country and maker; what follows is the serial
		_, size := utf8.DecodeRuneInString(text[n:])
		rest := text[n+size:]
		return signs(rest) >= 5 && hasDigit(rest[:5])
	}
	return n == 2 && len(text) > 2 && (text[2] == '-' || text[2] >= utf8.RuneSelf) // the country and its hyphen
}

func hasDigit(text string) bool { return strings.ContainsAny(text, "0123456789") }

// matchAt tries the text at i, first with a country, then without.
func matchAt(text string, i int) (Match, bool) {
	stretch := text[i:min(len(text), i+64)]
	if !hopeful(stretch) {
		return Match{}, false
	}
	parts := shape.FindStringSubmatchIndex(stretch)
	if parts == nil {
		return Match{}, false
	}
	end := i + parts[1]
	if !endsWord(text, end) {
		return Match{}, false
	}
	m := Match{Number: Decode(text[i:end]), Start: i, End: end}
	return m, plausible(m.Number, stretch[:parts[1]])
}

func endsWord(text string, end int) bool {
	after, size := utf8.DecodeRuneInString(text[end:])
	if end == len(text) {
		return true
	}
	if isWord(after) || after == '/' || after == '@' {
		return false
	}
	next, _ := utf8.DecodeRuneInString(text[end+size:])
	return !(strings.ContainsRune("-\u2010\u2011\u2012\u2013", after) && isWord(next))
}

// plausible tells whether a valid number is one beyond reasonable doubt, as it
// is written: its serial has a digit; where no country goes before, the year
// of production fits the model year; parts set off by spaces need capitals;
// and three letters before nine digits need capitals and no spaces at all.
func plausible(n Number, written string) bool {
	if !n.Valid || strings.IndexFunc(n.Serial, isDigit) < 0 {
		return false
	}
	spaced := strings.ContainsAny(written, " \u00a0")
	capitals := written == strings.ToUpper(written)
	if spaced && !capitals {
		return false
	}
	if n.Format == StraightYear {
		return capitals && !spaced
	}
	return n.Country != "" || n.Year > 0
}
