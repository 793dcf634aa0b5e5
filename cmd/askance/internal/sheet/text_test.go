package sheet

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// hostile draws texts that a spreadsheet might trip over.
func hostile() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		start := rapid.SampledFrom([]string{"", "=", "+", "-", "@", "\t=", " =", "'", "=HYPERLINK(\"http://x\",\"y\")", "_x0041_", "_x005F_x0041_", "<![CDATA[", "&amp;", "\x00", "\xff", "\u202e", "00012", "1e5", "TRUE"}).Draw(t, "start")
		return start + rapid.String().Draw(t, "rest") + rapid.SampledFrom([]string{"", " ", "\n", "\r\n", "_x000D_", "\x0b", "😀"}).Draw(t, "end")
	})
}

func TestHostileTextSurvivesAsText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(hostile(), 1, 8).Draw(t, "words")
		b := &Book{When: when}
		s := b.Add(hostile().Draw(t, "name"))
		for _, w := range words {
			s.Row(Str(w))
		}
		f := openedIn(t, b)
		for i, w := range words {
			cell := "A" + itoa(i+1)
			got, err := f.GetCellValue(s.Name, cell)
			if err != nil || got != cellText(w) {
				t.Fatalf("%q came back as %q (%v)", w, got, err)
			}
			if formula, _ := f.GetCellFormula(s.Name, cell); formula != "" {
				t.Fatalf("%q became the formula %q", w, formula)
			}
		}
	})
}

func TestCellText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"plain", "plain"},
		{"=1+1", "=1+1"},
		{"two\r\nlines\rthree", "two\nlines\nthree"},
		{"bell\x07 and\x00nul", "bell  and nul"},
		{"broken \xff utf8", "broken \uFFFD utf8"},
		{"tab\tstays", "tab\tstays"},
		{strings.Repeat("a", 32767), strings.Repeat("a", 32767)},
		{strings.Repeat("a", 32768), strings.Repeat("a", 32766) + "…"},
		{strings.Repeat("😀", 20000), strings.Repeat("😀", 16383) + "…"},
	} {
		got := cellText(c.in)
		if got != c.want {
			t.Errorf("%.20q… of %d bytes gave %d bytes, want %d", c.in, len(c.in), len(got), len(c.want))
		}
		if n := len(utf16.Encode([]rune(got))); n > maxText {
			t.Errorf("%d units", n)
		}
	}
}

func TestOnlyWebAddressesBecomeLinks(t *testing.T) {
	for _, good := range []string{"http://a.example/x", "https://a.example/?q=1&r=2#s"} {
		if Str("x").Link(good).link != good {
			t.Errorf("%q is no link", good)
		}
	}
	for _, bad := range []string{"", "javascript:alert(1)", "file:///etc/passwd", "ftp://a.example", "mailto:a@b", "//a.example", "https:///x", "http://a b", "https://a.example/\n", "HTTPS//x", "https://a.example/" + strings.Repeat("x", 2100)} {
		if Str("x").Link(bad).link != "" {
			t.Errorf("%q became a link", bad)
		}
	}
}

func TestSheetNames(t *testing.T) {
	b := &Book{}
	for _, c := range []struct{ in, want string }{
		{"Ranking", "Ranking"},
		{"ranking", "ranking (2)"},
		{"a/b:c*d?e[f]g\\h", "a b c d e f g h"},
		{"", "Sheet"},
		{"History", "Sheet History"},
		{"it's", "it’s"},
		{strings.Repeat("x", 40), strings.Repeat("x", 31)},
		{strings.Repeat("x", 40), strings.Repeat("x", 27) + " (2)"},
	} {
		if got := b.Add(c.in).Name; got != c.want {
			t.Errorf("%q gave %q, want %q", c.in, got, c.want)
		}
	}
}

func TestLinesOf(t *testing.T) {
	for _, c := range []struct {
		words string
		width float64
		want  int
	}{
		{"", 10, 1}, {"one two", 20, 1}, {"one two three", 8, 2}, {"a\nb", 20, 2}, {strings.Repeat("x", 25), 11, 3}, {strings.Repeat("word ", 20), 50, 2},
	} {
		if got := linesOf(c.words, c.width); got != c.want {
			t.Errorf("%q in %g: %d lines, want %d", c.words, c.width, got, c.want)
		}
	}
}

func TestNumberFormats(t *testing.T) {
	for _, c := range []struct {
		cell Cell
		want string
	}{
		{Money(1, "EUR", 2), `#,##0.00 "EUR"_)`},
		{Money(1, "", 0).Signed(), "+#,##0_);-#,##0_);#,##0_)"},
		{Money(1, `X"`, 0), "#,##0_)"},
		{Percent(0.1, 1), "0.0%_)"},
		{Num(0.123, 2), "0.00_)"},
		{Str("-5"), "@"},
		{Str("5"), ""},
	} {
		if got := c.cell.format(); got != c.want {
			t.Errorf("%+v has the format %s, want %s", c.cell, got, c.want)
		}
	}
}

// openedIn writes a book and opens it again inside a property test.
func openedIn(t *rapid.T, b *Book) *excelize.File {
	var out bytes.Buffer
	if err := b.Write(&out); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&out)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
