package sheet

import (
	"net/url"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Limits of the file format (ECMA-376; the figures are those that the
// common spreadsheet programs publish).
const (
	maxText    = 32767 // UTF-16 units of a cell
	maxName    = 31    // characters of a sheet's name
	maxAddress = 2079  // characters of a link
	maxHeight  = 409   // points of a row
)

// cellText makes a text fit for a cell: no control characters but tab and
// line feed, valid UTF-8, no more than the format can hold.
func cellText(s string) string {
	s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case r == 0xFFFE, r == 0xFFFF: // no characters, so no XML can hold them
			return utf8.RuneError
		case unicode.IsControl(r):
			return ' '
		}
		return r
	}, s)
	units := 0
	for i, r := range s {
		n := max(utf16.RuneLen(r), 1)
		if units+n > maxText-1 && len(utf16.Encode([]rune(s[i:])))+units > maxText {
			return s[:i] + "…"
		}
		units += n
	}
	return s
}

// startsLikeFormula tells whether a spreadsheet could take a text for a
// formula if it were typed in.
func startsLikeFormula(s string) bool {
	s = strings.TrimLeft(s, " \t\n")
	return s != "" && strings.ContainsRune("=+-@", rune(s[0]))
}

// webAddress tells whether an address is one of http or https that a cell can
// carry.
func webAddress(s string) bool {
	if len(s) > maxAddress || strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) || unicode.IsSpace(r) || r == utf8.RuneError }) {
		return false
	}
	u, err := url.Parse(s)
	return err == nil && (u.Scheme == "http" || u.Scheme == "https") && u.Host != ""
}

// fold makes sheet names comparable.
func fold(name string) string { return strings.ToLower(name) }

// validName makes a name that a sheet can have and that is not taken.
func validName(name string, taken map[string]bool) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) || unicode.IsControl(r) || r == utf8.RuneError {
			return ' '
		}
		if r == '\'' {
			return '’'
		}
		return r
	}, name)
	name = strings.Join(strings.Fields(name), " ")
	if name == "" || fold(name) == "history" { // the second is kept by the format for itself
		name = strings.TrimSpace("Sheet " + name)
	}
	name = cutUnits(name, maxName)
	base := name
	for n := 2; taken[fold(name)]; n++ {
		suffix := " (" + itoa(n) + ")"
		name = cutUnits(base, maxName-len(suffix)) + suffix
	}
	return name
}

// cutUnits cuts a text to so many UTF-16 units.
func cutUnits(s string, n int) string {
	units := 0
	for i, r := range s {
		if units += max(utf16.RuneLen(r), 1); units > n {
			return strings.TrimSpace(s[:i])
		}
	}
	return s
}

// quoted gives a sheet's name as it stands in a reference.
func quoted(name string) string { return "'" + strings.ReplaceAll(name, "'", "''") + "'" }

// lettersPerWidth is how many letters of ordinary text fit where one digit
// fits: widths count in digits, which are wider than most letters.
const lettersPerWidth = 1.1

// linesOf counts the lines that a text takes in so many characters.
func linesOf(s string, width float64) int {
	room := max(int(width*lettersPerWidth), 4)
	lines := 0
	for para := range strings.SplitSeq(s, "\n") {
		used := 0
		lines++
		for _, word := range strings.Fields(para) {
			w := runewidth.StringWidth(word)
			if used > 0 && used+1+w > room {
				lines++
				used = 0
			}
			if used > 0 {
				used++
			}
			used += w
			for used > room {
				lines++
				used -= room
			}
		}
	}
	return lines
}
