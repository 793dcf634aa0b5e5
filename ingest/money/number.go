package money

import (
	"strconv"
	"strings"
)

// A number is digits in groups as they stand in plain text.
type number struct {
	start, end int
	groups     []string
	marks      []rune // between the groups
	dash       string // ",-" and the like after the digits, "" if none
}

// scanNumber reads the number that starts at text[i], a digit.
func scanNumber(text []rune, i int) number {
	n := number{start: i}
	at := func(j int) rune {
		if j < len(text) {
			return text[j]
		}
		return 0
	}
	digits := func() {
		from := i
		for isDigit(at(i)) {
			i++
		}
		n.groups = append(n.groups, string(text[from:i]))
	}
	digits()
	for {
		mark := at(i)
		switch {
		case (mark == '.' || mark == ',' || mark == '\'' || mark == '·') && isDigit(at(i+1)):
			if mark == '·' {
				mark = '.'
			}
		case mark == ' ' && n.mayGroup() && isDigit(at(i+1)) && isDigit(at(i+2)) && isDigit(at(i+3)) && !isDigit(at(i+4)):
		case superscript(mark) >= 0 && superscript(at(i+1)) >= 0 && superscript(at(i+2)) < 0: // "12⁹⁹"
			n.marks = append(n.marks, '.')
			n.groups = append(n.groups, string([]rune{superscript(mark), superscript(at(i + 1))}))
			n.end = i + 2
			return n
		default:
			n.end = i
			n.takeDash(text)
			return n
		}
		n.marks = append(n.marks, mark)
		i++
		digits()
	}
}

// scanNumber reads the number at a place. In a text about a price alone its
// marks may have spaces, "1 , 499 . 00" and "12, 50", and a space may stand
// before the cents where nothing but a currency is beside: "249 99 Lei".
func (r *reader) scanNumber(i int) number {
	n := scanNumber(r.text, i)
	if r.running || n.dash != "" {
		return n
	}
	at := func(j int) rune {
		if j < len(r.text) {
			return r.text[j]
		}
		return 0
	}
	for {
		j := n.end
		if at(j) == ' ' {
			j++
		}
		mark := at(j)
		spaced := j > n.end
		places := 0
		if mark == '.' || mark == ',' {
			j++
		} else {
			mark = 0
			j = n.end
		}
		if at(j) != ' ' {
			return n
		}
		j++
		for isDigit(at(j + places)) {
			places++
		}
		cents := places == 2 && !n.cents() && !strings.ContainsRune(".,'/-%:", at(j+2)) && !(at(j+2) == ' ' && isDigit(at(j+3)))
		switch {
		case mark != 0 && spaced && (places == 3 || cents):
		case mark != 0 && cents:
		case mark == 0 && cents && len(n.groups[0]) < 4 && n.count('.')+n.count(',') == 0 && r.onlyPrice(n.start, j+2):
			mark = '.'
		default:
			return n
		}
		n.marks = append(n.marks, mark)
		n.groups = append(n.groups, string(r.text[j:j+places]))
		n.end = j + places
		if cents {
			return n
		}
	}
}

// onlyPrice tells whether a text[from:to] has a currency beside it and nothing
// else with digits.
func (r *reader) onlyPrice(from, to int) bool {
	for i, c := range r.text {
		if isDigit(c) && (i < from || i >= to) {
			return false
		}
	}
	return r.signedAt(from, to)
}

// scanFraction reads the cents of no whole at text[i]: ".75", "-.95".
func scanFraction(text []rune, i int) (number, bool) {
	at := i
	if text[at] == '-' {
		at++
	}
	if at+2 >= len(text) || text[at] != '.' && text[at] != ',' || !isDigit(text[at+1]) || !isDigit(text[at+2]) || at+3 < len(text) && (isDigit(text[at+3]) || text[at+3] == '.') {
		return number{}, false
	}
	if i > 0 && (isDigit(text[i-1]) || inWord(text[i-1]) || strings.ContainsRune(".,", text[i-1])) {
		return number{}, false
	}
	return number{start: i, end: at + 3, groups: []string{"0", string(text[at+1 : at+3])}, marks: []rune{text[at]}}, true
}

// superscript gives the digit of a raised one, -1 of any other rune.
func superscript(r rune) rune {
	if i := strings.IndexRune("⁰¹²³⁴⁵⁶⁷⁸⁹", r); i >= 0 {
		return '0' + rune(len([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹"[:i])))
	}
	return -1
}

// mayGroup tells whether a space and three digits may follow as one more
// group.
func (n number) mayGroup() bool {
	for _, m := range n.marks {
		if m != ' ' {
			return false
		}
	}
	return len(n.groups[0]) <= 3 && n.groups[0][0] != '0'
}

// takeDash reads what stands for no cents after the digits: ",-", ".--", ":-",
// ",=".
func (n *number) takeDash(text []rune) {
	i := n.end
	if i+1 >= len(text) || !strings.ContainsRune(",.:", text[i]) || text[i+1] != '-' && text[i+1] != '=' {
		return
	}
	i++
	for i < len(text) && (text[i] == '-' || text[i] == '=') && i < n.end+4 {
		i++
	}
	if i < len(text) && isDigit(text[i]) { // "3000.-3500" is a range
		return
	}
	n.dash = string(text[n.end:i])
	n.end = i
}

// written tells whether the number is written as sums are: grouped, with
// decimals or with a dash.
func (n number) written() bool { return len(n.marks) > 0 || n.dash != "" }

// cents tells whether the number is written with two decimals.
func (n number) cents() bool {
	return len(n.marks) > 0 && len(n.groups[len(n.groups)-1]) == 2
}

// value reads the number by a file's marks and the currency's decimals; ok is
// false where the groups make no number, as in a date.
func (n number) value(m Marks, currency string) (v float64, ok bool) {
	whole, fraction, ok := n.split(m, currency)
	if !ok || len(whole) > 30 {
		return 0, false
	}
	if len(fraction) > 12 {
		fraction = fraction[:12]
	}
	v, err := strconv.ParseFloat(whole+"."+fraction+"0", 64)
	return v, err == nil
}

// split tells the whole part from the decimals.
func (n number) split(m Marks, currency string) (whole, fraction string, ok bool) {
	points, commas := n.count('.'), n.count(',')
	if len(n.marks) == 0 {
		return n.groups[0], "", true
	}
	last := len(n.groups) - 1
	lastMark := n.marks[last-1]
	decimals := false
	switch {
	case lastMark == '\'' && len(n.marks) == 1 && len(n.groups[1]) == 2: // "24'95"
		decimals = true
	case lastMark != '.' && lastMark != ',': // spaces and apostrophes only group
	case points > 0 && commas > 0:
		decimals = true
		if n.count(lastMark) > 1 {
			return "", "", false
		}
	case points+commas == 1:
		decimals = !n.mayBeThousands() || n.thirdDecimal(m, currency)
	}
	if !decimals {
		return strings.Join(n.groups, ""), "", grouped(n.groups)
	}
	return strings.Join(n.groups[:last], ""), n.groups[last], grouped(n.groups[:last])
}

// mayBeThousands tells whether a single point or comma may group thousands:
// one to three digits, not 0, then three.
func (n number) mayBeThousands() bool {
	return len(n.marks) == 1 && len(n.groups[0]) <= 3 && n.groups[0][0] != '0' && len(n.groups[1]) == 3
}

// thirdDecimal tells whether three digits after a single mark are decimals.
// They are thousands, since hardly any currency has three decimals, unless
// this one has and that is its mark for them, or the file's numbers are long.
func (n number) thirdDecimal(m Marks, currency string) bool {
	if n.dash != "" {
		return false
	}
	if m.Long && n.marks[0] == m.Decimal {
		return true
	}
	if MinorDigits(currency) != 3 || currency == "IQD" { // whose third of a dinar nobody has
		return false
	}
	return n.marks[0] == '.' || currency == "TND"
}

// doubtful tells whether the file's own habit speaks against the reading as
// thousands.
func (n number) doubtful(m Marks, currency string) bool {
	return n.mayBeThousands() && n.dash == "" && n.marks[0] == m.Decimal && !n.thirdDecimal(m, currency)
}

func (n number) count(mark rune) int {
	c := 0
	for _, m := range n.marks {
		if m == mark {
			c++
		}
	}
	return c
}

// grouped tells whether the groups are those of a number: three digits each
// after the first, or two before a last of three, as India groups.
func grouped(groups []string) bool {
	if len(groups) == 1 {
		return true
	}
	last := len(groups) - 1
	if len(groups[0]) > 3 || groups[0][0] == '0' || len(groups[last]) != 3 {
		return false
	}
	for _, g := range groups[1:last] {
		if len(g) != len(groups[1]) || len(g) != 3 && len(g) != 2 {
			return false
		}
	}
	return true
}
