package onepage

import (
	"bytes"
	"encoding/csv"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"askance/analysis"
	"askance/analysis/outlay"
	"askance/analysis/price"
	"askance/analysis/settle"
	"askance/analysis/verdict"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// survey makes a market of one boat whose advertiser is up to no good.
func survey() *analysis.Survey {
	at := record.Pos{File: "exports/club.html", Kind: record.Card, Line: 3}
	l := &boat.Listing{
		ID: "9f2c03ab71de", Kind: boat.ForSale, Boats: 1, Title: `Zephrin 16 <script>alert("x")</script>`,
		Text:   "Good sails.\n<img src=https://tracker.example/x.png>\nNo soft spots.",
		Source: boat.Source{At: at, URL: "https://club.example/3?a=1&b=2"},
		Price:  boat.Price{Amount: money.Of(3450, "EUR"), Known: true, Terms: "negotiable", Quote: "VB 3.450 €", At: at},
		Class:  boat.Know("Zephrin 16", "column", "Zephrin 16", at), AsOf: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC),
		Year:     boat.BuildYear{Fact: boat.Know(2009, "text", "Bj. 2009", at), Conflict: "hull number says 2004"},
		Length:   boat.Know(5.05, "column", "5,05", at),
		Findings: []boat.Finding{{Item: "rudder_blades", Value: "top", Quote: "epoxy blades", At: at}},
	}
	other := &boat.Listing{Title: "Zephrin 16 red", Source: boat.Source{At: at}}
	return &analysis.Survey{
		Market: &boat.Market{Currency: "EUR", AsOf: l.AsOf, Listings: []boat.Listing{*l}}, Used: 55,
		Boats: []analysis.Judged{{
			Listing: l,
			Valuation: price.Valuation{Expected: 4210.6, Low: 3480, High: 5090, Parts: []price.Part{
				{What: "class", Amount: 8000}, {What: "age", Amount: -4169.4}, {What: "item", Item: "rudder_blades", Value: "top", Quote: "epoxy blades", Amount: 380}},
				Comparable: []price.Comparable{{Listing: other, Ask: 4000, Adjusted: 4300, Adjustments: []price.Adjustment{{What: "age", Value: "2008 -> 2009", Amount: 300}}}}},
			Verdict:  verdict.Verdict{Verdict: verdict.WellBelow, Gap: -0.18, OutsideRange: true},
			Outlay:   &outlay.Outlay{Purpose: "race", CostToReady: 640, AllIn: 4090, ReadyExpected: 5000, Jobs: []outlay.Job{{What: "a new trampoline", Low: 280, High: 550, Must: true, Chance: 0.4}}},
			Offer:    &settle.Offer{Highest: 3300, Because: []settle.Reason{{What: "expected", Amount: 4210.6}}},
			Checks:   []outlay.Check{{Item: "soft_deck", Why: "press on the deck with the heel of the hand"}},
			Cautions: []string{"the year is disputed"},
		}},
	}
}

func write(t *testing.T, s *analysis.Survey, lang string) string {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Log(err) // the page needs no more than labels
	}
	var b bytes.Buffer
	if err := Write(&b, s, &s.Boats[0], book, lang); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPageSaysEverything(t *testing.T) {
	for lang, want := range map[string][]string{
		"en": {"VB 3.450 €", "3,450 EUR", "4,211 EUR", "3,480 EUR – 5,090 EUR", "-18%", "well below", "may hide a structural fault", "epoxy or carbon", "+380.00", "-4,169.40", "4,210.60 EUR",
			"Zephrin 16 red", "2008 → 2009", "soft deck", "press on the deck", "the year is disputed", "hull number says 2004", "5.05 m", "race", "280 EUR – 550 EUR", "needed, 40%", "3,300 EUR", "club.html, card 3"},
		"de": {"3.450 EUR", "deutlich unter", "kann einen tragenden Schaden", "Ruderblätter, Paar: hochwertig", "-4.169,40", "5,05 m", "weiches Deck"},
		"fr": {"nettement en dessous", "défaut de structure", "safrans, la paire", "5,05 m", "pont mou"},
	} {
		page := html.UnescapeString(write(t, survey(), lang))
		for _, w := range want {
			if !strings.Contains(page, w) {
				t.Errorf("%s: the page does not say %q", lang, w)
			}
		}
		if strings.Contains(page, "{1}") || strings.Contains(page, "no value") {
			t.Errorf("%s: a blank is not filled in", lang)
		}
	}
}

// TestPageIsSelfContained reads the page as a browser would: no script, no
// element that fetches anything, no handler, whatever the advertiser wrote.
func TestPageIsSelfContained(t *testing.T) {
	page := write(t, survey(), "en")
	doc, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	forbidden := []string{"script", "img", "iframe", "link", "object", "embed", "form", "base", "audio", "video", "source"}
	policy := false
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if slices.Contains(forbidden, n.Data) {
			t.Errorf("the page holds an element %s", n.Data)
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "href" && n.Data != "a" {
				t.Errorf("%s has %s=%q", n.Data, a.Key, a.Val)
			}
			policy = policy || strings.HasPrefix(a.Val, "default-src 'none'")
		}
	}
	if !policy {
		t.Error("no content policy that forbids everything")
	}
	if regexp.MustCompile(`url\(|@import`).MatchString(page) {
		t.Error("the style sheet fetches something")
	}
}

func TestPageWithoutPrice(t *testing.T) {
	s := survey()
	j := &s.Boats[0]
	j.Listing.Price, j.Valuation = boat.Price{}, price.Valuation{}
	j.Outlay, j.Offer, j.Verdict = nil, nil, verdict.Verdict{Verdict: verdict.NotJudged, Because: "no class and no length"}
	page := write(t, s, "en")
	if !strings.Contains(page, "no class and no length") || strings.Contains(page, "<svg") {
		t.Error("a boat without a price is not told as such")
	}
}

func TestOwnPage(t *testing.T) {
	if err := IsOwn([]byte(write(t, survey(), "de"))); err != nil {
		t.Error(err)
	}
	if IsOwn([]byte("<html>my own notes</html>")) == nil {
		t.Error("a foreign page passes for ours")
	}
}

func TestUnknownLanguage(t *testing.T) {
	s := survey()
	if err := Write(&bytes.Buffer{}, s, &s.Boats[0], &knowhow.Book{}, "nl"); err == nil || !strings.Contains(err.Error(), "en, de, fr") {
		t.Errorf("got %v", err)
	}
}

// TestLabelsAreWhole wants every label in every language, with the same
// blanks, and a label for every word that the template asks for and for every
// built-in item and value.
func TestLabelsAreWhole(t *testing.T) {
	r := csv.NewReader(strings.NewReader(labelTable))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if want := append([]string{"key"}, Languages()...); !slices.Equal(lines[0], want) {
		t.Fatalf("columns %q, want %q", lines[0], want)
	}
	keys := map[string]bool{}
	for _, line := range lines[1:] {
		if keys[line[0]] {
			t.Errorf("%s stands twice", line[0])
		}
		keys[line[0]] = true
		for i, text := range line[1:] {
			if text == "" || strings.Count(text, "{") != strings.Count(line[1], "{") {
				t.Errorf("%s in %s: %q", line[0], lines[0][i+1], text)
			}
		}
	}
	for _, m := range regexp.MustCompile(`say "([^"]+)"`).FindAllStringSubmatch(pageTemplate, -1) {
		if !keys[m[1]] {
			t.Errorf("the template says %q, which has no label", m[1])
		}
	}
	book, _ := knowhow.Load(nil)
	for _, it := range book.Items {
		if it.Kind != knowhow.Condition && !keys["item."+it.ID] {
			t.Errorf("item %s has no label", it.ID)
		}
		for _, v := range it.Levels {
			if it.Kind != knowhow.Condition && !keys["value."+v.ID] {
				t.Errorf("value %s has no label", v.ID)
			}
		}
	}
}

func TestStepIsRound(t *testing.T) {
	for _, c := range []struct{ span, want float64 }{{1000, 200}, {1610, 200}, {2500, 500}, {9000, 1000}, {90, 10}} {
		if got := step(c.span); got != c.want {
			t.Errorf("step(%g) = %g, want %g", c.span, got, c.want)
		}
	}
}
