package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"askance/analysis"
	"askance/analysis/price"
	"askance/ingest/boat"
)

// methodLine gives the cells of the first row of the method's sheet that
// starts so.
func methodLine(t *testing.T, s *analysis.Survey, start string) []string {
	t.Helper()
	rows, err := opened(t, ScanWorkbook(s, View{Book: facts(t), When: when})).GetRows("Method and cautions")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		if len(r) > 0 && strings.HasPrefix(r[0], start) {
			for i := range r {
				r[i] = strings.TrimSpace(r[i])
			}
			return r[:min(len(r), 5)]
		}
	}
	return nil
}

func TestMethodTellsWhatEachAmountHangsOn(t *testing.T) {
	for start, want := range map[string]string{
		"median expected price":       "median expected price|2,600|2,590|2,620|Hardly moves with the rule of thumb.",
		"launching trolley: included": "launching trolley: included|+430|+437|+370|Moves by up to 14 % with the rule of thumb.",
		"rudder blades, pair: epoxy":  "rudder blades, pair: epoxy or carbon|+377|+379|+372|Rests on 1 listing; one more sale could move it.",
	} {
		if got := strings.Join(methodLine(t, sample(t), start), "|"); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	s := sample(t)
	s.Sensitivity = nil
	if got := strings.Join(methodLine(t, s, "rudder blades"), "|"); got != "rudder blades, pair: epoxy or carbon|+377|||Rests on 1 listing; one more sale could move it." {
		t.Errorf("without other priors: %s", got)
	}
}

func TestWordsForWhatAnAmountHangsOn(t *testing.T) {
	for listings, want := range []string{"No listing states it; the rule of thumb stands in.", "Rests on 1 listing; one more sale could move it.", "Rests on 2 listings; one more sale could move it.", ""} {
		if got := restsOn(price.Worth{Listings: listings}); got != want {
			t.Errorf("%d listings: %q", listings, got)
		}
	}
	one, other := &boat.Listing{Title: "Zephrin 16, red"}, &boat.Listing{Title: "Flindar 14"}
	for share, want := range map[float64]string{0.1: "", 0.3: "Hangs on 2 listings, “Zephrin 16, red” and “Flindar 14”; one more sale could move it."} {
		if got := restsOn(price.Worth{Listings: 5, Backing: price.Backing{Strongest: []price.Pull{{Listing: one, Share: share}, {Listing: other, Share: share}}}}); got != want {
			t.Errorf("with %g of the pull each: %q", share, got)
		}
	}
	if got := movesWords(analysis.Sensitive{Amount: -100, Firmer: -80, Looser: -150}); got != "Leans on the rule of thumb: it moves by up to 50 %." {
		t.Error(got)
	}
	if got := movesWords(analysis.Sensitive{}); got != "" {
		t.Errorf("of nothing: %q", got)
	}
}

func TestGoingRatesTellHowWideARangeIs(t *testing.T) {
	for _, k := range []struct {
		amount, low, high float64
		want              string
	}{{100, 85, 115, "narrow, ± 15 %"}, {-100, -140, -70, "middling, ± 35 %"}, {100, 40, 190, "wide, ± 75 %"}, {20, -10, 50, "may be nothing at all"}, {0, 0, 0, ""}, {5, math.NaN(), 7, ""}} {
		if got := widthWords(price.Worth{Amount: k.amount, Low: k.low, High: k.high}); got != k.want {
			t.Errorf("%v: %q, want %q", k, got, k.want)
		}
	}
}

func TestMethodNamesClassesWithFewListings(t *testing.T) {
	s := sample(t)
	if got := methodLine(t, s, "Classes with few listings"); got != nil {
		t.Errorf("%v where there is none", got)
	}
	for i := range 30 {
		s.Model.Classes = append(s.Model.Classes, price.ClassLevel{Class: fmt.Sprintf("Rare %d", i), Listings: 3, New: 9000})
	}
	if got := strings.Join(methodLine(t, s, "Rare 4"), "|"); !strings.HasPrefix(got, "Rare 4|3|5|2|Until then") {
		t.Error(got)
	}
	if got := methodLine(t, s, "Rare 20"); got != nil {
		t.Errorf("%v is one too many", got)
	}
	if got := methodLine(t, s, "And 10 more classes"); got == nil {
		t.Error("nothing is said of the other 10 classes")
	}
}

func TestMethodCountsAsksInsideTheirRangeByAge(t *testing.T) {
	// the nine judged near were built from 1999 to 2007; the oldest lies outside
	for start, want := range map[string]string{"19 to 21 years": "19 to 21 years|3|100%|80%", "22 to 24 years": "22 to 24 years|3|100%|80%", "25 to 27 years": "25 to 27 years|3|67%|80%"} {
		if got := strings.Join(methodLine(t, sample(t), start), "|"); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %s", start, got)
		}
	}
}

func TestMethodDrawsTheListings(t *testing.T) {
	s := sample(t)
	f := opened(t, ScanWorkbook(s, View{Book: facts(t), When: when}))
	rows, _ := f.GetRows("Method and cautions", excelize.Options{RawCellValue: true})
	first := 0
	for i, r := range rows {
		if len(r) > chartColumn && r[chartColumn] == head("ask") {
			first = i + 2
		}
	}
	for i, n := 0, 0; i < len(s.Boats); i++ {
		j := &s.Boats[i]
		if j.Verdict.Verdict == "not judged" {
			continue
		}
		want := fmt.Sprintf("%.0f %.0f %.0f", j.Listing.Price.Major(), math.Round(j.Valuation.Expected*100)/100, j.Listing.Price.Major())
		row := rows[first-1+n]
		var x float64
		fmt.Sscan(row[chartColumn+1], &x)
		if got := fmt.Sprintf("%s %.0f %s", row[chartColumn], x, row[chartColumn+2]); got != want || row[chartColumn-1] != j.Listing.Title {
			t.Errorf("row %d holds %s, want %s", first+n, got, want)
		}
		n++
	}
	refs := fmt.Sprintf("'Method and cautions'!$H$%d:$H$%d", first, first+10)
	drawn := 0
	f.Pkg.Range(func(name, part any) bool {
		if strings.HasPrefix(name.(string), "xl/charts/chart") && strings.Contains(strings.ReplaceAll(string(part.([]byte)), "&#39;", "'"), "Method and cautions") {
			drawn++
			if strings.Contains(string(part.([]byte)), "Fitted against asked") && !strings.Contains(strings.ReplaceAll(string(part.([]byte)), "&#39;", "'"), refs) {
				t.Errorf("the chart does not draw %s", refs)
			}
		}
		return true
	})
	if drawn != 2 {
		t.Errorf("%d charts", drawn)
	}
	s.Boats = s.Boats[:2]
	if line := methodLine(t, s, "Every listing that was judged"); line != nil {
		t.Error("two listings are drawn")
	}
}
