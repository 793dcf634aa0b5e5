package analysis

import (
	"askance/analysis/price"
	"askance/analysis/verdict"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// LowAskCaution stands beside every ask that is well below what such boats
// ask.
const LowAskCaution = "a low ask may hide a structural fault, a missing title or a stolen boat: have a qualified surveyor or repairer look before money changes hands or anyone goes afloat"

// cautions lists what must be said beside a boat's figures.
func cautions(l *boat.Listing, v price.Valuation, judged string, book *knowhow.Book) []string {
	var out []string
	if judged == verdict.WellBelow {
		out = append(out, LowAskCaution)
	} else if l.Price.Known && v.Expected > 0 && l.Price.Major() < v.Low {
		out = append(out, "below the range, could be chance; "+LowAskCaution)
	}
	if l.Year.Conflict != "" {
		out = append(out, "build year: "+l.Year.Conflict)
	}
	for _, f := range l.Findings {
		it, ok := book.Item(f.Item)
		if !ok || it.Kind != knowhow.Defect {
			continue
		}
		switch {
		case f.Value == knowhow.Present && it.Grave == knowhow.WalkAway:
			out = append(out, it.Label+": structural; a reason to walk away whatever the price")
		case f.Value == knowhow.Present && it.IsStructural():
			out = append(out, it.Label+": structural; a boat builder must look before the boat is priced or sailed")
		case f.Value == knowhow.Repaired && it.IsStructural():
			out = append(out, it.Label+" said to be repaired: ask who did it and how, and have a surveyor look")
		case f.Value == knowhow.Present && it.Grave == knowhow.Repair:
			out = append(out, it.Label+": to be repaired before sailing")
		}
	}
	if v.Unusable != "" {
		out = append(out, v.Unusable+": the price is a rough one")
	}
	return append(out, v.Warnings...)
}
