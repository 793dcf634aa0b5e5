package knowhow

import (
	"slices"
	"strings"
)

// phraseKinds lists the sorts of words that a words file may hold.
func phraseKinds() []string {
	return []string{"header", "unit", "currency", "price_term", "thousand", "new_price", "old_price", "per_period", "delivery",
		"yes", "no", "month", "relative_day", "ago", "page_similar", "page_ad", "page_nav", "placeholder"}
}

// checkPhrases finds words of an unknown sort.
func (l *loader) checkPhrases(b *Book) {
	kinds := phraseKinds()
	for _, p := range b.phrases {
		if !slices.Contains(kinds, p.Kind) {
			l.fault(p.At, "kind", "one of "+strings.Join(kinds, ", "), p.Kind, "")
		}
	}
}
