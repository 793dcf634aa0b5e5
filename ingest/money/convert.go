package money

import (
	"fmt"
	"math"
	"sort"
	"time"
)

const mostConverted = 1e14 // in major units; whole minor units are exact below it

// Convert turns an amount into another currency by the rates of the day, or of
// the last day before it; where the day is before all of them, by the oldest.
// The returned date tells which day's rates were used: later than on, they
// were the oldest; zero, none were needed. Two currencies other than the euro
// are converted through it, as the bank means its reference rates.
func (r Rates) Convert(a Amount, to string, on time.Time) (Amount, time.Time, error) {
	if a.Currency == "" || to == "" {
		return Amount{}, time.Time{}, fmt.Errorf("wanted two currencies, found %q and %q", a.Currency, to)
	}
	if a.Currency == to {
		return a, time.Time{}, nil
	}
	d, ok := r.dayFor(on, a.Currency, to)
	if !ok {
		return Amount{}, time.Time{}, r.missing(a.Currency, to)
	}
	value := a.Major() / d.rate(a.Currency) * d.rate(to)
	if !(math.Abs(value) <= mostConverted) {
		return Amount{}, time.Time{}, fmt.Errorf("wanted a sum of money, found %g %s", value, to)
	}
	return Of(value, to), d.date, nil
}

// rate gives the units for one euro, 0 if the day has none.
func (d day) rate(code string) float64 {
	if code == base {
		return 1
	}
	return d.perEU[code]
}

func (d day) has(codes ...string) bool {
	for _, c := range codes {
		if d.rate(c) == 0 {
			return false
		}
	}
	return true
}

// dayFor gives the last day not after a date that has rates for both
// currencies, else the first day after it that has.
func (r Rates) dayFor(on time.Time, codes ...string) (day, bool) {
	y, m, dd := on.Date()
	date := time.Date(y, m, dd, 0, 0, 0, 0, time.UTC)
	after := sort.Search(len(r.days), func(i int) bool { return r.days[i].date.After(date) })
	for i := after - 1; i >= 0; i-- {
		if r.days[i].has(codes...) {
			return r.days[i], true
		}
	}
	for _, d := range r.days[after:] {
		if d.has(codes...) {
			return d, true
		}
	}
	return day{}, false
}

// missing tells which currency has no rate.
func (r Rates) missing(codes ...string) error {
	for _, c := range codes {
		found := false
		for _, d := range r.days {
			found = found || d.has(c)
		}
		if !found {
			return fmt.Errorf("wanted an exchange rate for %s, found none in the rates of %s", c, r.span())
		}
	}
	return fmt.Errorf("wanted a day with exchange rates for %v, found none in the rates of %s", codes, r.span())
}

// span tells the days of the rates in words.
func (r Rates) span() string {
	if len(r.days) == 0 {
		return "no day"
	}
	first, last := r.days[0].date.Format(time.DateOnly), r.days[len(r.days)-1].date.Format(time.DateOnly)
	if first == last {
		return first
	}
	return first + " to " + last
}
