// Package hull decodes hull identification numbers and finds them in running
// text: the present American layout (33 CFR 181.25), the two layouts in use
// from 1972 to 1984, the Canadian one (TP 1332, section 2) and ISO 10087.
package hull

import (
	"fmt"
	"strings"

	"golang.org/x/text/language"
)

// The layouts of a number.
const (
	Present      = "33 CFR 181.25"           // 12 characters: maker, serial, month letter, year digit, model year
	StraightYear = "straight year 1972-1984" // the last four are month and year of production
	ModelYear    = "model year 1972-1984"    // the last four are M, model year and a month letter counted from August
	Canada       = "TP 1332"                 // the present layout after CA-
	ISO          = "ISO 10087"               // the present layout after the code of another country
)

// A Number is a hull identification number, decoded as far as it can be read.
// A number that is not valid may have fields all the same: those that could be
// told.
type Number struct {
	Number    string   `json:"number"` // upper case, without spaces, the country's hyphen alone kept
	Valid     bool     `json:"valid"`
	Format    string   `json:"format,omitempty"`
	Country   string   `json:"-"`                    // two letters, only where the number has them; they stand in Number too
	Maker     string   `json:"maker,omitempty"`      // three characters
	Serial    string   `json:"serial,omitempty"`     // five characters
	Month     int      `json:"month,omitempty"`      // of production, 1 to 12; 0 unknown
	Year      int      `json:"year,omitempty"`       // of production; 0 unknown
	ModelYear int      `json:"model_year,omitempty"` // 0 unknown
	Problems  []string `json:"problems"`             // what was wanted and what was found; never nil
}

// BuildYear gives the model year where the number has one, else the year of
// production; 0 where the number is not valid.
func (n Number) BuildYear() int {
	switch {
	case !n.Valid:
		return 0
	case n.ModelYear > 0:
		return n.ModelYear
	}
	return n.Year
}

// Decode reads one number. Lower case, spaces, hyphens, slashes and dots
// between the characters are tolerated.
//
// The ninth character tells the layout: a digit is the straight year, M the
// model year, A to L the present layout.
func Decode(text string) Number {
	n := Number{Problems: []string{}}
	body := compact(text)
	n.Number = body
	if strings.IndexFunc(body, func(r rune) bool { return !isLetter(r) && !isDigit(r) }) >= 0 {
		n.fault("letters A to Z and digits", fmt.Sprintf("%q", body), "")
		return n
	}
	switch len(body) {
	case 12:
	case 14:
		n.Country, body = body[:2], body[2:]
		n.Number = n.Country + "-" + body
	default:
		n.fault("12 characters, or 14 with the country", fmt.Sprintf("%d", len(body)), "")
		return n
	}
	if n.Country != "" && !isCountry(n.Country) {
		n.fault("a country's two letters (ISO 3166) before the 12 characters", n.Country, "")
	}
	n.Maker, n.Serial = body[:3], body[3:8]
	n.checkMaker()
	n.checkSerial()
	n.readDate(body[8:])
	n.Valid = len(n.Problems) == 0
	if n.Valid && n.Format != StraightYear && n.Year == 0 {
		n.fault(fmt.Sprintf("a last digit of a year of production near the model year %d in position 10", n.ModelYear), body[9:10], "")
	}
	return n
}

func (n *Number) fault(wanted, found, hint string) {
	s := "wanted " + wanted + ", found " + found
	if hint != "" {
		s += " (hint: " + hint + ")"
	}
	n.Problems = append(n.Problems, s)
}

// checkMaker wants three letters. ISO 10087 makers may have digits: the
// standard's paid text was not seen, so they are let pass.
func (n *Number) checkMaker() {
	for _, r := range n.Maker {
		if isDigit(r) && (n.Country == "" || n.Country == "US" || n.Country == "CA") {
			n.fault("three letters of the maker in positions 1 to 3", n.Maker, "")
			return
		}
	}
	if strings.IndexFunc(n.Maker, isLetter) < 0 {
		n.fault("a maker's code with a letter in positions 1 to 3", n.Maker, "")
	}
}

// checkSerial wants letters or digits without I, O and Q (33 CFR 181.25(b)).
func (n *Number) checkSerial() {
	if i := strings.IndexAny(n.Serial, "IOQ"); i >= 0 {
		hint := map[byte]string{'I': "perhaps the digit 1", 'O': "perhaps the digit 0", 'Q': "perhaps the digit 0"}[n.Serial[i]]
		n.fault("a serial without the letters I, O and Q in positions 4 to 8", n.Serial, hint)
	}
}

// compact drops what people write between the characters and turns the rest
// to upper case.
func compact(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case isSeparator(r):
			return -1
		case 'a' <= r && r <= 'z':
			return r - 'a' + 'A'
		}
		return r
	}, text)
}

// isCountry tells whether the two letters are a country's code, or one of
// those that ISO 3166-1 leaves to its users: AA, QM to QZ, XA to XZ, ZZ.
func isCountry(code string) bool {
	if code == "AA" || code == "ZZ" || "QM" <= code && code <= "QZ" || "XA" <= code && code <= "XZ" {
		return true
	}
	r, err := language.ParseRegion(code)
	return err == nil && r.IsCountry() && r.String() == code
}

func isLetter(r rune) bool { return 'A' <= r && r <= 'Z' }
func isDigit(r rune) bool  { return '0' <= r && r <= '9' }
