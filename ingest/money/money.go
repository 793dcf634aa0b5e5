// Package money holds amounts of money in minor units, reads them from the
// text of small ads, and converts them by dated exchange rates. Which words
// stand for a currency or a price term is handed in.
package money

import "math"

// An Amount is a sum of money in minor units of its currency.
type Amount struct {
	Minor    int64
	Currency string // ISO 4217, "" when the text does not tell
}

// MinorDigits gives the number of decimals of a currency by ISO 4217: 0 for
// ISK or JPY, 3 for KWD, 2 otherwise.
func MinorDigits(currency string) int {
	switch currency {
	case "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF":
		return 0
	case "BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND":
		return 3
	}
	return 2
}

// Major gives the amount in major units.
func (a Amount) Major() float64 {
	return float64(a.Minor) / math.Pow10(MinorDigits(a.Currency))
}

// Of makes an amount from major units, rounded to the nearest minor unit.
func Of(major float64, currency string) Amount {
	return Amount{Minor: int64(math.Round(major * math.Pow10(MinorDigits(currency)))), Currency: currency}
}
