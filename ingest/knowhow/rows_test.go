package knowhow

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestCutterAgreesWithCSV cuts texts of all sorts, faulty ones too, and wants
// the records, lines and errors that encoding/csv gives for the whole.
func TestCutterAgreesWithCSV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces := rapid.SliceOf(rapid.SampledFrom([]string{"a", "ä b", ",", ";", "\"", "\"x\"", "#", "\n", "\r\n", "\r", " ", "\"\"", ",\"", "\","})).Draw(t, "pieces")
		text := strings.Join(pieces, "")
		var want, got []string
		for r := newReader(text, ','); ; {
			cells, err := r.Read()
			if err == io.EOF {
				break
			}
			line := 0
			if err == nil {
				line, _ = r.FieldPos(0)
			}
			want = append(want, fmt.Sprintf("%q %d %v", cells, line, err))
		}
		for c := (cutter{text: text, comma: ',', line: 1}); ; {
			cells, line, err := c.record(nil)
			if err == io.EOF {
				break
			}
			if err != nil {
				line = 0
			}
			got = append(got, fmt.Sprintf("%q %d %v", cells, line, err))
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("%q: %s, want %s", text, got, want)
		}
	})
}
