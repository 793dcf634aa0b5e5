package dedup

import (
	"cmp"
	"slices"
	"sort"
)

const (
	neighbours   = 32  // ads of one key that each is compared with
	rare         = 12  // a triple in more ads than this is a template's
	shared       = 3   // rare triples that candidates have in common
	longText     = 20  // words from which a text can speak for itself
	likeTexts    = 0.8 // of the shorter text's triples are in the longer
	likeRepeats  = 0.9 // of all triples are in both, for two ads of one file
	likeRare     = 0.7 // of the rare triples of the ad with fewer are in the other
	pageOfMany   = 8   // ads of one file with one address: it is the page's own
	sureLikeness = 0.95
)

// findLinks finds the pairs of ads that seem to be of one boat.
func (f *folder) findLinks() {
	f.linkAddresses()
	f.linkHulls()
	f.linkTexts()
	f.linkRows()
}

// pairs calls the function for the pairs of ads with the same key, in rank
// order; each ad of a crowd meets its neighbours only.
func (f *folder) pairs(key func(*ad) string, each func(a, b *ad)) {
	var keyed []*ad
	keys := map[*ad]string{}
	for _, a := range f.ads {
		if k := key(a); k != "" {
			keys[a] = k
			keyed = append(keyed, a)
		}
	}
	slices.SortStableFunc(keyed, func(a, b *ad) int { return cmp.Compare(keys[a], keys[b]) })
	for i, a := range keyed {
		for j := i + 1; j < len(keyed) && j <= i+neighbours && keys[keyed[j]] == keys[a]; j++ {
			each(a, keyed[j])
		}
	}
}

func (f *folder) link(a, b *ad, by reason, likeness float64) {
	f.links = append(f.links, link{min(a.rank, b.rank), max(a.rank, b.rank), by, likeness})
}

// linkAddresses links the ads of one address. Within one file they must also
// have the same title or alike texts, and an address that many ads of a file
// share is that of their page.
func (f *folder) linkAddresses() {
	type place struct{ file, address string }
	crowd := map[place]int{}
	for _, a := range f.ads {
		crowd[place{a.l.Source.At.File, a.address}]++
	}
	key := func(a *ad) string {
		if crowd[place{a.l.Source.At.File, a.address}] >= pageOfMany {
			return ""
		}
		return a.address
	}
	f.pairs(key, func(a, b *ad) {
		if a.l.Source.At.File == b.l.Source.At.File && !sameTitle(a, b) {
			if _, less := likeness(a.triples, b.triples); less < likeTexts {
				return
			}
		}
		if contradiction(a, b, byAddress) == "" {
			f.link(a, b, byAddress, 1)
		}
	})
}

func (f *folder) linkHulls() {
	f.pairs(func(a *ad) string { return a.hull }, func(a, b *ad) {
		if why := contradiction(a, b, byHull); why != "" {
			if a.address == "" || a.address != b.address {
				f.noteApart(a, b, why)
			}
			return
		}
		f.link(a, b, byHull, 1)
	})
}

// linkTexts links the ads whose texts are nearly the same.
func (f *folder) linkTexts() {
	holders := map[uint64][]int{}
	for _, a := range f.ads {
		for _, t := range a.triples {
			holders[t] = append(holders[t], a.rank)
		}
	}
	rareOf := func(a *ad) []uint64 {
		var list []uint64
		for _, t := range a.triples {
			if len(holders[t]) <= rare {
				list = append(list, t)
			}
		}
		return list
	}
	for _, a := range f.ads {
		if len(a.text) < longText {
			continue
		}
		mine := rareOf(a)
		common := map[int]int{}
		for _, t := range mine {
			for _, rank := range holders[t] {
				if rank > a.rank {
					common[rank]++
				}
			}
		}
		for _, rank := range candidates(common) {
			b := f.ads[rank]
			if len(b.text) < longText {
				continue
			}
			contained, _ := likeness(mine, rareOf(b))
			if contained < likeRare {
				continue
			}
			if like, ok := alike(a, b); ok && contradiction(a, b, byWords) == "" {
				f.link(a, b, byWords, like)
			}
		}
	}
}

// candidates gives the ranks with enough in common, those with most first and
// no more than a few.
func candidates(common map[int]int) []int {
	var ranks []int
	for rank, n := range common {
		if n >= shared {
			ranks = append(ranks, rank)
		}
	}
	sort.Slice(ranks, func(i, j int) bool {
		x, y := ranks[i], ranks[j]
		return cmp.Or(cmp.Compare(common[y], common[x]), cmp.Compare(x, y)) < 0
	})
	return ranks[:min(len(ranks), neighbours)]
}

// likeness gives the share of the smaller set that is in the larger, and of
// all that is in both. Both are sorted.
func likeness(x, y []uint64) (contained, jaccard float64) {
	both := 0
	for i, j := 0, 0; i < len(x) && j < len(y); {
		switch {
		case x[i] == y[j]:
			both++
			i++
			j++
		case x[i] < y[j]:
			i++
		default:
			j++
		}
	}
	if both == 0 {
		return 0, 0
	}
	return float64(both) / float64(min(len(x), len(y))), float64(both) / float64(len(x)+len(y)-both)
}

// alike tells whether two texts are nearly the same and the rest fits: a like
// price or the same place; where neither can be compared, hardly a word may
// differ. Two ads of one file are more likely two boats than one.
func alike(a, b *ad) (likenessOf float64, ok bool) {
	contained, jaccard := likeness(a.triples, b.triples)
	if a.l.Source.At.File == b.l.Source.At.File && jaccard < likeRepeats {
		return jaccard, false
	}
	ratio, priced := priceRatio(a, b)
	placed := len(a.place) > 0 && len(b.place) > 0
	fits := priced && ratio <= likePrice || samePlace(a, b) || !priced && !placed && jaccard >= sureLikeness
	return jaccard, contained >= likeTexts && fits
}

// linkRows links ads with hardly any text, as tables have them, in different
// files: the same title, year and place and a like price.
func (f *folder) linkRows() {
	key := func(a *ad) string {
		if len(a.text) >= longText || len(a.title) == 0 || !a.l.Year.Known || len(a.place) == 0 {
			return ""
		}
		return titleKey(a)
	}
	f.pairs(key, func(a, b *ad) {
		ratio, priced := priceRatio(a, b)
		if a.l.Source.At.File == b.l.Source.At.File || !samePlace(a, b) || !priced || ratio > likePrice {
			return
		}
		if len(a.triples) > 0 && len(b.triples) > 0 {
			if contained, _ := likeness(a.triples, b.triples); contained < likeTexts {
				return
			}
		}
		if contradiction(a, b, byWords) == "" {
			f.link(a, b, byWords, 0)
		}
	})
}
