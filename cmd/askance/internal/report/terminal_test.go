package report

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/mattn/go-runewidth"
	"pgregory.net/rapid"

	"askance/analysis"
	"askance/ingest"
	"askance/ingest/boat"
)

// printed is everything that can be printed on a terminal.
func printed(t testing.TB, v View) map[string]string {
	t.Helper()
	out := map[string]string{}
	var b bytes.Buffer
	keep := func(name string, err error) {
		if err != nil {
			t.Fatal(err)
		}
		out[name] = b.String()
		b.Reset()
	}
	s := sample(t)
	keep("scan", ScanTable(&b, s, v))
	keep("price", PriceTable(&b, samplePricing(t), v))
	keep("reserve", ReserveTable(&b, sampleFleet(t), v))
	keep("read", ReadTable(&b, &ingest.Reading{Listings: []boat.Listing{full(0), full(1)}, Unused: map[string][]boat.UnusedColumn{"a rather long name of a file, 2026-06-01.csv": {{Header: "region of the coast", Example: "north and then some", Use: "--factor"}, {Header: "mooring", Use: "--column"}}}}, v))
	keep("explain", Explain(&b, s, s.Boats[0].Listing.ID, v))
	keep("explain not judged", Explain(&b, s, s.Boats[11].Listing.ID, v))
	return out
}

func TestTablesKeepToTheWidth(t *testing.T) {
	for _, width := range []int{60, 80, 120} {
		for name, text := range printed(t, View{Book: facts(t), Width: width}) {
			for line := range strings.Lines(text) {
				if w := runewidth.StringWidth(strings.TrimSuffix(line, "\n")); w > width {
					t.Errorf("%s at %d: %d columns: %s", name, width, w, line)
				}
			}
		}
	}
}

func TestScanTableSaysWhatMatters(t *testing.T) {
	text := printed(t, View{Book: facts(t)})["scan"]
	last := -1
	for _, want := range []string{"Well below", "−51 %", "structural fault", "Well above", "+100 %", "Near", "Not judged", "soft deck", "What this market says", "+310 to +560", "Mind", "rules of thumb"} {
		i := strings.Index(text, want)
		if i < last {
			t.Errorf("%q is missing or out of place in\n%s", want, text)
			break
		}
		last = i
	}
	if strings.Contains(text, "\x1b") {
		t.Error("bold without being asked for")
	}
	if bold := printed(t, View{Bold: true})["scan"]; !strings.Contains(bold, "\x1b[1m") {
		t.Error("no bold where it was asked for")
	}
}

func TestExplainRunsFromWordsToVerdict(t *testing.T) {
	text := printed(t, View{Book: facts(t)})["explain"]
	last := -1
	for _, want := range []string{"epoxy blades", "new boat of the class", "running total", "comparables", "The verdict", "well below", "structural fault", "new suit of sails", "The most to offer", "What to check"} {
		i := strings.Index(text, want)
		if i < last {
			t.Errorf("%q is missing or out of place in\n%s", want, text)
			break
		}
		last = i
	}
	if err := Explain(&bytes.Buffer{}, sample(t), "nothing", View{}); err == nil {
		t.Error("an unknown id was explained")
	}
}

func TestStrangersCannotReachTheTerminal(t *testing.T) {
	s := sample(t)
	s.Boats[0].Listing.Title = "boat \x1b[2J\x07 \u202eevil\u009b31m"
	s.Boats[0].Valuation.Parts[1].Quote = "x\x1b]0;y\x07"
	var b bytes.Buffer
	if err := ScanTable(&b, s, View{}); err != nil {
		t.Fatal(err)
	}
	if err := Explain(&b, s, s.Boats[0].Listing.ID, View{}); err != nil {
		t.Fatal(err)
	}
	for _, r := range b.String() {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r)) {
			t.Fatalf("%U reached the terminal", r)
		}
	}
}

func TestWrapKeepsEveryLetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := plain(rapid.String().Draw(t, "text"))
		width := rapid.IntRange(10, 60).Draw(t, "width")
		squeezed := strings.ReplaceAll(text, " ", "")
		lines := wrap(text, width)
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != squeezed {
			t.Fatalf("%q became %q", squeezed, got)
		}
		for _, l := range lines {
			if runewidth.StringWidth(l) > width {
				t.Fatalf("%q is wider than %d", l, width)
			}
		}
	})
}

func TestNearIsCutUnlessAllAreAsked(t *testing.T) {
	s := sample(t)
	s.Options.Purpose = "" // which shows some a second time
	count := func(v View) int {
		var b bytes.Buffer
		if err := ScanTable(&b, s, v); err != nil {
			t.Fatal(err)
		}
		return strings.Count(b.String(), "Quillar 16 no.")
	}
	if all, few := count(View{All: true}), count(View{}); all != 12 || few != 11 {
		t.Errorf("%d listings with all, %d without", all, few)
	}
	if n := count(View{Show: func(j *analysis.Judged) bool { return false }}); n != 0 {
		t.Errorf("%d listings shown of none", n)
	}
}

// A purpose brings a table of its own, the widest margin first; without one
// there is none.
func TestScanTableWithAPurpose(t *testing.T) {
	s := sample(t)
	view := View{Book: facts(t), Width: 100, All: true}
	text := func() string {
		var b bytes.Buffer
		if err := ScanTable(&b, s, view); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	_, ready, ok := strings.Cut(text(), "Made ready for race\n")
	if !ok {
		t.Fatal("no table of boats made ready")
	}
	last := math.Inf(1)
	rows := 0
	for line := range strings.Lines(ready) {
		margin := strings.NewReplacer(",", "", "−", "-", "+", "").Replace(strings.Fields(line + " .")[0])
		if v, err := strconv.ParseFloat(margin, 64); err == nil {
			if rows++; v > last {
				t.Errorf("a margin of %g stands below one of %g", v, last)
			}
			last = v
		} else if rows > 0 {
			break
		}
	}
	if rows < 3 {
		t.Errorf("%d boats made ready:\n%s", rows, ready)
	}
	s.Options.Purpose = ""
	if strings.Contains(text(), "Made ready") {
		t.Error("boats made ready for no purpose")
	}
}
