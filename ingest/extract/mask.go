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
	if !strings.ContainsAny(text, "0+") {
		return text
	}
	return phoneShape.ReplaceAllStringFunc(text, func(s string) string {
		digits := 0
		for _, c := range s {
			if c >= '0' && c <= '9' {
				digits++
			}
		}
		if digits < 7 || datelike.MatchString(s) {
			return s
		}
		return phoneMark
	})
}

var datelike = regexp.MustCompile(`^0[1-9][./-][0-9]{1,2}[./-](?:19|20)[0-9]{2}$`)
