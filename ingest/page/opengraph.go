package page

import "strings"

// openGraph reads the item that a page's meta tags offer, if they state a
// price (product:price:amount or og:price:amount).
func (r *reader) openGraph() []item {
	meta := r.about.meta
	price := firstOf(meta["product:price:amount"], meta["og:price:amount"])
	if price == "" {
		return r.aboutProduct()
	}
	const from = "opengraph"
	currency := strings.ToUpper(firstOf(meta["product:price:currency"], meta["og:price:currency"]))
	it := item{single: true, title: fold(meta["og:title"])}
	it.summary = !r.isNamed(it.title) // of a page with several
	it.url = resolve(r.about.base, meta["og:url"])
	it.add("title", "og:title", "", it.title, from)
	it.add("price", "product:price:amount", currency, price, from)
	it.add("currency", "product:price:currency", "", currency, from)
	it.add("url", "og:url", "", it.url, from)
	it.add("text", "og:description", "", plain(meta["og:description"]), from)
	it.add("condition", "product:condition", "", shortName(meta["product:condition"]), from)
	it.add("maker", "product:brand", "", fold(meta["product:brand"]), from)
	switch state := strings.ToLower(firstOf(meta["product:availability"], meta["og:availability"])); state {
	case "oos", "out of stock", "discontinued":
		it.add("sold", "product:availability", "", state, from)
	}
	it.setPrice(price, currency, r.opts)
	return []item{it}
}

// isNamed says whether the page's title or its main heading names a thing.
func (r *reader) isNamed(title string) bool {
	title = sameTitle(title)
	return strings.Contains(sameTitle(r.about.title), title) || strings.Contains(sameTitle(r.textIf(r.mainHeading())), title)
}

// aboutProduct gives the item of a page that says it is about a product, and
// no price.
func (r *reader) aboutProduct() []item {
	title := fold(r.about.meta["og:title"])
	if kind := r.about.meta["og:type"]; title == "" || kind != "product" && kind != "product.item" && kind != "og:product" {
		return nil
	}
	return []item{{single: true, title: title, loose: true}}
}
