package sheet

import (
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/xuri/excelize/v2"
)

// Write writes the workbook as .xlsx. The same values give the same bytes. A
// book without sheets is an error.
func (b *Book) Write(w io.Writer) error {
	if len(b.sheets) == 0 {
		return errors.New("write workbook: no sheet to write")
	}
	f := excelize.NewFile()
	defer f.Close()
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &archive{out: w, when: b.When} })
	if err := b.properties(f); err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	st := &styles{file: f, ids: map[look]int{}}
	for i, s := range b.sheets {
		var err error
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), s.Name)
		} else {
			_, err = f.NewSheet(s.Name)
		}
		if err != nil {
			return fmt.Errorf("write sheet %s: %w", s.Name, err)
		}
	}
	f.SetActiveSheet(0) // before the sheets are written: it would read them all back
	for _, s := range b.sheets {
		if err := s.write(f, st); err != nil {
			return fmt.Errorf("write sheet %s: %w", s.Name, err)
		}
	}
	if err := b.nameFillable(f); err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	if err := f.Write(w); err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	return nil
}

// properties marks the document as the program's own.
func (b *Book) properties(f *excelize.File) error {
	when := b.When.UTC().Format(time.RFC3339)
	if err := f.SetDocProps(&excelize.DocProperties{Creator: cellText(b.Creator), LastModifiedBy: cellText(b.Creator), Category: cellText(b.Category), Title: cellText(b.Title), Created: when, Modified: when}); err != nil {
		return err
	}
	full := true
	return f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full})
}

// write writes one sheet.
func (s *Sheet) write(f *excelize.File, st *styles) error {
	if err := s.page(f); err != nil {
		return err
	}
	out, err := f.NewStreamWriter(s.Name)
	if err != nil {
		return err
	}
	if err := s.frame(out); err != nil {
		return err
	}
	for r := 1; r <= s.last; r++ {
		if line := s.rows[r]; line != nil {
			if err := s.writeRow(out, st, r, line); err != nil {
				return err
			}
		}
	}
	for _, m := range s.merges {
		if err := out.MergeCell(columnName(m.Col)+itoa(m.Row), columnName(m.Col+m.Cols-1)+itoa(m.Row+m.Rows-1)); err != nil {
			return err
		}
	}
	if err := s.extras(f); err != nil {
		return err
	}
	return out.Flush()
}

// writeRow writes the cells of a row.
func (s *Sheet) writeRow(out *excelize.StreamWriter, st *styles, r int, line *row) error {
	values := make([]any, len(line.cells))
	for i, c := range line.cells {
		id, err := st.id(c.look())
		if err != nil {
			return err
		}
		cell := excelize.Cell{StyleID: id, Formula: c.formula}
		switch c.kind {
		case empty:
			if c.formula == "" && c.mark == Plain {
				continue
			}
		case text:
			cell.Value = cellText(c.text)
		default:
			cell.Value = c.number
		}
		values[i] = cell
	}
	return out.SetRow("A"+itoa(r), values, excelize.RowOpts{Height: s.height(r, line)})
}

// height gives the height of a row in points, 0 for the ordinary one.
func (s *Sheet) height(r int, line *row) float64 {
	if line.height > 0 {
		return line.height
	}
	lines := 1
	for i, c := range line.cells {
		if c.wrap && c.kind == text {
			lines = max(lines, linesOf(cellText(c.text), s.widthOf(i+1)))
		}
	}
	if lines == 1 {
		return 0
	}
	return heightOf(lines)
}

// frame sets widths and panes.
func (s *Sheet) frame(out *excelize.StreamWriter) error {
	for i, w := range s.widths {
		if w > 0 {
			if err := out.SetColWidth(i+1, i+1, w); err != nil {
				return err
			}
		}
	}
	if s.freeze == [2]int{} {
		return nil
	}
	pane := "bottomLeft"
	if s.freeze[1] > 0 {
		pane = "bottomRight"
	}
	return out.SetPanes(&excelize.Panes{
		Freeze: true, XSplit: s.freeze[1], YSplit: s.freeze[0], ActivePane: pane,
		TopLeftCell: columnName(s.freeze[1]+1) + itoa(s.freeze[0]+1),
	})
}

// extras sets what stands beside the cells: links, notes, filters, lists,
// marks and charts.
func (s *Sheet) extras(f *excelize.File) error {
	for r := 1; r <= s.last; r++ {
		line := s.rows[r]
		if line == nil {
			continue
		}
		for i, c := range line.cells {
			if err := s.hang(f, columnName(i+1)+itoa(r), c); err != nil {
				return err
			}
		}
	}
	if s.filter.Rows > 0 {
		if err := f.AutoFilter(s.Name, s.filter.ref(), nil); err != nil {
			return err
		}
	}
	if err := s.restrict(f); err != nil {
		return err
	}
	for _, r := range s.rules {
		if err := s.applyRule(f, r); err != nil {
			return err
		}
	}
	for _, c := range s.charts {
		if err := f.AddChart(s.Name, columnName(c.col)+itoa(c.row), c.chart.native()); err != nil {
			return err
		}
	}
	return nil
}

// restrict sets what may be typed into cells.
func (s *Sheet) restrict(f *excelize.File) error {
	for _, c := range s.choices {
		v := excelize.NewDataValidation(true)
		v.Sqref = c.area.ref()
		if c.from.Rows > 0 {
			v.SetSqrefDropList(c.from.Ref(0, 0) + ":" + c.from.Ref(c.from.Rows-1, 0))
			v.SetError(excelize.DataValidationErrorStyleStop, "Not in the list", "Choose from the list, or leave the cell blank.")
		} else if err := v.SetDropList(c.words); err != nil {
			return err
		}
		if err := f.AddDataValidation(s.Name, v); err != nil {
			return err
		}
	}
	for _, n := range s.numbers {
		v := excelize.NewDataValidation(true)
		v.Sqref = n.area.ref()
		if err := v.SetRange(n.low, n.high, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween); err != nil {
			return err
		}
		v.SetError(excelize.DataValidationErrorStyleStop, "Not such a number", fmt.Sprintf("Type a number from %g to %g, or leave the cell blank.", n.low, n.high))
		if err := f.AddDataValidation(s.Name, v); err != nil {
			return err
		}
	}
	return nil
}

// hang puts a cell's link and note in place.
func (s *Sheet) hang(f *excelize.File, ref string, c Cell) error {
	switch {
	case c.link != "":
		if err := f.SetCellHyperLink(s.Name, ref, c.link, "External"); err != nil && !errors.Is(err, excelize.ErrTotalSheetHyperlinks) {
			return err
		}
	case c.goTo != "":
		if err := f.SetCellHyperLink(s.Name, ref, c.goTo, "Location"); err != nil && !errors.Is(err, excelize.ErrTotalSheetHyperlinks) {
			return err
		}
	}
	if c.comment == "" {
		return nil
	}
	words := cellText(c.comment)
	return f.AddComment(s.Name, excelize.Comment{Cell: ref, Text: words, Width: 260, Height: uint(30 + 18*linesOf(words, 36))})
}

func (s *Sheet) applyRule(f *excelize.File, r rule) error {
	if r.area.Rows == 0 {
		return nil
	}
	l := look{mark: r.mark, bold: r.mark == Low || r.mark == High}
	st := l.style()
	cond := &excelize.Style{Font: &excelize.Font{Bold: st.Font.Bold, Italic: st.Font.Italic, Color: st.Font.Color}, Fill: st.Fill}
	if len(st.Fill.Color) > 0 {
		cond.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: st.Fill.Color}
	}
	id, err := f.NewConditionalStyle(cond)
	if err != nil {
		return err
	}
	return f.SetConditionalFormat(s.Name, r.area.ref(), []excelize.ConditionalFormatOptions{{Type: "cell", Criteria: "==", Value: `"` + r.text + `"`, Format: &id}})
}
