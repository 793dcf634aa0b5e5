package analysis

import (
	"fmt"

	"askance/analysis/outlay"
	"askance/analysis/price"
	"askance/analysis/settle"
	"askance/analysis/verdict"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// Run fits the market and judges every listing in it.
func Run(m *boat.Market, book *knowhow.Book, o Options) (*Survey, error) {
	s, _, err := survey(m, book, o)
	return s, err
}

// survey also returns the fitted model, for boats from outside the market.
func survey(m *boat.Market, book *knowhow.Book, o Options) (*Survey, *price.Model, error) {
	o = o.filled()
	listings := pointers(m.Listings)
	model, err := price.Fit(listings, book, m.Currency, price.Tuning{})
	if err != nil {
		return nil, nil, err
	}
	asks := valueAll(listings, model, o)
	verdicts, err := verdict.Judge(asks, verdict.Rules{})
	if err != nil {
		return nil, nil, err
	}
	paid := settle.PaidOverAsked(m.Listings, book)
	s := &Survey{Market: m, Options: o, Model: model.Summary(), Formula: model.Formula(o.Range), Boats: make([]Judged, len(listings))}
	for i, l := range listings {
		s.Boats[i] = judged(l, asks[i].Valuation, verdicts[i], model, book, paid, o)
	}
	if !o.Once {
		s.Sensitivity = sensitivity(m, book, s.Model, s.Boats, o)
	}
	s.count(asks, verdicts)
	s.Warnings = append(s.Warnings, s.Model.Warnings...)
	return s, model, nil
}

func (o Options) filled() Options {
	if o.Range == 0 {
		o.Range = 0.80
	}
	return o
}

func pointers(listings []boat.Listing) []*boat.Listing {
	out := make([]*boat.Listing, len(listings))
	for i := range listings {
		out[i] = &listings[i]
	}
	return out
}

// valueAll prices every listing and says what is known beforehand against
// judging it.
func valueAll(listings []*boat.Listing, model *price.Model, o Options) []verdict.Ask {
	asks := make([]verdict.Ask, len(listings))
	few := len(model.Listings()) < price.Enough
	for i, l := range listings {
		a := verdict.Ask{Ask: l.Price.Major(), Valuation: model.Value(l, o.Range)}
		switch {
		case a.Valuation.Sides != nil:
			a.Because = "a structural defect is told; no verdict can rest on it before a boat builder has looked"
		case few:
			a.Because = fmt.Sprintf("only %d listings can be used and %d are needed", len(model.Listings()), price.Enough)
		}
		asks[i] = a
	}
	return asks
}

// judged puts together what is said of one listing.
func judged(l *boat.Listing, v price.Valuation, verdict verdict.Verdict, model *price.Model, book *knowhow.Book, paid settle.PaidRatio, o Options) Judged {
	j := Judged{Listing: l, Valuation: v, Verdict: verdict, Checks: outlay.Viewing(l, book)}
	var ready *settle.Ready
	if o.Purpose != "" {
		made := outlay.Ready(l, v, model, book, o.Purpose, o.Range)
		j.Outlay, ready = &made, &settle.Ready{Expected: made.ReadyExpected, Cost: made.CostToReady}
	}
	if v.Sides == nil {
		offer := settle.HighestOffer(l, v, ready, paid)
		j.Offer = &offer
	}
	j.Cautions = cautions(l, v, verdict.Verdict, book)
	return j
}

// Price values one boat against a market that it does not stand in.
func Price(m *boat.Market, book *knowhow.Book, b boat.Listing, o Options) (*Pricing, error) {
	s, model, err := survey(m, book, o)
	if err != nil {
		return nil, err
	}
	p := &Pricing{Survey: s, Boat: Priced{Listing: b}}
	p.Boat.value(model, book, s.Options)
	return p, nil
}

// Reserve gives each boat of a fleet a reserve, and the fleet its sum.
func Reserve(m *boat.Market, book *knowhow.Book, fleet []boat.Listing, chance float64, o Options) (*Fleet, error) {
	s, model, err := survey(m, book, o)
	if err != nil {
		return nil, err
	}
	paid := settle.PaidOverAsked(m.Listings, book)
	f := &Fleet{Survey: s, Chance: chance, PaidOver: paid.Ratio, PaidFrom: paid.From()}
	for i := range fleet {
		b := Priced{Listing: fleet[i], Row: fleet[i].Source.At.Line}
		b.value(model, book, s.Options)
		if b.Valuation.Sides == nil {
			r := settle.ReserveAt(b.Valuation, paid, chance)
			b.Reserve = &r
			f.Sum.Reserve += r.Reserve
		}
		f.Sum.Expected += b.Valuation.Expected
		f.Boats = append(f.Boats, b)
	}
	f.Sum.Low, f.Sum.High = model.SumRange(pointers(fleet), s.Options.Range)
	return f, nil
}

// value fills in what the model says of the boat.
func (b *Priced) value(model *price.Model, book *knowhow.Book, o Options) {
	b.Valuation = model.Value(&b.Listing, o.Range)
	b.Asking, b.Place = settle.Asking(b.Valuation)
	b.Cautions = cautions(&b.Listing, b.Valuation, "", book)
}
