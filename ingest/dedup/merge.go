package dedup

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"askance/ingest/boat"
)

// merge makes one listing of a group: the newest, filled from the others.
func (f *folder) merge(group []*ad) boat.Listing {
	group = slices.Clone(group)
	slices.SortStableFunc(group, func(a, b *ad) int {
		return cmp.Or(b.date.Compare(a.date), cmp.Compare(btoi(b.l.Price.Known), btoi(a.l.Price.Known)))
	})
	m := *group[0].l
	m.Notes = slices.Clone(m.Notes)
	m.Problems = slices.Clone(m.Problems)
	m.Findings = slices.Clone(m.Findings)
	m.Also = slices.Clone(m.Also)
	m.Factors, m.Measures = maps.Clone(m.Factors), maps.Clone(m.Measures)
	for _, a := range group[1:] {
		fill(&m, a.l)
		m.Also = append(m.Also, sighting(a))
		m.Also = append(m.Also, a.l.Also...)
	}
	slices.SortStableFunc(m.Also, func(a, b boat.Sighting) int { return b.Listed.Compare(a.Listed) })
	for _, a := range group {
		for _, n := range f.notes[a.rank] {
			m.Notes = addOnce(m.Notes, n)
		}
	}
	return m
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func sighting(a *ad) boat.Sighting {
	return boat.Sighting{Source: a.l.Source, Price: a.l.Price, Listed: a.date}
}

// fill gives a listing what it lacks and another of the same boat has, and
// notes what they say differently.
func fill(m *boat.Listing, other *boat.Listing) {
	at := other.Source.At.String()
	note := func(what, here, there string) {
		m.Notes = addOnce(m.Notes, fmt.Sprintf("%s: %s here, %s in %s", what, here, there, at))
	}
	fillYear(m, other, note)
	fillFact(&m.Class, other.Class, "class", note)
	fillFact(&m.Maker, other.Maker, "maker", note)
	fillFact(&m.HullNumber, other.HullNumber, "hull number", note)
	fillFact(&m.Condition, other.Condition, "condition", note)
	fillFact(&m.Seller, other.Seller, "seller", note)
	fillFact(&m.Place, other.Place, "place", note)
	fillLength(m, other, note)
	fillPrice(&m.Price, other.Price)
	fillPrice(&m.Paid, other.Paid)
	m.Title = cmp.Or(m.Title, other.Title)
	if strings.TrimSpace(m.Text) == "" {
		m.Text, m.Language = other.Text, cmp.Or(other.Language, m.Language)
	}
	m.Language = cmp.Or(m.Language, other.Language)
	fillFindings(m, other, note)
	fillMap(&m.Factors, other.Factors, func(s string) bool { return s != "" })
	fillMap(&m.Measures, other.Measures, func(v float64) bool { return v > 0 })
	for _, p := range other.Problems {
		if !slices.Contains(m.Problems, p) {
			m.Problems = append(m.Problems, p)
		}
	}
	for _, n := range other.Notes {
		m.Notes = addOnce(m.Notes, n)
	}
}

func addOnce(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// fillFact takes an unknown fact from the other listing.
func fillFact(f *boat.Fact[string], other boat.Fact[string], what string, note func(what, here, there string)) {
	switch {
	case !other.Known:
	case !f.Known:
		*f = other
	case !strings.EqualFold(f.Value, other.Value):
		note(what, f.Value, other.Value)
	}
}

// fillYear takes an unknown year, or a claim where this listing has only the
// hull number's year.
func fillYear(m, other *boat.Listing, note func(what, here, there string)) {
	const fromHull = "hull_number"
	y, o := &m.Year, other.Year
	switch {
	case !o.Known:
	case !y.Known:
		*y = o
	case y.From == fromHull && o.From != fromHull:
		said := fmt.Sprintf("hull number says %d", y.Value)
		differ := y.Value-o.Value > 1 || o.Value-y.Value > 1
		*y = o
		if differ {
			y.Conflict = cmp.Or(y.Conflict, said)
		}
	case y.Value != o.Value:
		note("year", strconv.Itoa(y.Value), strconv.Itoa(o.Value))
	case y.Month == 0:
		y.Month = o.Month
	}
}

func fillLength(m, other *boat.Listing, note func(what, here, there string)) {
	a, b := m.Length, other.Length
	switch {
	case !b.Known:
	case !a.Known:
		m.Length = b
	case max(a.Value, b.Value) > likeLength*min(a.Value, b.Value):
		note("length", fmt.Sprintf("%.2f m", a.Value), fmt.Sprintf("%.2f m", b.Value))
	}
}

// fillPrice takes the other listing's amount where this one has none.
func fillPrice(p *boat.Price, other boat.Price) {
	if !p.Known && (other.Known || p.Terms == "" && p.Quote == "") {
		*p = other
	}
}

// fillFindings adds the findings on items of which this listing says nothing.
func fillFindings(m, other *boat.Listing, note func(what, here, there string)) {
	for _, o := range other.Findings {
		if mine, ok := m.Find(o.Item); !ok {
			m.Findings = append(m.Findings, o)
		} else if mine.Value != o.Value {
			note(o.Item, mine.Value, o.Value)
		}
	}
}

func fillMap[V any](m *map[string]V, other map[string]V, told func(V) bool) {
	for k, v := range other {
		if mine, ok := (*m)[k]; (!ok || !told(mine)) && told(v) {
			if *m == nil {
				*m = map[string]V{}
			}
			(*m)[k] = v
		}
	}
}
