package report

import (
	"askance/analysis"
	"askance/analysis/price"
	"askance/cmd/askance/internal/sheet"
)

// Creator marks a workbook as the program's own; its category is the command.
const Creator = "askance"

// a desk is what every sheet of a workbook is written from.
type desk struct {
	view   View
	book   *sheet.Book
	survey *analysis.Survey
	coin   coin
}

func newDesk(s *analysis.Survey, v View, command, title string) *desk {
	return &desk{view: v, survey: s, coin: coinOf(s.Market.Currency), book: &sheet.Book{Creator: Creator, Category: command, Title: title, When: v.When}}
}

// whole is money in whole units, for a column whose sheet names the currency.
func (d *desk) whole(v float64) sheet.Cell { return sheet.Money(d.coin.round(v), "", 0) }

// known is whole money that is shown only above 0.
func (d *desk) known(v float64) sheet.Cell {
	if v <= 0 {
		return sheet.Cell{}
	}
	return d.whole(v)
}

// exact is money to the minor unit.
func (d *desk) exact(v float64) sheet.Cell { return sheet.Money(d.coin.round(v), "", d.coin.digits) }

// sum is whole money with the currency's code, for a figure that stands alone.
func (d *desk) sum(v float64) sheet.Cell { return sheet.Money(d.coin.round(v), d.coin.currency, 0) }

// allMoney says in which currency a sheet's money is.
func (d *desk) allMoney() string { return "All money in " + d.coin.currency + "." }

// ScanWorkbook lays a survey out as a workbook.
func ScanWorkbook(s *analysis.Survey, v View) *sheet.Book {
	d := newDesk(s, v, "scan", "A market of boats, judged")
	start, ranking, workings := d.book.Add("Start here"), d.book.Add("Ranking"), d.book.Add("Workings")
	rates, curve, try := d.book.Add("Going rates"), d.book.Add("Age curve"), d.book.Add("Try a boat")
	viewing, left, method := d.book.Add("Viewing list"), d.book.Add("Left out"), d.book.Add("Method and cautions")
	places := d.workings(workings)
	d.ranking(ranking, places)
	d.rates(rates)
	d.curve(curve)
	d.tryBoat(try)
	d.viewing(viewing)
	d.leftOut(left)
	d.method(method)
	d.start(start, []guide{
		{ranking, "every listing judged, from the lowest ask against what is expected to the highest"},
		{workings, "how each expected price comes about, step by step in money, with the words behind it"},
		{rates, "what this market pays for grades, states and extras, and what a new boat of each class would ask"},
		{curve, "what is left of the price of a new boat, year by year, with a chart"},
		{try, "state a boat of your own and see what it would be expected to ask; the formulas are live"},
		{viewing, "what to check at each boat worth seeing, with room for your notes"},
		{left, "every row that was left out, with its reason, and what could not be read"},
		{method, "how it works in plain words, how far it can be trusted, and the settings used"},
	})
	return d.book
}

// steps makes the rows of one price, step by step: number, step, what is
// stated, its words, the amount, and the running total as a live formula.
// The last row adds the amounts up to the price, live as well. lead stands at
// the start of every row; first is the row where the first will stand.
func (d *desk) steps(lead []sheet.Cell, val price.Valuation, first int) [][]sheet.Cell {
	amount, running := letter(len(lead)+5), letter(len(lead)+6)
	var rows [][]sheet.Cell
	total := 0.0
	for i, p := range told(d.coin.parts(val.Parts, val.Expected)) {
		total = d.coin.round(total + p.Amount)
		at := first + i
		formula := amount + digits(at)
		if i > 0 {
			formula = running + digits(at-1) + "+" + amount + digits(at)
		}
		rows = append(rows, append(clone(lead),
			sheet.Int(i+1), sheet.Str(d.view.step(p)).Wrapped(), sheet.Str(d.view.stepValue(p)).Wrapped(), sheet.Str(p.Quote).Wrapped(),
			d.exact(p.Amount).Signed(), d.exact(total).Formula(formula)))
	}
	last := first + len(rows) - 1
	if len(rows) > 0 {
		closing := append(clone(lead), sheet.Cell{}, sheet.Str(head("expected")).Marked(sheet.Total), sheet.Cell{}.Marked(sheet.Total), sheet.Cell{}.Marked(sheet.Total),
			d.exact(total).Formula("SUM("+amount+digits(first)+":"+amount+digits(last)+")").Marked(sheet.Total), sheet.Cell{}.Marked(sheet.Total))
		rows = append(rows, closing)
	}
	return rows
}

// stepColumns are the columns of steps, without what leads the row.
func stepColumns() []sheet.Column {
	return []sheet.Column{column("step_no", 5), column("step", 28), column("stated", 20), column("words", 44), column("amount", 13), column("running", 13)}
}

func clone(cells []sheet.Cell) []sheet.Cell { return append([]sheet.Cell{}, cells...) }
