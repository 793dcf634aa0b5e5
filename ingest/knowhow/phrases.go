package knowhow

import (
	"slices"
	"strconv"
	"strings"
)

// phraseKinds lists the sorts of words that a words file may hold, each with
// what its second column may say: nil is anything, otherwise a check that
// tells what was wanted ("" if all is well).
func phraseKinds(b *Book) map[string]func(string) string {
	items := func(s string) string { return itemsIn(b, s) }
	defects := func(s string) string { return defectsIn(b, s) }
	wholeNumber := func(s string) string {
		if _, err := strconv.ParseFloat(s, 64); err != nil {
			return "a number"
		}
		return ""
	}
	return map[string]func(string) string{
		"header": nil, "usual_currency": nil, "unit": oneOf("ft", "in", "m", "cm"), "currency": nil, "thousand": wholeNumber,
		"price_term": oneOf("fixed", "negotiable", "offers", "wanted", "swap", "free", "auction", "no_amount"),
		"new_price":  nil, "old_price": nil, "per_period": nil, "delivery": nil, "placeholder": nil, "price_cue": nil, "unpriced": nil,
		"now_price": nil, "range": oneOf("to", "and", "between"), "total": nil, "measure": nil, "minor_unit": nil, "country": nil, "year_suffix": nil, "figure": wholeNumber,
		"yes": nil, "no": nil, "month": wholeNumber, "relative_day": wholeNumber, "ago": wholeNumber,
		"page_similar": nil, "page_ad": nil, "page_top": nil, "page_nav": nil, "page_none": nil, "page_sale": nil,

		"item": items, "value": func(s string) string { return valueIn(b, s) }, "thing": nil, "boat": oneOf("one", "many", "state"),
		"part": defects, "fault": defects, "sound": defects,
		"quality": oneOf("new", "fresh", "very_good", "good", "usable", "worn", "replace"), "spare": nil, "same": nil,
		"grade":     func(s string) string { return valueIn(b, s) },
		"condition": oneOf("new", "very_good", "good", "fair", "poor"),
		"renewed":   nil, "repaired": nil, "needs": nil,
		"negation": oneOf("without", "no", "not"),
		"offer":    oneOf("included", "included:next", "absent", "absent:next", "at_extra_cost", "at_extra_cost:next"),
		"contrast": oneOf("but", "except"), "and": oneOf("and", "or"), "quantity": nil,
		"aside":   oneOf("wish", "swap", "other_boat", "if"),
		"heading": oneOf("included", "absent", "at_extra_cost", "needs", "repaired", "aside", "plain"),
		"ad":      oneOf("wanted", "swap", "parts", "sale", "for"),
		"count":   oneOf("each", "together", "times"),
		"year":    oneOf("built", "bought_new", "other", "decade"),
		"age":     wholeNumber, "number": wholeNumber,
		"abbreviation": nil, "stopword": nil, "nothing": nil,
		"seller": oneOf("private", "private:cell", "dealer", "dealer:cell", "club", "club:cell"), "length": oneOf("overall", "other"), "place": nil, "sold": nil,
	}
}

// oneOf makes a check for a fixed set.
func oneOf(words ...string) func(string) string {
	return func(s string) string {
		if slices.Contains(words, s) {
			return ""
		}
		return "one of " + strings.Join(words, ", ")
	}
}

// itemsIn checks ids of items joined by +.
func itemsIn(b *Book, s string) string {
	for id := range strings.SplitSeq(s, "+") {
		if _, ok := b.Item(id); !ok {
			return "ids of items.csv, joined by +"
		}
	}
	return ""
}

// defectsIn checks ids of defects joined by +, one of which may end in !.
func defectsIn(b *Book, s string) string {
	for id := range strings.SplitSeq(s, "+") {
		if it, ok := b.Item(strings.TrimSuffix(id, "!")); !ok || it.Kind != Defect {
			return "ids of defects in items.csv, joined by +"
		}
	}
	return ""
}

// valueIn checks ITEM:VALUE.
func valueIn(b *Book, s string) string {
	id, value, _ := strings.Cut(s, ":")
	it, ok := b.Item(id)
	if !ok {
		return "ITEM:VALUE with an id of items.csv"
	}
	if _, ok := it.Value(value); !ok {
		return "ITEM:VALUE with a value of the item"
	}
	return ""
}

// checkPhrases finds words of an unknown sort, or with an unknown meaning.
func (l *loader) checkPhrases(b *Book) {
	kinds := phraseKinds(b)
	var names []string
	for k := range kinds {
		names = append(names, k)
	}
	slices.Sort(names)
	for _, p := range b.phrases {
		check, ok := kinds[p.Kind]
		if !ok {
			l.fault(p.At, "kind", "one of "+strings.Join(names, ", "), p.Kind, "")
			continue
		}
		if check == nil {
			continue
		}
		if wanted := check(p.For); wanted != "" {
			l.fault(p.At, "for", wanted, p.For, "")
		}
	}
}
