package analysis

import (
	"sync"

	"askance/analysis/price"
	"askance/analysis/robust"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// sensitivity fits the market again with priors twice and half as firm, and
// tells what that changes: each item's worth, and the median price.
func sensitivity(m *boat.Market, book *knowhow.Book, fitted price.Summary, valued []Judged, o Options) []Sensitive {
	if len(m.Listings) > SensitiveMost {
		return nil
	}
	scales := []float64{0.5, 2}
	again := make([]price.Summary, len(scales))
	medians := make([]float64, len(scales))
	var group sync.WaitGroup
	for k, scale := range scales {
		group.Go(func() {
			listings := pointers(m.Listings)
			model, err := price.Fit(listings, book, m.Currency, price.Tuning{PriorScale: scale})
			if err != nil {
				return // such a fit has no figures to show
			}
			again[k] = model.Summary()
			medians[k] = medianExpected(listings, func(l *boat.Listing) float64 { return model.Value(l, o.Range).Expected })
		})
	}
	group.Wait()
	if len(again[0].Values) != len(fitted.Values) || len(again[1].Values) != len(fitted.Values) {
		return nil
	}
	expected := map[*boat.Listing]float64{}
	for _, b := range valued {
		expected[b.Listing] = b.Valuation.Expected
	}
	out := []Sensitive{{What: "median expected price", Firmer: medians[0], Looser: medians[1],
		Amount: medianExpected(pointers(m.Listings), func(l *boat.Listing) float64 { return expected[l] })}}
	for i, v := range fitted.Values {
		out = append(out, Sensitive{Item: v.Item, Value: v.Value, Amount: v.Amount, Firmer: again[0].Values[i].Amount, Looser: again[1].Values[i].Amount})
	}
	return out
}

func medianExpected(listings []*boat.Listing, of func(*boat.Listing) float64) float64 {
	var x []float64
	for _, l := range listings {
		x = append(x, of(l))
	}
	if len(x) == 0 {
		return 0
	}
	return robust.Median(x)
}
