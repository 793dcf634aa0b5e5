package dedup

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	likePrice  = 1.25 // the dearer of two like prices is at most so many times the other
	likeLength = 1.03
)

// contradiction tells why two ads cannot be of one boat, "" if nothing speaks
// against it. An address is proof against all but another hull number; with a
// hull number, years may differ by one; with words alone, nothing may differ.
func contradiction(a, b *ad, by reason) string {
	if a.hull != "" && b.hull != "" && a.hull != b.hull {
		return fmt.Sprintf("the hull numbers differ, %s and %s", a.hull, b.hull)
	}
	if a.l.Kind != b.l.Kind {
		return fmt.Sprintf("one offers %s and one %s", a.l.Kind, b.l.Kind)
	}
	sameFile := a.l.Source.At.File == b.l.Source.At.File
	if by == byAddress && !sameFile {
		return ""
	}
	if a.class != "" && b.class != "" && a.class != b.class {
		return fmt.Sprintf("the classes differ, %s and %s", a.l.Class.Value, b.l.Class.Value)
	}
	years := 0
	if by != byWords {
		years = 1
	}
	if ya, yb := a.l.Year, b.l.Year; ya.Known && yb.Known && math.Abs(float64(ya.Value-yb.Value)) > float64(years) {
		return fmt.Sprintf("the years differ, %d and %d", ya.Value, yb.Value)
	}
	if by != byWords {
		return ""
	}
	return otherWords(a, b)
}

// otherWords tells what keeps apart two ads that have only their words in
// common.
func otherWords(a, b *ad) string {
	if a.l.Boats != b.l.Boats || a.l.Lot != b.l.Lot {
		return "the numbers of boats differ"
	}
	if la, lb := a.l.Length, b.l.Length; la.Known && lb.Known && math.Max(la.Value, lb.Value) > likeLength*math.Min(la.Value, lb.Value) {
		return "the lengths differ"
	}
	if a.l.Seller.Known && b.l.Seller.Known && a.l.Seller.Value != b.l.Seller.Value {
		return "the sellers differ"
	}
	if ratio, priced := priceRatio(a, b); priced && ratio > 1 && a.l.Source.At.File == b.l.Source.At.File && a.address != b.address {
		return "one file offers them at two addresses for two prices"
	}
	if figure := otherFigure(a, b); figure != "" {
		return "the figures differ after " + figure
	}
	return ""
}

// otherFigure gives words after which each ad has figures, but none in common:
// "sail number" before 1234 and before 1288. Prices do not count.
func otherFigure(a, b *ad) string {
	prices := append(a.priceWords(), b.priceWords()...)
	var found []string
	for context, fa := range a.figures {
		fb, ok := b.figures[context]
		if !ok || context == "" {
			continue
		}
		fa, fb = without(fa, prices), without(fb, prices)
		if len(fa) > 0 && len(fb) > 0 && !slices.ContainsFunc(fa, func(f string) bool { return slices.Contains(fb, f) }) {
			found = append(found, context)
		}
	}
	if len(found) == 0 {
		return ""
	}
	return slices.Min(found)
}

func without(list, drop []string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return slices.Contains(drop, s) })
}

// samePlace tells whether both places are known and one is part of the other.
func samePlace(a, b *ad) bool {
	x, y := a.place, b.place
	if len(x) > len(y) {
		x, y = y, x
	}
	for _, w := range x {
		if !slices.Contains(y, w) {
			return false
		}
	}
	return len(x) > 0
}

// priceRatio gives the dearer price over the other; ok is false where they
// cannot be compared.
func priceRatio(a, b *ad) (ratio float64, ok bool) {
	p, q := a.l.Price, b.l.Price
	if !p.Known || !q.Known || p.Currency != q.Currency || p.Minor <= 0 || q.Minor <= 0 {
		return 0, false
	}
	return math.Max(p.Major(), q.Major()) / math.Min(p.Major(), q.Major()), true
}

// sameTitle tells whether the titles have the same words, in any order.
func sameTitle(a, b *ad) bool { return titleKey(a) == titleKey(b) }

func titleKey(a *ad) string {
	return strings.Join(slices.Sorted(slices.Values(a.title)), " ")
}
