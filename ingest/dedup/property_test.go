package dedup

import (
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"time"

	"askance/ingest/boat"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// drawMarket draws listings with much in common: few texts, years, hull
// numbers, addresses.
func drawMarket(t *rapid.T) listings {
	texts := []string{longAd, longAd + " Price lowered.", "Sail number 12. " + longAd, "Sail number 14. " + longAd, otherAd, "short", ""}
	var market listings
	n := rapid.IntRange(0, 14).Draw(t, "listings")
	for i := range n {
		l := an(rapid.SampledFrom([]string{"a.csv", "b.csv", "c.html"}).Draw(t, "file"), i+2,
			text(rapid.SampledFrom(texts).Draw(t, "text")),
			title(rapid.SampledFrom([]string{"Kestrel 15", "Boat 3", "Boat 4"}).Draw(t, "title")),
			price(float64(rapid.IntRange(30, 45).Draw(t, "price")*100)),
			listed(fmt.Sprintf("2026-03-%02d", rapid.IntRange(1, 4).Draw(t, "day"))))
		for _, o := range [][]func(*boat.Listing){
			{year(2008), year(2009), year(2012)},
			{hullNo("ABC12345A788"), hullNo("ABC12346A788")},
			{link_("https://site.example/7"), link_("https://site.example/8?utm_x=1")},
			{place("Seatown"), place("Rivermouth")},
			{class("Kestrel 15"), class("Plover 18")},
		} {
			if k := rapid.IntRange(-1, len(o)-1).Draw(t, "option"); k >= 0 {
				o[k](&l)
			}
		}
		market = append(market, l)
	}
	return market
}

// positions tells each folded listing's places, sorted.
func positions(folded listings) []string {
	var groups []string
	for _, l := range folded {
		at := []string{l.Source.At.String()}
		for _, s := range l.Also {
			at = append(at, s.Source.At.String())
		}
		slices.Sort(at[1:])
		groups = append(groups, strings.Join(at, " "))
	}
	slices.Sort(groups)
	return groups
}

func TestFoldDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		market := drawMarket(t)
		folded, duplicates := Fold(market)
		shuffled := rapid.Permutation(market).Draw(t, "order")
		again, duplicatesAgain := Fold(shuffled)
		if duplicates != duplicatesAgain || !slices.Equal(positions(folded), positions(again)) {
			t.Fatalf("wanted the same groups, found %q and %q", positions(folded), positions(again))
		}
		byPlace := func(a, b boat.Listing) int { return strings.Compare(a.Source.At.String(), b.Source.At.String()) }
		slices.SortFunc(folded, byPlace)
		slices.SortFunc(again, byPlace)
		if diff := cmp.Diff(folded, again); diff != "" {
			t.Fatalf("the same groups, yet other listings: %s", diff)
		}
	})
}

func TestFoldLosesNoListingAndContradictsNoHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		market := drawMarket(t)
		folded, duplicates := Fold(market)
		hulls := map[string]string{}
		for _, l := range market {
			hulls[l.Source.At.String()] = l.HullNumber.Value
		}
		seen := 0
		for _, l := range folded {
			all := []string{hulls[l.Source.At.String()]}
			for _, s := range l.Also {
				all = append(all, hulls[s.Source.At.String()])
			}
			seen += len(all)
			all = slices.DeleteFunc(all, func(s string) bool { return s == "" })
			slices.Sort(all)
			if len(slices.Compact(all)) > 1 {
				t.Fatalf("two hull numbers in one boat: %q", all)
			}
			for _, s := range l.Also {
				if s.Listed.After(l.Listed.Value) {
					t.Fatalf("%v is newer than %v, which was kept", s, l.Listed.Value)
				}
			}
		}
		if seen != len(market) || seen != len(folded)+duplicates {
			t.Fatalf("%d listings, %d found again, %d duplicates", len(market), seen, duplicates)
		}
	})
}

// invented gives n listings of made-up words, every tenth of them twice, all
// with the same paragraph of a dealer.
func invented(n int) (market listings, twice int) {
	r := rand.New(rand.NewSource(7))
	template := " We are open from Monday to Friday and take your old boat in payment; viewing by arrangement only, all statements without guarantee."
	for i := range n {
		var b strings.Builder
		for range 80 {
			fmt.Fprintf(&b, "%c%c%c%c ", 'a'+r.Intn(26), 'a'+r.Intn(26), 'a'+r.Intn(26), 'a'+r.Intn(26))
		}
		l := an("a.csv", i+2, text(b.String()+template), title(fmt.Sprintf("Kestrel 15 of %d", 1990+i%30)), year(1990+i%30))
		market = append(market, l)
		if i%10 == 0 {
			l.Source.At.File = "b.csv"
			market = append(market, l)
			twice++
		}
	}
	return market, twice
}

func TestFoldFindsThePlantedPairsAmongMany(t *testing.T) {
	market, twice := invented(3000)
	begun := time.Now()
	_, duplicates := Fold(market)
	t.Logf("%d listings in %v", len(market), time.Since(begun))
	if duplicates != twice {
		t.Errorf("wanted %d duplicates, found %d", twice, duplicates)
	}
	if took := time.Since(begun); took > time.Minute {
		t.Errorf("wanted it quick, took %v", took)
	}
}

func BenchmarkFold(b *testing.B) {
	for _, n := range []int{1000, 4000} {
		market, _ := invented(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Fold(market)
			}
		})
	}
}
