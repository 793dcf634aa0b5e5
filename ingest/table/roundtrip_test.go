package table

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"askance/ingest/record"
)

// The encodings of the round trip; each can write every letter of drawCell.
var encodings = map[string]encoding.Encoding{
	"UTF-8":                 unicode.UTF8,
	"UTF-8 with mark":       unicode.UTF8BOM,
	"UTF-16LE with mark":    unicode.UTF16(unicode.LittleEndian, unicode.UseBOM),
	"UTF-16BE with mark":    unicode.UTF16(unicode.BigEndian, unicode.UseBOM),
	"UTF-16LE without mark": unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM),
	"windows-1252":          charmap.Windows1252,
}

// drawCell draws the text of a cell: letters, what a CSV has to quote, and
// white space inside. It is trimmed, for that is how it is read.
func drawCell(t *rapid.T, label string) string {
	letters := []rune("abcXYZ 019,;|\t\"'\n=äöüß€–.-#")
	return trim(rapid.StringOfN(rapid.SampledFrom(letters), 0, 12, -1).Draw(t, label))
}

// TestRoundTrip writes random cells with encoding/csv in a random dialect and
// encoding and expects the same cells back, at the places where that package
// finds them.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(2, 6).Draw(t, "columns")
		cells := [][]string{{"Title", "Price"}}
		for len(cells[0]) < columns {
			cells[0] = append(cells[0], fmt.Sprintf("H%d", len(cells[0])))
		}
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			var row []string
			for range columns {
				row = append(row, drawCell(t, "cell"))
			}
			if strings.Join(row, "") != "" {
				cells = append(cells, row)
			}
		}
		delimiter := rapid.SampledFrom([]rune{',', ';', '\t', '|'}).Draw(t, "delimiter")
		var plain bytes.Buffer
		w := csv.NewWriter(&plain)
		w.Comma, w.UseCRLF = delimiter, rapid.Bool().Draw(t, "CRLF")
		if err := w.WriteAll(cells); err != nil {
			t.Fatal(err)
		}
		text := plain.String()
		if !w.UseCRLF && rapid.Bool().Draw(t, "CR") {
			text = strings.ReplaceAll(text, "\n", "\r")
		}
		name := rapid.SampledFrom([]string{"UTF-8", "UTF-8 with mark", "UTF-16LE with mark", "UTF-16BE with mark",
			"UTF-16LE without mark", "windows-1252"}).Draw(t, "encoding")
		data, err := encodings[name].NewEncoder().String(text)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Read("x.csv", []byte(data), known)
		if err != nil {
			t.Fatalf("%v in %q", err, text)
		}
		checkSame(t, text, delimiter, cells, b)
	})
}

// checkSame compares what was read with the cells written, and with where
// encoding/csv finds them in the text.
func checkSame(t *rapid.T, text string, delimiter rune, cells [][]string, b record.Batch) {
	r := csv.NewReader(strings.NewReader(strings.ReplaceAll(text, "\r", "\n")))
	if strings.Contains(text, "\r\n") {
		r = csv.NewReader(strings.NewReader(text))
	}
	r.Comma = delimiter
	if len(b.Rows) != len(cells)-1 || len(b.Skipped) > 0 {
		t.Fatalf("%d rows and %d skipped of %d in %q", len(b.Rows), len(b.Skipped), len(cells)-1, text)
	}
	for i, want := range cells {
		if _, err := r.Read(); err != nil {
			t.Fatalf("encoding/csv: %v in %q", err, text)
		}
		if i == 0 {
			continue
		}
		row := b.Rows[i-1]
		if len(row.Cells) != len(want) || len(row.Problems) > 0 {
			t.Fatalf("row %d has %d cells, %v, want %d, in %q", i, len(row.Cells), row.Problems, len(want), text)
		}
		for j, c := range row.Cells {
			line, column := r.FieldPos(j)
			column = charactersBefore(text, line, column) + 1
			if got := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(c.Text); got != want[j] {
				t.Errorf("cell %d of row %d is %q, want %q", j, i, got, want[j])
			}
			if c.At.Line != line || c.At.Column != column {
				t.Errorf("cell %d of row %d stands at %d:%d, want %d:%d in %q", j, i, c.At.Line, c.At.Column, line, column, text)
			}
		}
	}
}

// charactersBefore counts the characters before a byte column of a line.
func charactersBefore(text string, line, column int) int {
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
	return len([]rune(lines[line-1][:column-1]))
}
