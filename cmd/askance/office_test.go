//go:build office

package main

import (
	"archive/zip"
	"bytes"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// recalculateAlways makes LibreOffice compute every formula of a workbook anew
// when it opens it, whatever value the file keeps beside it.
const recalculateAlways = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// TestWorkbooksRecalculated opens each workbook with a second engine, which
// computes every formula anew, and compares with the values that askance
// wrote beside them. It needs soffice and runs with the build tag office.
func TestWorkbooksRecalculated(t *testing.T) {
	dir := t.TempDir()
	for _, args := range [][]string{
		{"demo", "demo"},
		{"price", "--market", "demo", "--set", "class=Zephrin 16", "--set", "year=2012", "--set", "launching_trolley=included", "--as-of", "2026-09-14", "--workbook", "price.xlsx"},
		{"reserve", "--market", "demo", "--as-of", "2026-09-14", "--workbook", "reserve.xlsx", "fleet.csv"},
	} {
		fleet := "title,class,year\nfirst,Zephrin 16,2012\nsecond,Flindar 14,2005\n"
		if err := os.WriteFile(filepath.Join(dir, "fleet.csv"), []byte(fleet), 0o644); err != nil {
			t.Fatal(err)
		}
		h := quiet(dir, args...)
		h.stderr = t.Output()
		if status := run(h); status != done {
			t.Fatalf("askance %s: exit status %d", strings.Join(args, " "), status)
		}
	}
	profile := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(profile, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(profile, "registrymodifications.xcu"), []byte(recalculateAlways), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"demo/askance-market.xlsx", "price.xlsx", "reserve.xlsx"} {
		t.Run(name, func(t *testing.T) {
			ours := filepath.Join(dir, filepath.FromSlash(name))
			theirs := recalculated(t, ours, filepath.Dir(profile), filepath.Join(dir, "out"))
			formulas, differ := differences(t, ours, theirs)
			for _, d := range differ {
				t.Error(d)
			}
			t.Logf("%s: %d of %d formulas agree", name, formulas-len(differ), formulas)
			if formulas == 0 {
				t.Fatal("no formula found")
			}
			spoilt := spoil(t, ours, filepath.Join(dir, "spoilt.xlsx"))
			if _, differ := differences(t, spoilt, recalculated(t, spoilt, filepath.Dir(profile), filepath.Join(dir, "out"))); len(differ) == 0 {
				t.Error("a formula's kept value was changed, and the comparison did not see it")
			}
		})
	}
}

// recalculated has LibreOffice open a workbook and save what it computed.
func recalculated(t *testing.T, name, profile, out string) string {
	t.Helper()
	cmd := exec.Command("soffice", "-env:UserInstallation=file://"+profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", out, name)
	if msg, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, msg)
	}
	return filepath.Join(out, filepath.Base(name))
}

// keptNumber finds a formula's kept value that is a number.
var keptNumber = regexp.MustCompile(`(<f[^>]*>[^<]*</f><v>)(-?[0-9])`)

// spoil copies a workbook and changes the kept values of the formulas of its
// sheets: a 9 more in front.
func spoil(t *testing.T, from, to string) string {
	t.Helper()
	in, err := zip.OpenReader(from)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, part := range in.File {
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(part.Name, "xl/worksheets/sheet") {
			data = keptNumber.ReplaceAll(data, []byte("${1}9$2"))
		}
		p, err := w.Create(part.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := p.Write(data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return to
}

// differences compares the value of every formula cell of ours with theirs.
func differences(t *testing.T, ours, theirs string) (formulas int, differ []string) {
	t.Helper()
	a, b := open(t, ours), open(t, theirs)
	for _, sheet := range a.GetSheetList() {
		columns, rows := sizeOf(t, a, sheet)
		for row := 1; row <= rows; row++ {
			for col := 1; col <= columns; col++ {
				cell, _ := excelize.CoordinatesToCellName(col, row)
				formula, err := a.GetCellFormula(sheet, cell)
				if err != nil || formula == "" {
					continue
				}
				formulas++
				want, got := raw(t, a, sheet, cell), raw(t, b, sheet, cell)
				if !sameValue(want, got) {
					differ = append(differ, sheet+"!"+cell+" ="+formula+": kept "+want+", computed "+got)
				}
			}
		}
	}
	return formulas, differ
}

// sizeOf gives how many columns and rows of a sheet to look through: some more
// than hold anything, since a formula's result may be blank.
func sizeOf(t *testing.T, f *excelize.File, sheet string) (columns, rows int) {
	t.Helper()
	filled, err := f.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range filled {
		columns = max(columns, len(row))
	}
	const more = 5
	return columns + more, len(filled) + more
}

func open(t *testing.T, name string) *excelize.File {
	t.Helper()
	f, err := excelize.OpenFile(name)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func raw(t *testing.T, f *excelize.File, sheet, cell string) string {
	t.Helper()
	v, err := f.GetCellValue(sheet, cell, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// sameValue compares as numbers where both are, to nine digits: both engines
// compute in double precision.
func sameValue(a, b string) bool {
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		return strings.TrimSpace(a) == strings.TrimSpace(b)
	}
	return math.Abs(x-y) <= 1e-9*max(1, math.Abs(x), math.Abs(y))
}
