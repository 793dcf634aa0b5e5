package knowhow

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// valuesOf lists which values the items of a kind may have, in their order.
func valuesOf(kind string) []string {
	switch kind {
	case Fitting:
		return []string{"basic", "mid", "top"}
	case Wear:
		return []string{"replace", "worn", "good", "fresh"}
	case Extra:
		return []string{Included, AtExtraCost, Absent}
	case Defect:
		return []string{Present, Repaired, Denied}
	case Condition:
		return []string{"poor", "fair", "good", "very_good", "new"}
	}
	return nil
}

// crossCheck finds what does not hold together between the files.
func (l *loader) crossCheck(b *Book) {
	for i := range b.Items {
		l.checkItem(&b.Items[i])
	}
	for _, c := range b.Costs {
		it, ok := b.Item(c.Item)
		if !ok {
			l.fault(c.At, "item", "an id of items.csv", c.Item, "")
			continue
		}
		for _, v := range []string{c.From, c.To} {
			if _, ok := it.Value(v); !ok {
				l.fault(c.At, "value", "a value of "+c.Item, v, "one of "+strings.Join(valuesOf(it.Kind), ", "))
			}
		}
		if c.Low < 0 || c.High < c.Low {
			l.fault(c.At, "low", "0 or more, and at most high", fmt.Sprintf("%g to %g", c.Low, c.High), "")
		}
	}
	for _, n := range b.Needs {
		it, ok := b.Item(n.Item)
		if !ok {
			l.fault(n.At, "item", "an id of items.csv", n.Item, "")
		} else if _, ok := it.Value(n.AtLeast); !ok {
			l.fault(n.At, "at_least", "a value of "+n.Item, n.AtLeast, "one of "+strings.Join(valuesOf(it.Kind), ", "))
		}
	}
	for _, id := range []string{"floor", "rate", "new_price", "reference_length", "length_power", "deduction_limit", "repaired_share", "class_spread", "maker_spread", "class_rate_spread", "seller", "noise", "paid_over_asked"} {
		if _, ok := b.numbers[id]; !ok {
			l.fault(fileAt("depreciation.csv"), "id", "a row with the id "+id, "none", "")
		}
	}
	for _, id := range []string{"floor", "rate", "new_price", "reference_length", "deduction_limit", "class_spread", "maker_spread", "class_rate_spread", "noise", "paid_over_asked"} {
		if n, ok := b.numbers[id]; ok && n.Value <= 0 {
			l.fault(n.At, "value", "a number above 0", fmt.Sprint(n.Value), "")
		}
	}
	if len(b.Money.Currency) != 3 {
		l.fault(fileAt("depreciation.csv"), "currency", "a currency code of ISO 4217", b.Money.Currency, "")
	}
	if _, err := time.Parse(time.DateOnly, b.Money.Date); err != nil {
		l.fault(fileAt("depreciation.csv"), "date", "a date YYYY-MM-DD", b.Money.Date, "")
	}
	l.checkPhrases(b)
}

// checkItem checks one item and puts its levels in their order, lowest first.
func (l *loader) checkItem(it *Item) {
	want := valuesOf(it.Kind)
	if want == nil {
		l.fault(it.At, "kind", "fitting, wear, extra, defect or condition", it.Kind, "")
		return
	}
	if it.Kind == Defect && !slices.Contains([]string{Cosmetic, Repair, Structural, WalkAway}, it.Grave) {
		l.fault(it.At, "grave", "cosmetic, repair, structural or walk_away", it.Grave, "")
	}
	if _, ok := it.Value(it.Reference); !ok {
		l.fault(it.At, "reference", "a value of the item in values.csv", it.Reference, "")
	}
	var ordered []Value
	usual := 0.0
	for _, id := range want {
		v, ok := it.Value(id)
		if !ok {
			l.fault(it.At, "id", "a row in values.csv for the value "+id, "none", "")
			continue
		}
		ordered = append(ordered, v)
		usual += v.Usual
		if v.Usual < 0 || v.Usual > 1 {
			l.fault(v.At, "usual", "a share from 0 to 1", fmt.Sprint(v.Usual), "")
		}
	}
	for _, v := range it.Levels {
		if !slices.Contains(want, v.ID) {
			l.fault(v.At, "value", "one of "+strings.Join(want, ", "), v.ID, "")
		}
	}
	it.Levels = ordered
	if math.Abs(usual-1) > 0.005 {
		l.fault(it.At, "usual", "shares that add up to 1", fmt.Sprintf("%.3f", usual), "see the item's rows in values.csv")
	}
	if it.Kind == Extra || it.Kind == Defect {
		return
	}
	for i := 1; i < len(ordered); i++ {
		lower, upper := ordered[i-1], ordered[i]
		if it.Factor && upper.Factor <= lower.Factor || !it.Factor && upper.Adds <= lower.Adds {
			l.fault(upper.At, "adds", "more than for the value "+lower.ID, upper.ID, "a better value is never worth less")
		}
	}
}
