package report

import (
	"fmt"
	"math"

	"askance/analysis/price"
	"askance/analysis/robust"
	"askance/cmd/askance/internal/sheet"
)

// Columns of the sheet "Try a boat": what is printed, what each row adds up
// to, and the figures that the formulas look up.
const (
	tryInput   = 2  // what the reader states
	tryLog     = 7  // log of the hull down to the row
	tryWorth   = 8  // money of the row's item
	tryTaken   = 9  // of which taken away, as a positive amount
	tryMoney   = 10 // money of all items down to the row
	tryFigures = 12 // names of figures and lists; their numbers follow
)

// A tried value is a cell that formulas refer to, and what it holds.
type tried struct {
	ref string
	v   float64
}

// A trial builds the sheet "Try a boat" from the model written out. Every
// formula is made of references and of the program's own words alone.
type trial struct {
	*desk
	sheet      *sheet.Sheet
	model      price.Formula
	rows       [][]sheet.Cell
	first      int   // row of the table's first line
	figureRow  int   // where the next figure stands
	log, money tried // down to the last row
	total      tried // the last running total; no ref before the first
	length     tried // log of the length counted, over the reference
	power      tried // what the class adds to the power of the length; no ref where none does
	rate       tried // what class and length add to the log of the rate of ageing
	middle     tried // length where none is told, in metres
}

// tryBoat writes the sheet on which a reader states a boat and sees its price.
func (d *desk) tryBoat(s *sheet.Sheet) {
	t := &trial{desk: d, sheet: s, model: d.survey.Formula}
	s.Title("Try a boat")
	s.Widths(34, 26, 13, 13, 62, 3, 16, 16, 16, 16, 3, 44, 16, 16, 14)
	s.Para("State a boat in the framed cells and see what such a boat would be expected to ask. The cells hold an example. What is left blank counts as not stated: the usual mixture of boats that say nothing. " + d.allMoney())
	for _, words := range t.reservations() {
		s.Note(words)
	}
	answer := s.Next()
	for range answerRows + 1 {
		s.Gap()
	}
	t.first, t.figureRow = s.Next()+1, s.Next()
	t.state()
	area := s.Table(sheet.Table{Rows: t.rows, Frozen: 0, Repeat: true, Columns: []sheet.Column{column("particular", 0), column("your_boat", 0), column("amount", 0), column("running", 0), column("put_in", 0), {},
		column("log_hull", 0), column("item_money", 0), column("taken", 0), column("items_money", 0)}})
	t.answer(answer)
	s.Print(sheet.Area{Sheet: s, Row: 1, Col: 1, Rows: area.Row + area.Rows - 1, Cols: 5})
}

// reservations tell what the sheet does not know.
func (t *trial) reservations() []string {
	var out []string
	if t.model.Corrected {
		out = append(out, "This market's prices are corrected by the nearest boats besides. That correction is not in this sheet: askance price may say somewhat more or less.")
	}
	if t.dated() {
		out = append(out, "Asks of this market drift over the dates of its listings. That drift is not in this sheet: the date counts for age alone.")
	}
	return out
}

// dated tells whether the date of a listing has a part in its price.
func (t *trial) dated() bool {
	for i := range t.survey.Boats {
		for _, p := range t.survey.Boats[i].Valuation.Parts {
			if p.What == "listed" {
				return true
			}
		}
	}
	return false
}

// state makes the rows, in the order in which a price is taken apart.
func (t *trial) state() {
	f := t.model
	t.start()
	t.class()
	if f.HasLength {
		t.lengthRow()
	}
	for _, m := range f.Measures {
		t.measure(m)
	}
	for _, factor := range f.Factors {
		t.factor(factor)
	}
	if f.Dealer != 0 || f.Club != 0 {
		t.seller()
	}
	if f.HasAge {
		t.age()
	}
	for _, it := range f.Multiply {
		t.factorItem(it)
	}
	for _, it := range f.Add {
		t.moneyItem(it)
	}
	for _, x := range f.Extras {
		t.extra(x)
	}
	t.limit()
	t.close()
}

// start puts the boat of which nothing is stated among the figures.
func (t *trial) start() {
	f := t.model
	t.sheet.Beside(t.figureRow-1, tryFigures, sheet.Str("Figures of the model for the formulas at the left. Leave them as they are.").Bold())
	t.sheet.Beside(t.figureRow, tryFigures, sheet.Str(head("figure")).Marked(sheet.Head), sheet.Str(head("value")).Marked(sheet.Head))
	t.figureRow++
	if f.HasLength {
		t.middle = t.figure("length where none is stated (m)", f.RefLength*math.Exp(f.Typical))
	}
	log := f.Level + f.SizeBend*f.Typical*f.Typical + atReference(f)
	for _, it := range f.Multiply {
		log += math.Log(it.NotStated)
	}
	money := 0.0
	for _, it := range f.Add {
		money += it.NotStated
	}
	t.log, t.money = t.figure("log of a new boat's hull, nothing stated", log), t.figure("money of items not stated", money)
}

// limit closes the table: what the limit under deductions withholds.
func (t *trial) limit() {
	limit := t.figure("share of the hull that deductions can take", t.model.Limit)
	last := t.first + len(t.rows) - 1
	taken := 0.0
	for _, it := range t.model.Add {
		taken += math.Max(-it.NotStated, 0)
	}
	column := "$" + letter(tryTaken) + "$"
	all := t.live("deductions, added up", "SUM("+column+digits(t.first)+":"+column+digits(last)+")", taken)
	most := t.live("the most that they can take", limit.ref+"*EXP("+t.log.ref+")", limit.v*math.Exp(t.log.v))
	through := t.live("what comes through of them", "IF("+all.ref+">0,"+all.ref+"/(1+("+all.ref+"/"+most.ref+")^4)^0.25,0)", through(all.v, most.v))
	t.money = tried{t.money.ref + "+" + all.ref + "-" + through.ref, t.money.v + all.v - through.v}
	t.row(named("limit"), sheet.Cell{}, "deductions together can never eat up the hull")
}

// close adds the amounts up.
func (t *trial) close() {
	last := t.first + len(t.rows) - 1
	blank := sheet.Cell{}.Marked(sheet.Total)
	t.rows = append(t.rows, []sheet.Cell{sheet.Str(head("expected")).Marked(sheet.Total), blank,
		t.exact(t.total.v).Formula("SUM(C" + digits(t.first) + ":C" + digits(last) + ")").Marked(sheet.Total), blank, blank})
}

// through is what comes through of deductions of which at most most can.
func through(taken, most float64) float64 {
	if taken <= 0 {
		return 0
	}
	return taken / math.Pow(1+math.Pow(taken/most, 4), 0.25)
}

// answerRows is how many rows the answer takes.
const answerRows = 3

// answer writes the price and its rough range above the table.
func (t *trial) answer(at int) {
	reach := t.figure("how many spreads the range reaches to each side", t.model.Reach)
	spread := t.figure("spread of log asks round a price", t.model.LogSD)
	write := func(row int, name string, v float64, formula, words string, bold bool) {
		cells := []sheet.Cell{sheet.Str(head(name)), sheet.Money(t.coin.round(v), t.coin.currency, t.coin.digits).Formula(formula), {}, {}, sheet.Str(words)}
		if bold {
			cells[0], cells[1] = cells[0].Bold(), cells[1].Bold()
		}
		t.sheet.Beside(row, 1, cells...)
	}
	end := func(operator string) string {
		return t.rounded(t.total.ref + operator + "EXP(" + reach.ref + "*" + spread.ref + ")")
	}
	write(at, "expected", t.total.v, t.total.ref, "half of such boats ask more, half ask less", true)
	write(at+1, "low", t.total.v*math.Exp(-reach.v*spread.v), end("/"), fmt.Sprintf("rough: the range in which %.0f of 100 of the market's middle boats ask", rangeOf(t.survey)*100), false)
	write(at+2, "high", t.total.v*math.Exp(reach.v*spread.v), end("*"), "a boat that is old, rare or tells little has a wider one than this", false)
}

// rounded rounds a formula to the currency's minor unit.
func (t *trial) rounded(formula string) string {
	return "ROUND(" + formula + "," + digits(t.coin.digits) + ")"
}

// row adds a row at the running log and money as they stand.
func (t *trial) row(particular string, input sheet.Cell, help string, more ...sheet.Cell) {
	at := t.first + len(t.rows)
	total := tried{"$D$" + digits(at), t.coin.round(math.Exp(t.log.v) + t.money.v)}
	amount := total.ref
	if t.total.ref != "" {
		amount = t.rounded(total.ref + "-" + t.total.ref)
	}
	cells := []sheet.Cell{sheet.Str(particular).Wrapped(), input, t.exact(t.coin.round(total.v - t.total.v)).Signed().Formula(amount),
		t.exact(total.v).Formula(t.rounded("EXP(" + t.log.ref + ")+" + t.money.ref)), sheet.Str(help).Wrapped(), {}}
	t.rows = append(t.rows, append(cells, more...))
	t.total = total
}

// here refers to a column of the row that comes next.
func (t *trial) here(col int) string { return "$" + letter(col) + "$" + digits(t.first+len(t.rows)) }

// hull adds a row that moves the log of the hull by a formula.
func (t *trial) hull(particular string, input sheet.Cell, help, change string, v float64) {
	cell := sheet.Num(t.log.v+v, 6).Formula(t.log.ref + "+" + change)
	t.log = tried{t.here(tryLog), t.log.v + v}
	t.row(particular, input, help, cell)
}

// item adds a row of money over what the item is worth where it is not
// stated; the row states nothing.
func (t *trial) item(particular, help, worth, notStated string, v float64) {
	own, taken := t.here(tryWorth), sheet.Num(math.Max(-v, 0), 2)
	money := sheet.Num(t.money.v, 2).Formula(t.money.ref + "+" + own + "-" + notStated)
	t.money = tried{t.here(tryMoney), t.money.v}
	t.row(particular, sheet.Cell{}.Marked(sheet.Input), help, sheet.Cell{}, sheet.Num(v, 2).Formula(worth), taken.Formula("MAX(0-"+own+",0)"), money)
}

// middles are the age that stands in where none is told, and the middle build
// year.
func (t *trial) middles() (age float64, year int) {
	var ages, years []float64
	for i := range t.survey.Market.Listings {
		l := &t.survey.Market.Listings[i]
		if a, ok := l.Age(); ok {
			ages, years = append(ages, a), append(years, float64(l.Year.Value))
		}
	}
	if len(ages) == 0 {
		return 0, t.survey.Market.AsOf.Year()
	}
	return robust.Median(ages), int(robust.Median(years))
}
