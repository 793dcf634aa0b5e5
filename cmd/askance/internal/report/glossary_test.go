package report

import (
	"bytes"
	"encoding/csv"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"askance/ingest/boat"
)

func TestGlossaryIsSound(t *testing.T) {
	seen := map[string]bool{}
	for _, term := range Glossary() {
		if key := term.Kind + " " + term.ID; seen[key] {
			t.Errorf("%s stands twice", key)
		} else {
			seen[key] = true
		}
		if term.Head == "" || term.Kind == "column" && term.Means == "" {
			t.Errorf("%s %s lacks its words", term.Kind, term.ID)
		}
	}
	if len(seen) < 60 {
		t.Errorf("only %d terms", len(seen))
	}
}

// TestEveryHeaderIsInTheGlossary looks at each styled header row of each
// workbook, at each CSV and at each table on the terminal.
func TestEveryHeaderIsInTheGlossary(t *testing.T) {
	heads, ids := map[string]bool{}, map[string]bool{}
	for _, term := range Glossary() {
		if term.Kind == "column" {
			heads[term.Head], ids[term.ID] = true, true
		}
	}
	for command, b := range books(t) {
		for where, h := range workbookHeads(t, opened(t, b)) {
			if !heads[h] {
				t.Errorf("%s %s: the header %q is not in the glossary", command, where, h)
			}
		}
	}
	for name, header := range csvHeads(t) {
		for _, h := range header {
			if !ids[strings.TrimPrefix(h, "boat.")] {
				t.Errorf("%s: the CSV header %q is not in the glossary", name, h)
			}
		}
	}
}

// workbookHeads gives the texts of all cells drawn as headers, by their place.
func workbookHeads(t *testing.T, f *excelize.File) map[string]string {
	out := map[string]string{}
	for _, name := range f.GetSheetList() {
		rows, _ := f.GetRows(name, excelize.Options{RawCellValue: true})
		for r := range rows {
			for c, text := range rows[r] {
				cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
				id, _ := f.GetCellStyle(name, cell)
				style, err := f.GetStyle(id)
				if err != nil {
					t.Fatal(err)
				}
				if text != "" && len(style.Fill.Color) > 0 && strings.HasSuffix(style.Fill.Color[0], "D9E1F2") {
					out[name+"!"+cell] = text
				}
			}
		}
	}
	if len(out) < 20 {
		t.Errorf("only %d headers found", len(out))
	}
	return out
}

func csvHeads(t *testing.T) map[string][]string {
	out := map[string][]string{}
	for name, write := range csvWriters(t) {
		var buf bytes.Buffer
		if err := write(&buf); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&buf).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		out[name] = rows[0]
	}
	return out
}

func csvWriters(t *testing.T) map[string]func(io.Writer) error {
	return map[string]func(io.Writer) error{
		"scan":    func(w io.Writer) error { return ScanCSV(w, sample(t), View{}) },
		"price":   func(w io.Writer) error { return PriceCSV(w, samplePricing(t), View{}) },
		"reserve": func(w io.Writer) error { return ReserveCSV(w, sampleFleet(t), View{}) },
		"read":    func(w io.Writer) error { return ReadCSV(w, []boat.Listing{full(0)}) },
	}
}

func TestCSVNamesTheFieldsOfTheJSON(t *testing.T) {
	want := map[string]string{
		"read":    "id,kind,boats,source.file,source.at,source.url,title,text,price.amount,price.currency,price.terms,price.quote,paid.amount,paid.currency,sold,year.value,year.month,year.from,year.quote,year.conflict,class,maker,length_m,hull_number,condition.value,condition.from,condition.quote,seller,place,listed,findings,problems",
		"scan":    "id,title,source.file,source.at,source.url,ask,expected,low,high,gap,verdict,outside_range,p,p_adjusted,all_in.purpose,all_in.cost_low,all_in.cost_high,all_in.cost_to_ready,all_in.all_in,all_in.ready_expected,all_in.ready_low,all_in.ready_high,all_in.margin,offer.highest,cautions,not_judged_because,as_of,currency",
		"reserve": "row,title,expected,low,high,reserve,cautions,as_of,currency",
	}
	got := csvHeads(t)
	for name, w := range want {
		if g := strings.Join(got[name], ","); g != w {
			t.Errorf("%s:\n got %s\nwant %s", name, g, w)
		}
	}
	for _, h := range []string{"as_of", "currency", "boat.id", "boat.place", "place", "asking", "market.read"} {
		if !slices.Contains(got["price"], h) {
			t.Errorf("price: no column %s in %v", h, got["price"])
		}
	}
}

func TestCSVTextIsInert(t *testing.T) {
	l := full(0)
	l.Title, l.Text, l.Place.Value = "=cmd|' /C calc'!A0", "\tx", "@here"
	l.Findings, l.Problems, l.Notes = nil, nil, []string{"-1 or 2"}
	var buf bytes.Buffer
	if err := ReadCSV(&buf, []boat.Listing{l}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&buf).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cells := map[string]string{}
	for i, h := range rows[0] {
		cells[h] = rows[1][i]
	}
	for h, want := range map[string]string{"title": "'=cmd|' /C calc'!A0", "text": "'\tx", "place": "'@here", "problems": "'-1 or 2", "findings": "", "price.amount": "2000", "year.month": "5", "sold": "false"} {
		if cells[h] != want {
			t.Errorf("%s is %q, want %q", h, cells[h], want)
		}
	}
	var scan bytes.Buffer
	if err := ScanCSV(&scan, sample(t), View{}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(scan.String(), ",-0.509804,well below,true,") {
		t.Error("a negative number was taken for a text")
	}
}
