package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"slices"
	"strings"
	"testing"
)

// order is the sequence in which the parts of a sheet must stand, or a
// spreadsheet program offers to repair the file (ECMA-376 part 1, 18.3.1.99).
var order = []string{"sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr", "sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState",
	"dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter",
	"rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors", "smartTags", "drawing", "legacyDrawing", "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls",
	"webPublishItems", "tableParts", "extLst"}

// unpacked gives the parts of a file by name.
func unpacked(t testing.TB, data []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if parts[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
		r.Close()
	}
	return parts
}

func TestEveryPartIsWellFormed(t *testing.T) {
	for name, part := range unpacked(t, written(t, example())) {
		d := xml.NewDecoder(bytes.NewReader(part))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
	}
}

func TestSheetsStandInTheOrderOfTheFormat(t *testing.T) {
	for name, part := range unpacked(t, written(t, example())) {
		if !strings.HasPrefix(name, "xl/worksheets/sheet") {
			continue
		}
		last := -1
		for _, child := range children(t, part) {
			i := slices.Index(order, child)
			if i < last || i < 0 {
				t.Errorf("%s: %s stands in the wrong place", name, child)
			}
			last = i
		}
		if last < slices.Index(order, "headerFooter") {
			t.Errorf("%s ends with %s", name, order[max(last, 0)])
		}
	}
}

// children names the elements right below the root.
func children(t testing.TB, part []byte) []string {
	t.Helper()
	var names []string
	depth := 0
	d := xml.NewDecoder(bytes.NewReader(part))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return names
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if depth++; depth == 2 {
				names = append(names, e.Name.Local)
			}
		case xml.EndElement:
			depth--
		}
	}
}

// TestEveryRelationLeadsSomewhere follows what each part says it refers to.
func TestEveryRelationLeadsSomewhere(t *testing.T) {
	parts := unpacked(t, written(t, example()))
	followed := 0
	for name, part := range parts {
		if !strings.HasSuffix(name, ".rels") {
			continue
		}
		var rels struct {
			Relationship []struct {
				Target     string `xml:",attr"`
				TargetMode string `xml:",attr"`
			}
		}
		if err := xml.Unmarshal(part, &rels); err != nil {
			t.Fatal(err)
		}
		base := path.Dir(path.Dir(name))
		for _, r := range rels.Relationship {
			if r.TargetMode == "External" {
				continue
			}
			target := path.Join(base, r.Target)
			if strings.HasPrefix(r.Target, "/") {
				target = r.Target[1:]
			}
			followed++
			if parts[target] == nil {
				t.Errorf("%s refers to %s, which is not there", name, target)
			}
		}
	}
	if followed < 8 {
		t.Errorf("only %d relations", followed)
	}
}
