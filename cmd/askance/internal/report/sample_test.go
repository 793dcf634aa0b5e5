package report

import (
	"fmt"
	"math"
	"testing"
	"time"

	"askance/analysis"
	"askance/analysis/calibrate"
	"askance/analysis/outlay"
	"askance/analysis/price"
	"askance/analysis/settle"
	"askance/analysis/verdict"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

var when = time.Date(2026, time.April, 12, 9, 30, 0, 0, time.UTC)

func facts(t testing.TB) *knowhow.Book {
	t.Helper()
	b, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func at(file string, line int) record.Pos {
	return record.Pos{File: file, Kind: record.Line, Line: line}
}

// full is a listing that states everything there is to state.
func full(i int) boat.Listing {
	p := at("exports/harbour.csv", i+2)
	ask := money.Of(2000+137*float64(i), "EUR")
	return boat.Listing{
		ID: fmt.Sprintf("%012x", 0xabc000000000+i), Kind: boat.ForSale, Boats: 1, Source: boat.Source{At: p, URL: fmt.Sprintf("https://ads.example/%d", i)},
		Also:     []boat.Sighting{{Source: boat.Source{At: record.Pos{File: "other.html", Kind: record.Card, Line: i + 1}, URL: "https://other.example/x"}, Price: boat.Price{Amount: ask, Known: true, Terms: "fixed", Quote: "2.100 fix"}, Listed: when}},
		Title:    fmt.Sprintf("Quillar 16 no. %d, ready to sail, with launching trolley and cover", i),
		Text:     "=cmd()\nGood boat, epoxy blades.",
		Language: "en", Price: boat.Price{Amount: ask, Known: true, Terms: "negotiable", Quote: "2.000 VB"}, Paid: boat.Price{Amount: money.Of(1900.5, "EUR"), Known: true},
		Year: boat.BuildYear{Fact: boat.Know(1998+i%20, "text", "built 1998", p), Month: 5, Conflict: "hull number says 1996"}, Class: boat.Know("Quillar 16", "column", "Quillar 16", p),
		Maker: boat.Know("Morlin Yard", "column", "", p), Length: boat.Know(5.05, "column", "5,05 m", p), HullNumber: boat.Know("XXX12AB7F910", "text", "", p),
		Condition: boat.Know("good", "text", "good condition", p), Seller: boat.Know("private", "column", "", p), Place: boat.Know("Lower Saltmarsh", "column", "", p),
		Listed: boat.Know(when, "column", "12.4.2026", p), AsOf: when,
		Findings: []boat.Finding{{Item: "rudder_blades", Value: "top", Quote: "epoxy blades", At: p}, {Item: "extra:dock", Value: "included", Quote: "x", At: p}},
		Problems: []record.Problem{{At: p, Field: "length", Wanted: "a length with its unit", Got: "16", Hint: "write 16 ft"}}, Notes: []string{"says both new and old sails"},
	}
}

// valued is a valuation whose parts add up to a price with odd fractions.
func valued(expected float64, near *boat.Listing) price.Valuation {
	parts := []price.Part{
		{What: "class", Value: "Quillar 16", Amount: 12000.123456}, {What: "length", Amount: 33.3333}, {What: "measure:Sail area", Amount: 10.004}, {What: "factor:Region", Value: "north", Amount: -20.015},
		{What: "seller", Value: "private", Amount: -10.0049}, {What: "age", Amount: -8000.777}, {What: "condition", Value: "good", Quote: "good condition", Amount: 100.111}, {What: "condition", Item: "hulls", Value: "worn", Quote: "hulls scratched", Amount: -500.5},
		{What: "item", Item: "rudder_blades", Value: "top", Quote: "epoxy blades", Amount: 380.25}, {What: "item", Item: "sails", Value: "worn", Quote: "=sails tired", Amount: -120.7}, {What: "extra:dock", Value: "yes", Amount: 15}, {What: "limit", Amount: 2.2}, {What: "comparables", Amount: 44.44},
	}
	sum := 0.0
	for _, p := range parts {
		sum += p.Amount
	}
	parts = append(parts, price.Part{What: "left_out", Amount: expected - sum})
	return price.Valuation{Expected: expected, Fitted: expected, Low: expected * 0.8, High: expected * 1.25, Parts: parts, LogSD: 0.17, Weight: 0.3, InFit: true,
		Comparable: []price.Comparable{{Listing: near, Ask: 2100, Adjustments: []price.Adjustment{{What: "age", Value: "12 -> 10 years", Amount: 210.333}, {What: "rudder_blades", Value: "mid -> top", Amount: 220.004}}, Adjusted: 2530.337, Weight: 0.4}}}
}

// sample is a survey that uses every field.
func sample(t testing.TB) *analysis.Survey {
	t.Helper()
	m := &boat.Market{Currency: "EUR", AsOf: when, Duplicates: 12, Unused: map[string][]boat.UnusedColumn{"b.csv": {{Header: "colour", Example: "red", Use: "--factor"}}, "a.csv": {{Header: "phone", Use: "--column"}}}, Notes: []string{"prices without a currency are taken as EUR"},
		Problems: []record.Problem{{At: record.Pos{File: "a.xlsx", Kind: record.Sheet, Sheet: "Sheet1", Line: 4, Column: 3}, Field: "price", Wanted: "an amount", Got: "call me"}},
		LeftOut:  []boat.LeftOut{{Source: boat.Source{At: at("a.csv", 9), URL: "https://ads.example/9"}, Title: "@wanted: cheap boat", Code: boat.IsWanted, Reason: "a wanted advertisement"}}}
	for i := range 12 {
		m.Listings = append(m.Listings, full(i))
	}
	s := &analysis.Survey{Market: m, Options: analysis.Options{Purpose: "race"}, Coverage: 0.81, SmallestGap: 0.31, Used: 11, NotJudged: 1, Warnings: []string{"few listings: the figures lean on rules of thumb"},
		Ratio: &calibrate.Ratios{Median: 1.003, COD: 11.2, PRD: 1.012, PRB: -0.013},
		Model: price.Summary{Scale: 0.14, Listings: 12, Downweighted: 1, Classes: []price.ClassLevel{{Class: "Quillar 16", Listings: 12, New: 12345.6, Low: 11000, High: 13500}},
			Values: []price.Worth{{Item: "launching_trolley", Value: "included", Amount: 430.4, Low: 310, High: 560, Listings: 7, Prior: 450, Mostly: "market"}, {Item: "rudder_blades", Value: "top", Amount: 377, Low: 190, High: 600, Listings: 1, Prior: 380, Mostly: "prior"}}}}
	s.Formula = sampleFormula()
	s.Sensitivity = []analysis.Sensitive{{What: "median expected price", Amount: 2600, Firmer: 2590, Looser: 2620}, {Item: "launching_trolley", Value: "included", Amount: 430.4, Firmer: 437, Looser: 370}, {Item: "rudder_blades", Value: "top", Amount: 377, Firmer: 379, Looser: 372}}
	for age := 0; age <= 40; age++ {
		share := 0.12 + 0.88*math.Exp(-0.085*float64(age))
		s.Model.AgeCurve = append(s.Model.AgeCurve, price.AgePoint{Age: float64(age), Share: share, Low: share * 0.93, High: math.Min(share*1.07, 1)})
	}
	for i := range m.Listings {
		s.Boats = append(s.Boats, judged(m, i))
	}
	m.Read = s.Used + s.NotJudged + m.Duplicates + len(m.LeftOut)
	return s
}

// sampleFormula is a model with one of everything.
func sampleFormula() price.Formula {
	return price.Formula{Level: 9.3, Power: 1.8, SizeBend: 0.2, Typical: 0.03, RefLength: 5, HasLength: true, HasAge: true, Floor: 0.12, Rate: 0.085, SizeRate: 0.1,
		Classes: []price.FormulaClass{{Name: "Quillar 14", Level: -0.2, Rate: 0.1, Length: 4.3, Listings: 2}, {Name: "Quillar 16", Level: 0.1, Rate: -0.05, Length: 5.05, Listings: 9}},
		Dealer:  0.08, Club: -0.03, Factors: []price.FormulaFactor{{Header: "Region", Levels: []string{"", "north"}, Adds: []float64{-0.02, 0.04}}},
		Measures: []price.FormulaMeasure{{Header: "Sail area", Centre: 14, Power: 0.3, Bend: -0.1}},
		Multiply: []price.FormulaItem{{Item: "condition", Values: []string{"poor", "good"}, Worth: []float64{0.7, 1}, NotStated: 0.95}, {Item: "hulls", Values: []string{"worn", "good"}, Worth: []float64{0.8, 1}, NotStated: 0.92}},
		Add:      []price.FormulaItem{{Item: "rudder_blades", Values: []string{"basic", "mid", "top"}, Worth: []float64{0, 160, 380}, NotStated: 150}, {Item: "mast_bent", Values: []string{"denied", "repaired", "present"}, Worth: []float64{0, -100, -350}, NotStated: -30}},
		Extras:   []price.FormulaExtra{{Header: "dock", Worth: 90}}, Limit: 0.6, LogSD: 0.14, Reach: 1.4}
}

// judged judges one listing: the first is well below, the last but one well
// above, the last is not judged, the others are near.
func judged(m *boat.Market, i int) analysis.Judged {
	l := &m.Listings[i]
	ask := l.Price.Major()
	expected := map[int]float64{0: ask * 2.04, 10: ask * 0.5}[i]
	if expected == 0 {
		expected = ask * (1 + 0.02*float64(5-i))
	}
	j := analysis.Judged{Listing: l, Valuation: valued(expected, &m.Listings[(i+1)%12]), Verdict: verdict.Verdict{Verdict: verdict.Near, Gap: ask/expected - 1, P: 0.4, PAdjusted: 0.9},
		Outlay: &outlay.Outlay{Purpose: "race", Jobs: []outlay.Job{{Item: "sails", From: "worn", To: "fresh", What: "a new suit of sails", Low: 1900, High: 2600, Must: true, Chance: 1}}, CostLow: 1900, CostHigh: 2600, CostToReady: 2250, AllIn: ask + 2250, ReadyExpected: 6000, ReadyLow: 5000, ReadyHigh: 7000, Margin: 6000 - ask - 2250},
		Offer:  &settle.Offer{Highest: expected * 0.9, Because: []settle.Reason{{What: "expected", Amount: expected}, {What: "paid", Amount: -expected * 0.1}}},
		Checks: []outlay.Check{{Item: "soft_deck", Why: "press every hand's breadth of the decks; give is a structural fault"}, {Item: "sails", Why: "not a word is said of the sails"}}}
	switch i {
	case 0:
		j.Verdict = verdict.Verdict{Verdict: verdict.WellBelow, Gap: ask/expected - 1, OutsideRange: true, P: 0.00012345678, PAdjusted: 0.0014}
	case 1:
		j.Verdict.OutsideRange = true
	case 10:
		j.Verdict = verdict.Verdict{Verdict: verdict.WellAbove, Gap: ask/expected - 1, OutsideRange: true, P: 0.00002, PAdjusted: 0.0003}
	case 11:
		j.Verdict = verdict.Verdict{Verdict: verdict.NotJudged, Gap: ask/expected - 1, Because: "a structural defect is stated: soft deck"}
		j.Valuation.Sides = &price.Sides{Item: "soft_deck", Sound: expected, Low: expected * 0.5, High: expected * 0.7}
		j.Cautions = []string{"a soft deck is a matter for a boat builder"}
	}
	return j
}

func samplePricing(t testing.TB) *analysis.Pricing {
	s := sample(t)
	return &analysis.Pricing{Survey: s, Boat: analysis.Priced{Listing: full(3), Valuation: valued(3210.987, &s.Market.Listings[2]), Asking: 3300, Place: 0.55, Cautions: []string{"the year is taken from the hull number"}}}
}

func sampleFleet(t testing.TB) *analysis.Fleet {
	s := sample(t)
	f := &analysis.Fleet{Survey: s, Chance: 0.8, PaidOver: 0.9, PaidFrom: "assumed, no sales are known", Sum: analysis.Sum{Expected: 6100, Low: 5200, High: 7000, Reserve: 5300}}
	for i := range 2 {
		f.Boats = append(f.Boats, analysis.Priced{Listing: full(i), Row: i + 2, Valuation: valued(3000+float64(i)*100.37, &s.Market.Listings[2]), Reserve: &settle.Reserve{Reserve: 2500.257}, Cautions: []string{"year unknown"}})
	}
	return f
}
