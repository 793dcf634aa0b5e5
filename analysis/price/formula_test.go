package price

import (
	"math"
	"slices"
	"testing"

	"askance/ingest/boat"
)

// byHand works a price out of the formula alone.
func (f Formula) byHand(l *boat.Listing) float64 {
	log := f.Level
	var class FormulaClass
	for _, c := range f.Classes {
		if l.Class.Known && (fold(c.Name) == fold(l.Class.Value) || fold(c.Name) == fold(l.Maker.Value+l.Class.Value)) {
			class = c
		}
	}
	log += class.Level
	x := 0.0
	if f.HasLength {
		x = math.Log(l.Length.Value / f.RefLength)
		log += f.Power*x + f.SizeBend*(x-f.Typical)*(x-f.Typical) + class.Power*(x-f.Typical)
		for _, b := range f.SizeBends {
			log += b.Slope * math.Max(x-f.Typical-b.Knot, 0)
		}
	}
	for _, m := range f.Measures {
		if v, ok := l.Measures[m.Header]; ok {
			ratio := v / m.Centre
			log += m.Power*math.Log(ratio) + m.Bend*(math.Min(ratio, 5)-1-math.Log(math.Min(ratio, 5)))
			for _, b := range m.Bends {
				log += b.Slope * math.Max(math.Log(ratio)-b.Knot, 0)
			}
		}
	}
	for _, factor := range f.Factors {
		if i := slices.Index(factor.Levels, l.Factors[factor.Header]); i >= 0 {
			log += factor.Adds[i]
		}
	}
	switch l.Seller.Value {
	case "dealer":
		log += f.Dealer
	case "club":
		log += f.Club
	}
	log += f.Trend * f.Newest.Sub(l.AsOf).Hours() / 24 / 365.25
	hull := math.Exp(log)
	age, _ := l.Age()
	own := class.Rate + f.SizeRate*(x-f.Typical)
	if f.Rate > 0 {
		hull *= f.Floor + (1-f.Floor)*math.Exp(-f.Rate*math.Exp(own)*age)
	}
	for i, slope := range f.Pieces {
		end := f.Oldest
		if i+1 < len(f.Knots) {
			end = f.Knots[i+1]
		}
		hull *= math.Exp(-slope * math.Exp(own) * math.Max(math.Min(age, end)-f.Knots[i], 0))
	}
	worth := func(it FormulaItem) float64 {
		value := ""
		if found, ok := l.Find(it.Item); ok {
			value = found.Value
		}
		if it.Item == "condition" {
			value = l.Condition.Value
		}
		if i := slices.Index(it.Values, value); i >= 0 {
			return it.Worth[i]
		}
		return it.NotStated
	}
	for _, it := range f.Multiply {
		hull *= worth(it)
	}
	adds, deducts := 0.0, 0.0
	book := func(v float64) { adds, deducts = adds+math.Max(v, 0), deducts+math.Max(-v, 0) }
	for _, it := range f.Add {
		book(worth(it))
	}
	for _, x := range f.Extras {
		if found, ok := l.Find("extra:" + x.Header); ok && found.Value == "included" {
			book(x.Worth)
		}
	}
	if deducts > 0 {
		deducts /= math.Pow(1+math.Pow(deducts/(f.Limit*hull), 4), 0.25)
	}
	return hull + adds - deducts
}

// A price worked out of the formula by hand is the model's.
func TestFormulaIsTheModel(t *testing.T) {
	for _, n := range []int{60, 400} {
		listings, book := invent(t, n, 11)
		for i, l := range listings {
			l.AsOf = l.AsOf.AddDate(0, -i%30, 0)
		}
		m, err := Fit(listings, book, "EUR", Tuning{})
		if err != nil {
			t.Fatal(err)
		}
		f := m.Formula(0.8)
		for _, l := range listings[:50] {
			if got, want := f.byHand(l), m.Value(l, 0.8).Fitted; math.Abs(got-want) > 0.006 {
				t.Fatalf("%d listings, listing %s: by hand %.4f, the model %.4f", n, l.ID, got, want)
			}
		}
	}
}
