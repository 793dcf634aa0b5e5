package table

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"askance/ingest/record"
)

// smallLimits keep a fuzzed file from taking long.
var smallLimits = Options{Headers: testHeaders, MaxUnzipped: 4 << 20, MaxRows: 500, MaxCells: 20_000, MaxColumns: 50, MaxCellBytes: 1000}

// checkInside holds what is true of every batch: rows in order, every place
// inside the file, no text over the limit.
func checkInside(t *testing.T, b record.Batch, lines int) {
	t.Helper()
	inside := func(p record.Pos) {
		if p.File != "x" || p.Line < 0 || p.Line > lines || p.Column < 0 {
			t.Fatalf("%v is not inside the file of %d lines", p, lines)
		}
	}
	for _, r := range b.Rows {
		inside(r.At)
		if r.At.Line < 1 {
			t.Fatalf("row at %v", r.At)
		}
		for _, c := range r.Cells {
			inside(c.At)
			if c.At.Line < r.At.Line || c.At.Column < 1 {
				t.Fatalf("cell at %v in the row at %v", c.At, r.At)
			}
			if len(c.Text) > smallLimits.MaxCellBytes {
				t.Fatalf("text of %d bytes at %v", len(c.Text), c.At)
			}
		}
		for _, p := range r.Problems {
			inside(p.At)
		}
	}
	for _, p := range b.Problems {
		inside(p.At)
	}
	for _, s := range b.Skipped {
		inside(s.At)
	}
	if len(b.Rows) > smallLimits.MaxRows {
		t.Fatalf("%d rows", len(b.Rows))
	}
}

func FuzzText(f *testing.F) {
	for _, seed := range []string{
		"Title,Price\nCat,1\n", "sep=;\nTitel;Preis\n\"a\r\nb\";\"1\n", "a\tb\rc\t\"d\"\"\"\r", "\xff\xfeT\x00;\x00x\x00",
		"Titel;Preis\nK\xe4t;\x80 5\n", "Title|Price\n\"a \"b\" c\"|2|3|4\n", "\xef\xbb\xbfTitle, Price\n\"x\" , \"y\"\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := Read("x", data, smallLimits)
		if err != nil {
			return
		}
		d := decode(data)
		if !utf8.ValidString(d.text) {
			t.Fatal("the decoded text is no UTF-8")
		}
		checkInside(t, b, 1+strings.Count(d.text, "\n")+strings.Count(d.text, "\r"))
	})
}

func FuzzXLSX(f *testing.F) {
	f.Add(bare(f, "", `<row r="1"><c r="A1" t="str"><v>Title</v></c></row><row r="2"><c r="A2" s="1"><v>43967</v></c></row>`))
	f.Add(workbook(f, func(f *excelize.File) {
		_ = f.SetSheetRow("Sheet1", "A1", &[]any{"Title", "Price"})
		_ = f.SetSheetRow("Sheet1", "A2", &[]any{"Cat", 1})
		_ = f.SetCellHyperLink("Sheet1", "A2", "https://example.org", "External")
	}))
	hostile, _ := filepath.Glob(filepath.Join(hostileFolder, "*.xlsx"))
	for _, file := range hostile {
		if data, err := os.ReadFile(file); err == nil {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		IsOwnWorkbook(data)
		if b, err := Read("x", data, smallLimits); err == nil {
			checkInside(t, b, excelize.TotalRows)
		}
	})
}

// FuzzSheet mutates the XML of a sheet inside a sound workbook, which a
// mutation of the packed file hardly ever leaves readable.
func FuzzSheet(f *testing.F) {
	f.Add(`<row r="1"><c r="A1" t="str"><v>Title</v></c><c t="inlineStr"><is><t>Price</t></is></c></row><row r="2"><c r="A2" s="1"><v>43967</v></c><c t="e"><v>#N/A</v></c></row>`, ` date1904="1"`)
	f.Add(`<row><c r="B1"><f>HYPERLINK("https://example.org","x")</f><v>1</v></c></row></sheetData><hyperlinks><hyperlink ref="A1:B2" id="rId1"/></hyperlinks><sheetData>`, "")
	f.Fuzz(func(t *testing.T, rows, attributes string) {
		if b, err := Read("x", bare(t, attributes, rows), smallLimits); err == nil {
			checkInside(t, b, excelize.TotalRows)
		}
	})
}
