package price

import (
	"math"

	"askance/ingest/boat"
)

// parts takes a price apart in money. It starts from a boat of which nothing
// is stated, and takes one step after the other at the running total: class,
// length, measures, factors, seller, age, condition, then each item that is
// stated, what the limit under deductions withholds, what the nearest
// comparables ask over or under the model, and what keeping the boat out of its own price changes. Every total is rounded, so the parts add
// up to expected exactly.
func (m *Model) parts(s *state, l *boat.Listing, e *encoded, moved, expected float64) []Part {
	w := &walk{model: m, state: s, at: m.blank()}
	w.to(Part{What: "class", Value: l.Class.Value, Quote: l.Class.Said}, func(b *encoded) { b.class, b.kind, b.maker = e.class, e.kind, e.maker })
	if m.plan.hasLength {
		w.to(Part{What: "length", Quote: l.Length.Said}, func(b *encoded) { b.logLength, b.lengthKnown = e.logLength, e.lengthKnown })
	}
	for _, measure := range m.plan.measures {
		w.to(Part{What: "measure:" + measure.header}, func(b *encoded) { copy(measure.of(b), measure.of(e)) })
	}
	for i, factor := range m.plan.factors {
		value, _ := factor.value(l)
		w.to(Part{What: "factor:" + factor.header, Value: value}, func(b *encoded) { b.factors[i] = e.factors[i] })
	}
	if m.plan.at.dealer >= 0 {
		w.to(Part{What: "seller", Value: l.Seller.Value, Quote: l.Seller.Said}, func(b *encoded) { b.seller = e.seller })
	}
	if m.plan.at.trend >= 0 {
		w.to(Part{What: "listed", Quote: l.Listed.Said}, func(b *encoded) { b.yearsBack = e.yearsBack })
	}
	if m.plan.hasAge {
		w.to(Part{What: "age", Quote: l.Year.Said}, func(b *encoded) { b.age, b.ageKnown = e.age, e.ageKnown })
	}
	m.itemSteps(w, l, e)
	for i, header := range m.plan.extras {
		if e.extras[i] >= 0 {
			w.to(Part{What: "extra:" + header, Value: yesNo(e.extras[i])}, func(b *encoded) { b.extras[i] = e.extras[i] })
		}
	}
	full := m.round(s.bracket(e).price())
	w.close("limit", full)
	w.close("comparables", m.round(full*math.Exp(moved)))
	if _, inFit := m.rowOf[l]; inFit {
		w.close("left_out", expected)
	} else {
		w.close("rounding", expected)
	}
	return w.parts
}

// itemSteps takes the steps of everything that the knowhow names: condition
// and hulls first, since they multiply, then items in the knowhow's order.
func (m *Model) itemSteps(w *walk, l *boat.Listing, e *encoded) {
	conditionTold := false
	for i := range m.plan.tables {
		t := &m.plan.tables[i]
		if i == m.plan.products && !conditionTold {
			w.to(Part{What: "condition"}, func(*encoded) {})
			conditionTold = true
		}
		if e.levels[i] < 0 {
			continue
		}
		p := Part{What: "item", Item: t.item.ID, Value: t.item.Levels[e.levels[i]].ID}
		if f, ok := l.Find(t.item.ID); ok {
			p.Quote = f.Quote
		}
		if t.multiplies() {
			p.What, conditionTold = "condition", true
			if t.item.ID == "condition" {
				p.Item, p.Quote = "", l.Condition.Said
			}
		}
		w.to(p, func(b *encoded) { b.levels[i] = e.levels[i] })
	}
	if !conditionTold {
		w.to(Part{What: "condition"}, func(*encoded) {})
	}
}

func yesNo(i int) string {
	if i == 1 {
		return "included"
	}
	return "absent"
}

// blank is a new boat of which nothing is stated, at the reference length.
func (m *Model) blank() encoded {
	b := m.plan.encode(&boat.Listing{})
	b.logLength, b.age = 0, 0
	return b
}

// A walk goes from one boat to another, one particular after the other, and
// keeps what each step changes.
type walk struct {
	model *Model
	state *state
	at    encoded
	total float64
	parts []Part
}

// to takes one step; its amount is the change of the total, before the limit
// under deductions.
func (w *walk) to(p Part, change func(*encoded)) {
	change(&w.at)
	w.add(p, w.model.round(w.state.bracket(&w.at).unlimited()))
}

func (w *walk) add(p Part, total float64) {
	p.Amount = w.model.round(total - w.total)
	w.total = total
	w.parts = append(w.parts, p)
}

// close takes a step to a given total, if it is one.
func (w *walk) close(what string, total float64) {
	if math.Abs(total-w.total) > 1e-9 {
		w.add(Part{What: what}, total)
	}
}

// unlimited is the price before the limit under deductions.
func (b bracket) unlimited() float64 { return b.hull + b.adds - b.deducts }
