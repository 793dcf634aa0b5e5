package dedup

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"askance/ingest/boat"
	"askance/ingest/money"
	"askance/ingest/record"

	"github.com/google/go-cmp/cmp"
)

const longAd = "Our catamaran has lain on the beach of the sailing school for two summers and now makes room for a larger one. " +
	"Main and jib are crisp and were washed every autumn, the trampoline has no tear, and the rudders turn freely. " +
	"She comes with a launching trolley, two wetsuits and a box of odds and ends; collection by arrangement."

const otherAd = "Selling my late uncle's boat, hardly ever in the water and always under a tarpaulin behind the barn. " +
	"New ropes throughout and a spare daggerboard, while the mast shows the odd dent where the gulls sat. " +
	"I know little of sailing myself, so come and look; coffee is on the stove and the dog is friendly."

// an makes an advertisement; each option changes it.
func an(file string, line int, options ...func(*boat.Listing)) boat.Listing {
	l := boat.Listing{Kind: boat.ForSale, Boats: 1, Title: "Kestrel 15 for sale", Text: longAd,
		Source: boat.Source{At: record.Pos{File: file, Kind: record.Line, Line: line}},
		Price:  boat.Price{Amount: money.Of(3400, "EUR"), Known: true},
		AsOf:   day("2026-05-01")}
	for _, o := range options {
		o(&l)
	}
	return l
}

func day(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

func fact(s string) boat.Fact[string] { return boat.Know(s, "column", s, record.Pos{}) }

func text(s string) func(*boat.Listing)  { return func(l *boat.Listing) { l.Text = s } }
func title(s string) func(*boat.Listing) { return func(l *boat.Listing) { l.Title = s } }
func link_(s string) func(*boat.Listing) { return func(l *boat.Listing) { l.Source.URL = s } }
func hullNo(s string) func(*boat.Listing) {
	return func(l *boat.Listing) { l.HullNumber = fact(s) }
}
func class(s string) func(*boat.Listing) { return func(l *boat.Listing) { l.Class = fact(s) } }
func place(s string) func(*boat.Listing) { return func(l *boat.Listing) { l.Place = fact(s) } }
func seller(s string) func(*boat.Listing) {
	return func(l *boat.Listing) { l.Seller = fact(s) }
}
func year(y int) func(*boat.Listing) {
	return func(l *boat.Listing) { l.Year.Fact = boat.Know(y, "column", fmt.Sprint(y), record.Pos{}) }
}
func price(v float64) func(*boat.Listing) {
	return func(l *boat.Listing) { l.Price.Amount = money.Of(v, "EUR") }
}
func quote(s string) func(*boat.Listing) { return func(l *boat.Listing) { l.Price.Quote = s } }
func noPrice(l *boat.Listing)            { l.Price = boat.Price{} }
func listed(s string) func(*boat.Listing) {
	return func(l *boat.Listing) { l.Listed = boat.Know(day(s), "column", s, record.Pos{}) }
}
func of(kind boat.Kind) func(*boat.Listing) { return func(l *boat.Listing) { l.Kind = kind } }

type listings = []boat.Listing

func TestFoldPairs(t *testing.T) {
	cut := strings.Join(strings.Fields(longAd)[:30], " ") + " …"
	tests := []struct {
		name string
		one  boat.Listing
		two  boat.Listing
		same bool
	}{
		// by address
		{"address with tracking parts", an("a.csv", 2, link_("https://www.site.example/ad/7")), an("b.csv", 2, text(otherAd), link_("http://site.example/ad/7/?utm_source=x&gclid=1#top")), true},
		{"address, year corrected", an("a.csv", 2, link_("https://site.example/ad/7"), year(2004)), an("b.csv", 2, text(otherAd), link_("https://site.example/ad/7"), year(2009)), true},
		{"address, another hull", an("a.csv", 2, link_("https://site.example/ad/7"), hullNo("ABC12345A788")), an("b.csv", 2, link_("https://site.example/ad/7"), hullNo("ABC12346A788")), false},
		{"other query", an("a.csv", 2, text(otherAd), link_("https://site.example/ad?id=7")), an("b.csv", 2, link_("https://site.example/ad?id=8")), false},
		{"only the site", an("a.csv", 2, text(otherAd), link_("https://site.example/")), an("b.csv", 2, link_("https://site.example")), false},
		{"no web address", an("a.csv", 2, text(otherAd), link_("javascript:x")), an("b.csv", 2, link_("javascript:x")), false},
		{"the page's own address", an("a.html", 1, text(otherAd), title("Red one"), link_("https://site.example/list")), an("a.html", 2, link_("https://site.example/list")), false},
		{"repeated on a page", an("a.html", 1, text("see inside"), link_("https://site.example/ad/7")), an("a.html", 9, text("see inside"), link_("https://site.example/ad/7")), true},
		// by hull number
		{"hull number", an("a.csv", 2, hullNo("US-ABC12345A788"), text(otherAd), year(1987)), an("b.csv", 2, hullNo("abc 12345 a788"), year(1988), price(9000)), true},
		{"hull number, another class", an("a.csv", 2, hullNo("ABC12345A788"), text(otherAd), class("Kestrel 15")), an("b.csv", 2, hullNo("ABC12345A788"), class("Plover 18")), false},
		{"hull number, year far off", an("a.csv", 2, hullNo("ABC12345A788"), text(otherAd), year(1988)), an("b.csv", 2, hullNo("ABC12345A788"), year(2008)), false},
		{"hull number that is none", an("a.csv", 2, hullNo("12345"), text(otherAd)), an("b.csv", 2, hullNo("12345")), false},
		// by words
		{"same words", an("a.csv", 2), an("b.csv", 2, price(3200)), true},
		{"a sentence more", an("a.csv", 2), an("b.csv", 2, text("Price lowered! "+longAd+" First come, first served."), price(3200)), true},
		{"cut short", an("a.csv", 2), an("b.csv", 2, text(cut)), true},
		{"price written in the text", an("a.csv", 2, text(longAd+" Asking 3.400 euros.")), an("b.csv", 2, text(longAd+" Asking 3.200 euros."), price(3200)), true},
		{"price written in thousands", an("a.csv", 2, text("Yours for 3.4k. "+longAd)), an("b.csv", 2, text("Yours for 3.2k. "+longAd), price(3200)), true},
		{"price in another currency, converted", an("a.csv", 2, quote("32.000 kr"), text("Yours for 32.000 kr. "+longAd)), an("b.csv", 2, text("Yours for 3200. "+longAd), price(3200)), true},
		{"same place, price far off", an("a.csv", 2, place("20095 Seatown")), an("b.csv", 2, place("Seatown"), price(5000)), true},
		{"price far off", an("a.csv", 2), an("b.csv", 2, price(5000)), false},
		{"other words", an("a.csv", 2), an("b.csv", 2, text(otherAd)), false},
		{"one sentence in common", an("a.csv", 2), an("b.csv", 2, text(otherAd+" She comes with a launching trolley, two wetsuits and a box of odds and ends; collection by arrangement.")), false},
		{"no price, same words", an("a.csv", 2, noPrice), an("b.csv", 2), true},
		// a seller's template
		{"template, other year", an("a.csv", 2, year(2008)), an("b.csv", 2, year(2009)), false},
		{"template, other class", an("a.csv", 2, class("Kestrel 15")), an("b.csv", 2, class("Plover 18")), false},
		{"template, other hull", an("a.csv", 2, hullNo("ABC12345A788")), an("b.csv", 2, hullNo("ABC12346A788")), false},
		{"template, other sail number", an("a.csv", 2, text("Sail number 1234. "+longAd)), an("b.csv", 2, text("Sail number 1288. "+longAd)), false},
		{"template, other boat of a fleet", an("a.csv", 2, title("School boat no. 3")), an("b.csv", 2, title("School boat no. 4")), false},
		{"template, lettered boats", an("a.csv", 2, title("School boat A")), an("b.csv", 2, title("School boat B")), false},
		{"template, year in the words alone", an("a.csv", 2, text("Built in 2008. "+longAd)), an("b.csv", 2, text("Built in 2009. "+longAd)), false},
		{"template, half of it new", an("a.csv", 2, text(longAd+" "+otherAd)), an("a.csv", 3, text(longAd+strings.Repeat(" bright red hulls and blue sails", 1))), false},
		{"wanted and for sale", an("a.csv", 2, of(boat.Wanted)), an("b.csv", 2), false},
		{"dealer and private", an("a.csv", 2, seller("dealer")), an("b.csv", 2, seller("private")), false},
		// rows with hardly any words
		{"rows", an("a.csv", 2, text(""), year(2008), place("Seatown")), an("b.csv", 2, text(""), year(2008), place("Seatown"), price(3300)), true},
		{"rows of one table", an("a.csv", 2, text(""), year(2008), place("Seatown")), an("a.csv", 3, text(""), year(2008), place("Seatown")), false},
		{"rows without a place", an("a.csv", 2, text(""), year(2008)), an("b.csv", 2, text(""), year(2008)), false},
		{"rows of other years", an("a.csv", 2, text(""), year(2008), place("Seatown")), an("b.csv", 2, text(""), year(2009), place("Seatown")), false},
	}
	for _, tt := range tests {
		for _, order := range []listings{{tt.one, tt.two}, {tt.two, tt.one}} {
			folded, duplicates := Fold(order)
			if got := duplicates == 1; got != tt.same || len(folded)+duplicates != 2 {
				t.Errorf("%s: wanted one boat %v, found %d listings, %d duplicates", tt.name, tt.same, len(folded), duplicates)
			}
		}
	}
}

func TestFoldKeepsTheNewestAndTheHistory(t *testing.T) {
	old := an("a.csv", 7, hullNo("ABC12345A788"), listed("2026-02-01"), price(3900), year(1988), place("Seatown"))
	old.Findings = []boat.Finding{{Item: "trolley", Value: "included"}, {Item: "sails", Value: "good"}}
	old.Notes = []string{"an old note"}
	middle := an("b.csv", 3, hullNo("ABC12345A788"), listed("2026-03-01"), price(3600), text(otherAd))
	newest := an("c.csv", 5, hullNo("ABC12345A788"), listed("2026-04-01"), price(3400), text(otherAd))
	newest.Condition = fact("good")
	newest.Findings = []boat.Finding{{Item: "sails", Value: "worn"}}
	before := fmt.Sprint(old, middle, newest)

	folded, duplicates := Fold(listings{old, an("d.csv", 2, text("something else")), newest, middle})
	if len(folded) != 2 || duplicates != 2 {
		t.Fatalf("wanted 2 listings and 2 duplicates, found %d and %d", len(folded), duplicates)
	}
	if before != fmt.Sprint(old, middle, newest) {
		t.Error("the listings handed in were changed")
	}
	got := folded[0]
	if got.Source.At.File != "c.csv" || got.Price.Amount != money.Of(3400, "EUR") {
		t.Errorf("wanted the newest listing and price, found %v %v", got.Source, got.Price)
	}
	var history []string
	for _, s := range got.Also {
		history = append(history, fmt.Sprintf("%s %.0f %s", s.Source.At, s.Price.Major(), s.Listed.Format(time.DateOnly)))
	}
	if want := []string{"b.csv:3 3600 2026-03-01", "a.csv:7 3900 2026-02-01"}; !slices.Equal(history, want) {
		t.Errorf("wanted the history %q, found %q", want, history)
	}
	if !got.Year.Known || got.Year.Value != 1988 || got.Place.Value != "Seatown" || got.Condition.Value != "good" {
		t.Errorf("wanted unknown facts filled, found %+v", got)
	}
	if f, ok := got.Find("trolley"); !ok || f.Value != "included" {
		t.Errorf("wanted the older listing's finding, found %+v", got.Findings)
	}
	if f, _ := got.Find("sails"); f.Value != "worn" {
		t.Errorf("wanted the newest listing's finding to stand, found %+v", f)
	}
	if want := []string{"an old note", "sails: worn here, good in a.csv:7"}; !slices.Contains(got.Notes, want[0]) || !slices.Contains(got.Notes, want[1]) {
		t.Errorf("wanted the notes %q, found %q", want, got.Notes)
	}
}

func TestFoldTellsWhyOneHullNumberIsTwoBoats(t *testing.T) {
	folded, _ := Fold(listings{
		an("a.csv", 2, hullNo("ABC12345A788"), class("Kestrel 15")),
		an("b.csv", 4, hullNo("ABC12345A788"), class("Plover 18"))})
	want := []string{
		"the hull number ABC12345A788 stands in b.csv:4 too, but the classes differ, Kestrel 15 and Plover 18: kept apart",
		"the hull number ABC12345A788 stands in a.csv:2 too, but the classes differ, Kestrel 15 and Plover 18: kept apart",
	}
	for i, l := range folded {
		if len(l.Notes) != 1 || l.Notes[0] != want[i] {
			t.Errorf("wanted the note %q, found %q", want[i], l.Notes)
		}
	}
}

// Two ads that contradict each other stay apart, though a third, which tells
// less, is like both.
func TestFoldDoesNotChainOverAContradiction(t *testing.T) {
	folded, duplicates := Fold(listings{an("a.csv", 2, year(2008)), an("b.csv", 2), an("c.csv", 2, year(2009))})
	if len(folded) != 2 || duplicates != 1 {
		t.Errorf("wanted 2 boats, found %d", len(folded))
	}
}

func TestFoldTakesTheClaimOverTheHullNumbersYear(t *testing.T) {
	one := an("a.csv", 2, link_("https://site.example/ad/7"), year(2004), listed("2026-04-01"))
	one.Year.From = "hull_number"
	two := an("b.csv", 2, link_("https://site.example/ad/7"), year(2009), listed("2026-03-01"))
	folded, _ := Fold(listings{one, two})
	if len(folded) != 1 || folded[0].Year.Value != 2009 || folded[0].Year.Conflict != "hull number says 2004" {
		t.Errorf("wanted the claim with its conflict, found %+v", folded[0].Year)
	}
}

func TestFoldOfFewAndNone(t *testing.T) {
	if folded, n := Fold(nil); len(folded) != 0 || n != 0 {
		t.Errorf("wanted nothing, found %v %d", folded, n)
	}
	one := an("a.csv", 2)
	if folded, n := Fold(listings{one}); n != 0 || !cmp.Equal(folded, listings{one}) {
		t.Errorf("wanted the one listing as it was, found %v %d", folded, n)
	}
}

// A dealer's page of many cards, all with the page's own address and one title.
func TestFoldKeepsTheCardsOfAPage(t *testing.T) {
	var market listings
	for i := range pageOfMany {
		market = append(market, an("a.html", i+1, text("see inside"), link_("https://site.example/list")))
	}
	if _, duplicates := Fold(market); duplicates != 0 {
		t.Errorf("wanted no duplicates, found %d", duplicates)
	}
}

// A dealer's template in many ads, of which only a few words are the boat's,
// and some of those are another boat's too.
func TestFoldKeepsBoatsOfATemplateApart(t *testing.T) {
	colours := strings.Fields("red blue green white black yellow grey orange brown pink silver golden violet")
	var market listings
	for i, c := range colours {
		own := fmt.Sprintf("The %s hulls shine, sails in %s. Moored by the %s quay of late.", c, colours[(i+5)%len(colours)], colours[i/2])
		market = append(market, an(fmt.Sprintf("%c.html", 'a'+i%3), i+1, text(longAd+" "+own+" "+otherAd), place("Seatown")))
	}
	if _, duplicates := Fold(market); duplicates != 0 {
		t.Errorf("wanted no duplicates, found %d", duplicates)
	}
}

func TestAddress(t *testing.T) {
	tests := []struct{ raw, want string }{
		{"https://www.Site.example:443/ad/7/?utm_source=a&b=2&a=1&fbclid=x#top", "site.example/ad/7?a=1&b=2"},
		{"http://site.example/ad/7", "site.example/ad/7"},
		{"https://site.example/AD", "site.example/AD"},
		{"ftp://site.example/ad", ""}, {"/ad/7", ""}, {"", ""}, {"https://", ""}, {"http://[::1", ""},
	}
	for _, tt := range tests {
		if got := Address(tt.raw); got != tt.want {
			t.Errorf("%q: wanted %q, found %q", tt.raw, tt.want, got)
		}
	}
}
