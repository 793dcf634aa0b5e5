package outlay

import (
	"askance/analysis/price"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// Ready adds up what it takes to make a boat fit for a purpose, and what such
// a boat asks then. An item that the listing does not speak of counts by the
// chance that it falls short, from the knowhow's usual shares.
func Ready(l *boat.Listing, v price.Valuation, m *price.Model, book *knowhow.Book, purpose string, width float64) Outlay {
	o := Outlay{Purpose: purpose}
	ready := *l
	ready.Findings = append([]boat.Finding(nil), l.Findings...)
	for _, n := range book.Needs {
		if n.Purpose == purpose {
			o.need(&ready, n, book)
		}
	}
	for _, f := range l.Findings {
		it, ok := book.Item(f.Item)
		if !ok || it.Kind != knowhow.Defect || f.Value != knowhow.Present || it.Grave == knowhow.Cosmetic {
			continue
		}
		if it.Grave == knowhow.WalkAway {
			o.NotFit = it.Label + ": no repair short of rebuilding the hull makes up for it"
			continue
		}
		o.add(book, Job{Item: it.ID, From: f.Value, To: knowhow.Repaired, Must: true, Chance: 1})
		set(&ready, it.ID, knowhow.Repaired)
	}
	ratio := m.Ratio(l, &ready)
	o.ReadyExpected, o.ReadyLow, o.ReadyHigh = v.Expected*ratio, v.Low*ratio, v.High*ratio
	if l.Price.Known {
		o.AllIn = l.Price.Major() + o.CostToReady
		o.Margin = o.ReadyExpected - o.AllIn
	}
	return o
}

// need adds the job that one need asks for, if it may fall short.
func (o *Outlay) need(ready *boat.Listing, n knowhow.Need, book *knowhow.Book) {
	it, ok := book.Item(n.Item)
	if !ok {
		return
	}
	wanted := rank(it, n.AtLeast)
	f, stated := ready.Find(it.ID)
	if stated {
		if rank(it, f.Value) < wanted {
			o.add(book, Job{Item: it.ID, From: f.Value, To: n.AtLeast, Must: n.Must, Chance: 1})
			set(ready, it.ID, n.AtLeast)
		}
		return
	}
	for _, v := range it.Levels {
		if v.Usual > 0 && rank(it, v.ID) < wanted {
			o.add(book, Job{Item: it.ID, From: v.ID, To: n.AtLeast, Must: n.Must, Chance: v.Usual})
		}
	}
	set(ready, it.ID, n.AtLeast)
}

// rank orders the values of an item from poor to good.
func rank(it knowhow.Item, value string) int {
	if it.Kind == knowhow.Extra {
		if value == knowhow.Included {
			return 1
		}
		return 0
	}
	for i, v := range it.Levels {
		if v.ID == value {
			return i
		}
	}
	return -1
}

// add prices a job by the cheapest cost that reaches at least its target.
func (o *Outlay) add(book *knowhow.Book, j Job) {
	it, _ := book.Item(j.Item)
	found := false
	for _, c := range book.Costs {
		if c.Item != j.Item || c.From != j.From || rank(it, c.To) < rank(it, j.To) {
			continue
		}
		if !found || c.Low+c.High < j.Low+j.High {
			j.Low, j.High, j.What, found = c.Low, c.High, c.What, true
		}
	}
	if !found {
		j.What = it.Label + ": no cost known"
	}
	o.Jobs = append(o.Jobs, j)
	if j.Chance == 1 {
		o.CostLow += j.Low
		o.CostHigh += j.High
	}
	o.CostToReady += j.Chance * (j.Low + j.High) / 2
}

// set states an item anew.
func set(l *boat.Listing, item, value string) {
	for i := range l.Findings {
		if l.Findings[i].Item == item {
			l.Findings[i].Value = value
			return
		}
	}
	l.Findings = append(l.Findings, boat.Finding{Item: item, Value: value})
}

// Viewing lists what to look at when going to see a boat: first what its
// listing says is there, then what would be grave and is not denied, then
// what it does not tell and money hangs on.
func Viewing(l *boat.Listing, book *knowhow.Book) []Check {
	var told, grave, open []Check
	for _, it := range book.Items {
		if it.Check == "" {
			continue
		}
		f, stated := l.Find(it.ID)
		c := Check{Item: it.ID, Why: it.Check}
		switch {
		case stated && (f.Value == knowhow.Present || f.Value == knowhow.Repaired || f.Value == "replace"):
			told = append(told, c)
		case it.IsStructural():
			grave = append(grave, c)
		case !stated && (it.Kind == knowhow.Fitting || it.Kind == knowhow.Wear || it.ID == "beam_crack"):
			open = append(open, c)
		}
	}
	return append(append(told, grave...), open...)
}
