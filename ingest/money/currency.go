package money

import (
	"fmt"
	"slices"

	"golang.org/x/text/currency"
	"golang.org/x/text/language"
)

// Unsettled is the currency of an amount whose sign may stand for several, as
// "kr" may, or for none that is known: ISO 4217's code for no currency. No
// exchange rate knows it.
const Unsettled = "XXX"

// A Hint is what is known of a text before it is read.
type Hint struct {
	Currency string // ISO 4217, of the page, the file or the column
	Country  string // ISO 3166, of the listing's place
	Usual    string // ISO 4217, of most prices of the file: it settles a sign, and gives none where there is no sign
	Declared string // language that the page or file says it is in
	Language string // of the listing's words, "en" or "en-AU"
	Marks           // the file's habit, see Habit
}

// settle tells which currency a sign or word stands for where it may be
// several, "$" or "kr": the hinted one if it is written so, else the one of
// the country, the file, the language that the page declares or that of its
// words; Unsettled if that does not tell.
// Which currencies share a sign is told by the entries and by Unicode's locale
// data.
func settle(sign string, meanings []string, h Hint) string {
	for _, likely := range []func() string{
		func() string { return h.Currency }, func() string { return OfCountry(h.Country) },
		func() string { return h.Usual }, func() string { return ofLanguage(h.Declared) }, func() string { return ofLanguage(h.Language) },
	} {
		if c := likely(); c != "" && (slices.Contains(meanings, c) || narrowSign(c) == sign) {
			return c
		}
	}
	if len(meanings) == 1 {
		return meanings[0]
	}
	return Unsettled
}

// OfCountry gives the currency of a country by its ISO 3166 code, "" if that
// is none.
func OfCountry(code string) string {
	if code == "" {
		return ""
	}
	r, err := language.ParseRegion(code)
	if err != nil {
		return ""
	}
	u, ok := currency.FromRegion(r)
	if !ok {
		return ""
	}
	return u.String()
}

func ofLanguage(tag string) string {
	if tag == "" {
		return ""
	}
	t, err := language.Parse(tag)
	if err != nil {
		return ""
	}
	u, sure := currency.FromTag(t)
	if sure == language.No {
		return ""
	}
	return u.String()
}

// narrowSign gives the short sign of a currency in plain letters: "$" for AUD,
// "kr" for SEK.
func narrowSign(code string) string {
	u, err := currency.ParseISO(code)
	if err != nil {
		return ""
	}
	return string(plain(fmt.Sprint(currency.NarrowSymbol(u))))
}
