package page

import (
	"strconv"
	"strings"

	"askance/ingest/money"
	"askance/ingest/record"
)

// schemaItems finds what is offered among things, by schema.org (version
// 30.0): products and offers, also inside lists. Lists of crumbs and related
// products are left alone.
func (r *reader) schemaItems(things []*thing) []item {
	g := gatherer{reader: r, seen: map[*thing]bool{}}
	for _, t := range things {
		g.visit(t, "", 16)
	}
	exact := 0
	for _, it := range g.items {
		exact += btoi(!it.many)
	}
	for i := range g.items {
		g.items[i].single = g.items[i].key == "" && (len(g.items) == 1 || exact == 1 && !g.items[i].many)
	}
	return g.items
}

type gatherer struct {
	*reader
	items []item
	seen  map[*thing]bool
	lists int
}

func (g *gatherer) visit(t *thing, list string, depth int) {
	if g.seen[t] || depth == 0 || len(g.items) >= g.opts.Limits.Rows {
		return
	}
	g.seen[t] = true
	switch {
	case t.is("BreadcrumbList", "SiteNavigationElement", "Review", "Rating", "AggregateRating", "Question", "FAQPage"):
		return
	case len(t.all("itemListElement")) > 0:
		g.lists++
		key := t.from + " list " + strconv.Itoa(g.lists)
		for _, v := range t.all("itemListElement") {
			g.visitElement(t, v, key, depth)
		}
		return
	case isOffered(t):
		if it := g.offered(t, list); letters(it.title) > 0 || it.priced {
			g.items = append(g.items, it)
		}
		return
	}
	for _, sub := range t.things("mainEntity", "mainEntityOfPage", "hasPart", "makesOffer", "hasOfferCatalog", "about", "itemOffered") {
		g.visit(sub, list, depth-1)
	}
}

// visitElement takes an element of a list: a text, a thing, or a ListItem
// that holds either.
func (g *gatherer) visitElement(list *thing, v value, key string, depth int) {
	if v.thing == nil {
		it := item{order: g.tree.at(list.node), key: key, title: v.text, loose: true}
		it.add("title", "itemListElement", "", v.text, list.from)
		g.items = append(g.items, it)
		return
	}
	t := v.thing
	if !t.is("ListItem") {
		g.visit(t, key, depth-1)
		return
	}
	inner := t.all("item")
	for _, v := range inner {
		if v.thing != nil {
			g.visit(v.thing, key, depth-1)
		}
	}
	if len(inner) > 0 && inner[0].thing != nil {
		return
	}
	link := t.text("url")
	if len(inner) > 0 {
		link = firstOf(link, inner[0].text)
	}
	it := item{order: g.tree.at(t.node), key: key, title: fold(t.text("name")), url: resolve(g.about.base, link), loose: true}
	it.add("title", "name", "", it.title, t.from)
	it.add("url", "url", "", it.url, t.from)
	if it.title != "" || it.url != "" {
		g.items = append(g.items, it)
	}
}

// isOffered says whether a thing is a product, an offer, or anything of an
// unknown type that has a name and a price.
func isOffered(t *thing) bool {
	if t.is("Product", "IndividualProduct", "ProductModel", "SomeProducts", "ProductGroup", "Vehicle", "Car", "Motorcycle", "MotorizedBicycle", "BusOrCoach", "Offer", "AggregateOffer") {
		return true
	}
	return t.text("name", "headline") != "" && (len(t.things("offers")) > 0 || t.text("price") != "")
}

// offered makes an item of a product with its offer, or of an offer with its
// product.
func (g *gatherer) offered(t *thing, list string) item {
	product, offer := t, bestOffer(t)
	if t.is("Offer", "AggregateOffer") {
		offer = t
		for _, p := range t.things("itemOffered") {
			product = p
			g.seen[p] = true
		}
	}
	if offer == nil {
		offer = t
	}
	from := t.from
	it := item{order: g.tree.at(t.node), key: list, scoped: from != "json-ld"}
	it.title = fold(firstOf(product.text("name", "headline", "title"), offer.text("name")))
	it.add("title", "name", "", it.title, from)
	g.addPrice(&it, offer, product)
	it.url = resolve(g.about.base, firstOf(product.text("url"), offer.text("url"), address(product.id), address(offer.id)))
	it.add("url", "url", "", it.url, from)
	it.add("text", "description", "", plain(firstOf(product.text("description"), offer.text("description"))), from)
	for _, m := range schemaFields() {
		for _, name := range m.names {
			text := firstOf(product.text(name), offer.text(name))
			if m.term {
				text = shortName(text)
			}
			if text = fold(text); text != "" {
				it.add(m.field, name, "", text, from)
				break
			}
		}
	}
	switch state := shortName(firstOf(offer.text("availability"), product.text("availability"))); state {
	case "SoldOut", "OutOfStock", "Reserved", "Discontinued":
		it.add("sold", "availability", "", state, from)
	}
	it.add("seller", "seller", "", sellerType(offer, product), from)
	it.add("place", "address", "", placeOf(offer, product), from)
	for _, p := range product.things("additionalProperty") {
		if name, v := fold(p.text("name")), fold(p.text("value")); name != "" && v != "" {
			field, unit, _ := g.opts.Labels(name)
			it.add(field, name, firstOf(unit, p.text("unitText", "unitCode")), v, from)
		}
	}
	return it
}

// A schemaField says which properties fill a field, the best first.
type schemaField struct {
	field string
	names []string
	term  bool // the value is a term of the vocabulary
}

func schemaFields() []schemaField {
	return []schemaField{
		{"year", []string{"productionDate", "vehicleModelDate", "modelDate"}, false},
		{"maker", []string{"manufacturer", "brand"}, false},
		{"class", []string{"model"}, false},
		{"condition", []string{"itemCondition"}, true},
		{"hull_number", []string{"serialNumber"}, false},
		{"listed", []string{"datePosted", "datePublished", "dateCreated", "availabilityStarts", "validFrom"}, false},
	}
}

// bestOffer gives the first offer with a price, else the first.
func bestOffer(t *thing) *thing {
	offers := t.things("offers")
	for _, o := range offers {
		if o.text("price", "lowPrice") != "" || len(o.things("priceSpecification")) > 0 {
			return o
		}
	}
	if len(offers) > 0 {
		return offers[0]
	}
	return nil
}

// addPrice adds price and currency. Of an AggregateOffer it takes the low
// price, with a problem where the high one differs.
func (g *gatherer) addPrice(it *item, offer, product *thing) {
	header, text := "price", firstOf(offer.text("price"), product.text("price"))
	currency := firstOf(offer.text("priceCurrency"), product.text("priceCurrency"))
	if text == "" {
		for _, spec := range offer.things("priceSpecification") {
			if spec.text("price") != "" && spec.text("billingDuration", "billingIncrement", "referenceQuantity") == "" {
				header, text = "priceSpecification", spec.text("price")
				currency = firstOf(spec.text("priceCurrency"), currency)
				break
			}
		}
	}
	if low, high := offer.text("lowPrice"), offer.text("highPrice"); text == "" && firstOf(low, high) != "" {
		header, text = "lowPrice", firstOf(low, high)
		if high != "" && low != "" && high != low {
			it.summary = true
			it.problems = append(it.problems, record.Problem{Field: "price", Wanted: "one price", Got: low + " to " + high + " " + currency, Hint: "the lower was taken"})
		}
	}
	if n, err := strconv.Atoi(offer.text("offerCount")); err == nil && n > 1 {
		it.summary, it.many = true, n > manyOffers
	}
	currency = strings.ToUpper(currency)
	it.add("price", header, currency, text, offer.from)
	it.add("currency", "priceCurrency", "", currency, offer.from)
	it.setPrice(text, currency, g.opts)
}

// manyOffers are more than one thing is offered by.
const manyOffers = 12

// setPrice keeps the amount of a price for comparing it with others.
func (it *item) setPrice(text, currency string, opts Options) {
	it.currency = currency
	if n, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil {
		it.amount, it.priced = n, true
		return
	}
	if a, _, ok := opts.Price(text); ok {
		it.setAmount(a)
	}
}

func (it *item) setAmount(a money.Amount) {
	it.amount, it.priced = a.Major(), true
	it.currency = firstOf(a.Currency, it.currency)
}

// sellerType gives the type of who offers.
func sellerType(offer, product *thing) string {
	for _, s := range append(offer.things("seller", "offeredBy", "provider"), product.things("seller", "offeredBy", "provider")...) {
		if len(s.types) > 0 {
			return s.types[0]
		}
	}
	return ""
}

// placeOf gives where the thing is: the offer's place before the seller's.
func placeOf(offer, product *thing) string {
	places := append(offer.things("availableAtOrFrom"), product.things("itemLocation", "contentLocation", "location")...)
	places = append(places, product, offer)
	places = append(places, offer.things("seller", "offeredBy", "provider")...)
	for _, p := range places {
		for _, v := range p.all("address") {
			if v.thing == nil && v.text != "" {
				return fold(v.text)
			}
			if v.thing != nil {
				if s := joinAddress(v.thing); s != "" {
					return s
				}
			}
		}
		if s := joinAddress(p); s != "" {
			return s
		}
	}
	return fold(firstOf(offer.text("availableAtOrFrom"), product.text("itemLocation", "contentLocation", "location")))
}

func joinAddress(t *thing) string {
	var parts []string
	if code, town := t.text("postalCode"), t.text("addressLocality"); code != "" || town != "" {
		parts = append(parts, strings.TrimSpace(code+" "+town))
	}
	for _, name := range []string{"addressRegion", "addressCountry"} {
		if s := t.text(name); s != "" {
			parts = append(parts, shortName(s))
		}
	}
	return fold(strings.Join(parts, ", "))
}

// address gives an identifier that is an address.
func address(id string) string {
	if parseLink(id) != nil && !strings.Contains(id, "#") {
		return id
	}
	return ""
}
