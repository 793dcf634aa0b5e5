package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"askance/analysis"
	"askance/analysis/price"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
)

// A trialMarket is an invented market with its model and the sheet.
type trialMarket struct {
	model    *price.Model
	book     *knowhow.Book
	listings []*boat.Listing
	survey   *analysis.Survey
}

// inventMarket makes a market of n listings that state everything that a
// model can hold, or with bare only class, year and a few items.
func inventMarket(t testing.TB, n int, seed uint64, bare bool) trialMarket {
	t.Helper()
	tm := trialMarket{book: facts(t)}
	random := rand.New(rand.NewPCG(seed, 5))
	market := &boat.Market{Currency: "EUR", AsOf: when}
	for range n {
		l := tm.inventBoat(random, bare)
		share := 0.12 + 0.88*math.Exp(-0.085*float64(when.Year()-l.Year.Value))
		if n > 300 { // ages enough to show a curve of their own
			share = map[bool]float64{true: 0.9, false: 0.3}[when.Year()-l.Year.Value < 7]
		}
		worth := 11000 * share
		l.Price = boat.Price{Amount: money.Of(worth*math.Exp(0.12*random.NormFloat64()), "EUR"), Known: true}
		market.Listings = append(market.Listings, l)
	}
	for i := range market.Listings {
		tm.listings = append(tm.listings, &market.Listings[i])
	}
	var err error
	if tm.model, err = price.Fit(tm.listings, tm.book, "EUR", price.Tuning{}); err != nil {
		t.Fatal(err)
	}
	tm.survey = &analysis.Survey{Market: market, Model: tm.model.Summary(), Formula: tm.model.Formula(0.8)}
	return tm
}

// inventBoat draws what one boat states.
func (tm trialMarket) inventBoat(random *rand.Rand, bare bool) boat.Listing {
	day := time.Date(when.Year(), when.Month(), when.Day(), 0, 0, 0, 0, time.UTC)
	class := random.IntN(3)
	l := boat.Listing{ID: fmt.Sprint(random.Uint64()), AsOf: day, Kind: boat.ForSale, Boats: 1, Factors: map[string]string{}, Measures: map[string]float64{}}
	l.Class = boat.Know([]string{"Alder 16", "420", "Cedar ~18*"}[class], "column", "", l.Source.At)
	l.Year.Fact = boat.Know(day.Year()-random.IntN(30), "column", "", l.Source.At)
	if !bare {
		l.Length = boat.Know([]float64{5.4, 4.2, 5.9}[class], "column", "", l.Source.At)
		l.Seller = boat.Know([]string{"private", "dealer", "club"}[random.IntN(3)], "column", "", l.Source.At)
		l.Factors["Region"] = []string{"north", "7", ""}[random.IntN(3)]
		l.Measures["Area"] = math.Exp(2 + 0.6*random.NormFloat64())
		if random.IntN(2) == 0 {
			l.Findings = append(l.Findings, boat.Finding{Item: "extra:Number plate", Value: []string{"included", "absent"}[random.IntN(2)]})
		}
	}
	for _, it := range tm.book.Items {
		if it.IsStructural() || random.IntN(3) > 0 || bare && it.Kind != knowhow.Extra {
			continue
		}
		v := it.Levels[random.IntN(len(it.Levels))].ID
		if it.Kind == knowhow.Condition {
			l.Condition = boat.Know(v, "text", "", l.Source.At)
			continue
		}
		l.Findings = append(l.Findings, boat.Finding{Item: it.ID, Value: v})
	}
	return l
}

// state types a boat into the sheet, over the example that stands there.
func (tm trialMarket) state(t testing.TB, f *excelize.File, l *boat.Listing) {
	t.Helper()
	v := View{Book: tm.book}
	typed := map[string]any{named("class"): "", named("length"): "", named("seller"): l.Seller.Value, v.item("condition"): v.value("condition", l.Condition.Value)}
	if l.Class.Known {
		typed[named("class")] = choosable([]string{l.Class.Value})[0]
	}
	if l.Length.Known {
		typed[named("length")] = l.Length.Value
	}
	typed[head("year.value")] = ""
	if l.Year.Known {
		typed[head("year.value")] = l.Year.Value
	}
	for h, x := range l.Factors {
		typed[h] = x
		if x == "" {
			typed[h] = "(blank in the list)"
		}
		if n, err := strconv.Atoi(x); err == nil { // as a spreadsheet takes it when it is chosen
			typed[h] = n
		}
	}
	for h, x := range l.Measures {
		typed[h] = x
	}
	for _, found := range l.Findings {
		label := v.value(found.Item, found.Value)
		if strings.HasPrefix(found.Item, "extra:") {
			label = map[string]string{"included": "yes", "absent": "no"}[found.Value]
		}
		typed[v.item(found.Item)] = label
	}
	for row := range trySteps(t, f) {
		what, _ := f.GetCellValue("Try a boat", "A"+digits(row))
		if value, ok := typed[what]; ok && value != "" {
			f.SetCellValue("Try a boat", "B"+digits(row), value)
		} else if what != "date" && what != named("age") {
			f.SetCellValue("Try a boat", "B"+digits(row), nil)
		}
	}
}

// trySteps gives the rows of the sheet's table with what each is for.
func trySteps(t testing.TB, f *excelize.File) map[int]string {
	t.Helper()
	rows, err := f.GetRows("Try a boat")
	if err != nil {
		t.Fatal(err)
	}
	out, inside := map[int]string{}, false
	for i, r := range rows {
		switch {
		case len(r) > 0 && r[0] == head("particular"):
			inside = true
		case inside && len(r) > 0 && r[0] == head("expected"):
			return out
		case inside:
			out[i+1] = r[0]
		}
	}
	t.Fatal("the table has no end")
	return nil
}

// differs compares the sheet, as cell tells its values, with the model.
func (tm trialMarket) differs(t testing.TB, f *excelize.File, l *boat.Listing, cell func(string) float64) {
	t.Helper()
	val := tm.model.Value(l, 0.8)
	if got := cell("B" + digits(rowWith(t, f, "expected"))); math.Abs(got-val.Fitted) > 0.0101 {
		t.Errorf("%s %d: the sheet says %.2f, the model %.2f", l.Class.Value, l.Year.Value, got, val.Fitted)
	}
	v := View{Book: tm.book}
	want := map[string]float64{}
	for _, p := range val.Parts {
		name := v.step(p)
		if p.What == "condition" && p.Item == "" {
			name = v.item("condition")
		}
		want[name] += p.Amount
	}
	for row, what := range trySteps(t, f) {
		if got := cell("C" + digits(row)); math.Abs(got-want[what]) > 0.0101 {
			t.Errorf("%s %d, %s: the sheet says %.2f, the model %.2f", l.Class.Value, l.Year.Value, what, got, want[what])
		}
		delete(want, what)
	}
	delete(want, named("comparables"))
	delete(want, named("condition"))
	if math.Abs(want[named("rounding")]) < 0.0101 { // a boat from outside the market: rounding
		delete(want, named("rounding"))
	}
	for what, amount := range want {
		if amount != 0 {
			t.Errorf("%s: %.2f has no row", what, amount)
		}
	}
}

// rowWith gives the first row whose first cell is the head of a column.
func rowWith(t testing.TB, f *excelize.File, id string) int {
	t.Helper()
	rows, _ := f.GetRows("Try a boat")
	for i, r := range rows {
		if len(r) > 0 && r[0] == head(id) {
			return i + 1
		}
	}
	t.Fatalf("no row for %s", id)
	return 0
}

// calculated gives the live values of the sheet.
func calculated(t testing.TB, f *excelize.File) func(string) float64 {
	return func(cell string) float64 {
		s, err := f.CalcCellValue("Try a boat", cell, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatalf("%s: %v", cell, err)
		}
		v, _ := strconv.ParseFloat(s, 64)
		return v
	}
}

// boatsToTry are boats from outside the market: full ones, and ones that lack
// what a price hangs on.
func (tm trialMarket) boatsToTry(n int, bare bool) []*boat.Listing {
	random := rand.New(rand.NewPCG(77, 1))
	var out []*boat.Listing
	for i := range n {
		l := tm.inventBoat(random, bare)
		switch i {
		case 1:
			l.Year, l.Findings = boat.BuildYear{}, nil
		case 2:
			l.Class, l.Length, l.Seller = boat.Fact[string]{}, boat.Fact[float64]{}, boat.Fact[string]{}
		case 3:
			l.Year.Value = when.Year() + 1 // not under 0 years
		case 4:
			l.Year.Value = 1950
		case 5:
			l.Factors, l.Measures = nil, nil
		}
		out = append(out, &l)
	}
	return out
}

func TestTryABoatIsTheModel(t *testing.T) {
	for _, k := range []struct {
		listings int
		bare     bool
	}{{60, false}, {60, true}, {310, false}} {
		tm := inventMarket(t, k.listings, 11, k.bare)
		if steps := len(tm.model.Formula(0.8).Pieces) > 0; steps != (k.listings > 300) {
			t.Fatalf("%d listings: an age curve of pieces is %v", k.listings, steps)
		}
		f := opened(t, ScanWorkbook(tm.survey, View{Book: tm.book, When: when}))
		for _, l := range tm.boatsToTry(8, k.bare) {
			tm.state(t, f, l)
			tm.differs(t, f, l, calculated(t, f))
		}
	}
}

// ownWords are all that a formula of the sheet may be made of.
var ownWords = regexp.MustCompile(`^(?:(?:SUM|ROUND|EXP|LN|IF|IFERROR|INDEX|MATCH|ISNUMBER|MAX|MIN|DATE)\(|\$?[A-Z]\$?\d+|[\d.]+|&""|[-+*/^>:,)(])+$`)

func TestTryABoatHoldsNoWordOfAListing(t *testing.T) {
	tm := inventMarket(t, 40, 3, false)
	for i := range tm.survey.Formula.Classes {
		tm.survey.Formula.Classes[i].Name = `"),HYPERLINK("http://x.example","x"` + digits(i)
	}
	tm.survey.Formula.Factors[0].Levels[0] = "=1+1"
	f := opened(t, ScanWorkbook(tm.survey, View{Book: tm.book, When: when}))
	rows, _ := f.GetRows("Try a boat")
	formulas := 0
	for r := range rows {
		for c := range rows[r] {
			cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
			if formula, _ := f.GetCellFormula("Try a boat", cell); formula != "" {
				formulas++
				if !ownWords.MatchString(formula) {
					t.Errorf("%s holds %s", cell, formula)
				}
			}
		}
	}
	if formulas < 50 {
		t.Errorf("only %d formulas", formulas)
	}
}

func TestTryingABoatIsNoNote(t *testing.T) {
	tm := inventMarket(t, 40, 3, false)
	f := opened(t, ScanWorkbook(tm.survey, View{Book: tm.book, When: when}))
	tm.state(t, f, tm.boatsToTry(1, false)[0])
	var out strings.Builder
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	if cell, filled, err := sheet.Filled([]byte(out.String())); filled || err != nil {
		t.Errorf("filled at %q (%v)", cell, err)
	}
}

func TestTryABoatTellsWhatItLacks(t *testing.T) {
	said := func(change func(*analysis.Survey)) string {
		s := sample(t)
		change(s)
		rows, _ := opened(t, ScanWorkbook(s, View{Book: facts(t), When: when})).GetRows("Try a boat")
		var words []string
		for _, r := range rows[:6] {
			words = append(words, strings.Join(r, " "))
		}
		return strings.Join(words, " ")
	}
	dated := func(s *analysis.Survey) { s.Boats[0].Valuation.Parts[0].What = "listed" }
	for words, change := range map[string]func(*analysis.Survey){
		"nearest boats": func(s *analysis.Survey) { s.Formula.Corrected = true }, "drift over the dates": dated,
	} {
		if !strings.Contains(said(change), words) {
			t.Errorf("nothing is said of %s", words)
		}
		if strings.Contains(said(func(s *analysis.Survey) { s.Formula.Corrected = false }), words) {
			t.Errorf("%s are told where there are none", words)
		}
	}
}

// TestTryABoatOffersItsLists holds that every framed cell with words to
// choose from offers those of its list, and the example is one of them.
func TestTryABoatOffersItsLists(t *testing.T) {
	tm := inventMarket(t, 60, 11, false)
	f := opened(t, ScanWorkbook(tm.survey, View{Book: tm.book, When: when}))
	rules, err := f.GetDataValidations("Try a boat")
	if err != nil {
		t.Fatal(err)
	}
	lists := map[string][]string{}
	for _, r := range rules {
		if r.Type != "list" {
			continue
		}
		from, to, _ := strings.Cut(strings.ReplaceAll(r.Formula1, "$", ""), ":")
		col, first, _ := excelize.CellNameToCoordinates(from)
		_, last, _ := excelize.CellNameToCoordinates(to)
		cell, _, _ := strings.Cut(r.Sqref, ":")
		for row := first; row <= last; row++ {
			at, _ := excelize.CoordinatesToCellName(col, row)
			word, _ := f.GetCellValue("Try a boat", at)
			lists[cell] = append(lists[cell], word)
		}
	}
	v := View{Book: tm.book}
	items := map[string]price.FormulaItem{}
	for _, it := range slices.Concat(tm.survey.Formula.Multiply, tm.survey.Formula.Add) {
		items[v.item(it.Item)] = it
	}
	seen := 0
	for row, what := range trySteps(t, f) {
		if it, ok := items[what]; ok {
			seen++
			if list := lists["B"+digits(row)]; len(list) != len(it.Values) || list[0] != v.value(it.Item, it.Values[0]) {
				t.Errorf("%s offers %q", what, list)
			}
		}
		if what == named("class") {
			if class, _ := f.GetCellValue("Try a boat", "B"+digits(row)); !slices.Contains(lists["B"+digits(row)], class) {
				t.Errorf("the example's class %q is not in %q", class, lists["B"+digits(row)])
			}
		}
	}
	if seen != len(items) || seen < 10 {
		t.Errorf("%d of %d items have a row", seen, len(items))
	}
}
