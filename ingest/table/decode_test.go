package table

import (
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// written writes a text in an encoding.
func written(t testing.TB, e encoding.Encoding, text string) string {
	t.Helper()
	s, err := e.NewEncoder().String(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestEncodings(t *testing.T) {
	const text = "Titel;Länge;Preis\r\nSüß – „Kät“;5,05 €;3.450\r\n"
	want := "2: title=Süß – „Kät“ length=5,05 € price=3.450"
	little := written(t, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), text)
	big := written(t, unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), text)
	latin := written(t, charmap.Windows1252, text)
	for _, test := range []struct {
		name, data string
		problem    string
	}{
		{"UTF-8", text, ""},
		{"UTF-8 with mark", "\xef\xbb\xbf" + text, ""},
		{"UTF-8 with two marks", "\xef\xbb\xbf\xef\xbb\xbf" + text, ""},
		{"UTF-16 little", "\xff\xfe" + little, ""},
		{"UTF-16 big", "\xfe\xff" + big, ""},
		{"UTF-16 little without mark", little, ""},
		{"UTF-16 big without mark", big, ""},
		{"windows-1252", latin, ""},
		{"padded with zero bytes", text + strings.Repeat("\x00", 500), ""},
		{"UTF-8 with one windows-1252 letter", strings.Replace(text, "Süß", "S\xfcß", 1), "wanted UTF-8 throughout"},
		{"a zero byte in each cell", strings.ReplaceAll(text, ";", "\x00;"), "wanted text"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := mustRead(t, "x.csv", test.data, known)
			if got := flat(b); len(got) != 1 || got[0] != want {
				t.Errorf("got %q, want %q", got, want)
			}
			if b.Rows[0].Cells[1].At.Column != 13 {
				t.Errorf("the second cell stands at %v, want column 13 in characters", b.Rows[0].Cells[1].At)
			}
			got := strings.Join(problems(b), "\n")
			if !strings.Contains(got, test.problem) || (test.problem == "") != (got == "") {
				t.Errorf("problems %q, want %q", got, test.problem)
			}
		})
	}
}

// A program that ends each cell in a zero byte makes a table all the same.
func TestZeroBytesThroughout(t *testing.T) {
	b := mustRead(t, "x.csv", "Title\x00,Price\x00\n"+strings.Repeat("Cat\x00,12\x00\n", 100), known)
	if len(b.Rows) != 100 || b.Rows[99].Text("price") != "12" {
		t.Errorf("%d rows, want 100", len(b.Rows))
	}
}

func TestUTF16CutOff(t *testing.T) {
	data := "\xff\xfe" + written(t, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "Title,Price\nCat,12")
	b := mustRead(t, "x.csv", data[:len(data)-1], known)
	if got := b.Rows[0].Text("price"); got != "1\ufffd" {
		t.Errorf("price = %q", got)
	}
}
