package main

import (
	"encoding/csv"
	"maps"
	"math"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/montanaflynn/stats"

	"askance/analysis"
	"askance/analysis/verdict"
	"askance/fixtures"
	"askance/ingest"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// What the demo must reach on the invented market.
const (
	leastFound    = 0.80 // share of the planted mispricings that get their verdict
	mostWrong     = 0.15 // share of the verdicts on boats that were not mispriced
	mostOffMedian = 0.07 // median of |expected/true - 1|
)

// missedMedian is what the median error may not grow beyond while its goal is
// missed. Half of the gap is reading: with every finding as the truth tells it
// the error is 0.064. It is to be struck once the goal is reached.
const missedMedian = 0.085

// What reading must not fall under; no goals, since the words of the market
// are not those that reading was made with.
const (
	mostMisplaced  = 0.08 // share of the listings left out that are boats for sale, or in that are not
	leastFindings  = 0.90 // share of what the words tell that is found
	mostFalseFinds = 0.08 // share of the findings that the words do not tell
)

// demoSurvey judges the invented market as askance demo does.
func demoSurvey(t testing.TB) *analysis.Survey {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	files, err := demoFiles(fixtures.Market(), "demo")
	if err != nil {
		t.Fatal(err)
	}
	m, err := ingest.Read(files, book, ingest.Options{AsOf: demoDay})
	if err != nil {
		t.Fatal(err)
	}
	s, err := analysis.Run(m, book, analysis.Options{Once: true})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A truth is one row of truth.csv.
type truth map[string]string

func (t truth) number(column string) float64 {
	v, _ := strconv.ParseFloat(t[column], 64)
	return v
}

// truths are the rows of truth.csv by the place of the listing: "file, at".
// A boat on two sites stands under both.
func truths(t testing.TB) map[string]truth {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "fixtures", "truth.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]truth{}
	for _, row := range rows[1:] {
		tr := truth{}
		for i, name := range rows[0] {
			tr[name] = row[i]
		}
		out[tr["file"]+", "+tr["at"]] = tr
		if tr["second_file"] != "" {
			out[tr["second_file"]+", "+tr["second_at"]] = tr
		}
	}
	return out
}

func placeOf(s boat.Source) string { return path.Base(s.At.File) + ", " + s.At.At() }

// TestDemoAgainstTruth judges the invented market and compares with what is
// true of it. The figures are printed.
func TestDemoAgainstTruth(t *testing.T) {
	s, known := demoSurvey(t), truths(t)
	lost := map[string]bool{} // by the place in truth.csv: boats that are not in the market
	for place, tr := range known {
		if tr["code"] == "" && place == tr["file"]+", "+tr["at"] {
			lost[place] = true
		}
	}
	var off []float64
	planted, found, judged, wrong, misplaced := 0, 0, 0, 0, 0
	for _, j := range s.Boats {
		tr, ok := known[placeOf(j.Listing.Source)]
		if !ok {
			t.Errorf("%s (%s) is not among the boats that were invented", placeOf(j.Listing.Source), j.Listing.Title)
			continue
		}
		delete(lost, tr["file"]+", "+tr["at"])
		if tr["code"] != "" {
			t.Logf("%s (%s) is in the market and should be left out as %s", placeOf(j.Listing.Source), j.Listing.Title, tr["code"])
			misplaced++
			continue
		}
		want := verdict.Near
		if f := tr.number("planted"); f < 1 {
			want = verdict.WellBelow
		} else if f > 1 {
			want = verdict.WellAbove
		}
		got := j.Verdict.Verdict
		if got != verdict.Near && got != verdict.NotJudged {
			judged++
			if got != want {
				wrong++
				t.Logf("wrong: %s %q, %s: ask %.0f, expected %.0f, true %s", placeOf(j.Listing.Source), j.Listing.Title, got, j.Listing.Price.Major(), j.Valuation.Expected, tr["true_value"])
			}
		}
		if want != verdict.Near {
			planted++
			if got == want {
				found++
			} else {
				t.Logf("missed: %s %q, planted %s: %s, ask %.0f, expected %.0f, true %s; %s", placeOf(j.Listing.Source), j.Listing.Title, tr["planted"], got, j.Listing.Price.Major(), j.Valuation.Expected, tr["true_value"], j.Verdict.Because)
			}
		}
		if v := tr.number("true_value"); v > 0 && j.Valuation.Expected > 0 {
			off = append(off, math.Abs(j.Valuation.Expected/v-1))
		}
	}
	for _, place := range slices.Sorted(maps.Keys(lost)) {
		t.Logf("%s (%s, planted %s) is not in the market", place, known[place]["title"], known[place]["planted"])
		misplaced++
		if known[place]["planted"] != "1.000" {
			planted++ // and not found
		}
	}
	median, err := stats.Median(off)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d boats, %d judged, %d not judged", len(s.Boats), s.Used, s.NotJudged)
	t.Logf("in the market by mistake, or left out by mistake: %d of %d", misplaced, len(known))
	t.Logf("planted mispricings: %d of %d found; verdicts: %d, of them wrong %d; median error of expected against the true value: %.3f", found, planted, judged, wrong, median)
	if float64(misplaced) > mostMisplaced*float64(len(known)) {
		t.Errorf("%d of %d listings are in or out by mistake, want at most %.0f %%", misplaced, len(known), 100*mostMisplaced)
	}
	if float64(found) < leastFound*float64(planted) {
		t.Errorf("found %d of %d planted mispricings, want at least %.0f %%", found, planted, 100*leastFound)
	}
	if float64(wrong) > mostWrong*float64(judged) {
		t.Errorf("%d of %d verdicts are wrong, want at most %.0f %%", wrong, judged, 100*mostWrong)
	}
	switch {
	case median > missedMedian:
		t.Errorf("median error %.3f, want at most %.3f even while the goal of %.2f is missed", median, missedMedian, mostOffMedian)
	case median > mostOffMedian:
		t.Logf("missed: median error %.3f, the goal is %.2f", median, mostOffMedian)
	default:
		t.Errorf("median error %.3f: the goal of %.2f is reached, strike missedMedian", median, mostOffMedian)
	}
}

// TestDemoReadAgainstTruth compares what was read from the words with what
// they were written to tell. The figures are printed.
func TestDemoReadAgainstTruth(t *testing.T) {
	s, known := demoSurvey(t), truths(t)
	told, right, extra := 0, 0, 0
	years, yearsRight, classes := 0, 0, 0
	for _, j := range s.Boats {
		l := j.Listing
		tr, ok := known[placeOf(l.Source)]
		if !ok || len(l.Also) > 0 {
			continue // the words of a boat on two sites are those of two texts
		}
		want := map[string]string{}
		for _, f := range strings.FieldsFunc(tr["findings"], func(r rune) bool { return r == ';' }) {
			item, value, _ := strings.Cut(f, "=")
			want[item] = value
		}
		told += len(want)
		for _, f := range l.Findings {
			if want[f.Item] == f.Value {
				right++
			} else {
				extra++
			}
		}
		if tr["year"] != "" {
			years++
			if l.Year.Known && strconv.Itoa(l.Year.Value) == tr["year"] {
				yearsRight++
			}
		}
		if l.Class.Known && alike(l.Class.Value, tr["class"]) {
			classes++
		}
	}
	t.Logf("findings: %d of %d that the words tell; %d others", right, told, extra)
	t.Logf("years: %d of %d; classes: %d of %d boats", yearsRight, years, classes, len(s.Boats))
	if float64(right) < leastFindings*float64(told) {
		t.Errorf("found %d of the %d findings that the words tell, want at least %.0f %%", right, told, 100*leastFindings)
	}
	if float64(extra) > mostFalseFinds*float64(right+extra) {
		t.Errorf("%d of %d findings are not told by the words, want at most %.0f %%", extra, right+extra, 100*mostFalseFinds)
	}
}
