package price

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"askance/ingest/boat"
)

// comparables lists the nearest other listings, their asks adjusted line by
// line to the boat's particulars. Listings that the fit distrusts, and other
// listings of the same boat, are not among them.
func (m *Model) comparables(s *state, l *boat.Listing, e *encoded, most int) []Comparable {
	type near struct {
		row      int
		distance float64
	}
	var found []near
	here := priceRow(s, e)
	own := -1
	if i, ok := m.rowOf[l]; ok {
		own = i
	}
	for _, j := range m.nearby.near(l, &here, own) {
		if m.fit.weights[j] < 0.3 {
			continue
		}
		found = append(found, near{j, m.distance(s, &here, &m.rows[j])})
	}
	slices.SortStableFunc(found, func(a, b near) int { return compare(a.distance, b.distance) })
	found = found[:min(most, len(found))]
	total := 0.0
	for _, f := range found {
		total += m.fit.weights[f.row] / (1 + f.distance)
	}
	var out []Comparable
	for _, f := range found {
		c := m.adjusted(s, m.listings[f.row], &m.fit.problem.rows[f.row], l, e)
		c.Weight = m.fit.weights[f.row] / (1 + f.distance) / total
		out = append(out, c)
	}
	return out
}

// sameBoat tells two listings of one boat by their hull number or address.
func sameBoat(a, b *boat.Listing) bool {
	if a.HullNumber.Known && b.HullNumber.Known && a.HullNumber.Value == b.HullNumber.Value {
		return true
	}
	return a.ID != "" && a.ID == b.ID || a.Source.URL != "" && a.Source.URL == b.Source.URL
}

// A pricedRow is a boat with what the distance between boats is made of.
type pricedRow struct {
	boat               *encoded
	logShare, logPrice float64
	bare               float64 // log price with no item stated
}

func priceRow(s *state, e *encoded) pricedRow {
	b := s.bracket(e)
	plain := e.clone()
	for i := range plain.levels {
		plain.levels[i] = -1
	}
	for i := range plain.extras {
		plain.extras[i] = -1
	}
	return pricedRow{boat: e, logShare: math.Log(b.share), logPrice: math.Log(b.price()), bare: s.logPrice(&plain)}
}

// distance between two boats: how much of the price would have to be
// adjusted, in log, with another class counted dear.
func (m *Model) distance(s *state, from, to *pricedRow) float64 {
	a, b := from.boat, to.boat
	d := 0.0
	if a.class != b.class || a.class < 0 {
		d += 0.5
		if a.maker >= 0 && a.maker == b.maker {
			d -= 0.1
		}
	}
	d += 2 * math.Abs(a.logLength-b.logLength)
	d += math.Abs(from.logShare - to.logShare)
	middle := math.Exp((from.logPrice + to.logPrice) / 2)
	for i := range a.levels {
		if a.levels[i] == b.levels[i] {
			continue
		}
		gap := math.Abs(s.itemMoney(i, a.levels[i]) - s.itemMoney(i, b.levels[i]))
		if i >= m.plan.products {
			gap /= middle
		}
		d += gap
	}
	for i := range a.factors {
		if a.factors[i] != b.factors[i] {
			d += 0.1
		}
	}
	for i := range a.measures {
		if x := math.Abs(a.measures[i] - b.measures[i]); !math.IsNaN(x) {
			d += x * math.Abs(s.theta[m.plan.at.measures+i])
		}
	}
	return d
}

// adjusted walks from a comparable to the boat and keeps what each difference
// is worth.
func (m *Model) adjusted(s *state, other *boat.Listing, from *encoded, l *boat.Listing, to *encoded) Comparable {
	start := from.clone()
	w := &walk{model: m, state: s, at: start}
	w.total = m.round(s.bracket(&w.at).price())
	step := func(what, value string, change func(*encoded)) {
		change(&w.at)
		w.add(Part{What: what, Value: value}, m.round(s.bracket(&w.at).price()))
	}
	if from.class != to.class || from.maker != to.maker {
		step("class", arrowText(other.Class.Value, l.Class.Value), func(b *encoded) { b.class, b.kind, b.maker = to.class, to.kind, to.maker })
	}
	if from.logLength != to.logLength {
		step("length", fmt.Sprintf("%.2f m -> %.2f m", m.metres(from), m.metres(to)), func(b *encoded) { b.logLength = to.logLength })
	}
	for _, measure := range m.plan.measures {
		if x, y := measure.of(from)[0], measure.of(to)[0]; x != y && !(math.IsNaN(x) && math.IsNaN(y)) {
			step("measure:"+measure.header, "", func(b *encoded) { copy(measure.of(b), measure.of(to)) })
		}
	}
	for i, factor := range m.plan.factors {
		if from.factors[i] != to.factors[i] {
			before, _ := factor.value(other)
			after, _ := factor.value(l)
			step("factor:"+factor.header, arrowText(before, after), func(b *encoded) { b.factors[i] = to.factors[i] })
		}
	}
	if from.seller != to.seller {
		step("seller", arrowText(other.Seller.Value, l.Seller.Value), func(b *encoded) { b.seller = to.seller })
	}
	if from.yearsBack != to.yearsBack {
		step("listed", "", func(b *encoded) { b.yearsBack = to.yearsBack })
	}
	if from.age != to.age {
		step("age", arrowText(yearText(other), yearText(l)), func(b *encoded) { b.age = to.age })
	}
	for i := range m.plan.tables {
		if from.levels[i] != to.levels[i] {
			t := &m.plan.tables[i]
			step(t.item.ID, arrowText(t.levelName(from.levels[i]), t.levelName(to.levels[i])), func(b *encoded) { b.levels[i] = to.levels[i] })
		}
	}
	for i, header := range m.plan.extras {
		if from.extras[i] != to.extras[i] {
			step("extra:"+header, "", func(b *encoded) { b.extras[i] = to.extras[i] })
		}
	}
	c := Comparable{Listing: other, Ask: other.Price.Major()}
	c.Adjusted = c.Ask
	for _, p := range w.parts {
		if p.Amount != 0 {
			c.Adjustments = append(c.Adjustments, Adjustment{p.What, p.Value, p.Amount})
			c.Adjusted = m.round(c.Adjusted + p.Amount)
		}
	}
	return c
}

// clone copies what a walk changes.
func (e *encoded) clone() encoded {
	c := *e
	c.levels, c.extras = slices.Clone(e.levels), slices.Clone(e.extras)
	c.measures, c.factors = slices.Clone(e.measures), slices.Clone(e.factors)
	return c
}

func (m *Model) metres(e *encoded) float64 { return m.plan.refLength * math.Exp(e.logLength) }

func (t *itemPlan) levelName(level int) string {
	if level < 0 {
		return ""
	}
	return t.item.Levels[level].ID
}

func yearText(l *boat.Listing) string {
	if !l.Year.Known {
		return ""
	}
	return strconv.Itoa(l.Year.Value)
}

// arrowText tells a change; a blank is "not stated".
func arrowText(from, to string) string {
	tell := func(s string) string {
		if strings.TrimSpace(s) == "" {
			return "not stated"
		}
		return s
	}
	return tell(from) + " -> " + tell(to)
}
