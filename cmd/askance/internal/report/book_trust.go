package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"askance/analysis"
	"askance/analysis/calibrate"
	"askance/analysis/price"
	"askance/analysis/verdict"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest/record"
)

// Where the figures behind the charts stand, and how many rows the charts
// take.
const (
	chartColumn = 7
	chartRows   = 18
)

// pictures draws two native charts of the listings that were judged. The
// figures behind them stand beside what is printed.
func (d *desk) pictures(s *sheet.Sheet) {
	var boats []*analysis.Judged
	for i := range d.survey.Boats {
		if j := &d.survey.Boats[i]; j.Verdict.Verdict != verdict.NotJudged && j.Valuation.Expected > 0 {
			boats = append(boats, j)
		}
	}
	if len(boats) < 3 {
		return
	}
	s.Heading("Every listing that was judged")
	top := s.Next()
	s.Beside(top-1, chartColumn, sheet.Str("Figures behind the charts. "+d.allMoney()).Bold())
	var heads []sheet.Cell
	for _, id := range []string{"title", "ask", "expected", "as_expected", "age", "gap"} {
		heads = append(heads, sheet.Str(head(id)).Marked(sheet.Head).Comment(column(id, 0).Means))
	}
	s.Beside(top, chartColumn, heads...)
	for i, j := range boats {
		age := sheet.Cell{}
		if a, ok := j.Listing.Age(); ok {
			age = sheet.Num(a, 1)
		}
		ask := d.whole(j.Listing.Price.Major())
		s.Beside(top+1+i, chartColumn, sheet.Str(titleOf(j.Listing)), ask, d.whole(j.Valuation.Expected), ask, age, sheet.Percent(j.Verdict.Gap, 0).Signed())
	}
	area := sheet.Area{Sheet: s, Row: top + 1, Col: chartColumn, Rows: len(boats), Cols: len(heads)}
	dots := func(x, y int) sheet.Series {
		return sheet.Series{Name: area.From(-1, y), X: area.Range(x), Y: area.Range(y), Points: true}
	}
	s.Chart(sheet.Chart{Kind: sheet.Scatter, Title: "Fitted against asked", XTitle: "asked", YTitle: "expected", XFormat: "#,##0", YFormat: "#,##0", Width: 480, Height: 300,
		Series: []sheet.Series{dots(1, 2), {Name: area.From(-1, 3), X: area.Range(1), Y: area.Range(3), Dashed: true}}}, top, 1)
	s.Chart(sheet.Chart{Kind: sheet.Scatter, Title: "What is left unexplained, by age", XTitle: "age in years", YTitle: "gap", XFormat: "0", YFormat: "+0%;-0%;0%", Width: 480, Height: 300,
		Series: []sheet.Series{dots(4, 5)}}, top, 4)
	for range chartRows {
		s.Gap()
	}
}

// byAge tells how many asks lie in their own range, in each third of the
// listings judged near, from the youngest boats to the oldest.
func (d *desk) byAge(s *sheet.Sheet) {
	type aged struct {
		age    float64
		inside bool
	}
	var near []aged
	for i := range d.survey.Boats {
		j := &d.survey.Boats[i]
		if age, ok := j.Listing.Age(); ok && j.Verdict.Verdict == verdict.Near {
			near = append(near, aged{age, !j.Verdict.OutsideRange})
		}
	}
	if len(near) < 9 {
		return
	}
	slices.SortStableFunc(near, func(a, b aged) int { return cmp.Compare(a.age, b.age) })
	s.Heading("Asks inside their range, in thirds of age")
	var rows [][]sheet.Cell
	for k := range 3 {
		third := near[k*len(near)/3 : (k+1)*len(near)/3]
		hits := 0
		for _, a := range third {
			if a.inside {
				hits++
			}
		}
		share, err := calibrate.Wilson(hits, len(third), 0.95)
		if err != nil {
			continue // cannot be: hits are counted among them
		}
		rows = append(rows, []sheet.Cell{sheet.Str(fmt.Sprintf("%.0f to %.0f years", third[0].age, third[len(third)-1].age)), sheet.Int(len(third)), sheet.Percent(share.Value, 0), sheet.Percent(rangeOf(d.survey), 0),
			sheet.Str(fmt.Sprintf("as far as so many listings can tell, the true share lies between %.0f and %.0f %%", share.Low*100, share.High*100))})
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("age", 0), column("counted", 0), column("inside", 0), column("meant", 0), column("meaning", 0)}, Rows: rows, Frozen: -1})
}

// firmness tells of each amount what other priors would make of it, and
// whether it hangs on a listing or two.
func (d *desk) firmness(s *sheet.Sheet) {
	values := d.survey.Model.Values
	if len(values) == 0 {
		return
	}
	s.Heading("How firmly each amount stands")
	words := "Each amount as it is, and as it would be if the rules of thumb were taken to be twice as firm, or half as firm. Where the three agree, the market has settled it. “As firm as” counts the listings of equal say that would settle the amount as well; those that do not state the item count too, for the others are compared with them."
	if len(d.survey.Sensitivity) == 0 {
		words = fmt.Sprintf("How many listings each amount rests on. What other rules of thumb would make of it is worked out for markets of up to %d listings.", analysis.SensitiveMost)
	}
	s.Para(words + " " + d.allMoney())
	again := map[[2]string]analysis.Sensitive{}
	var rows [][]sheet.Cell
	for _, v := range d.survey.Sensitivity {
		if v.What != "" {
			rows = append(rows, []sheet.Cell{sheet.Str(v.What), d.whole(v.Amount), d.whole(v.Firmer), d.whole(v.Looser), sheet.Str(movesWords(v))})
			continue
		}
		again[[2]string{v.Item, v.Value}] = v
	}
	for _, w := range values {
		rests := restsOn(w)
		row := []sheet.Cell{sheet.Str(d.view.item(w.Item) + ": " + d.view.value(w.Item, w.Value)).Wrapped(), d.whole(w.Amount).Signed(), {}, {}, sheet.Str(rests).Wrapped()}
		if v, ok := again[[2]string{w.Item, w.Value}]; ok {
			row[2], row[3] = d.whole(v.Firmer).Signed(), d.whole(v.Looser).Signed()
			if rests == "" {
				row[4] = sheet.Str(movesWords(v) + backed(w)).Wrapped()
			}
		}
		rows = append(rows, row)
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("amount_of", 0), column("amount", 0), column("firmer", 0), column("looser", 0), column("firmness", 0)}, Rows: rows, Frozen: -1})
}

// twoHoldIt is the share of all pull on an amount from which on the two
// listings that pull most are said to hold it.
const twoHoldIt = 0.4

// restsOn tells of an amount that hangs on next to nothing.
func restsOn(w price.Worth) string {
	two := 0.0
	var names []string
	for _, p := range w.Strongest {
		two += p.Share
		names = append(names, "“"+record.Shorten(p.Listing.Title, 40)+"”")
	}
	switch {
	case w.Listings == 0:
		return "No listing states it; the rule of thumb stands in."
	case w.Listings == 1:
		return "Rests on 1 listing; one more sale could move it."
	case two >= twoHoldIt && len(names) == 2:
		return "Hangs on 2 listings, " + names[0] + " and " + names[1] + "; one more sale could move it."
	case w.Listings == 2:
		return "Rests on 2 listings; one more sale could move it."
	}
	return ""
}

// backed tells as how many listings of equal say the market's are.
func backed(w price.Worth) string {
	if w.Effective < 1.5 {
		return ""
	}
	return fmt.Sprintf(" As firm as %.0f listings.", w.Effective)
}

// movesWords tells how far other priors move a figure.
func movesWords(v analysis.Sensitive) string {
	moved := math.Max(math.Abs(v.Firmer-v.Amount), math.Abs(v.Looser-v.Amount)) / math.Abs(v.Amount)
	switch {
	case !isNumber(moved):
		return ""
	case moved < 0.05:
		return "Hardly moves with the rule of thumb."
	case moved < 0.2:
		return fmt.Sprintf("Moves by up to %.0f %% with the rule of thumb.", moved*100)
	}
	return fmt.Sprintf("Leans on the rule of thumb: it moves by up to %.0f %%.", moved*100)
}

const (
	enoughOfClass = 5  // listings from which a class stands on its own feet
	classesShown  = 20 // of those with fewer
)

// fewOfClass lists the classes whose level leans on the others.
func (d *desk) fewOfClass(s *sheet.Sheet) {
	var few []price.ClassLevel
	for _, c := range d.survey.Model.Classes {
		if c.Listings < enoughOfClass {
			few = append(few, c)
		}
	}
	if len(few) == 0 {
		return
	}
	s.Heading("Classes with few listings")
	var rows [][]sheet.Cell
	for _, c := range few[:min(len(few), classesShown)] {
		rows = append(rows, []sheet.Cell{sheet.Str(className(c)).Wrapped(), sheet.Int(c.Listings), sheet.Int(enoughOfClass), sheet.Int(enoughOfClass - c.Listings), sheet.Str("Until then its level leans on the other classes and on its length.")})
	}
	s.Table(sheet.Table{Columns: []sheet.Column{column("class", 0), column("listings", 0), column("would_do", 0), column("missing", 0), column("meaning", 0)}, Rows: rows, Frozen: -1})
	if more := len(few) - classesShown; more > 0 {
		s.Para(fmt.Sprintf("And %d more classes with fewer than %d listings.", more, enoughOfClass))
	}
}

func className(c price.ClassLevel) string { return cmp.Or(c.Class, "class not stated") }
