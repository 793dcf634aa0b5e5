//go:build office

package report

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// recalculateAlways makes LibreOffice compute every formula anew when it
// opens a workbook, whatever value the file keeps beside it.
const recalculateAlways = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// TestTryABoatInASecondEngine types boats into the sheet, has LibreOffice work
// the price out, and compares with the model. It needs soffice and runs with
// the build tag office.
func TestTryABoatInASecondEngine(t *testing.T) {
	dir := t.TempDir()
	profile := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(profile, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(profile, "registrymodifications.xcu"), []byte(recalculateAlways), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, listings := range []int{60, 310} {
		tm := inventMarket(t, listings, 11, false)
		boats := tm.boatsToTry(7, false)
		args := []string{"-env:UserInstallation=file://" + filepath.Dir(profile), "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", filepath.Join(dir, "out")}
		for i, l := range boats {
			f := opened(t, ScanWorkbook(tm.survey, View{Book: tm.book, When: when}))
			tm.state(t, f, l)
			name := filepath.Join(dir, strconv.Itoa(i)+".xlsx")
			if err := f.SaveAs(name); err != nil {
				t.Fatal(err)
			}
			args = append(args, name)
		}
		if msg, err := exec.Command("soffice", args...).CombinedOutput(); err != nil {
			t.Fatalf("soffice: %v\n%s", err, msg)
		}
		for i, l := range boats {
			f, err := excelize.OpenFile(filepath.Join(dir, "out", strconv.Itoa(i)+".xlsx"))
			if err != nil {
				t.Fatal(err)
			}
			tm.differs(t, f, l, func(cell string) float64 {
				s, _ := f.GetCellValue("Try a boat", cell, excelize.Options{RawCellValue: true})
				v, _ := strconv.ParseFloat(s, 64)
				return v
			})
			f.Close()
		}
	}
}
