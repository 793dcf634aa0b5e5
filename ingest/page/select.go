package page

import (
	"fmt"
	"strings"

	"github.com/PuerkitoBio/goquery"
	"github.com/andybalholm/cascadia"
)

// Selectors say where the listings of a page stand, in CSS. Card selects the
// elements of the listings, or is empty for a page about one; the others are
// looked up inside a card, "" being not looked for. "SELECTOR@ATTRIBUTE" takes
// an attribute rather than the words, "@ATTRIBUTE" one of the card itself.
type Selectors struct {
	Card       string `toml:"card"`
	Title      string `toml:"title"`
	Text       string `toml:"text"`
	Price      string `toml:"price"`
	Currency   string `toml:"currency"`
	Year       string `toml:"year"`
	Class      string `toml:"class"`
	Maker      string `toml:"maker"`
	Length     string `toml:"length"`
	Condition  string `toml:"condition"`
	Seller     string `toml:"seller"`
	Place      string `toml:"place"`
	Listed     string `toml:"listed"`
	URL        string `toml:"url"`
	HullNumber string `toml:"hull_number"`
	Sold       string `toml:"sold"`
	Paid       string `toml:"paid"`
}

type selector struct{ field, css, attribute string }

func (s *Selectors) fields() []selector {
	all := []selector{
		{"title", s.Title, ""}, {"price", s.Price, ""}, {"currency", s.Currency, ""}, {"year", s.Year, ""}, {"class", s.Class, ""},
		{"maker", s.Maker, ""}, {"length", s.Length, ""}, {"condition", s.Condition, ""}, {"seller", s.Seller, ""}, {"place", s.Place, ""},
		{"listed", s.Listed, ""}, {"url", s.URL, ""}, {"hull_number", s.HullNumber, ""}, {"sold", s.Sold, ""}, {"paid", s.Paid, ""}, {"text", s.Text, ""},
	}
	var used []selector
	for _, f := range all {
		if f.css = strings.TrimSpace(f.css); f.css == "" {
			continue
		}
		if i := strings.LastIndex(f.css, "@"); i >= 0 && !strings.ContainsAny(f.css[i:], "]\"'") {
			f.css, f.attribute = strings.TrimSpace(f.css[:i]), strings.TrimSpace(f.css[i+1:])
		}
		used = append(used, f)
	}
	return used
}

// Check says which selector does not parse. Nil selectors are in order.
func (s *Selectors) Check() error {
	if s == nil {
		return nil
	}
	for _, f := range append([]selector{{"card", s.Card, ""}}, s.fields()...) {
		if f.css == "" {
			continue
		}
		if _, err := cascadia.ParseGroup(f.css); err != nil {
			return fmt.Errorf("selector %s: wanted a CSS selector, found %q: %w", f.field, f.css, err)
		}
	}
	return nil
}

// selectedItems reads the listings that the selectors name. A card that shows
// none of the selected fields is left out.
func (r *reader) selectedItems() []item {
	doc := goquery.NewDocumentFromNode(r.tree.root)
	cards := doc.Find("body")
	if r.opts.Select.Card != "" {
		cards = doc.Find(r.opts.Select.Card)
	}
	var items []item
	fields := r.opts.Select.fields()
	cards.EachWithBreak(func(_ int, c *goquery.Selection) bool {
		it := item{order: r.tree.at(c.Nodes[0]), single: r.opts.Select.Card == ""}
		for _, f := range fields {
			found := c
			if f.css != "" {
				found = c.Find(f.css).First()
			}
			text := ""
			switch {
			case found.Length() == 0:
			case f.attribute != "":
				text = found.AttrOr(f.attribute, "")
			case f.field == "url":
				text = firstOf(found.AttrOr("href", ""), found.Find("a").AttrOr("href", ""))
			default:
				text = textOf(nil, found.Nodes...)
			}
			if f.field == "url" {
				text = resolve(r.about.base, text)
				it.url = text
			}
			it.add(f.field, f.css, "", clip(fold(text), r.opts.Limits.CellBytes), "select")
		}
		it.title = it.get("title")
		it.setPrice(it.get("price"), "", r.opts)
		if len(it.cells) > 0 {
			items = append(items, it)
		}
		return len(items) < r.opts.Limits.Rows
	})
	return items
}
