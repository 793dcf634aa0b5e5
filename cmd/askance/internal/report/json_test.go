package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"askance/analysis"
	"askance/analysis/price"
	"askance/ingest/boat"
)

func schemaOf(t testing.TB, name string) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile("schema/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func parsed(t testing.TB, data []byte) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// documents are one document a schema, with every field filled.
func documents(t testing.TB) map[string][]byte {
	var scan, pricing, reserve, line bytes.Buffer
	for _, err := range []error{ScanJSON(&scan, sample(t), View{}), PriceJSON(&pricing, samplePricing(t), View{}), ReserveJSON(&reserve, sampleFleet(t), View{}), ReadJSONL(&line, []boat.Listing{full(1)})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	hull := []byte(`{"number":"XXX12AB7F910","valid":true,"format":"us","maker":"XXX","serial":"12AB7","month":6,"year":2009,"model_year":2010,"problems":["none"]}`)
	return map[string][]byte{"scan": scan.Bytes(), "price": pricing.Bytes(), "reserve": reserve.Bytes(), "listing": line.Bytes(), "hull": hull}
}

func TestDocumentsAgreeWithTheirSchemas(t *testing.T) {
	for name, data := range documents(t) {
		if err := schemaOf(t, name).Validate(parsed(t, data)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// mayBeAbsent are the fields that a document may do without: what is unknown
// is absent.
var mayBeAbsent = []string{
	"url", "title", "text", "price", "paid", "year", "class", "maker", "length_m", "hull_number", "condition", "seller", "place", "listed", "quote", "month", "conflict", "terms",
	"amount in price", "currency in price", "currency in paid", "coverage", "smallest_gap_seen", "low", "high", "prior", "median_ratio", "cod", "prd", "prb", "item", "value in contributions", "value in adjustments",
	"all_in", "offer", "ready_expected", "ready_low", "ready_high", "margin", "expected in not judged", "gap in not judged", "outside_range in not judged", "row", "reserve in boats",
	"format", "serial", "model_year", "month in hull", "year in hull", "maker in hull",
}

// TestSchemasHoldEveryField removes and renames each field of each document,
// one at a time. A renamed field must always be refused; a removed one unless
// it is among those that may be absent.
func TestSchemasHoldEveryField(t *testing.T) {
	for name, data := range documents(t) {
		schema := schemaOf(t, name)
		doc := parsed(t, data)
		seen := 0
		walk(doc, name, "", func(object map[string]any, key, parent string) {
			seen++
			value := object[key]
			delete(object, key)
			if err := schema.Validate(doc); err == nil && !absentAllowed(object, name, parent, key) {
				t.Errorf("%s: without %s in %q it still passes", name, key, parent)
			}
			object[key+"x"] = value
			if err := schema.Validate(doc); err == nil {
				t.Errorf("%s: with %s in %q renamed it still passes", name, key, parent)
			}
			delete(object, key+"x")
			object[key] = value
		})
		if seen < 9 {
			t.Errorf("%s: only %d fields were tried", name, seen)
		}
	}
}

func absentAllowed(object map[string]any, doc, parent, key string) bool {
	if slices.Contains([]string{"price", "reserve"}, doc) && slices.Contains([]string{"", "boats", "sum"}, parent) && slices.Contains([]string{"low", "high", "expected"}, key) {
		return false
	}
	for _, where := range []string{key, key + " in " + parent, key + " in " + doc} {
		if slices.Contains(mayBeAbsent, where) {
			return !slices.Contains([]string{"low", "high"}, key) || parent != "listings" || object["verdict"] == "not judged"
		}
	}
	return object["verdict"] == "not judged" && slices.Contains(mayBeAbsent, key+" in not judged")
}

// walk visits every field of every object of a document; of a list it visits
// all entries.
func walk(v any, doc, parent string, visit func(object map[string]any, key, parent string)) {
	switch x := v.(type) {
	case map[string]any:
		keys := make([]string, 0, len(x))
		for k := range x {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			visit(x, k, parent)
			walk(x[k], doc, k, visit)
		}
	case []any:
		for i, e := range x {
			if i < 2 || i > len(x)-3 { // the ends are enough: the rest is alike
				walk(e, doc, parent, visit)
			}
		}
	}
}

func TestStepsAddUpToTheCent(t *testing.T) {
	var doc struct {
		Listings []struct {
			Expected      float64
			Contributions []struct{ Amount float64 }
			Comparables   []struct {
				Ask, Adjusted float64
				Adjustments   []struct{ Amount float64 }
			}
		}
	}
	if err := json.Unmarshal(documents(t)["scan"], &doc); err != nil {
		t.Fatal(err)
	}
	cents := func(v float64) int64 {
		c := math.Round(v * 100)
		if math.Abs(c-v*100) > 1e-6 {
			t.Errorf("%v is not in whole cents", v)
		}
		return int64(c)
	}
	for _, l := range doc.Listings {
		sum := int64(0)
		for _, p := range l.Contributions {
			sum += cents(p.Amount)
		}
		if sum != cents(l.Expected) {
			t.Errorf("steps add up to %d cents, expected is %v", sum, l.Expected)
		}
		for _, c := range l.Comparables {
			sum := cents(c.Ask)
			for _, a := range c.Adjustments {
				sum += cents(a.Amount)
			}
			if sum != cents(c.Adjusted) {
				t.Errorf("adjustments lead to %d cents, adjusted is %v", sum, c.Adjusted)
			}
		}
	}
}

func TestRoundingNeverHidesAFault(t *testing.T) {
	c := coinOf("EUR")
	two := []price.Part{{What: "class", Amount: 100}, {What: "age", Amount: -40}}
	for _, k := range []struct {
		total float64
		want  int
	}{{60, 2}, {60.004, 2}, {60.02, 3}, {59.98, 3}, {60.03, 2}, {70, 2}} {
		got := c.parts(two, k.total)
		if len(got) != k.want {
			t.Errorf("total %v: %d steps, want %d", k.total, len(got), k.want)
		}
	}
}

func TestUnknownIsAbsentAndListsArePresent(t *testing.T) {
	var out bytes.Buffer
	if err := ReadJSONL(&out, []boat.Listing{{ID: "abcdef012345", Kind: boat.Wanted, Source: boat.Source{At: at("a.csv", 2)}}}); err != nil {
		t.Fatal(err)
	}
	want := `{"id":"abcdef012345","kind":"wanted","boats":1,"source":{"file":"a.csv","at":"line 2"},"also":[],"sold":false,"findings":[],"problems":[]}`
	if got := strings.TrimSpace(out.String()); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if err := schemaOf(t, "listing").Validate(parsed(t, out.Bytes())); err != nil {
		t.Error(err)
	}
}

func TestNoNumberNeverReachesTheJSON(t *testing.T) {
	s := sample(t)
	s.Coverage, s.SmallestGap, s.Ratio.PRB = math.NaN(), math.Inf(1), math.NaN()
	s.Model.AgeCurve[3].High, s.Model.Values[0].Low = math.Inf(1), math.NaN()
	s.Boats[11].Valuation.Expected, s.Boats[11].Verdict.Gap = math.NaN(), math.NaN()
	var out bytes.Buffer
	if err := ScanJSON(&out, s, View{}); err != nil {
		t.Fatal(err)
	}
	if err := schemaOf(t, "scan").Validate(parsed(t, out.Bytes())); err != nil {
		t.Error(err)
	}
}

func TestListingsRankByGapAndShowFilters(t *testing.T) {
	s := sample(t)
	slices.Reverse(s.Boats)
	d := scanOf(s, View{})
	for i := 1; i < len(d.Listings); i++ {
		a, b := d.Listings[i-1], d.Listings[i]
		if a.Verdict == "not judged" || b.Verdict != "not judged" && *a.Gap > *b.Gap {
			t.Errorf("%s stands before %s", a.ID, b.ID)
		}
	}
	few := scanOf(s, View{Show: func(j *analysis.Judged) bool { return j.Listing.Price.Major() < 2500 }})
	if len(few.Listings) != 4 || few.Market != d.Market {
		t.Errorf("%d listings shown of 4, market %+v", len(few.Listings), few.Market)
	}
}

func TestBewareStandsBesideEveryWellBelow(t *testing.T) {
	for _, l := range scanOf(sample(t), View{}).Listings {
		warned := slices.ContainsFunc(l.Cautions, func(c string) bool { return strings.Contains(c, "structural fault") })
		if warned != (l.Verdict == "well below") {
			t.Errorf("%s is %s, warned %v", l.ID, l.Verdict, warned)
		}
		if l.Verdict == "near" && l.OutsideRange != nil && *l.OutsideRange && !slices.Contains(l.Cautions, couldBeChance) {
			t.Errorf("%s lies outside its range without a word", l.ID)
		}
	}
}

func TestMinorUnits(t *testing.T) {
	for _, k := range []struct {
		currency string
		v        float64
		want     string
	}{{"EUR", 1234.567, "1234.57"}, {"JPY", 1234.567, "1235"}, {"KWD", 1.23456, "1.235"}, {"EUR", -0.001, "0"}} {
		if got := fmt.Sprint(coinOf(k.currency).round(k.v)); got != k.want {
			t.Errorf("%v %s is %s, want %s", k.v, k.currency, got, k.want)
		}
	}
}
