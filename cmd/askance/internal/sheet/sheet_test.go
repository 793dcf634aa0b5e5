package sheet

import (
	"archive/zip"
	"bytes"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

var when = time.Date(2026, time.April, 12, 9, 30, 0, 0, time.UTC)

// example describes a workbook that uses everything there is.
func example() *Book {
	b := &Book{Creator: "tester", Category: "example", Title: "An example", When: when}
	s := b.Add("Prices")
	s.Widths(30, 12, 10)
	s.Title("Prices of things")
	s.Para(strings.Repeat("words that run over the line ", 12))
	s.Note("mind the step")
	area := s.Table(Table{
		Columns: []Column{{Head: "thing", Means: "what it is"}, {Head: "ask"}, {Head: "gap"}, {Head: "verdict", Width: 14}},
		Rows: [][]Cell{
			{Str("chair").Link("https://example.org/a?b=1&c=2"), Money(120.5, "EUR", 2), Percent(-0.25, 0).Signed(), Str("low")},
			{Str("=table").Wrapped(), Money(80, "EUR", 2), Percent(0.1, 1), Str("high")},
			{Str("sum").Marked(Total), Money(200.5, "EUR", 2).Formula("SUM(B6:B7)").Marked(Total), Cell{}, Cell{}},
		},
		Frozen: 1, Filter: true, Repeat: true,
	})
	s.Rule(area.Column(3), "low", Low)
	s.Choices(area.Column(3), "low", "high")
	s.Fillable(Area{Sheet: s, Row: 20, Col: 2, Rows: 3, Cols: 1})
	c := b.Add("Curve")
	c.OnePage()
	c.Heading("The curve")
	points := c.Table(Table{Columns: []Column{{Head: "x"}, {Head: "y"}}, Rows: [][]Cell{{Num(0, 1), Percent(1, 0)}, {Num(1, 1), Percent(0.9, 0)}}})
	c.Chart(Chart{Title: "y by x", XTitle: "x", YTitle: "y", Width: 400, Height: 300, Series: []Series{{Name: points.From(-1, 1), X: points.Range(0), Y: points.Range(1)}, {Name: points.From(-1, 1), X: points.Range(0), Y: points.Range(1), Dashed: true}}}, 3, 4)
	c.Chart(Chart{Kind: Bars, Title: "bars", Width: 400, Height: 300, Series: []Series{{Name: points.From(-1, 1), X: points.Range(0), Y: points.Range(1)}}}, 20, 4)
	c.Row(Str("back").To(s), Date(when), Year(1998), Int(12345))
	beside := c.Beside(2, 8, Str("left, or not"), Str("right"))
	c.ChoicesFrom(Area{Sheet: c, Row: 9, Col: 1, Rows: 1, Cols: 1}, Area{Sheet: c, Row: beside.Row, Col: 8, Rows: 2, Cols: 1})
	c.Numbers(Area{Sheet: c, Row: 9, Col: 2, Rows: 1, Cols: 1}, 1900, 2100)
	c.Print(Area{Sheet: c, Row: 1, Col: 1, Rows: 5, Cols: 4})
	return b
}

func written(t testing.TB, b *Book) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := b.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func opened(t testing.TB, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func TestSameValuesGiveSameBytes(t *testing.T) {
	first := written(t, example())
	for range 20 {
		if !bytes.Equal(first, written(t, example())) {
			t.Fatal("two runs gave different bytes")
		}
	}
	later := example()
	later.When = when.Add(time.Hour)
	if bytes.Equal(first, written(t, later)) {
		t.Fatal("the time of making is not kept")
	}
}

func TestTableOfContentsStandsFirst(t *testing.T) {
	data := written(t, example())
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	if z.File[0].Name != "[Content_Types].xml" {
		t.Errorf("first part is %s", z.File[0].Name)
	}
}

func TestCellsReadBack(t *testing.T) {
	f := opened(t, written(t, example()))
	for _, c := range []struct{ sheet, cell, shown, raw string }{
		{"Prices", "A1", "Prices of things", "Prices of things"},
		{"Prices", "A4", "thing", "thing"},
		{"Prices", "B5", "120.50 EUR", "120.5"},
		{"Prices", "C5", "-25%", "-0.25"},
		{"Prices", "C6", "10.0%", "0.1"},
		{"Prices", "A6", "=table", "=table"},
		{"Prices", "B7", "200.50 EUR", "200.5"},
		{"Curve", "B5", "2026-04-12", "46124"},
		{"Curve", "C5", "1998", "1998"},
		{"Curve", "D5", "12,345", "12345"},
	} {
		shown, err := f.GetCellValue(c.sheet, c.cell)
		if shown = strings.TrimSpace(shown); err != nil || shown != c.shown {
			t.Errorf("%s!%s shows %q (%v), want %q", c.sheet, c.cell, shown, err, c.shown)
		}
		raw, _ := f.GetCellValue(c.sheet, c.cell, excelize.Options{RawCellValue: true})
		if raw != c.raw {
			t.Errorf("%s!%s holds %q, want %q", c.sheet, c.cell, raw, c.raw)
		}
	}
	if formula, _ := f.GetCellFormula("Prices", "B7"); formula != "SUM(B6:B7)" {
		t.Errorf("formula %q", formula)
	}
	if formula, _ := f.GetCellFormula("Prices", "A6"); formula != "" {
		t.Errorf("a text became the formula %q", formula)
	}
	if ok, link, _ := f.GetCellHyperLink("Prices", "A5"); !ok || link != "https://example.org/a?b=1&c=2" {
		t.Errorf("link %q", link)
	}
	if ok, link, _ := f.GetCellHyperLink("Curve", "A5"); !ok || link != "'Prices'!A1" {
		t.Errorf("link inside %q", link)
	}
}

func TestPrintAndViewAreSetUp(t *testing.T) {
	f := opened(t, written(t, example()))
	for _, name := range []string{"Prices", "Curve"} {
		p, err := f.GetPageLayout(name)
		if err != nil {
			t.Fatal(err)
		}
		if high := map[string]int{"Prices": 0, "Curve": 1}[name]; *p.FitToHeight != high {
			t.Errorf("%s: %d pages high, want %d", name, *p.FitToHeight, high)
		}
		if *p.Size != 9 || *p.Orientation != "landscape" || *p.FitToWidth != 1 {
			t.Errorf("%s: page %v %v %v %v", name, *p.Size, *p.Orientation, *p.FitToWidth, *p.FitToHeight)
		}
		props, err := f.GetSheetProps(name)
		if err != nil || props.FitToPage == nil || !*props.FitToPage {
			t.Errorf("%s: not fitted to the page's width (%v)", name, err)
		}
		foot, err := f.GetHeaderFooter(name)
		if err != nil || foot.OddFooter != "&L"+name+"&RPage &P of &N" {
			t.Errorf("%s: footer %+v (%v)", name, foot, err)
		}
	}
	panes, err := f.GetPanes("Prices")
	if err != nil || !panes.Freeze || panes.XSplit != 1 || panes.YSplit != 4 {
		t.Errorf("panes %+v (%v)", panes, err)
	}
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name] = n.RefersTo
	}
	if names["_xlnm.Print_Titles"] != "'Prices'!$4:$4" {
		t.Errorf("repeated row %q", names["_xlnm.Print_Titles"])
	}
	if names["_xlnm._FilterDatabase"] != "'Prices'!$A$4:$D$7" {
		t.Errorf("filter %q", names["_xlnm._FilterDatabase"])
	}
	comments, err := f.GetComments("Prices")
	if err != nil || len(comments) != 1 || comments[0].Cell != "A4" || !strings.Contains(comments[0].Text, "what it is") {
		t.Errorf("notes %+v (%v)", comments, err)
	}
	if lists, _ := f.GetDataValidations("Prices"); len(lists) != 1 || lists[0].Sqref != "D5:D7" {
		t.Errorf("lists %+v", lists)
	}
	if rules, _ := f.GetConditionalFormats("Prices"); len(rules["D5:D7"]) != 1 {
		t.Errorf("rules %+v", rules)
	}
	charts := 0
	f.Pkg.Range(func(name, _ any) bool {
		if strings.HasPrefix(name.(string), "xl/charts/chart") {
			charts++
		}
		return true
	})
	if charts != 2 {
		t.Errorf("%d charts", charts)
	}
	doc, err := f.GetDocProps()
	if err != nil || doc.Creator != "tester" || doc.Category != "example" || doc.Created != "2026-04-12T09:30:00Z" {
		t.Errorf("properties %+v (%v)", doc, err)
	}
}

func TestNoNumberIsEmpty(t *testing.T) {
	for _, c := range []Cell{Num(math.NaN(), 2), Money(math.Inf(1), "EUR", 0), Percent(math.Inf(-1), 0), Str(""), Date(time.Time{})} {
		if !c.IsEmpty() {
			t.Errorf("%+v shows something", c)
		}
	}
}

func TestBookWithoutSheets(t *testing.T) {
	if err := (&Book{}).Write(io.Discard); err == nil {
		t.Fatal("an empty book was written")
	}
}

func TestFilled(t *testing.T) {
	data := written(t, example())
	if cell, filled, err := Filled(data); err != nil || filled {
		t.Fatalf("a fresh workbook is filled at %q (%v)", cell, err)
	}
	f := opened(t, data)
	if err := f.SetCellStr("Prices", "B30", "outside"); err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellStr("Prices", "B21", "a note"); err != nil {
		t.Fatal(err)
	}
	if err := f.InsertRows("Prices", 2, 2); err != nil { // the reader moves things about
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	if cell, filled, err := Filled(out.Bytes()); err != nil || !filled || cell != "Prices!B23" {
		t.Fatalf("filled %v at %q (%v)", filled, cell, err)
	}
	if _, _, err := Filled([]byte("no workbook")); err == nil {
		t.Fatal("any bytes pass for a workbook")
	}
}

func TestWhatStandsBesideIsNotPrinted(t *testing.T) {
	f := opened(t, written(t, example()))
	if got, _ := f.GetCellValue("Curve", "I2"); got != "right" {
		t.Errorf("I2 is %q", got)
	}
	if got, _ := f.GetCellValue("Curve", "A5"); got != "back" {
		t.Errorf("the block after the table starts with %q", got)
	}
	printed := ""
	for _, n := range f.GetDefinedName() {
		if strings.HasSuffix(n.Name, "Print_Area") && n.Scope == "Curve" {
			printed = n.RefersTo
		}
	}
	if printed != "'Curve'!$A$1:$D$5" {
		t.Errorf("print area %q", printed)
	}
}

func TestOnlyWhatIsOfferedCanBeTyped(t *testing.T) {
	rules, err := opened(t, written(t, example())).GetDataValidations("Curve")
	if err != nil || len(rules) != 2 {
		t.Fatalf("%d rules (%v)", len(rules), err)
	}
	if r := rules[0]; r.Type != "list" || r.Sqref != "A9:A9" || r.Formula1 != "$H$2:$H$3" || !r.ShowErrorMessage {
		t.Errorf("list %+v", *r)
	}
	if r := rules[1]; r.Type != "decimal" || r.Sqref != "B9:B9" || r.Formula1 != "1900" || r.Formula2 != "2100" || !r.ShowErrorMessage || !r.AllowBlank {
		t.Errorf("numbers %+v", *r)
	}
}
