package table

import (
	"encoding/csv"
	"io"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// market is a table of some size with quoted text that holds line breaks.
func market(rows int) string {
	return "Title;Price;Year;Place;Text\r\n" + strings.Repeat(
		"Cat with a blue sail;3.450,00;2009;Süderhafen;\"Kept in a hall; one owner.\r\nNew \"\"soft\"\" trampoline, ropes and blocks replaced, ready to sail away at once.\"\r\n", rows)
}

func BenchmarkText(b *testing.B) {
	data := []byte(market(5000))
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if batch, err := Read("x.csv", data, known); err != nil || len(batch.Rows) != 5000 {
			b.Fatal(len(batch.Rows), err)
		}
	}
}

// BenchmarkFloor reads the same text with encoding/csv, which finds no
// encoding, delimiter or header and names no cell.
func BenchmarkFloor(b *testing.B) {
	data := market(5000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		r := csv.NewReader(strings.NewReader(data))
		r.Comma = ';'
		rows := 0
		for ; ; rows++ {
			if _, err := r.Read(); err == io.EOF {
				break
			} else if err != nil {
				b.Fatal(err)
			}
		}
		if rows != 5001 {
			b.Fatal(rows)
		}
	}
}

func BenchmarkWorkbook(b *testing.B) {
	data := workbook(b, func(f *excelize.File) {
		fillRow(b, f, "Sheet1", 1, "Title", "Price", "Year", "Place", "Text")
		for row := range 2000 {
			fillRow(b, f, "Sheet1", row+2, "Cat with a blue sail", 3450, 2009, "Süderhafen", "Kept in a hall; one owner.")
		}
	})
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if batch, err := Read("x.xlsx", data, known); err != nil || len(batch.Rows) != 2000 {
			b.Fatal(len(batch.Rows), err)
		}
	}
}
