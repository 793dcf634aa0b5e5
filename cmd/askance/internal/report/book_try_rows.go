package report

import (
	"math"
	"slices"
	"time"

	"askance/analysis/price"
	"askance/cmd/askance/internal/sheet"
)

// class adds the row of the class; its example is the commonest.
func (t *trial) class() {
	classes := t.model.Classes
	if len(classes) == 0 {
		t.hull(named("class"), sheet.Cell{}, "no listing of this market names its class", "0", 0)
		return
	}
	example := 0
	var names []string
	heads := []string{"log_level", "log_rate", "length_m", "log_power"}
	columns := make([][]float64, len(heads))
	powers := false
	for i, c := range classes {
		names = append(names, c.Name)
		length := c.Length
		if length <= 0 {
			length = t.middle.v
		}
		powers = powers || c.Power != 0
		for k, v := range []float64{c.Level - c.Power*t.model.Typical, c.Rate, length, c.Power} {
			columns[k] = append(columns[k], v)
		}
		if c.Listings > classes[example].Listings {
			example = i
		}
	}
	if !powers {
		heads, columns = heads[:3], columns[:3]
	}
	input := t.here(tryInput)
	list := t.list(head("class"), names, heads, columns...)
	t.offer(list)
	if powers {
		t.power = t.live("added to the power of the length", list.pick(input, 3, "0"), classes[example].Power)
	}
	t.rate = t.live("added to the log of the rate of ageing", list.pick(input, 1, "0"), classes[example].Rate)
	if t.model.HasLength {
		t.length = tried{list.pick(input, 2, t.middle.ref), columns[2][example]}
	}
	t.hull(named("class"), sheet.Str(list.labels[example]).Marked(sheet.Input), "of the list; blank for a class that this market does not have", list.pick(input, 0, "0"), columns[0][example])
}

// lengthRow adds the row of the length, filled in from the class.
func (t *trial) lengthRow() {
	f := t.model
	reference := t.figure("reference length (m)", f.RefLength)
	typical := t.figure("log of the middle length over it", f.Typical)
	power, bend, rate := t.figure("power of the length", f.Power), t.figure("bend of the length", f.SizeBend), t.figure("rate of ageing by length", f.SizeRate)
	input := t.here(tryInput)
	cell, metres, help := sheet.Num(t.middle.v, 2), t.middle.v, "metres"
	if t.length.ref != "" {
		metres, help = t.length.v, "metres; comes with the class until you type a length over it"
		cell = sheet.Num(metres, 2).Formula(t.length.ref)
	}
	t.bounds(1, 100)
	x := t.live("log of the length over the reference", "LN(IF(ISNUMBER("+input+"),"+input+","+t.middle.ref+")/"+reference.ref+")", math.Log(metres/reference.v))
	own := f.SizeRate * (x.v - f.Typical)
	base := tried{"0", 0}
	if t.rate.ref != "" {
		base = t.rate
	}
	t.rate = t.live("the same, with the length's own", base.ref+"+"+rate.ref+"*("+x.ref+"-"+typical.ref+")", base.v+own)
	formula := power.ref + "*" + x.ref + "+" + bend.ref + "*((" + x.ref + "-" + typical.ref + ")^2-" + typical.ref + "^2)"
	log := f.Power*x.v + f.SizeBend*((x.v-f.Typical)*(x.v-f.Typical)-f.Typical*f.Typical)
	if len(f.SizeBends) > 0 {
		bends := t.bends(tried{x.ref + "-" + typical.ref, x.v - f.Typical}, "length", f.SizeBends)
		none := t.figure("of which at the reference length", atReference(f))
		formula, log = formula+"+"+bends.ref+"-"+none.ref, log+bends.v-none.v
	}
	if t.power.ref != "" {
		formula, log = formula+"+"+t.power.ref+"*"+x.ref, log+t.power.v*x.v
	}
	t.hull(named("length"), cell.Marked(sheet.Input), help, formula, log)
}

// atReference is what the bends of the length add to a boat of the reference
// length.
func atReference(f price.Formula) float64 {
	sum := 0.0
	for _, b := range f.SizeBends {
		sum += b.At(-f.Typical)
	}
	return sum
}

// bends sets what the bends at knots add at x.
func (t *trial) bends(x tried, name string, bends []price.Bend) tried {
	all := tried{"0", 0}
	for _, b := range bends {
		knot, slope := t.figure(name+": bends at (log over the middle)", b.Knot), t.figure("by", b.Slope)
		all = t.live("what its bends add so far", all.ref+"+"+slope.ref+"*MAX("+x.ref+"-"+knot.ref+",0)", all.v+b.At(x.v))
	}
	return all
}

// measure adds the row of a number of the user's own.
func (t *trial) measure(m price.FormulaMeasure) {
	centre, power, bend := t.figure(m.Header+": centre", m.Centre), t.figure(m.Header+": power", m.Power), t.figure(m.Header+": bend", m.Bend)
	input := t.here(tryInput)
	ratio := input + "/" + centre.ref
	held := "MIN(" + ratio + ",5)"
	bends := t.bends(tried{"LN(IF(ISNUMBER(" + input + ")," + ratio + ",1))", 0}, m.Header, m.Bends)
	t.bounds(1e-6, 1e9)
	t.hull(m.Header, sheet.Cell{}.Marked(sheet.Input), "a number above 0, in the unit of the column",
		"IF(ISNUMBER("+input+"),"+power.ref+"*LN("+ratio+")+"+bend.ref+"*("+held+"-1-LN("+held+"))+"+bends.ref+",0)", 0)
}

// factor adds the row of a category of the user's own.
func (t *trial) factor(f price.FormulaFactor) {
	levels := slices.Clone(f.Levels)
	for i, l := range levels {
		if l == "" {
			levels[i] = "(blank in the list)"
		}
	}
	t.hullChoice(f.Header, levels, f.Adds)
}

func (t *trial) seller() {
	t.hullChoice(named("seller"), []string{"private", "dealer", "club"}, []float64{0, t.model.Dealer, t.model.Club})
}

// hullChoice adds a row whose choice moves the log of the hull; blank leaves
// it.
func (t *trial) hullChoice(name string, labels []string, logs []float64) {
	list := t.list(name, labels, []string{"log_level"}, logs)
	input := t.here(tryInput)
	t.offer(list)
	t.hull(name, sheet.Cell{}.Marked(sheet.Input), list.words(), list.pick(input, 0, "0"), 0)
}

// age adds the rows of the date, the build year, and the age they make.
func (t *trial) age() {
	asOf := t.survey.Market.AsOf
	day := time.Date(asOf.Year(), asOf.Month(), asOf.Day(), 0, 0, 0, 0, time.UTC)
	date, year := t.here(tryInput), "$"+letter(tryInput)+"$"+digits(t.first+len(t.rows)+1)
	t.only("date", sheet.Date(day).Marked(sheet.Input), "the day at which the age counts")
	middle, built := t.middles()
	t.bounds(1900, 2200)
	t.only(head("year.value"), sheet.Year(built).Marked(sheet.Input), "the age counts from its 1 July; blank: the market's middle age")
	standIn := t.figure("middle age of the market", middle)
	age := math.Max(day.Sub(time.Date(built, time.July, 1, 0, 0, 0, 0, time.UTC)).Hours()/24/365.25, 0)
	pace := tried{"1", 1}
	if t.rate.ref != "" {
		pace = t.live("how many times as fast as the curve it ages", "EXP("+t.rate.ref+")", math.Exp(t.rate.v))
	}
	share := t.share(tried{t.here(tryInput), age}, pace)
	t.hull(named("age"), sheet.Num(age, 2).Formula("IF(ISNUMBER("+year+"),MAX(("+date+"-DATE("+year+",7,1))/365.25,0),"+standIn.ref+")"), "years, worked out from the two cells above", "LN("+share.ref+")", math.Log(share.v))
}

// only adds a row that states something and has no money of its own.
func (t *trial) only(particular string, input sheet.Cell, help string) {
	t.rows = append(t.rows, []sheet.Cell{sheet.Str(particular), input, {}, {}, sheet.Str(help).Wrapped()})
}

// share sets the share of new that an age leaves, at a pace over that of the
// curve.
func (t *trial) share(age, pace tried) tried {
	f := t.model
	if f.Rate > 0 {
		floor, each := t.figure("share of new that is always left", f.Floor), t.figure("rate of ageing, a year", f.Rate)
		return t.live("share of new at this age", floor.ref+"+(1-"+floor.ref+")/EXP("+each.ref+"*"+pace.ref+"*"+age.ref+")", f.Floor+(1-f.Floor)*math.Exp(-f.Rate*pace.v*age.v))
	}
	all := tried{"0", 0}
	for i, slope := range f.Pieces {
		end := f.Oldest
		if i+1 < len(f.Knots) {
			end = f.Knots[i+1]
		}
		from, to, by := t.figure("piece of the age curve from (years)", f.Knots[i]), t.figure("to (years)", end), t.figure("its slope, a year", slope)
		fall := all.v + slope*math.Max(math.Min(age.v, end)-f.Knots[i], 0)
		all = t.live("what age takes off the log so far", all.ref+"+"+by.ref+"*MAX(MIN("+age.ref+","+to.ref+")-"+from.ref+",0)", fall)
	}
	return t.live("share of new at this age", "1/EXP("+pace.ref+"*"+all.ref+")", math.Exp(-pace.v*all.v))
}

// factorItem adds the row of the condition, or of what multiplies like it.
func (t *trial) factorItem(it price.FormulaItem) {
	list := t.list(t.view.item(it.Item), t.labels(it), []string{"factor"}, it.Worth)
	none := t.figure(notStated, it.NotStated)
	input := t.here(tryInput)
	t.offer(list)
	t.hull(t.view.item(it.Item), sheet.Cell{}.Marked(sheet.Input), list.words(), "LN("+list.pick(input, 0, none.ref)+"/"+none.ref+")", 0)
}

const notStated = "where it is not stated"

// moneyItem adds the row of an item that adds or takes away money.
func (t *trial) moneyItem(it price.FormulaItem) {
	list := t.list(t.view.item(it.Item), t.labels(it), []string{"item_money"}, it.Worth)
	none := t.figure(notStated, it.NotStated)
	input := t.here(tryInput)
	t.offer(list)
	t.item(t.view.item(it.Item), list.words(), list.pick(input, 0, none.ref), none.ref, it.NotStated)
}

// extra adds the row of a yes/no column of the user's own.
func (t *trial) extra(x price.FormulaExtra) {
	list := t.list(x.Header, []string{"yes", "no"}, []string{"item_money"}, []float64{x.Worth, 0})
	input := t.here(tryInput)
	t.offer(list)
	t.item(x.Header, list.words(), list.pick(input, 0, "0"), "0", 0)
}

// labels gives the words for an item's values.
func (t *trial) labels(it price.FormulaItem) []string {
	var out []string
	for _, v := range it.Values {
		out = append(out, t.view.value(it.Item, v))
	}
	return out
}
