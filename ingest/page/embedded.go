package page

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/net/html"
)

// embedded finds listings in JSON that scripts hold: arrays of objects with a
// member like a title and one like a price, at any depth. Keys are known by
// Labels, whole or parted into words ("askingPrice", "asking_price"), and by
// the names of schema.org.
func (r *reader) embedded() []item {
	var items []item
	left := r.opts.Limits.JSONBytes
	for _, n := range r.tree.nodes {
		kind := strings.ToLower(attr(n, "type"))
		if n.Data != "script" || strings.Contains(kind, "ld+json") || left <= 0 {
			continue
		}
		text := scriptText(n)
		if len(text) > left {
			r.jsonProblem(fmt.Sprintf("%d bytes", len(text)), fmt.Sprintf("at most %d bytes of JSON in scripts", r.opts.Limits.JSONBytes))
			continue
		}
		left -= len(text)
		for _, v := range jsonIn(text, kind, r.opts.Limits.JSONDepth) {
			r.arrays(v, n, 0, &items)
		}
	}
	return items
}

// jsonIn gives the JSON values of a script: all of it, or what follows "="
// or "(" where an object or array begins there.
func jsonIn(text, kind string, depth int) []any {
	if strings.Contains(kind, "json") || strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[") {
		if v, _, err := readJSON([]byte(text), depth); err == nil {
			return []any{v}
		}
		return nil
	}
	var found []any
	for tries, i := 0, 0; i < len(text) && tries < 200; i++ {
		if c := text[i]; c != '=' && c != '(' {
			continue
		}
		rest := strings.TrimLeft(text[i+1:], " \t\r\n")
		if quoted, n := quotedJSON(rest); n > 0 {
			found = append(found, quoted)
			i = len(text) - len(rest) + n - 1
			continue
		}
		if len(rest) < 16 || rest[0] != '{' && rest[0] != '[' || !strings.ContainsAny(rest[1:min(len(rest), 40)], "\"") {
			continue
		}
		tries++
		v, n, err := readJSON([]byte(rest), depth)
		if err == nil {
			found = append(found, v)
			i = len(text) - len(rest) + int(n) - 1
		}
	}
	return found
}

// quotedJSON gives the text that a script's string literal at the start of a
// text stands for where that looks like JSON, and the literal's length: what
// JSON.parse("{\"a\": ...}") is given. n is 0 where there is none.
func quotedJSON(text string) (value string, n int) {
	if len(text) < 16 || text[0] != '"' && text[0] != '\'' && text[0] != '`' {
		return "", 0
	}
	if c := text[1]; c != '{' && c != '[' && c != '%' && c != '\\' {
		return "", 0
	}
	for n = 1; n < len(text) && text[n] != text[0]; n++ {
		if text[n] == '\\' {
			n++
		}
	}
	if n >= len(text) {
		return "", 0
	}
	value = text[1:n]
	if text[0] != '"' {
		value = strings.NewReplacer(`\\`, `\\`, `\'`, `'`, "\\`", "`", `\"`, `\"`, `"`, `\"`).Replace(value)
	}
	if err := json.Unmarshal([]byte(`"`+value+`"`), &value); err != nil {
		return "", 0
	}
	return value, n + 1
}

// unpacked gives the JSON that a text holds, as is or in percent encoding.
func unpacked(text string, depth int) any {
	if strings.HasPrefix(text, "%7B") || strings.HasPrefix(text, "%5B") {
		if plain, err := url.PathUnescape(text); err == nil {
			text = plain
		}
	}
	text = strings.TrimSpace(text)
	if len(text) < 16 || text[0] != '{' && text[0] != '[' {
		return nil
	}
	v, _, err := readJSON([]byte(text), depth)
	if err != nil {
		return nil
	}
	return v
}

// encodings bounds how many times JSON may be packed into a text of JSON.
const encodings = 3

// arrays looks for arrays of listings inside a JSON value, and in the JSON
// that its texts hold.
func (r *reader) arrays(v any, n *html.Node, packed int, items *[]item) {
	switch v := v.(type) {
	case string:
		if packed < encodings {
			r.arrays(unpacked(v, r.opts.Limits.JSONDepth), n, packed+1, items)
		}
	case []any:
		var found []item
		for _, e := range v {
			if o, ok := e.(object); ok {
				if it := r.dataItem(o); it.title != "" && it.get("price") != "" {
					it.order = r.tree.at(n)
					found = append(found, it)
				}
			}
		}
		if len(found) > 0 && 2*len(found) >= len(v) && !r.isOneTitle(found) {
			for i := range found {
				found[i].key = fmt.Sprintf("data %d", len(*items))
			}
			if len(*items)+len(found) <= r.opts.Limits.Rows {
				*items = append(*items, found...)
			}
			return
		}
		for _, e := range v {
			r.arrays(e, n, packed, items)
		}
	case object:
		if found := r.keyed(v, n); len(found) >= 2 && len(*items)+len(found) <= r.opts.Limits.Rows {
			*items = append(*items, found...)
			return
		}
		if it, ok := r.namedItem(v); ok {
			it.order = r.tree.at(n)
			*items = append(*items, it)
		}
		for _, m := range v {
			if name := strings.Join(wordsOf(m.key), " "); !r.words.similar.in(name) {
				r.arrays(m.value, n, packed, items)
			}
		}
	}
}

// namedItem reads an object that has itself a title, with which the page's own
// begins, and a price: the one thing that a page is about whose words scripts
// would show.
func (r *reader) namedItem(o object) (item, bool) {
	title, price := "", false
	for _, m := range o {
		switch field, _ := r.keyField(m.key); field {
		case "title":
			if s, ok := m.value.(string); ok && title == "" {
				title = fold(s)
			}
		case "price":
			price = true
		}
	}
	if !price || letters(title) < shortText/4 || !strings.HasPrefix(sameTitle(r.about.title), sameTitle(title)) {
		return item{}, false
	}
	it := r.dataItem(o)
	it.single = true
	return it, it.get("price") != ""
}

// isOneTitle says whether several items all have one title, or that of a label:
// places for advertisements.
func (r *reader) isOneTitle(items []item) bool {
	for _, it := range items {
		if it.title != items[0].title {
			return false
		}
	}
	return len(items) > 2 || r.words.ad.are(items[0].title)
}

// dataItem reads an object's members into cells; members of nested objects
// count where the outer object has none of that field.
func (r *reader) dataItem(o object) item {
	var it item
	r.dataCells(&it, o, 3)
	it.title = it.get("title")
	if u := it.get("url"); u != "" {
		it.url = u
	}
	return it
}

func (r *reader) dataCells(it *item, o object, depth int) {
	const from = "data"
	for _, m := range o {
		field, unit := r.keyField(m.key)
		if field != "" && it.get(field) != "" {
			continue
		}
		if field == "price" {
			r.dataPrice(it, m, unit)
			continue
		}
		text := ""
		switch v := m.value.(type) {
		case string:
			text = plain(v)
		case json.Number:
			text = v.String()
		case object:
			inner := field == "title" && r.dataItem(v).title != "" // {"listing": {"title": ...}}
			if field != "" && !inner {
				text = r.nameIn(v)
			} else if depth > 0 && !strings.HasPrefix(m.key, "@") {
				r.dataCells(it, v, depth-1)
			}
		}
		if _, isObject := m.value.(object); isObject && text == "" {
			continue
		}
		if field == "url" {
			text = resolve(r.about.base, text)
		}
		if field != "" {
			it.add(field, m.key, unit, text, from)
		}
	}
}

// nameIn gives the first text in an object.
func (r *reader) nameIn(o object) string {
	for _, m := range o {
		if s, ok := m.value.(string); ok && s != "" {
			return fold(s)
		}
	}
	return ""
}

// inCents says whether a key says that its amount is in minor units.
func inCents(key string) bool {
	return slices.ContainsFunc(wordsOf(key), isMinorUnit)
}

func isMinorUnit(word string) bool {
	switch strings.ToLower(word) {
	case "cents", "cent", "minor", "pence":
		return true
	}
	return false
}

// isCurrency says whether a member of a price is the code of its currency.
func (r *reader) isCurrency(key, v string) bool {
	if len(v) != 3 || strings.ToUpper(v) != v || strings.IndexFunc(v, func(r rune) bool { return !unicode.IsLetter(r) }) >= 0 {
		return false
	}
	if slices.Contains(wordsOf(key), "currency") {
		return true
	}
	a, _, ok := r.opts.Price("1 " + v)
	return ok && a.Currency == v
}

// dataPrice reads a price that is a number, a text, or an object that holds
// an amount and a currency.
func (r *reader) dataPrice(it *item, m member, unit string) {
	text, currency, minor := "", unit, inCents(m.key)
	var look func(key string, v any, depth int)
	look = func(key string, v any, depth int) {
		switch v := v.(type) {
		case json.Number:
			if text == "" {
				text = v.String()
			}
		case string:
			if r.isCurrency(key, v) {
				currency = v
			} else if isMinorUnit(v) {
				minor = true
			} else if _, _, ok := r.opts.Price(v); text == "" && (ok || digits(v) > 0 || depth == 2) {
				text = fold(v)
			}
		case []any:
			if len(v) == 1 && depth > 0 {
				look(key, v[0], depth-1)
			}
		case object:
			for _, m := range v {
				if depth > 0 {
					look(m.key, m.value, depth-1)
				}
			}
		}
	}
	look(m.key, m.value, 2)
	if n, err := strconv.ParseFloat(text, 64); err == nil && minor {
		text = strconv.FormatFloat(n/100, 'f', 2, 64)
	}
	it.add("price", m.key, currency, text, "data")
	if text != "" && currency != "" {
		it.add("currency", m.key, "", currency, "data")
	}
	it.setPrice(text, currency, r.opts)
}
