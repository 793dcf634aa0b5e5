package sheet

import (
	"strings"

	"github.com/xuri/excelize/v2"
)

// A look is all that decides how a cell is drawn.
type look struct {
	format string
	mark   Mark
	bold   bool
	italic bool
	wrap   bool
	title  bool
	link   bool
	left   bool
	right  bool
}

// look gives how a cell is drawn.
func (c Cell) look() look {
	l := look{format: c.format(), mark: c.mark, bold: c.bold, italic: c.italic, wrap: c.wrap, title: c.title, link: c.link != "" || c.goTo != ""}
	l.left = c.kind == text && !c.right
	l.right = c.right || c.isNumber()
	return l
}

// format gives the cell's number format, "" for the general one.
func (c Cell) format() string {
	number := c.plainFormat()
	if number == "" || c.kind == text || c.kind == date {
		return number
	}
	if code := currencyCode(c.currency); code != "" {
		number += ` "` + code + `"`
	}
	number += space
	if c.signed {
		return "+" + number + ";-" + number + ";" + number
	}
	return number
}

// space behind a number keeps it off a text in the next column.
const space = "_)"

// plainFormat is the format without sign, currency and space.
func (c Cell) plainFormat() string {
	places := ""
	if c.decimals > 0 {
		places = "." + strings.Repeat("0", c.decimals)
	}
	switch c.kind {
	case text:
		if c.right {
			return "@" + space
		}
		if startsLikeFormula(c.text) && len(c.text) < 200 {
			return "@" // stays a text when the reader edits the cell; longer ones show as hashes in that format
		}
		return ""
	case integer, money:
		return "#,##0" + places
	case decimal:
		return "0" + places
	case percent:
		return "0" + places + "%"
	case year:
		return "0"
	case date:
		return "yyyy-mm-dd" + space
	}
	return ""
}

// currencyCode lets a code of three capital letters pass, and nothing else.
func currencyCode(s string) string {
	if len(s) != 3 || strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return ""
	}
	return s
}

// fillOf gives the background of a mark, light enough for black-and-white
// print; "" is none.
func fillOf(m Mark) string {
	switch m {
	case Head:
		return "D9E1F2"
	case Low:
		return "E2EFDA"
	case High:
		return "FCE4D6"
	case Caution:
		return "FFF2CC"
	case Input:
		return "F2F2F2"
	}
	return ""
}

// style gives the file's form of a look.
func (l look) style() *excelize.Style {
	s := &excelize.Style{Font: &excelize.Font{Family: "Calibri", Size: 11}, Alignment: &excelize.Alignment{Vertical: "top", WrapText: l.wrap}}
	if l.format != "" {
		s.CustomNumFmt = &l.format
	}
	switch {
	case l.left:
		s.Alignment.Horizontal = "left"
	case l.right:
		s.Alignment.Horizontal = "right"
	}
	s.Font.Bold = l.bold || l.mark == Head || l.mark == Total
	s.Font.Italic = l.italic || l.mark == Caution
	if l.title {
		s.Font.Size, s.Alignment.Vertical = 16, "center"
	}
	switch {
	case l.link:
		s.Font.Color, s.Font.Underline = "0563C1", "single"
	case l.mark == Quiet:
		s.Font.Color = "595959"
	}
	if ink := fillOf(l.mark); ink != "" {
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{ink}}
	}
	switch l.mark {
	case Head:
		s.Border = []excelize.Border{{Type: "bottom", Color: "000000", Style: 1}}
		s.Alignment.Vertical = "bottom"
	case Total:
		s.Border = []excelize.Border{{Type: "top", Color: "000000", Style: 1}}
	case Input:
		for _, side := range []string{"left", "right", "top", "bottom"} {
			s.Border = append(s.Border, excelize.Border{Type: side, Color: "A6A6A6", Style: 1})
		}
	}
	return s
}

// styles hands out the file's numbers of looks.
type styles struct {
	file *excelize.File
	ids  map[look]int
}

func (st *styles) id(l look) (int, error) {
	if l == (look{}) {
		l.left = true // so that an empty marked cell and a plain one differ in nothing but the mark
	}
	if id, ok := st.ids[l]; ok {
		return id, nil
	}
	id, err := st.file.NewStyle(l.style())
	if err == nil {
		st.ids[l] = id
	}
	return id, err
}
