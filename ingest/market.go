package ingest

import (
	"errors"
	"fmt"
	"time"

	"askance/ingest/boat"
	"askance/ingest/money"
)

// forSale picks the boats that are offered for an amount of money and leaves
// the rest out of the market with its reason.
func forSale(listings []boat.Listing, m *boat.Market) []boat.Listing {
	var offers []boat.Listing
	for _, l := range listings {
		code, reason := whyNot(&l)
		if code == "" {
			offers = append(offers, l)
			continue
		}
		m.LeftOut = append(m.LeftOut, leftOut(&l, code, reason))
	}
	return offers
}

// whyNot tells why a listing is no boat for sale at a price; code is "" where
// it is one.
func whyNot(l *boat.Listing) (code, reason string) {
	noAmount := !l.Price.Known || l.Price.Minor <= 0
	switch {
	case l.Kind == boat.Wanted, l.Price.Terms == "wanted":
		return boat.IsWanted, "somebody looks for a boat"
	case l.Kind == boat.Parts:
		return boat.IsParts, "parts, no whole boat"
	case l.Kind == boat.Swap, l.Price.Terms == "swap" && noAmount:
		return boat.IsSwap, "offered in exchange for something"
	case l.Price.Terms == "free":
		return boat.IsFree, "given away"
	case l.Price.Terms == "auction":
		return boat.IsAuction, "an auction: a bid is no asking price"
	case l.Lot:
		return boat.IsLot, "several boats for one price"
	case noAmount && l.Price.Quote != "":
		return boat.NoPrice, fmt.Sprintf("no amount in the price %q", l.Price.Quote)
	case noAmount:
		return boat.NoPrice, "no price"
	}
	return "", ""
}

func leftOut(l *boat.Listing, code, reason string) boat.LeftOut {
	return boat.LeftOut{Source: l.Source, Title: l.Title, Code: code, Reason: reason}
}

// marketCurrency is the one asked for, else the commonest one read (of two
// equally common ones, the one read first), else the fallback.
func marketCurrency(offers []boat.Listing, asked, fallback string) string {
	if asked != "" {
		return asked
	}
	count := map[string]int{}
	best := fallback
	for _, l := range offers {
		if l.Price.Currency != "" && l.Price.Currency != money.Unsettled {
			count[l.Price.Currency]++
		}
	}
	for _, l := range offers {
		if count[l.Price.Currency] > count[best] {
			best = l.Price.Currency
		}
	}
	return best
}

// inCurrency brings every offer into the market's currency, by the rate of
// the listing's own date. Without a rate it is left out. A price that names
// no currency is taken to be in the market's, which is noted.
func inCurrency(offers []boat.Listing, m *boat.Market, ratesCSV []byte) ([]boat.Listing, error) {
	x := exchange{to: m.Currency}
	if len(ratesCSV) > 0 {
		rates, err := money.ReadRates(ratesCSV)
		if err != nil {
			return nil, fmt.Errorf("exchange rates: %w", err)
		}
		x.rates = &rates
	}
	var out []boat.Listing
	assumed, converted := 0, map[string]int{}
	for _, l := range offers {
		was := l.Price.Currency
		switch err := x.listing(&l); {
		case err != nil:
			m.LeftOut = append(m.LeftOut, leftOut(&l, boat.NoRate, err.Error()))
			continue
		case was == "":
			assumed++
		case was != m.Currency:
			converted[was]++
		}
		out = append(out, l)
	}
	if assumed > 0 {
		m.Notes = append(m.Notes, fmt.Sprintf("%s no currency; taken to be in %s", countOf(assumed, "price names", "prices name"), m.Currency))
	}
	for _, code := range sortedKeys(converted) {
		m.Notes = append(m.Notes, fmt.Sprintf("%s in %s turned into %s at the rate of the listing's date", countOf(converted[code], "price", "prices"), code, m.Currency))
	}
	if x.early > 0 {
		m.Notes = append(m.Notes, fmt.Sprintf("%s before the first day of the exchange rates; the oldest rate taken", countOf(x.early, "of those is", "of those are")))
	}
	return out, nil
}

// An exchange turns amounts into one currency.
type exchange struct {
	to    string
	rates *money.Rates // nil for none
	early int          // amounts dated before the oldest rate
}

// listing turns what a listing asks, and what was paid for the boat.
func (x *exchange) listing(l *boat.Listing) error {
	asked, err := x.amount(l.Price.Amount, l.AsOf)
	if err != nil {
		return err
	}
	l.Price.Amount = asked
	if !l.Paid.Known {
		return nil
	}
	if l.Paid.Amount, err = x.amount(l.Paid.Amount, l.AsOf); err != nil {
		l.Paid = boat.Price{}
	}
	return nil
}

func (x *exchange) amount(a money.Amount, on time.Time) (money.Amount, error) {
	switch {
	case a.Currency == x.to:
		return a, nil
	case a.Currency == "":
		return money.Of(a.Major(), x.to), nil
	case a.Currency == money.Unsettled:
		return a, errors.New("several currencies share the sign of its price")
	case x.rates == nil:
		return a, fmt.Errorf("asked in %s, the market is in %s: no exchange rates given (hint: --rates)", a.Currency, x.to)
	}
	out, day, err := x.rates.Convert(a, x.to, on)
	if err != nil {
		return a, fmt.Errorf("asked in %s, the market is in %s: %w", a.Currency, x.to, err)
	}
	if day.After(on) {
		x.early++
	}
	return out, nil
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
