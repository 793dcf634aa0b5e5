package extract

import (
	"regexp"
	"strings"
)

// Marks that stand for what is not kept of a stranger.
const (
	phoneMark = "[phone]"
	mailMark  = "[mail]"
)

var mailShape = regexp.MustCompile(`(?i)[a-z0-9._%+\-]+\s?(?:@|\(at\)|\[at\]|\(@\))\s?[a-z0-9\-]+(?:\s?(?:\.|\(dot\)|\[dot\]|\(punkt\))\s?[a-z0-9\-]+)*\s?(?:\.|\(dot\)|\[dot\]|\(punkt\))\s?[a-z]{2,}`)

// phoneShape is a run of digits with the separators of telephone numbers. It
// begins with + or 0: amounts, years and measures do not.
var phoneShape = regexp.MustCompile(`(?:\+|\b00|\(0|\b0)[0-9()](?:[ \x{a0}]?[-/.()]?[ \x{a0}]?[0-9]){5,14}\b`)

// Mask replaces telephone numbers and mail addresses. Amounts, years, dates
// and hull numbers stay: a telephone number begins with + or 0 and has seven
// to fifteen digits.
func Mask(text string) string {
	if strings.ContainsAny(text, "@") || strings.Contains(text, "at)") || strings.Contains(text, "at]") || strings.Contains(text, "AT)") {
		text = mailShape.ReplaceAllString(text, mailMark)
	}
	if !mayHoldPhone(text) {
		return text
	}
	return replacePhones(text)
}

func replacePhones(text string) string {
	return phoneShape.ReplaceAllStringFunc(text, func(s string) string {
		digits := 0
		for _, c := range s {
			if c >= '0' && c <= '9' {
				digits++
			}
		}
		if digits < leastPhone || datelike.MatchString(s) {
			return s
		}
		return phoneMark
	})
}

// leastPhone is the number of digits of the shortest telephone number.
const leastPhone = 7

// mayHoldPhone tells cheaply that a text may hold a telephone number: a row
// of enough digits with nothing but its separators between, a 0 or a + among
// them.
func mayHoldPhone(text string) bool {
	digits, begun := 0, false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; c {
		case '0', '1', '2', '3', '4', '5', '6', '7', '8', '9':
			digits++
			begun = begun || c == '0'
			if begun && digits >= leastPhone {
				return true
			}
		case '+':
			begun = true
		case ' ', '-', '/', '.', '(', ')', 0xc2, 0xa0: // these two are the no-break space
		default:
			digits, begun = 0, false
		}
	}
	return false
}

var datelike = regexp.MustCompile(`^0[1-9][./-][0-9]{1,2}[./-](?:19|20)[0-9]{2}$`)
