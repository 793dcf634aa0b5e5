package table

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const hostileFolder = "../../testdata/hostile"

// TestHostileFiles reads the broken files kept for it: each gives rows or a
// clear message.
func TestHostileFiles(t *testing.T) {
	for _, test := range []struct {
		file     string
		rows     []string
		problems []string // how each starts
		err      string
	}{
		{file: "stray-quotes.csv",
			rows: []string{
				`2: title="Blue" cat, needs love price=1200 place=Northey`,
				`3: title=Opened and not closed price=1300 place=Northey`,
				`4: title=Cat with a "nice" sail, old price=1400 place=Eastmoor`,
				`5: title=The last one price=1500 place=Eastmoor`},
			problems: []string{`stray-quotes.csv:3:1: wanted a closing quote before the next delimiter`}},
		{file: "mixed-charset.csv",
			rows:     []string{"2: title=Grüner Kat price=900 place=Süderhafen", "3: title=Schöner Kat price=950 place=Süderhafen"},
			problems: []string{`mixed-charset.csv: wanted UTF-8 throughout, found "1 bytes that are not"`}},
		{file: "zero-bytes.csv",
			rows:     []string{"2: title=Cat price=1200 place=Northey"},
			problems: []string{`zero-bytes.csv: wanted text, found "6 control characters"`}},
		{file: "two-bytes-no-mark.csv", rows: []string{"2: title=Grüner Kat price=900 place=Süderhafen"}},
		{file: "pdf-renamed.csv", err: "pdf-renamed.csv: wanted delimited text or an .xlsx workbook, found a PDF document (hint: "},
		{file: "page-renamed.csv", err: "page-renamed.csv: wanted delimited text or an .xlsx workbook, found a web page (hint: "},
		{file: "cut-off.xlsx", err: "cut-off.xlsx: wanted an .xlsx workbook, found a cut-off or damaged one: "},
		{file: "damaged-part.xlsx", err: "damaged-part.xlsx: wanted an .xlsx workbook, found a damaged one: xl/worksheets/sheet1.xml: "},
		{file: "declares-10-gib.xlsx", err: "declares-10-gib.xlsx: wanted a workbook of at most 128.0 MiB unpacked, found more (hint: "},
		{file: "wide-grid.xlsx", rows: []string{"2: title=Cat price=1200 place=Northey"}},
	} {
		t.Run(test.file, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(hostileFolder, test.file))
			if err != nil {
				t.Fatal(err)
			}
			b, err := Read(test.file, data, known)
			if test.err != "" {
				if err == nil || !strings.HasPrefix(err.Error(), test.err) {
					t.Errorf("err = %v, want %s…", err, test.err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.rows, flat(b)); diff != "" {
				t.Error(diff)
			}
			found := problems(b)
			if len(found) != len(test.problems) {
				t.Fatalf("problems %q, want %d", found, len(test.problems))
			}
			for i, p := range found {
				if !strings.HasPrefix(p, test.problems[i]) {
					t.Errorf("problem %q, want %s…", p, test.problems[i])
				}
			}
		})
	}
}

// A cell of 8 MB, a line of 300,000 cells and a file of quotes alone are
// read within the limits.
func TestHugeTexts(t *testing.T) {
	for _, test := range []struct {
		name, data string
		rows       int
		problem    string
	}{
		{"huge cell", "Title,Price\n\"" + strings.Repeat("cat ", 2_000_000) + "\",1\nDog,2\n", 2, "wanted at most 32768 bytes of text"},
		{"wide line", "Title,Price\nCat,1" + strings.Repeat(",x", 300_000) + "\nDog,2\n", 2, `found "300000 more"`},
		{"quotes", "Title,Price\nCat,1\n" + strings.Repeat(`"`, 3_000_001), 2, ""},
		{"opened quotes", "Title,Price\nCat,1\n" + strings.Repeat("\"x,", 1_000_000), 2, "wanted a closing quote"},
		{"opened quotes on lines", "Title,Price\nCat,1\n" + strings.Repeat("\"\"x\n", 150_000), 150_001, "wanted a closing quote"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := mustRead(t, "x.csv", test.data, known)
			if len(b.Rows) != test.rows {
				t.Errorf("%d rows, want %d", len(b.Rows), test.rows)
			}
			for _, r := range b.Rows {
				for _, c := range r.Cells {
					if len(c.Text) > 32<<10 {
						t.Errorf("a text of %d bytes is kept", len(c.Text))
					}
				}
			}
			if got := strings.Join(problems(b), "\n"); !strings.Contains(got, test.problem) {
				t.Errorf("problems %.300q, want %q", got, test.problem)
			}
		})
	}
}
