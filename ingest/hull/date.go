package hull

import "strings"

// readDate reads the last four characters.
func (n *Number) readDate(last string) {
	switch {
	case isDigit(rune(last[0])):
		n.readStraightYear(last)
	case last[0] == 'M':
		n.readModelYear(last)
	case 'A' <= last[0] && last[0] <= 'L':
		n.readPresent(last)
	default:
		n.fault("a month letter A to L, the letter M or a digit in position 9", last[:1], "")
	}
	if n.Country != "" && n.Country != "US" && n.Country != "CA" && (n.Format == StraightYear || n.Format == ModelYear) {
		n.fault("a month letter A to L in position 9, as "+ISO+" has it", last[:1], "")
	}
}

// readPresent reads month letter, year digit and model year: "G091" is July
// 1990, model year 1991. A is January (33 CFR 181.25(c) and (d)).
func (n *Number) readPresent(last string) {
	switch n.Country {
	case "", "US":
		n.Format = Present
	case "CA":
		n.Format = Canada
	default:
		n.Format = ISO
	}
	n.Month = int(last[0]-'A') + 1
	if !isDigit(rune(last[1])) {
		n.fault("the last digit of the year of production in position 10", last[1:2], alike(last[1:2]))
	}
	year, ok := n.twoDigits(last[2:], "11 and 12", "the model year")
	if !ok {
		return
	}
	n.ModelYear = year
	if isDigit(rune(last[1])) {
		n.Year = nearYear(n.ModelYear, int(last[1]-'0'))
	}
}

// nearYear gives the year that ends with the digit and is nearest to the model
// year, from two before it to one after; 0 if none ends so. A model year
// begins in the summer before it (33 CFR 175.3), so the year before goes
// first.
func nearYear(model, digit int) int {
	for _, y := range []int{model - 1, model, model + 1, model - 2} {
		if y%10 == digit {
			return y
		}
	}
	return 0
}

// readModelYear reads M, model year and month letter counted from August:
// "M80A" is August 1979 and "M80F" January 1980. Secondary sources agree on
// the letters; the calendar year follows from a model year that runs from
// August to July.
func (n *Number) readModelYear(last string) {
	year, yearOK := n.twoDigits(last[1:3], "10 and 11", "the model year")
	letter := last[3]
	letterOK := 'A' <= letter && letter <= 'L'
	if !letterOK {
		n.fault("a month letter A (August) to L (July) in position 12 after the M in position 9", string(letter), "")
	}
	if yearOK && (year < 1972 || year > 1985) {
		n.fault("a model year from 72 to 85 after the M in position 9", last[1:3], "")
		return
	}
	if !yearOK || !letterOK {
		return
	}
	n.Format = ModelYear
	n.ModelYear = year
	step := int(letter - 'A') // months since August
	n.Month = (step+7)%12 + 1
	n.Year = year
	if n.Month >= 8 {
		n.Year--
	}
}

// readStraightYear reads month and year of production: "1275" is December
// 1975.
func (n *Number) readStraightYear(last string) {
	hint := ""
	if last[0] == '1' {
		hint = "perhaps the letter I, September, in position 9"
	}
	month := int(last[0]-'0')*10 + int(last[1]-'0')
	if !isDigit(rune(last[1])) || month < 1 || month > 12 {
		n.fault("a month from 01 to 12 in positions 9 and 10", last[:2], hint)
		return
	}
	year, ok := n.twoDigits(last[2:], "11 and 12", "the year")
	if !ok {
		return
	}
	if year < 1972 || year > 1984 {
		n.fault("a year from 72 to 84 in positions 11 and 12 after a month of two digits", last[2:], hint)
		return
	}
	n.Format, n.Month, n.Year = StraightYear, month, year
}

// twoDigits reads a year of two digits: 72 to 99 belong to the last century,
// for numbers began in 1972, and 00 to 71 to this one.
func (n *Number) twoDigits(s, positions, what string) (int, bool) {
	if !isDigit(rune(s[0])) || !isDigit(rune(s[1])) {
		n.fault("two digits of "+what+" in positions "+positions, s, alike(s))
		return 0, false
	}
	year := int(s[0]-'0')*10 + int(s[1]-'0')
	if year >= 72 {
		return 1900 + year, true
	}
	return 2000 + year, true
}

// alike names the digit that the first letter of a text is often taken for.
func alike(s string) string {
	for _, r := range s {
		if i := strings.IndexRune("BIOQSZG", r); i >= 0 {
			return "perhaps the digit " + "8100526"[i:i+1]
		}
	}
	return ""
}
