package price

import (
	"maps"
	"slices"
	"strings"

	"askance/analysis/robust"
	"askance/ingest/boat"
)

// A factorPlan is one of the user's factors, or on a large market the place.
// One whose values are nested, such as "Coast, Bay", stands once for each
// width, so that a rare place is told by what it lies in.
type factorPlan struct {
	header string   // as shown
	column string   // the user's header; "" for the place
	nested nesting  // how the values nest
	width  int      // how many pieces of a nested value count, 0 for all
	levels []string // the most frequent ones, sorted; any other stands at nought
	index  map[string]int
	first  int // parameter of the first level
}

// placeFactor is the header of the place as a factor.
const placeFactor = "place"

// Bounds of what is asked of a large market.
const (
	manyPlaces = 300 // listings from which on the place is a factor
	mostLevels = 100 // levels of one factor, on any market; more would be one listing each
	fewLevels  = 20  // levels up to which nesting is not looked for
)

// value is what a listing tells of the factor, at its width.
func (f *factorPlan) value(l *boat.Listing) (string, bool) {
	v, ok := l.Factors[f.column]
	if f.column == "" {
		v, ok = l.Place.Value, l.Place.Known
	}
	if !ok || f.width == 0 {
		return v, ok
	}
	return f.nested.widest(v, f.width), true
}

// factorsOf plans the factors of a market: in the order of their headers, the
// place last, wider ones first.
func factorsOf(listings []*boat.Listing) []factorPlan {
	columns, places := map[string]bool{}, 0
	for _, l := range listings {
		for h := range l.Factors {
			columns[h] = true
		}
		if l.Place.Known {
			places++
		}
	}
	var out []factorPlan
	for _, h := range sortedKeys(columns) {
		out = append(out, widths(factorPlan{header: h, column: h}, listings)...)
	}
	if len(listings) >= manyPlaces && 2*places >= len(listings) && !columns[placeFactor] {
		out = append(out, widths(factorPlan{header: placeFactor}, listings)...)
	}
	return out
}

// widths gives a factor once for each width at which its values nest, with its
// levels.
func widths(f factorPlan, listings []*boat.Listing) []factorPlan {
	count := map[string]int{}
	for _, l := range listings {
		if v, ok := f.value(l); ok {
			count[v]++
		}
	}
	var out []factorPlan
	if nested, depth := nestingOf(count); depth > 1 {
		f.nested = nested
		for width := 1; width < min(depth, 3); width++ {
			wide := f
			wide.width = width
			out = append(out, wide.withLevels(listings))
		}
		if len(out) > 0 {
			for i := range out {
				out[i].header += ", " + []string{"wide", "wider"}[len(out)-1-i]
			}
		}
	}
	return append(out, f.withLevels(listings))
}

// withLevels lists the levels: all of them, or where they are many the most
// frequent ones that more than one listing tells.
func (f factorPlan) withLevels(listings []*boat.Listing) factorPlan {
	count := map[string]int{}
	for _, l := range listings {
		if v, ok := f.value(l); ok {
			count[v]++
		}
	}
	f.levels = sortedKeys(count)
	if len(f.levels) > mostLevels {
		slices.SortStableFunc(f.levels, func(a, b string) int { return count[b] - count[a] })
		f.levels = f.levels[:mostLevels]
		f.levels = slices.DeleteFunc(f.levels, func(v string) bool { return count[v] < 2 })
		slices.Sort(f.levels)
	}
	f.index = map[string]int{}
	for i, level := range f.levels {
		f.index[level] = i
	}
	return f
}

// A nesting tells how values are made of wider and narrower pieces.
type nesting struct {
	separator string
	lastWide  bool // the last piece is the widest, as in "Town, County"
}

// widest is the value's widest pieces.
func (n nesting) widest(value string, pieces int) string {
	split := strings.Split(value, n.separator)
	for i := range split {
		split[i] = strings.TrimSpace(split[i])
	}
	if pieces >= len(split) {
		return strings.Join(split, " "+n.separator+" ")
	}
	if n.lastWide {
		split = split[len(split)-pieces:]
	} else {
		split = split[:pieces]
	}
	return strings.Join(split, " "+n.separator+" ")
}

// nestingOf finds how most values of a factor nest, by what separates their
// pieces and which end has fewer names; depth is the middle number of pieces,
// 0 where they do not nest.
func nestingOf(count map[string]int) (n nesting, depth int) {
	if len(count) <= fewLevels {
		return n, 0
	}
	values := slices.Sorted(maps.Keys(count))
	for _, separator := range []string{"»", ">", "|", "/", "·", ","} {
		split, all := 0, 0
		first, last := map[string]bool{}, map[string]bool{}
		var pieces []float64
		for _, v := range values {
			all += count[v]
			parts := strings.Split(v, separator)
			first[strings.TrimSpace(parts[0])], last[strings.TrimSpace(parts[len(parts)-1])] = true, true
			pieces = append(pieces, float64(len(parts)))
			if len(parts) > 1 {
				split += count[v]
			}
		}
		if 10*split < 7*all || 2*min(len(first), len(last)) > len(count) {
			continue
		}
		return nesting{separator, len(last) < len(first)}, int(robust.Median(pieces))
	}
	return n, 0
}
