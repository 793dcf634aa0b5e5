package sheet

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// page sets a sheet up to print on A4 landscape, one page wide, with its name
// and the page's number below.
func (s *Sheet) page(f *excelize.File) error {
	fit, a4, landscape, one, high := true, 9, "landscape", 1, 0
	if s.onePage {
		high = 1
	}
	if err := f.SetSheetProps(s.Name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	if err := f.SetPageLayout(s.Name, &excelize.PageLayoutOptions{Size: &a4, Orientation: &landscape, FitToWidth: &one, FitToHeight: &high}); err != nil {
		return err
	}
	side, top, bottom, foot := 0.4, 0.5, 0.6, 0.3 // inches
	if err := f.SetPageMargins(s.Name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &top, Bottom: &bottom, Header: &foot, Footer: &foot}); err != nil {
		return err
	}
	footer := "&L" + strings.ReplaceAll(s.Name, "&", "&&") + "&RPage &P of &N"
	if err := f.SetHeaderFooter(s.Name, &excelize.HeaderFooterOptions{OddFooter: footer}); err != nil {
		return err
	}
	if s.printed.Rows > 0 {
		if err := f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: s.Name, RefersTo: s.printed.whole()}); err != nil {
			return err
		}
	}
	if s.repeat[0] == 0 {
		return nil
	}
	return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: s.Name, RefersTo: fmt.Sprintf("%s!$%d:$%d", quoted(s.Name), s.repeat[0], s.repeat[1])})
}
