package settle

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"askance/analysis/calibrate"
	"askance/analysis/price"
	"askance/analysis/robust"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// EnoughPaid is how many listings with a price paid it takes before they
// count instead of the knowhow's assumption.
const EnoughPaid = 10

// A PaidRatio is what is paid over what was asked: its median and the log
// spread round it.
type PaidRatio struct {
	Ratio, Spread float64
	Listings      int  // with both figures
	Assumed       bool // it is the knowhow's, not the market's
}

// PaidOverAsked looks at the listings that tell what was paid.
func PaidOverAsked(listings []boat.Listing, book *knowhow.Book) PaidRatio {
	var logs []float64
	for _, l := range listings {
		if l.Paid.Known && l.Price.Known && l.Paid.Minor > 0 && l.Price.Minor > 0 && l.Paid.Currency == l.Price.Currency {
			logs = append(logs, math.Log(l.Paid.Major()/l.Price.Major()))
		}
	}
	if len(logs) < EnoughPaid {
		n := book.Number("paid_over_asked")
		return PaidRatio{Ratio: n.Value, Spread: n.Spread, Listings: len(logs), Assumed: true}
	}
	return PaidRatio{Ratio: math.Exp(robust.Median(logs)), Spread: stat.StdDev(logs, nil), Listings: len(logs)}
}

// Asking advises an asking price: what such boats ask in the middle, on a
// round figure. place is where it stands in the distribution of asks, 0.5
// being the middle.
func Asking(v price.Valuation) (asking, place float64) {
	asking = roundFigure(v.Expected)
	if asking <= 0 || v.Expected <= 0 || v.LogSD == 0 {
		return v.Expected, 0.5
	}
	return asking, cumulative(math.Log(asking/v.Expected)/v.LogSD, v.DF)
}

// roundFigure rounds as people ask: to 10 under 1,000, to 50 under 10,000,
// to 100 above.
func roundFigure(x float64) float64 {
	step := 10.0
	switch {
	case x >= 10000:
		step = 100
	case x >= 1000:
		step = 50
	}
	return math.Round(x/step) * step
}

// ReserveAt is the price that a buyer will be found for with the given
// chance: the (1-chance) quantile of expected ask, times paid over asked,
// times the noise of such boats.
func ReserveAt(v price.Valuation, paid PaidRatio, chance float64) Reserve {
	spread := math.Sqrt(v.LogSD*v.LogSD + paid.Spread*paid.Spread)
	middle := v.Expected * paid.Ratio
	reserve := math.Floor(middle * math.Exp(calibrate.StudentQuantile(1-chance, v.DF)*spread))
	return Reserve{Reserve: reserve, Because: []Reason{
		{"expected ask", v.Expected},
		{"from asked to paid", middle - v.Expected},
		{"so that a buyer is found with the chance asked for", reserve - middle},
	}}
}

// Ready is what a boat is expected to ask once it is fit for its purpose, and
// what it costs to get there.
type Ready struct{ Expected, Cost float64 }

// HighestOffer is what a buyer should pay at most: the lower of the expected
// price and the price once ready less what it takes to get there, less the
// seller's usual step from asked to paid where the market tells it, and never
// more than is asked. ready may be nil.
func HighestOffer(l *boat.Listing, v price.Valuation, ready *Ready, paid PaidRatio) Offer {
	offer := Offer{Highest: v.Expected, Because: []Reason{{"expected ask", v.Expected}}}
	step := func(what string, to float64) {
		if to < offer.Highest {
			offer.Because = append(offer.Because, Reason{what, to - offer.Highest})
			offer.Highest = to
		}
	}
	if ready != nil {
		step("once ready, less the cost to make it ready", ready.Expected-ready.Cost)
	}
	if !paid.Assumed {
		step("the usual step from asked to paid", offer.Highest*paid.Ratio)
	}
	if l.Price.Known {
		step("not more than is asked", l.Price.Major())
	}
	if offer.Highest < 0 {
		offer.Because = append(offer.Because, Reason{"an offer is not under nought", -offer.Highest})
		offer.Highest = 0
	}
	return offer
}

// From tells where the ratio comes from.
func (p PaidRatio) From() string {
	if p.Assumed {
		return "assumed: the knowhow's figure, since too few listings tell what was paid"
	}
	return "the market's listings that tell what was paid"
}
