package table

import (
	"strings"

	"github.com/xuri/excelize/v2"
	"github.com/xuri/nfp"
)

// Number format ids without a code of their own in the file that stand for a
// date, and for a time of day (ECMA-376 part 1, 18.8.30; 27-36 and 50-58 are
// dates in East Asian versions).
func builtInDate(id int) bool {
	return id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 36 || id >= 50 && id <= 58
}
func builtInTime(id int) bool { return id >= 18 && id <= 21 || id >= 45 && id <= 47 }

// noFormat is a format id that no workbook defines: a value under it is given
// as it is stored.
const noFormat = 1 << 20

// plainNumbers changes the formats of an opened workbook so that its cells
// come out as data and not as they look: dates as 2006-01-02, times as
// 15:04:05, all other numbers in full.
func plainNumbers(book *excelize.File) error {
	if book.Styles == nil || book.Styles.CellXfs == nil {
		return nil
	}
	codes := map[int]string{}
	if book.Styles.NumFmts != nil {
		for _, f := range book.Styles.NumFmts.NumFmt {
			if _, twice := codes[f.NumFmtID]; !twice {
				codes[f.NumFmtID] = f.FormatCode
			}
		}
	}
	used := len(book.Styles.CellXfs.Xf)
	dateID, err := addFormat(book, "yyyy-mm-dd")
	if err != nil {
		return err
	}
	timeID, err := addFormat(book, "hh:mm:ss")
	if err != nil {
		return err
	}
	plain := noFormat
	for i := range book.Styles.CellXfs.Xf[:used] {
		xf := &book.Styles.CellXfs.Xf[i]
		id := 0
		if xf.NumFmtID != nil {
			id = *xf.NumFmtID
		}
		date, clock := builtInDate(id), builtInTime(id)
		if code, ok := codes[id]; ok {
			date, clock = dateCode(code)
		}
		switch {
		case date:
			xf.NumFmtID = &dateID
		case clock:
			xf.NumFmtID = &timeID
		default:
			xf.NumFmtID = &plain
		}
	}
	return nil
}

// addFormat adds a number format to the workbook and returns its id.
func addFormat(book *excelize.File, code string) (int, error) {
	style, err := book.NewStyle(&excelize.Style{CustomNumFmt: &code})
	if err != nil {
		return 0, err
	}
	return *book.Styles.CellXfs.Xf[style].NumFmtID, nil
}

// dateCode tells whether a number format code shows a date, or else a time of
// day. Only its first section counts, the one for positive numbers.
func dateCode(code string) (date, clock bool) {
	parser := nfp.NumberFormatParser()
	sections := parser.Parse(code)
	// Some writers put the German name of the format "General".
	if len(sections) == 0 || strings.EqualFold(code, "Standard") {
		return false, false
	}
	months := false
	for _, token := range sections[0].Items {
		switch token.TType {
		case nfp.TokenTypeGeneral, nfp.TokenTypeHashPlaceHolder, nfp.TokenTypeDigitalPlaceHolder:
			return false, false
		case nfp.TokenTypeZeroPlaceHolder: // else the fraction of a second
			if !date && !months && !clock {
				return false, false
			}
		case nfp.TokenTypeElapsedDateTimes:
			clock = true
		case nfp.TokenTypeDateTimes:
			switch letters := strings.ToLower(token.TValue); {
			case strings.ContainsAny(letters, "yd"):
				date = true
			case strings.HasPrefix(letters, "m"):
				months = true
			default:
				clock = true
			}
		}
	}
	if months && !clock {
		date = true
	}
	return date, clock && !date
}
