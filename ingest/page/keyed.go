package page

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/net/html"
)

// keyed gives the listings among the members of an object that keeps things by
// their number: {"ad:1": {...}, "ad:2": {...}, "user:7": {...}}. Their keys are
// alike but for digits.
func (r *reader) keyed(o object, n *html.Node) []item {
	kinds := map[string][]item{}
	var best []item
	for _, m := range o {
		v, ok := m.value.(object)
		if !ok || digits(m.key) == 0 {
			continue
		}
		it := r.dataItem(v)
		if it.title == "" || it.get("price") == "" {
			continue
		}
		it.order, it.key = r.tree.at(n), fmt.Sprintf("keyed %d", r.tree.at(n))
		kind := strings.TrimFunc(m.key, unicode.IsDigit)
		if kinds[kind] = append(kinds[kind], it); len(kinds[kind]) > len(best) {
			best = kinds[kind]
		}
	}
	return best
}

// keyField gives the field of a key.
func (r *reader) keyField(key string) (field, unit string) {
	switch key {
	case "name", "headline":
		return "title", ""
	case "description":
		return "text", ""
	case "price", "url":
		return key, ""
	case "priceCurrency":
		return "currency", ""
	}
	if field, unit, ok := r.opts.Labels(key); ok {
		return field, unit
	}
	words := wordsOf(key)
	for i := range words { // "shop_listing_title": the last words say what it is
		if i > 0 && len(words)-i < 2 {
			break
		}
		if field, unit, ok := r.opts.Labels(strings.Join(words[i:], " ")); ok && (i == 0 || field == "title" || field == "price") {
			return field, unit
		}
	}
	return "", ""
}

// wordsOf parts a name at marks and at inner capitals, in lower case:
// "listing__askPrice" gives listing, ask, price.
func wordsOf(name string) []string {
	var words []string
	start, was := 0, rune(0)
	flush := func(end int) {
		if start < end {
			words = append(words, strings.ToLower(name[start:end]))
		}
		start = end
	}
	for i, c := range name {
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) {
			flush(i)
			start = i + len(string(c))
		} else if unicode.IsUpper(c) && unicode.IsLower(was) {
			flush(i)
		}
		was = c
	}
	flush(len(name))
	return words
}

func digits(s string) int {
	n := 0
	for _, c := range s {
		if unicode.IsDigit(c) {
			n++
		}
	}
	return n
}
