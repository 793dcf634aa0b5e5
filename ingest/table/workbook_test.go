package table

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// workbook makes an .xlsx file with a library.
func workbook(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	buf, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// fillRow puts values into a row from column A on.
func fillRow(t testing.TB, f *excelize.File, sheet string, row int, values ...any) {
	t.Helper()
	cell, err := excelize.CoordinatesToCellName(1, row)
	if err == nil {
		err = f.SetSheetRow(sheet, cell, &values)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// format gives a cell a number format of its own.
func format(t testing.TB, f *excelize.File, sheet, cell, code string) {
	t.Helper()
	style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
	if err == nil {
		err = f.SetCellStyle(sheet, cell, cell, style)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// bare makes an .xlsx file with one sheet, written out by hand.
func bare(t testing.TB, workbookAttributes, rows string) []byte {
	const head = `<?xml version="1.0" encoding="UTF-8"?>`
	const ns = ` xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`
	const rel = `http://schemas.openxmlformats.org/officeDocument/2006/relationships/`
	const pkg = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
	return packed(t,
		"[Content_Types].xml", head+`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`,
		"_rels/.rels", head+pkg+`<Relationship Id="rId1" Type="`+rel+`officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml", head+`<workbook`+ns+`><workbookPr`+workbookAttributes+`/><sheets><sheet name="List" sheetId="1" r:id="rId1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels", head+pkg+`<Relationship Id="rId1" Type="`+rel+`worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="`+rel+`styles" Target="styles.xml"/></Relationships>`,
		"xl/styles.xml", head+`<styleSheet`+ns+`><fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
		"xl/worksheets/sheet1.xml", head+`<worksheet`+ns+`><sheetData>`+rows+`</sheetData></worksheet>`)
}

func TestWorkbookValues(t *testing.T) {
	day := time.Date(2024, 5, 17, 13, 30, 0, 0, time.UTC)
	for _, test := range []struct {
		name, format string
		value        any
		want, unit   string
	}{
		{"text", "", " Cat \n red ", "Cat \n red", ""},
		{"year", "", 2009, "2009", ""},
		{"price", "", 3450, "3450", ""},
		{"price with cents in full", "0", 3450.75, "3450.75", ""},
		{"thousands", "#,##0", 3450, "3450", ""},
		{"small", "", 0.00000123, "0.00000123", ""},
		{"negative", "#,##0;(#,##0)", -5, "-5", ""},
		{"share", "0%", 0.25, "0.25", ""},
		{"euros", `#,##0.00\ [$€-407]`, 3450.5, "3450.5", "€"},
		{"accounting", `_-* #,##0.00\ "USD"_-;-* #,##0.00\ "USD"_-`, 3450, "3450", "USD"},
		{"sign in front", `[$£-809]#,##0`, 1999, "1999", "£"},
		{"metres", `0.00" m"`, 5.05, "5.05", "m"},
		{"zero with unit", `0" m"`, 0, "0", "m"},
		{"negative with unit", `0.00" m";-0.00" m"`, -1.5, "-1.5", "m"},
		{"scaled in show", `#,##0," k€"`, 3450, "3450", ""},
		{"text under a unit's format", `0.00" m"`, "about 5", "about 5", ""},
		{"date", "dd.mm.yyyy", day, "2024-05-17", ""},
		{"date with words", `[$-407]d. mmmm yyyy;@`, day, "2024-05-17", ""},
		{"date with time", "m/d/yy h:mm", day, "2024-05-17", ""},
		{"month", "mmm-yy", day, "2024-05-17", ""},
		{"time", "h:mm", 0.5, "12:00:00", ""},
		{"text under a date's format", "yyyy-mm-dd", "May 2024", "May 2024", ""},
		{"true", "", true, "TRUE", ""},
		{"false", "", false, "FALSE", ""},
		{"text of digits", "@", "007", "007", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			data := workbook(t, func(f *excelize.File) {
				fillRow(t, f, "Sheet1", 1, "Title", "Value")
				fillRow(t, f, "Sheet1", 2, "Cat", test.value)
				if test.format != "" {
					format(t, f, "Sheet1", "B2", test.format)
				}
			})
			c := mustRead(t, "x.xlsx", string(data), known).Rows[0].Cells[1]
			if c.Text != test.want || c.Unit != test.unit {
				t.Errorf("%q with unit %q, want %q with %q", c.Text, c.Unit, test.want, test.unit)
			}
		})
	}
}

func TestUnitOfHeaderComesFirst(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		fillRow(t, f, "Sheet1", 1, "Price (USD)", "Price")
		fillRow(t, f, "Sheet1", 2, 3450, 3450)
		format(t, f, "Sheet1", "A2", `#,##0\ [$€-407]`)
		format(t, f, "Sheet1", "B2", `#,##0\ [$€-407]`)
	})
	if diff := cmp.Diff([]string{"2: price=3450[USD] price=3450[€]"}, flat(mustRead(t, "x.xlsx", string(data), known))); diff != "" {
		t.Error(diff)
	}
}

func TestBuiltInDateFormats(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		fillRow(t, f, "Sheet1", 1, "Title", "Price")
		for i, id := range []int{14, 15, 16, 17, 22, 4, 20, 46} {
			fillRow(t, f, "Sheet1", 2+i, id, 45429.25)
			style, err := f.NewStyle(&excelize.Style{NumFmt: id})
			if err != nil {
				t.Fatal(err)
			}
			cell, _ := excelize.CoordinatesToCellName(2, 2+i)
			if err := f.SetCellStyle("Sheet1", cell, cell, style); err != nil {
				t.Fatal(err)
			}
		}
	})
	want := []string{"2: title=14 price=2024-05-17", "3: title=15 price=2024-05-17", "4: title=16 price=2024-05-17",
		"5: title=17 price=2024-05-17", "6: title=22 price=2024-05-17", "7: title=4 price=45429.25",
		"8: title=20 price=06:00:00", "9: title=46 price=06:00:00"}
	if diff := cmp.Diff(want, flat(mustRead(t, "x.xlsx", string(data), known))); diff != "" {
		t.Error(diff)
	}
}

// The serial number of a day differs by 1462 between the two date systems
// (ECMA-376 part 1, 18.17.4.1).
func TestDateSystems(t *testing.T) {
	const rows = `<row r="1"><c r="A1" t="str"><v>Title</v></c><c r="B1" t="str"><v>Listed</v></c></row>` +
		`<row r="2"><c r="A2" t="str"><v>Cat</v></c><c r="B2" s="1"><v>43967</v></c></row>`
	for attributes, want := range map[string]string{"": "2020-05-16", ` date1904="1"`: "2024-05-17"} {
		b := mustRead(t, "x.xlsx", string(bare(t, attributes, rows)), known)
		if got := b.Rows[0].Text("listed"); got != want {
			t.Errorf("workbookPr%s: %s, want %s", attributes, got, want)
		}
	}
}

func TestStoredResultsAndErrors(t *testing.T) {
	const rows = `<row r="3"><c r="B3" t="str"><v>Title</v></c><c r="C3" t="inlineStr"><is><r><t>Pri</t></r><r><t>ce</t></r></is></c><c r="D3" t="str"><v>Year</v></c><c r="E3" t="str"><v>Place</v></c></row>` +
		`<row r="4"><c r="B4" t="str"><f>A1&amp;"x"</f><v>Cat</v></c><c r="C4"><f>1000*3.45</f><v>3450</v></c><c r="D4" t="e"><v>#N/A</v></c><c r="E4" t="b"><f>1=1</f><v>1</v></c></row>`
	b := mustRead(t, "x.xlsx", string(bare(t, "", rows)), known)
	if diff := cmp.Diff([]string{"4: title=Cat price=3450 year= place=TRUE"}, flat(b)); diff != "" {
		t.Error(diff)
	}
	want := []string{`x.xlsx:List!D4: wanted a value, found "#N/A" (hint: the spreadsheet had no result for this cell)`}
	if diff := cmp.Diff(want, problems(b)); diff != "" {
		t.Error(diff)
	}
	if at := b.Rows[0].Cells[1].At.String(); at != "x.xlsx:List!C4" {
		t.Errorf("the price stands at %s", at)
	}
	if at := b.Rows[0].At.At(); at != "List!4" {
		t.Errorf("the row stands at %s", at)
	}
}

func TestSheets(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		for _, name := range []string{"Second", "Notes", "Hidden", "Empty"} {
			if _, err := f.NewSheet(name); err != nil {
				t.Fatal(err)
			}
		}
		fillRow(t, f, "Sheet1", 1, "All that was found this spring")
		if err := f.MergeCell("Sheet1", "A1", "D2"); err != nil {
			t.Fatal(err)
		}
		fillRow(t, f, "Sheet1", 4, nil, "Title", "Price")
		fillRow(t, f, "Sheet1", 6, nil, "Cat", 1)
		fillRow(t, f, "Second", 1, "Preis", "Titel", "Farbe")
		fillRow(t, f, "Second", 2, 2, "Dog", "red")
		fillRow(t, f, "Notes", 1, "nothing", "here")
		fillRow(t, f, "Hidden", 1, "Title", "Price")
		fillRow(t, f, "Hidden", 2, "Owl", 3)
		if err := f.SetSheetVisible("Hidden", false); err != nil {
			t.Fatal(err)
		}
	})
	b := mustRead(t, "x.xlsx", string(data), known)
	if diff := cmp.Diff([]string{"6: title=Cat price=1", "2: price=2 title=Dog Farbe:red"}, flat(b)); diff != "" {
		t.Error(diff)
	}
	var skipped []string
	for _, s := range b.Skipped {
		skipped = append(skipped, s.At.At()+" "+s.Title+": "+s.Reason)
	}
	want := []string{"Hidden!1 Hidden: the sheet is hidden", "Sheet1!1 All that was found this spring: stands above the header",
		"Notes!1 nothing: the sheet has no header that is recognised"}
	if diff := cmp.Diff(want, skipped); diff != "" {
		t.Error(diff)
	}

	b = mustRead(t, "x.xlsx", string(data), Options{})
	if len(b.Rows) != 2 || len(b.Problems) != 3 {
		t.Errorf("with no header known, %d rows and %d problems, want the 2 rows of the two lists and a problem for each sheet", len(b.Rows), len(b.Problems))
	}
	if _, err := Read("x.xlsx", data, Options{Column: map[string]string{"price": "FARBE"}}); err != nil {
		t.Errorf("a header of the second sheet is not found: %v", err)
	}
}

func TestLinks(t *testing.T) {
	link := func(f *excelize.File, cell, target string) {
		if err := f.SetCellHyperLink("Sheet1", cell, target, "External"); err != nil {
			t.Fatal(err)
		}
	}
	data := workbook(t, func(f *excelize.File) {
		fillRow(t, f, "Sheet1", 1, "Title", "Price", "Seller")
		fillRow(t, f, "Sheet1", 2, "Cat", 1, "me")
		fillRow(t, f, "Sheet1", 3, "Dog", 2, "you")
		fillRow(t, f, "Sheet1", 4, nil, 3, "they")
		fillRow(t, f, "Sheet1", 5, "Elk", 4, "we")
		link(f, "C2", "https://example.org/seller")
		link(f, "A2", "https://example.org/cat")
		link(f, "A3", "javascript:alert(1)")
		link(f, "C5", "https://example.org/elk")
		if err := f.SetCellFormula("Sheet1", "A4", `HYPERLINK("https://example.org/owl","Owl")`); err != nil {
			t.Fatal(err)
		}
	})
	want := []string{"2: title=Cat price=1 Seller:me url=https://example.org/cat", "3: title=Dog price=2 Seller:you",
		"4: title= price=3 Seller:they url=https://example.org/owl", "5: title=Elk price=4 Seller:we url=https://example.org/elk"}
	b := mustRead(t, "x.xlsx", string(data), known)
	if diff := cmp.Diff(want, flat(b)); diff != "" {
		t.Error(diff)
	}
	if at := b.Rows[3].Cells[3].At.String(); at != "x.xlsx:Sheet1!C5" {
		t.Errorf("the link stands at %s", at)
	}

	data = workbook(t, func(f *excelize.File) {
		fillRow(t, f, "Sheet1", 1, "Title", "Link")
		fillRow(t, f, "Sheet1", 2, "Cat", "open")
		fillRow(t, f, "Sheet1", 3, "Dog", "https://example.org/shown")
		fillRow(t, f, "Sheet1", 4, "Owl", "")
		link(f, "B2", "https://example.org/cat")
		link(f, "B3", "https://example.org/other")
		link(f, "A4", "https://example.org/title")
	})
	want = []string{"2: title=Cat url=https://example.org/cat", "3: title=Dog url=https://example.org/shown", "4: title=Owl url=https://example.org/title"}
	if diff := cmp.Diff(want, flat(mustRead(t, "x.xlsx", string(data), known))); diff != "" {
		t.Error(diff)
	}
}

func TestOwnWorkbook(t *testing.T) {
	mark := func(creator, category string) []byte {
		return workbook(t, func(f *excelize.File) {
			if err := f.SetDocProps(&excelize.DocProperties{Creator: creator, Category: category}); err != nil {
				t.Fatal(err)
			}
		})
	}
	if command, own := IsOwnWorkbook(mark(Creator, "scan")); command != "scan" || !own {
		t.Errorf("own workbook: %q, %v", command, own)
	}
	if command, own := IsOwnWorkbook(mark("someone", "scan")); own {
		t.Errorf("another's workbook is taken for %q", command)
	}
	for _, data := range []string{"", "a,b\n", string(packed(t, "a", "b")), string(packed(t, "docProps/core.xml", "<x"))} {
		if _, own := IsOwnWorkbook([]byte(data)); own {
			t.Errorf("%.20q is taken for our own", data)
		}
	}
}

func TestNumberFormats(t *testing.T) {
	for _, test := range []struct{ code, want string }{
		{"General", "number"}, {"Standard", "number"}, {"", "number"}, {"@", "number"}, {"0", "number"},
		{`#,##0.00`, "number"}, {`[Red]0`, "number"}, {`0" days"`, "number in days"}, {`\Y0`, "number in Y"},
		{`[$$-409]#,##0.00`, "number in $"}, {`[$CHF] #,##0`, "number in CHF"}, {`#,##0 [$€-407];[Red]-#,##0 [$€-407]`, "number in €"},
		{`_-* #,##0.00 _€_-`, "number"}, {`0.00E+00`, "number"}, {`"No. "0`, "number in No."}, {`0.0" of ten"`, "number"},
		{"yyyy-mm-dd", "date"}, {"DD.MM.YYYY", "date"}, {"yyyy", "date"}, {"mmmm", "date"}, {"m/d/yyyy h:mm:ss.000", "date"},
		{`yy"年"mm"月"`, "date"}, {"h:mm AM/PM", "time"}, {"[h]:mm", "time"}, {"mm:ss.0", "time"},
	} {
		date, clock, unit := meaningOf(test.code)
		got := "number"
		switch {
		case date:
			got = "date"
		case clock:
			got = "time"
		case unit != "":
			got += " in " + unit
		}
		if got != test.want {
			t.Errorf("%s is a %s, want %s", test.code, got, test.want)
		}
	}
}

func TestWorkbookLimits(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		fillRow(t, f, "Sheet1", 1, "Title", "Price")
		for row := 2; row < 50; row++ {
			fillRow(t, f, "Sheet1", row, "Cat", row, "red", "fast")
		}
	})
	b := mustRead(t, "x.xlsx", string(data), Options{Headers: testHeaders, MaxRows: 5, MaxColumns: 3})
	if len(b.Rows) != 5 || len(b.Rows[0].Cells) != 3 {
		t.Errorf("%d rows, the first of %d cells, want 5 and 3", len(b.Rows), len(b.Rows[0].Cells))
	}
	if got := strings.Join(problems(b), "\n"); !strings.Contains(got, "at most 5 rows") || !strings.Contains(got, "2 cells, as the header has") {
		t.Errorf("problems %q", got)
	}
	_, err := Read("x.xlsx", data, Options{MaxUnzipped: 2000})
	if err == nil || !strings.Contains(err.Error(), "wanted a workbook of at most 0.0 MiB unpacked") {
		t.Errorf("err = %v", err)
	}
}
