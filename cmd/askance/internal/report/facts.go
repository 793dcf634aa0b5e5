package report

import (
	"fmt"
	"strconv"

	"askance/ingest/boat"
)

// A fact is one thing that was understood of a listing, with its words.
type fact struct{ what, value, quote string }

// facts lists what was understood of a listing: particulars, then findings.
func (v View) facts(l *boat.Listing) []fact {
	var out []fact
	add := func(id, value, quote string, known bool) {
		if known {
			out = append(out, fact{head(id), value, quote})
		}
	}
	add("price.amount", priceWords(l.Price), l.Price.Quote, l.Price.Known || l.Price.Terms != "" || l.Price.Quote != "")
	add("class", l.Class.Value, l.Class.Said, l.Class.Known)
	add("maker", l.Maker.Value, l.Maker.Said, l.Maker.Known)
	add("year.value", yearWords(l.Year), l.Year.Said, l.Year.Known)
	add("length_m", strconv.FormatFloat(l.Length.Value, 'f', 2, 64), l.Length.Said, l.Length.Known)
	add("hull_number", l.HullNumber.Value, l.HullNumber.Said, l.HullNumber.Known)
	add("condition.value", v.value("condition", l.Condition.Value), l.Condition.Said, l.Condition.Known)
	add("seller", l.Seller.Value, l.Seller.Said, l.Seller.Known)
	add("place", l.Place.Value, l.Place.Said, l.Place.Known)
	add("listed", day(l.Listed.Value), l.Listed.Said, l.Listed.Known)
	for _, f := range l.Findings {
		out = append(out, fact{v.item(f.Item), v.value(f.Item, f.Value), f.Quote})
	}
	return out
}

func priceWords(p boat.Price) string {
	switch {
	case p.Known && p.Terms != "":
		return fmt.Sprintf("%s %s, %s", grouped(p.Major()), p.Currency, spaced(p.Terms))
	case p.Known:
		return grouped(p.Major()) + " " + p.Currency
	case p.Terms != "":
		return spaced(p.Terms)
	}
	return "no amount"
}

func yearWords(y boat.BuildYear) string {
	words := strconv.Itoa(y.Value)
	if y.Month > 0 {
		words = fmt.Sprintf("%02d/%d", y.Month, y.Value)
	}
	if y.From == "hull_number" {
		words += " (from the hull number)"
	}
	if y.Conflict != "" {
		words += "; " + y.Conflict
	}
	return words
}
