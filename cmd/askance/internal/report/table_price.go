package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"askance/analysis"
	"askance/analysis/price"
)

// PriceTable prints an advised asking price, what each part adds, and the
// comparables adjusted line by line.
func PriceTable(w io.Writer, p *analysis.Pricing, v View) error {
	out, b, c := newScreen(v), &p.Boat, coinOf(p.Survey.Market.Currency)
	out.para(b.Listing.Title, 0)
	out.strongPara(fmt.Sprintf("%s: %s %s", head("asking"), grouped(b.Asking), c.currency))
	out.para(fmt.Sprintf("Expected %s; %.0f of 100 such boats ask %s to %s. From %d listings as of %s.", grouped(b.Valuation.Expected), rangeOf(p.Survey)*100, grouped(b.Valuation.Low), grouped(b.Valuation.High), p.Survey.Model.Listings, day(p.Survey.Market.AsOf)), 0)
	out.para(placeWords(b.Place), 0)
	out.para(v.sidesWords(b.Valuation.Sides), 0)
	out.heading("What each part adds")
	v.steps(out, b.Valuation, c)
	v.comparables(out, b.Valuation.Comparable, c)
	v.warnings(out, b.Cautions)
	return out.print(w)
}

// steps prints a price step by step with a running total.
func (v View) steps(out *screen, val price.Valuation, c coin) {
	var rows []textRow
	total := 0.0
	for _, p := range told(c.parts(val.Parts, val.Expected)) {
		total = c.round(total + p.Amount)
		rows = append(rows, textRow{cells: []string{v.stepAndValue(p), quoteWords(p.Quote), signedMoney(p.Amount, c), toMinor(total, c)}})
	}
	rows = append(rows, textRow{cells: []string{head("expected"), "", "", toMinor(total, c)}})
	out.table([]textColumn{{head: head("step"), flex: true}, {head: head("words"), flex: true}, {head: head("amount"), right: true}, {head: head("running"), right: true}}, rows)
}

// comparables prints each comparable with its adjustments.
func (v View) comparables(out *screen, list []price.Comparable, c coin) {
	if len(list) == 0 {
		return
	}
	out.heading("The closest comparables, adjusted to this boat")
	var rows []textRow
	for i, cmp := range list {
		ask, steps, total := c.adjusted(cmp)
		rows = append(rows, textRow{cells: []string{fmt.Sprint(i + 1), titleOf(cmp.Listing), head("ask"), toMinor(ask, c)}})
		for _, a := range steps {
			rows = append(rows, textRow{cells: []string{"", v.adjustment(a.What), v.change(a), signedMoney(a.Amount, c)}})
		}
		rows = append(rows, textRow{cells: []string{"", head("adjusted"), "", toMinor(total, c)}})
	}
	out.table([]textColumn{{head: head("no"), right: true}, {head: head("comparable"), flex: true}, {head: head("stated"), flex: true}, {head: head("amount"), right: true}}, rows)
}

// ReserveTable prints the reserves of a fleet and the fleet's sum.
func ReserveTable(w io.Writer, f *analysis.Fleet, v View) error {
	out, c := newScreen(v), coinOf(f.Survey.Market.Currency)
	out.para(fmt.Sprintf("At its reserve a boat finds a buyer with a chance of %.0f in 100. Money in %s.", f.Chance*100, c.currency), 0)
	out.para(paidLine(f), 0)
	out.line("")
	var rows []textRow
	for i := range f.Boats {
		b := &f.Boats[i]
		reserve, row := "", ""
		if b.Reserve != nil {
			reserve = grouped(b.Reserve.Reserve)
		}
		if b.Row > 0 {
			row = fmt.Sprint(b.Row)
		}
		rows = append(rows, textRow{cells: []string{row, b.Listing.Title, grouped(b.Valuation.Expected), grouped(b.Valuation.Low) + "–" + grouped(b.Valuation.High), reserve}, below: b.Cautions})
	}
	rows = append(rows, textRow{cells: []string{"", "the fleet as a whole", grouped(f.Sum.Expected), grouped(f.Sum.Low) + "–" + grouped(f.Sum.High), grouped(f.Sum.Reserve)}})
	out.table([]textColumn{{head: head("row"), right: true}, {head: head("title"), flex: true}, {head: head("expected"), right: true}, {head: head("low") + "–" + head("high"), right: true, spare: true}, {head: head("reserve"), right: true}}, rows)
	v.warnings(out, f.Survey.Warnings)
	return out.print(w)
}

// toMinor writes an amount to the minor unit: "1,234.50".
func toMinor(v float64, c coin) string {
	s := strconv.FormatFloat(math.Abs(c.round(v)), 'f', c.digits, 64)
	whole, cents, _ := strings.Cut(s, ".")
	n, _ := strconv.ParseFloat(whole, 64)
	s = grouped(n)
	if cents != "" {
		s += "." + cents
	}
	if c.round(v) < 0 {
		return "−" + s
	}
	return s
}

// signedMoney is toMinor with a plus sign where it is not below zero.
func signedMoney(v float64, c coin) string {
	if c.round(v) < 0 {
		return toMinor(v, c)
	}
	return "+" + toMinor(v, c)
}

func quoteWords(s string) string {
	if s == "" {
		return ""
	}
	return "“" + s + "”"
}
