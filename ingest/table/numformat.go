package table

import (
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

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

// unitMark parts a number from the unit that its format shows. No cell of a
// workbook can hold it, XML having no way to write it.
const unitMark = "\x1f"

// maxUnits bounds the different units that are taken from the formats.
const maxUnits = 64

// plainNumbers changes the formats of an opened workbook so that its cells
// come out as data and not as they look: dates as 2006-01-02, times as
// 15:04:05, all other numbers in full, followed by unitMark and the unit if
// their format names one ("€", "CHF", "m").
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
	ids := map[string]int{"": noFormat} // new format code -> its id
	for i := range used {
		id := 0
		if old := book.Styles.CellXfs.Xf[i].NumFmtID; old != nil {
			id = *old
		}
		code := plainCode(id, codes)
		if _, known := ids[code]; !known && len(ids) < maxUnits {
			added, err := addFormat(book, code)
			if err != nil {
				return err
			}
			ids[code] = added
		}
		id, known := ids[code]
		if !known {
			id = noFormat
		}
		book.Styles.CellXfs.Xf[i].NumFmtID = &id
	}
	return nil
}

// plainCode is the format code to show a value by instead of the format with
// this id, "" for the value as stored.
func plainCode(id int, codes map[int]string) string {
	date, clock, unit := builtInDate(id), builtInTime(id), ""
	if code, ok := codes[id]; ok {
		date, clock, unit = meaningOf(code)
	}
	switch {
	case date:
		return "yyyy-mm-dd"
	case clock:
		return "hh:mm:ss"
	case unit != "":
		return `0.############"` + unitMark + unit + `"`
	}
	return ""
}

// addFormat adds a number format to the workbook and returns its id.
func addFormat(book *excelize.File, code string) (int, error) {
	style, err := book.NewStyle(&excelize.Style{CustomNumFmt: &code})
	if err != nil {
		return 0, err
	}
	return *book.Styles.CellXfs.Xf[style].NumFmtID, nil
}

// meaningOf tells whether a number format code shows a date, or else a time
// of day, or else a number with a unit. Only its first section counts, the
// one for positive numbers.
func meaningOf(code string) (date, clock bool, unit string) {
	parser := nfp.NumberFormatParser()
	sections := parser.Parse(code)
	// Some writers put the German name of the format "General".
	if len(sections) == 0 || strings.EqualFold(code, "Standard") {
		return false, false, ""
	}
	months, number := false, false
	for _, token := range sections[0].Items {
		switch token.TType {
		case nfp.TokenTypeGeneral, nfp.TokenTypeHashPlaceHolder, nfp.TokenTypeDigitalPlaceHolder:
			number = true
		case nfp.TokenTypeZeroPlaceHolder: // after a time it is a fraction of a second
			number = number || !date && !months && !clock
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
	if number {
		return false, false, unitIn(sections[0].Items)
	}
	date = date || months && !clock
	return date, clock && !date, ""
}

// unitIn returns the unit that a format writes beside a number: at most four
// characters with a letter or a currency sign among them. A format that
// scales what it shows gives none, for the value kept is the whole one.
func unitIn(tokens []nfp.Token) string {
	unit := ""
	for i, token := range tokens {
		switch token.TType {
		case nfp.TokenTypeLiteral:
			unit += token.TValue
		case nfp.TokenTypeCurrencyLanguage:
			for _, part := range token.Parts {
				if part.Token.TType == nfp.TokenSubTypeCurrencyString {
					unit += part.Token.TValue
				}
			}
		case nfp.TokenTypePercent, nfp.TokenTypeExponential, nfp.TokenTypeDateTimes:
			return ""
		case nfp.TokenTypeThousandsSeparator:
			if i+1 == len(tokens) || !strings.HasSuffix(tokens[i+1].TType, "PlaceHolder") {
				return ""
			}
		}
	}
	unit = trim(unit)
	named := strings.ContainsFunc(unit, func(r rune) bool { return unicode.IsLetter(r) || unicode.Is(unicode.Sc, r) })
	odd := strings.ContainsFunc(unit, func(r rune) bool { return unicode.IsDigit(r) || unicode.IsControl(r) || r == '"' || r == '\\' })
	if !named || odd || utf8.RuneCountInString(unit) > 4 {
		return ""
	}
	return unit
}

// The days between which a bare number under a date may be one: 1990 to 2059.
const (
	firstSerial = 32_874
	lastSerial  = 58_440
)

// dateOfSerial gives the date that a bare number stands for in a spreadsheet,
// as days since 1899-12-30, with or without a time of day; any other text as
// it is.
func dateOfSerial(text string) string {
	whole, _, _ := strings.Cut(text, ".")
	if len(whole) != 5 || strings.Trim(text, "0123456789.") != "" {
		return text
	}
	days, err := strconv.Atoi(whole)
	if err != nil || days < firstSerial || days > lastSerial {
		return text
	}
	return time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, days).Format(time.DateOnly)
}
