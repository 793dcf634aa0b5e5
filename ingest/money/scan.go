package money

import (
	"strings"
	"unicode"

	"golang.org/x/text/currency"
)

// scan finds the numbers and phrases. A number that touches letters which are
// no phrase is a name or a measure, and none that goes before a percent or
// degree sign or an inch mark is a sum.
func (r *reader) scan() {
	r.items = make([]item, 0, 4)
	for i := 0; i < len(r.text); {
		if p, end, ok := r.phraseAt(i); ok {
			r.items = append(r.items, item{start: i, end: end, phrase: p})
			i = end
			continue
		}
		if end := r.noSum(i); end > i {
			i = end
			continue
		}
		n, ok := scanFraction(r.text, i)
		if !ok {
			if !isDigit(r.text[i]) {
				i++
				continue
			}
			n = r.scanNumber(i)
		}
		if r.standsAlone(n) {
			r.items = append(r.items, item{start: n.start, end: n.end, isNumber: true, number: n})
		}
		i = n.end
	}
}

// phraseAt gives the phrase that stands at text[i:], or a code of ISO 4217 in
// capitals.
func (r *reader) phraseAt(i int) (phrase, int, bool) {
	if isDigit(r.text[i]) {
		return phrase{}, i, false
	}
	p, end, ok := r.table.match(r.text, i)
	if r.running {
		return p, end, ok
	}
	if ok {
		if p = p.asWritten(string(r.written[i:end])); len(p.uses) > 0 {
			return p, end, true
		}
	}
	return r.codeAt(i)
}

const codeLetters = 3

// codeAt reads a code of ISO 4217 in capitals, a word of its own.
func (r *reader) codeAt(i int) (phrase, int, bool) {
	end := i + codeLetters
	if end > len(r.text) || i > 0 && inWord(r.text[i-1]) || end < len(r.text) && inWord(r.text[end]) {
		return phrase{}, i, false
	}
	for _, c := range r.written[i:end] {
		if c < 'A' || c > 'Z' {
			return phrase{}, i, false
		}
	}
	code := string(r.written[i:end])
	if _, err := currency.ParseISO(code); err != nil || code == Unsettled {
		return phrase{}, i, false
	}
	return phrase{r.text[i:end], []use{{kind: kindCurrency, meaning: code}}}, end, true
}

func (r *reader) standsAlone(n number) bool {
	if n.start > 0 {
		before := r.text[n.start-1]
		touchesPhrase := len(r.items) > 0 && r.items[len(r.items)-1].end == n.start && r.items[len(r.items)-1].phrase.mayTouch()
		if before == '#' || unicode.IsLetter(before) && !touchesPhrase && (r.running || !unspaced(before)) {
			return false
		}
		if before == '%' && (n.start == 1 || !isDigit(r.text[n.start-2])) { // "%20"
			return false
		}
		ahead := []rune(strings.TrimRight(string(r.text[max(0, n.start-shapeReach):n.start]), " ("))
		if len(ahead) > 0 && strings.ContainsRune(stars, ahead[len(ahead)-1]) {
			return false
		}
		if before == '(' && n.start == 1 && n.end == len(r.text)-1 && r.text[n.end] == ')' { // a count
			return false
		}
	}
	after := n.end
	if after < len(r.text) && unicode.IsLetter(r.text[after]) {
		p, _, ok := r.phraseAt(after)
		return ok && p.mayTouch() || !r.running && unspaced(r.text[after])
	}
	for after < len(r.text) && r.text[after] == ' ' {
		after++
	}
	return after == len(r.text) || !strings.ContainsRune("%‰°℃\"″”"+stars, r.text[after])
}

// stars stand beside a rating.
const stars = "★☆⭐"
