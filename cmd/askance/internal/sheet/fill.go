package sheet

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// fillName starts the names of the areas that a reader may fill in.
const fillName = "fill_in_"

// maxUnpacked bounds what a workbook may unpack to, in bytes.
const maxUnpacked = 256 << 20

// nameFillable keeps the areas that a reader may fill in as named ranges,
// which follow when rows are moved or added.
func (b *Book) nameFillable(f *excelize.File) error {
	n := 0
	for _, s := range b.sheets {
		for _, a := range s.fills {
			n++
			name := &excelize.DefinedName{Name: fmt.Sprintf("%s%d", fillName, n), RefersTo: a.whole()}
			if err := f.SetDefinedName(name); err != nil {
				return err
			}
		}
	}
	return nil
}

// Filled tells whether a reader has written into any cell that he may fill
// in, and which is the first: "Viewing list!F7". An error means that the
// bytes are no workbook.
func Filled(data []byte) (cell string, filled bool, err error) {
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: maxUnpacked})
	if err != nil {
		return "", false, fmt.Errorf("open workbook: %w", err)
	}
	defer f.Close()
	for _, name := range f.GetDefinedName() {
		if !strings.HasPrefix(name.Name, fillName) {
			continue
		}
		cell, err := firstFilled(f, name.RefersTo)
		if err != nil {
			return "", false, fmt.Errorf("look through %s: %w", name.Name, err)
		}
		if cell != "" {
			return cell, true, nil
		}
	}
	return "", false, nil
}

// firstFilled gives the first cell of a range that holds anything.
func firstFilled(f *excelize.File, ref string) (string, error) {
	i := strings.LastIndex(ref, "!")
	if i < 0 {
		return "", nil // the range is gone with its sheet
	}
	sheet := strings.ReplaceAll(strings.Trim(ref[:i], "'"), "''", "'")
	from, to, ok := strings.Cut(strings.ReplaceAll(ref[i+1:], "$", ""), ":")
	if !ok {
		to = from
	}
	col1, row1, err := excelize.CellNameToCoordinates(from)
	if err != nil {
		return "", nil // "#REF!": the cells were deleted
	}
	col2, row2, err := excelize.CellNameToCoordinates(to)
	if err != nil {
		return "", nil
	}
	rows, err := f.GetRows(sheet)
	if err != nil {
		return "", err
	}
	for r := row1; r <= min(row2, len(rows)); r++ {
		for c := col1; c <= min(col2, len(rows[r-1])); c++ {
			if strings.TrimSpace(rows[r-1][c-1]) != "" {
				return fmt.Sprintf("%s!%s%d", sheet, columnName(c), r), nil
			}
		}
	}
	return "", nil
}
