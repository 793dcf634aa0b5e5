package report

import (
	"math"
	"strconv"

	"askance/analysis/price"
	"askance/ingest/money"
)

// coin rounds money to the minor unit of a currency.
type coin struct {
	currency string
	digits   int
}

func coinOf(currency string) coin { return coin{currency, money.MinorDigits(currency)} }

// round rounds an amount to the minor unit.
func (c coin) round(v float64) float64 {
	scale := math.Pow10(c.digits)
	return noMinusZero(math.Round(v*scale) / scale)
}

// amount rounds an amount; what is no number is unknown.
func (c coin) amount(v float64) *float64 {
	if !isNumber(v) {
		return nil
	}
	r := c.round(v)
	return &r
}

// positive is an amount that is known only where it is above 0.
func (c coin) positive(v float64) *float64 {
	if !isNumber(v) || v <= 0 {
		return nil
	}
	return c.amount(v)
}

// ratio rounds a share or a gap to six decimals; what is no number is unknown.
func ratio(v float64) *float64 {
	if !isNumber(v) {
		return nil
	}
	r := noMinusZero(math.Round(v*1e6) / 1e6)
	return &r
}

// chance rounds a probability to four significant digits.
func chance(p float64) *float64 {
	if !isNumber(p) {
		return nil
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(p, 'g', 4, 64), 64)
	return &r
}

func isNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func noMinusZero(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}

// parts rounds the steps of a price so that they still add up to it: each is
// the difference of two rounded running totals. Where the steps as given do
// not reach the rounded price, a step "rounding" of at most two minor units
// closes the gap; a wider one is left open, for it would be a fault.
func (c coin) parts(parts []price.Part, total float64) []price.Part {
	var out []price.Part
	exact, shown := 0.0, 0.0
	for _, p := range parts {
		if !isNumber(p.Amount) {
			p.Amount = 0
		}
		exact += p.Amount
		next := c.round(exact)
		p.Amount, shown = c.round(next-shown), next
		out = append(out, p)
	}
	rest := c.round(c.round(total) - shown)
	if len(parts) > 0 && rest != 0 && math.Abs(rest) < 2.5*math.Pow10(-c.digits) {
		out = append(out, price.Part{What: "rounding", Amount: rest})
	}
	return out
}

// adjusted rounds a comparable's adjustments so that ask and adjustments add
// up to the adjusted ask.
func (c coin) adjusted(cmp price.Comparable) (ask float64, steps []price.Adjustment, total float64) {
	exact, shown := cmp.Ask, c.round(cmp.Ask)
	for _, a := range cmp.Adjustments {
		if !isNumber(a.Amount) {
			a.Amount = 0
		}
		exact += a.Amount
		next := c.round(exact)
		a.Amount, shown = c.round(next-shown), next
		steps = append(steps, a)
	}
	return c.round(cmp.Ask), steps, shown
}
