// Package dedup folds listings of one boat into one listing. It would rather
// keep a boat twice than lose one: a seller's template makes boats of a class
// look alike.
package dedup

import (
	"cmp"
	"fmt"
	"slices"

	"askance/ingest/boat"
)

// Fold makes one listing of those that offer the same boat and tells how many
// were folded into another. Listings are of one boat
//
//   - by the same address, tracking parts aside (see Address);
//   - by the same valid hull number, unless class or year speak against it:
//     then each gets a note;
//   - by nearly the same words and figures, with the same class and year where
//     they are known, and a like price or the same place.
//
// The folded listing is the newest, with the others in Also, newest first;
// facts that it lacks are filled from them, and what they contradict is noted.
// It stands where the first of its listings stood. The groups do not depend on
// the order of the listings, which are left unchanged.
//
// Candidates come from an index of word triples that few listings share
// (shingles: Broder 1997, doi:10.1109/SEQUEN.1997.666900), so the work grows
// with the words, not with the pairs.
func Fold(listings []boat.Listing) (folded []boat.Listing, duplicates int) {
	f := newFolder(listings)
	f.findLinks()
	f.join()
	first := map[int]int{} // by group, the input index of its first listing
	for _, a := range f.ads {
		group := f.find(a.rank)
		if at, ok := first[group]; !ok || a.index < at {
			first[group] = a.index
		}
	}
	for i := range listings {
		group := f.find(f.rankOf[i])
		if first[group] != i {
			continue
		}
		folded = append(folded, f.merge(f.members[group]))
	}
	return folded, len(listings) - len(folded)
}

// A folder holds the work of one Fold. Ads are in an order of their own, which
// tells them apart by what they say, not by where they stood in the input.
type folder struct {
	ads     []*ad // by rank
	rankOf  []int // of each input index
	links   []link
	parent  []int         // of each rank, in its group
	members map[int][]*ad // by group, in rank order
	notes   map[int][]string
}

// A link says that two ads seem to be of one boat.
type link struct {
	a, b     int // ranks, a < b
	by       reason
	likeness float64
}

// A reason is why two ads are taken for one boat, strongest last.
type reason int

const (
	byWords reason = iota
	byHull
	byAddress
)

func newFolder(listings []boat.Listing) *folder {
	f := &folder{rankOf: make([]int, len(listings)), members: map[int][]*ad{}, notes: map[int][]string{}}
	for i := range listings {
		f.ads = append(f.ads, newAd(&listings[i], i))
	}
	slices.SortStableFunc(f.ads, func(a, b *ad) int { return cmp.Compare(a.key, b.key) })
	for rank, a := range f.ads {
		a.rank = rank
		f.rankOf[a.index] = rank
		f.parent = append(f.parent, rank)
		f.members[rank] = []*ad{a}
	}
	return f
}

func (f *folder) find(rank int) int {
	for f.parent[rank] != rank {
		f.parent[rank] = f.parent[f.parent[rank]]
		rank = f.parent[rank]
	}
	return rank
}

// join makes groups of the links, the strongest first. Two groups are kept
// apart where any two of their ads contradict each other.
func (f *folder) join() {
	slices.SortStableFunc(f.links, func(x, y link) int {
		return cmp.Or(cmp.Compare(y.by, x.by), cmp.Compare(y.likeness, x.likeness), cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b))
	})
	for _, l := range f.links {
		a, b := f.find(l.a), f.find(l.b)
		if a == b || f.apart(a, b, l.by) {
			continue
		}
		a, b = min(a, b), max(a, b)
		f.parent[b] = a
		f.members[a] = append(f.members[a], f.members[b]...)
		slices.SortFunc(f.members[a], func(x, y *ad) int { return x.rank - y.rank })
		delete(f.members, b)
	}
}

func (f *folder) apart(a, b int, by reason) bool {
	for _, x := range f.members[a] {
		for _, y := range f.members[b] {
			if contradiction(x, y, by) != "" {
				return true
			}
		}
	}
	return false
}

// noteApart notes on both ads why one hull number does not make them one boat.
func (f *folder) noteApart(a, b *ad, why string) {
	add := func(x, y *ad) {
		f.notes[x.rank] = append(f.notes[x.rank], fmt.Sprintf("the hull number %s stands in %s too, but %s: kept apart", x.hull, y.l.Source.At, why))
	}
	add(a, b)
	add(b, a)
}
