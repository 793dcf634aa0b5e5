package money

import (
	"slices"
	"sort"
	"strings"
)

// giveRoles finds the sums that are not asked now: the one after "new price",
// "was", "delivery", or the one before where none follows; with rates it is
// the one before first, as in "99 / month".
func (r *reader) giveRoles() {
	for i, it := range r.items {
		for _, kind := range []string{kindNewPrice, kindOldPrice, kindPerPeriod, kindDelivery} {
			if !it.is(kind) {
				continue
			}
			after, before := r.sumAfter(i), r.sumBefore(i)
			meanings := it.phrase.meanings(kind)
			if slices.Contains(meanings, "number") {
				before = nil // "number 1234"
			}
			if slices.Contains(meanings, "label") {
				before = nil // "lot 112"
				if after != nil && (after.signed || !r.gap(it.end, after.start, reach, " .:#-")) {
					after = nil
				}
			}
			if slices.Contains(meanings, "plus") {
				before = nil // "plus 380 €"
				if after != nil && !r.gap(it.end, after.start, reach, " :") {
					after = nil
				}
			}
			if slices.Contains(meanings, "after") {
				before = nil // "in 12 instalments of 104 €"
			}
			if kind == kindPerPeriod && before == nil && r.governedBefore(i) {
				after = nil // "by the kilogram 79 €/kg, 39 €"
			}
			if slices.Contains(meanings, "saving") && r.percentBefore(it.start) {
				continue // "20 % off 80 €"
			}
			if after != nil && slices.Contains(r.text[it.end:after.start], '%') {
				after = nil // "save 20 % 80 €"
			}
			alone := slices.Contains(meanings, "alone") || slices.Contains(meanings, "net")
			if before != nil && after != nil && slices.Contains(r.text[before.end:it.start], '(') {
				before = nil // "23.900 (net 20.084)"
			}
			switch {
			case before != nil && (kind == kindPerPeriod || after == nil || slices.Contains(meanings, "net")):
				before.role, before.after, before.alone = kind, true, alone
			case after != nil:
				after.role, after.alone = kind, alone
			}
			break
		}
		if it.is(kindNow) {
			if after := r.sumAfter(i); after != nil {
				after.now = true
			}
		}
	}
}

// sumAfter gives the sum that phrase i governs: the next one of its clause,
// passing over what may be a year where another sum follows.
func (r *reader) sumAfter(i int) *sum {
	from := r.items[i].end
	limit := len(r.text)
	for _, it := range r.items[i+1:] {
		if it.start-from > farthest {
			break
		}
		if it.is(kindTerm) || it.is(kindNewPrice) || it.is(kindOldPrice) || it.is(kindPerPeriod) || it.is(kindDelivery) {
			limit = it.start
			break
		}
	}
	var year *sum
	for k := r.sumAt(from); k < len(r.sums); k++ {
		s := &r.sums[k]
		if s.start < from || s.role != "" {
			continue
		}
		if s.start >= limit || s.start-from > farthest || r.breaks(from, s.start) {
			break
		}
		if s.mayBeYear() && year == nil {
			year = s
			from = s.end
			continue
		}
		return s
	}
	return year
}

// sumAt gives the index of the first sum that starts at or after a place.
func (r *reader) sumAt(place int) int {
	return sort.Search(len(r.sums), func(k int) bool { return r.sums[k].start >= place })
}

// sumBefore gives the sum that ends directly before phrase i.
func (r *reader) sumBefore(i int) *sum {
	if k := r.sumAt(r.items[i].start) - 1; k >= 0 {
		s := &r.sums[k]
		if s.role == "" && s.end <= r.items[i].start && r.gap(s.end, r.items[i].start, reach, " /(-.") {
			return s
		}
	}
	return nil
}

// percentBefore tells whether a percent sign stands directly before a place.
func (r *reader) percentBefore(at int) bool {
	for at > 0 && r.text[at-1] == ' ' {
		at--
	}
	return at > 0 && r.text[at-1] == '%'
}

// governedBefore tells whether a sum that another phrase governs ends directly
// before phrase i.
func (r *reader) governedBefore(i int) bool {
	k := r.sumAt(r.items[i].start) - 1
	return k >= 0 && r.sums[k].role != "" && r.sums[k].end <= r.items[i].start && r.gap(r.sums[k].end, r.items[i].start, 1, " ")
}

// breaks tells whether a clause ends within text[from:to]. A point directly at
// from ends an abbreviation only.
func (r *reader) breaks(from, to int) bool {
	for j := from; j < to; j++ {
		next := rune(0)
		if j+1 < to {
			next = r.text[j+1]
		}
		switch {
		case strings.ContainsRune(";|\n)/+!?", r.text[j]):
			return true
		case r.text[j] == ',' && next == ' ':
			return true
		case r.text[j] == '.' && next == ' ' && j > from:
			return true
		}
	}
	return false
}
