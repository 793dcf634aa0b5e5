package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"askance/analysis"
	"askance/analysis/price"
	"askance/analysis/verdict"
)

// couldBeChance stands beside an ask outside its range that no verdict backs.
const couldBeChance = "outside the range, could be chance"

// cautionsOf gives what to mind of a listing, the most serious first.
func cautionsOf(j *analysis.Judged) []string {
	out := []string{}
	if j.Verdict.Verdict == verdict.WellBelow && !mention(j.Cautions, analysis.LowAskCaution) {
		out = append(out, analysis.LowAskCaution)
	}
	out = append(out, j.Cautions...)
	if isLoose(j) && !mention(j.Cautions, "could be chance") {
		out = append(out, couldBeChance)
	}
	return out
}

// besideReason drops the cautions that only say again why there is no verdict.
func besideReason(j *analysis.Judged) []string {
	return slices.DeleteFunc(cautionsOf(j), func(c string) bool {
		return j.Verdict.Because != "" && strings.HasPrefix(c, j.Verdict.Because)
	})
}

// inShort leaves the long words on low asks to those that are well below.
func inShort(cautions []string) []string {
	var out []string
	for _, c := range cautions {
		out = append(out, strings.TrimSuffix(c, "; "+analysis.LowAskCaution))
	}
	return out
}

// placeWords tells where an advised price stands among the asks of such boats.
func placeWords(place float64) string {
	return fmt.Sprintf("%.0f of 100 such boats ask less than that", place*100)
}

// sidesWords tells the price of a boat with a structural defect from both
// sides; "" where there is no such defect.
func (v View) sidesWords(d *price.Sides) string {
	switch {
	case d == nil:
		return ""
	case d.High <= 0:
		return fmt.Sprintf("As if sound it would be expected at %s; with %s it is not priced at all.", grouped(d.Sound), v.item(d.Item))
	}
	return fmt.Sprintf("As if sound it would be expected at %s; with %s at %s to %s.", grouped(d.Sound), v.item(d.Item), grouped(d.Low), grouped(d.High))
}

// mention tells whether any caution says so.
func mention(cautions []string, words string) bool {
	return slices.ContainsFunc(cautions, func(c string) bool { return strings.Contains(c, words) })
}

// capital starts a sentence.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// isLoose tells of an ask outside its range without a verdict.
func isLoose(j *analysis.Judged) bool {
	return j.Verdict.OutsideRange && j.Verdict.Verdict == verdict.Near
}

// ranked gives the listings to show: judged ones by their gap, lowest first,
// then those not judged in the market's order.
func ranked(s *analysis.Survey, v View) []*analysis.Judged {
	var out []*analysis.Judged
	for i := range s.Boats {
		if j := &s.Boats[i]; v.shows(j) {
			out = append(out, j)
		}
	}
	slices.SortStableFunc(out, func(a, b *analysis.Judged) int {
		aNot, bNot := a.Verdict.Verdict == verdict.NotJudged, b.Verdict.Verdict == verdict.NotJudged
		switch {
		case aNot && bNot:
			return 0
		case aNot:
			return 1
		case bNot:
			return -1
		}
		return cmp.Compare(a.Verdict.Gap, b.Verdict.Gap)
	})
	return out
}

// worthSeeing chooses up to n listings to look at first: those well below,
// then the lowest asks among the near ones that stand under what is expected.
// A boat already sold, and one that cannot be made fit for the purpose, is
// not among them. With a purpose, boats rank by what is left after the work.
func worthSeeing(s *analysis.Survey, v View, n int) []*analysis.Judged {
	var out []*analysis.Judged
	for _, j := range ranked(s, v) {
		if j.Listing.Sold || j.Outlay != nil && j.Outlay.NotFit != "" {
			continue
		}
		if j.Verdict.Verdict == verdict.WellBelow || j.Verdict.Verdict == verdict.Near && j.Verdict.Gap < 0 {
			out = append(out, j)
		}
	}
	slices.SortStableFunc(out, func(a, b *analysis.Judged) int {
		if a.Outlay == nil || b.Outlay == nil {
			return 0
		}
		return cmp.Compare(b.Outlay.Margin, a.Outlay.Margin)
	})
	return out[:min(n, len(out))]
}

// step tells a step of a price in words: "launching trolley", "age".
func (v View) step(p price.Part) string {
	if p.Item != "" {
		return v.item(p.Item)
	}
	return named(p.What)
}

// stepValue tells the value behind a step.
func (v View) stepValue(p price.Part) string {
	if p.Value == "" {
		return ""
	}
	item := p.Item
	if item == "" && p.What == "condition" {
		item = "condition"
	}
	return v.value(item, p.Value)
}

// stepAndValue tells both in one: "sails: worn".
func (v View) stepAndValue(p price.Part) string {
	if value := v.stepValue(p); value != "" {
		return v.step(p) + ": " + value
	}
	return v.step(p)
}

// named gives the words of a step's or an adjustment's name.
func named(what string) string {
	if _, header, ok := strings.Cut(what, ":"); ok {
		return header
	}
	if t, ok := lookUp("step", what); ok {
		return t.Head
	}
	return spaced(what)
}

// adjustment tells what an adjustment is for.
func (v View) adjustment(what string) string {
	if v.Book != nil {
		if it, ok := v.Book.Item(what); ok {
			return it.Label
		}
	}
	if t, ok := lookUp("adjustment", what); ok {
		return t.Head
	}
	return named(what)
}

// change tells what an adjustment goes from and to, values by their labels.
func (v View) change(a price.Adjustment) string {
	from, to, ok := strings.Cut(a.Value, " -> ")
	if !ok {
		return v.value(a.What, a.Value)
	}
	return v.value(a.What, from) + " → " + v.value(a.What, to)
}

// told gives the steps to show: those that change nothing and say nothing
// are left out.
func told(parts []price.Part) []price.Part {
	return slices.DeleteFunc(parts, func(p price.Part) bool { return p.Amount == 0 && p.Value == "" })
}

// weighsMost tells the three largest steps of a price beside what every boat
// has: its class, length and age.
func (v View) weighsMost(val price.Valuation, c coin) string {
	var parts []price.Part
	for _, p := range c.parts(val.Parts, val.Expected) {
		switch p.What {
		case "class", "length", "age", "rounding", "limit", "left_out":
			continue
		}
		if math.Abs(p.Amount) >= 1 {
			parts = append(parts, p)
		}
	}
	slices.SortStableFunc(parts, func(a, b price.Part) int { return cmp.Compare(math.Abs(b.Amount), math.Abs(a.Amount)) })
	var words []string
	for _, p := range parts[:min(3, len(parts))] {
		w := v.step(p)
		if val := v.stepValue(p); val != "" {
			w += " " + val
		}
		words = append(words, w+" "+signedWhole(p.Amount))
	}
	return strings.Join(words, "; ")
}

// signedWhole writes an amount in whole units with its sign.
func signedWhole(v float64) string {
	s := grouped(math.Abs(v))
	if math.Round(v) < 0 {
		return "−" + s
	}
	return "+" + s
}

// grouped writes an amount in whole units, thousands set apart by commas.
func grouped(v float64) string {
	s := strconv.FormatFloat(math.Round(v), 'f', 0, 64)
	neg := strings.HasPrefix(s, "-")
	s = strings.TrimPrefix(s, "-")
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	if neg {
		return "−" + s
	}
	return s
}

// percentWords writes a share with its sign: "+12 %".
func percentWords(v float64) string {
	return signedWhole(v*100) + " %"
}
