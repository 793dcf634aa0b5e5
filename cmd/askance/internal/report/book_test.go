package report

import (
	"bytes"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"askance/cmd/askance/internal/sheet"
)

func opened(t testing.TB, b *sheet.Book) *excelize.File {
	t.Helper()
	var out bytes.Buffer
	if err := b.Write(&out); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// books are the three workbooks of the sample.
func books(t testing.TB) map[string]*sheet.Book {
	v := View{Book: facts(t), When: when}
	return map[string]*sheet.Book{"scan": ScanWorkbook(sample(t), v), "price": PriceWorkbook(samplePricing(t), v), "reserve": ReserveWorkbook(sampleFleet(t), v)}
}

func TestWorkbooksHoldTheirSheets(t *testing.T) {
	want := map[string]string{
		"scan":    "Start here, Ranking, Workings, Going rates, Age curve, Try a boat, Viewing list, Left out, Method and cautions",
		"price":   "Start here, What each part adds, Comparables, Going rates, Age curve, Method and cautions",
		"reserve": "Fleet, What each part adds, Going rates, Age curve, Method and cautions",
	}
	for command, b := range books(t) {
		f := opened(t, b)
		if got := strings.Join(f.GetSheetList(), ", "); got != want[command] {
			t.Errorf("%s: sheets %s", command, got)
		}
		doc, err := f.GetDocProps()
		if err != nil || doc.Creator != "askance" || doc.Category != command {
			t.Errorf("%s: properties %+v (%v)", command, doc, err)
		}
	}
}

func TestSameSurveySameBytes(t *testing.T) {
	for command := range books(t) {
		var first, second bytes.Buffer
		for _, out := range []*bytes.Buffer{&first, &second} {
			if err := books(t)[command].Write(out); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: two runs gave different bytes", command)
		}
	}
}

// TestLiveSumsEqualTheirValues recomputes every formula of every workbook and
// compares it with the value that was written beside it.
func TestLiveSumsEqualTheirValues(t *testing.T) {
	for command, b := range books(t) {
		f := opened(t, b)
		formulas := 0
		for _, name := range f.GetSheetList() {
			rows, err := f.GetRows(name)
			if err != nil {
				t.Fatal(err)
			}
			for r := range rows {
				for c := range rows[r] {
					cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
					formula, _ := f.GetCellFormula(name, cell)
					if formula == "" {
						continue
					}
					formulas++
					live, err := f.CalcCellValue(name, cell, excelize.Options{RawCellValue: true})
					if err != nil {
						t.Fatalf("%s %s!%s =%s: %v", command, name, cell, formula, err)
					}
					kept, _ := f.GetCellValue(name, cell, excelize.Options{RawCellValue: true})
					x, _ := strconv.ParseFloat(live, 64)
					y, errKept := strconv.ParseFloat(kept, 64)
					if errKept != nil || math.Abs(x-y) > 0.004 {
						t.Errorf("%s %s!%s =%s gives %s, %s was kept", command, name, cell, formula, live, kept)
					}
				}
			}
		}
		if formulas < 10 {
			t.Errorf("%s: only %d formulas", command, formulas)
		}
	}
}

func TestWorkingsEndInTheExpectedPrice(t *testing.T) {
	s := sample(t)
	f := opened(t, ScanWorkbook(s, View{Book: facts(t), When: when}))
	rows, err := f.GetRows("Workings", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]string{}
	for _, r := range rows {
		if len(r) > 6 && r[3] == head("expected") {
			found[r[1]] = r[6]
		}
	}
	for i := range s.Boats {
		j := &s.Boats[i]
		v, err := strconv.ParseFloat(found[j.Listing.ID], 64)
		if err != nil || v != coinOf("EUR").round(j.Valuation.Expected) {
			t.Errorf("%s: workings end in %q, expected is %v", j.Listing.ID, found[j.Listing.ID], j.Valuation.Expected)
		}
	}
}

func TestListingsNeverBecomeFormulas(t *testing.T) {
	s := sample(t)
	bad := `=HYPERLINK("http://x.example","click")`
	for i := range s.Boats {
		l := s.Boats[i].Listing
		l.Title, l.Place.Value, l.Class.Value, l.Source.URL = bad, "+49", "@SUM(1)", "javascript:alert(1)"
		s.Boats[i].Valuation.Parts[1].Quote = "-1+1"
	}
	own := regexp.MustCompile(`^(SUM\(\$?[A-Z]\$?\d+:\$?[A-Z]\$?\d+\)|[A-Z]\d+(\+[A-Z]\d+)?)$`)
	f := opened(t, ScanWorkbook(s, View{When: when}))
	for _, name := range f.GetSheetList() {
		rows, _ := f.GetRows(name)
		for r := range rows {
			for c := range rows[r] {
				cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
				if formula, _ := f.GetCellFormula(name, cell); formula != "" && !own.MatchString(formula) && (name != "Try a boat" || !ownWords.MatchString(formula)) {
					t.Errorf("%s!%s holds the formula %s", name, cell, formula)
				}
				if ok, link, _ := f.GetCellHyperLink(name, cell); ok && strings.HasPrefix(link, "javascript") {
					t.Errorf("%s!%s links to %s", name, cell, link)
				}
			}
		}
	}
	if got, _ := f.GetCellValue("Ranking", "A4"); got != bad {
		t.Errorf("the title reads %q", got)
	}
}

func TestBewareStandsOnStartRankingAndViewing(t *testing.T) {
	f := opened(t, books(t)["scan"])
	for _, name := range []string{"Start here", "Ranking", "Viewing list"} {
		rows, _ := f.GetRows(name)
		found := false
		for _, r := range rows {
			line := strings.Join(r, " ")
			if strings.Contains(line, "no. 0") && strings.Contains(line, "structural fault") {
				found = true
			}
		}
		if !found {
			t.Errorf("%s: no word of caution beside the ask that is well below", name)
		}
	}
}

func TestViewingListCanBeFilledIn(t *testing.T) {
	f := opened(t, books(t)["scan"])
	if err := f.SetCellStr("Viewing list", "F5", "called, no answer"); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	if cell, filled, err := sheet.Filled(out.Bytes()); !filled || cell != "Viewing list!F5" {
		t.Errorf("filled %v at %q (%v)", filled, cell, err)
	}
}

func TestNothingIsCalledABargain(t *testing.T) {
	for command, b := range books(t) {
		f := opened(t, b)
		for _, name := range f.GetSheetList() {
			rows, _ := f.GetRows(name)
			for _, r := range rows {
				line := strings.ToLower(strings.Join(r, " "))
				if strings.Contains(line, "bargain") || strings.Contains(line, " deal ") {
					t.Errorf("%s, %s: %s", command, name, line)
				}
			}
		}
	}
}

func TestPurposeAddsItsColumns(t *testing.T) {
	s := sample(t)
	margin := func() string {
		f := opened(t, ScanWorkbook(s, View{When: when}))
		rows, _ := f.GetRows("Ranking", excelize.Options{RawCellValue: true})
		last := len(rows[2]) - 1
		if rows[2][last] != head("all_in.margin") {
			return ""
		}
		return rows[3][last]
	}
	if got := margin(); got != "1750" { // ready at 6,000 less the ask of 2,000 and 2,250 of work
		t.Errorf("margin %q", got)
	}
	s.Options.Purpose = ""
	for i := range s.Boats {
		s.Boats[i].Outlay = nil
	}
	if got := margin(); got != "" {
		t.Errorf("margin %q without a purpose", got)
	}
}

func TestRatioStudyTellsWhatIsOutside(t *testing.T) {
	for _, k := range []struct {
		v    float64
		want bool
	}{{1.2, true}, {0.89, true}, {0.9, false}, {1.1, false}, {math.NaN(), false}} {
		s := sample(t)
		s.Ratio.Median = k.v
		f := opened(t, ScanWorkbook(s, View{When: when}))
		rows, _ := f.GetRows("Method and cautions")
		found := false
		for _, r := range rows {
			found = found || len(r) > 3 && r[0] == "median ratio" && strings.HasPrefix(r[3], "outside")
		}
		if found != k.want {
			t.Errorf("median ratio %v: outside %v", k.v, found)
		}
	}
}

func TestDefectIsToldFromBothSides(t *testing.T) {
	v := View{Book: facts(t), When: when}
	f := opened(t, ScanWorkbook(sample(t), v))
	rows, _ := f.GetRows("Ranking")
	if line := strings.Join(rows[len(rows)-1], " "); !strings.Contains(line, "As if sound it would be expected at 3,086; with soft deck at 1,543 to 2,160.") {
		t.Errorf("the boat with a soft deck reads %s", line)
	}
}
