package page

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html"
)

// phrases are words and phrases made ready for looking them up.
type phrases struct {
	whole   map[string]bool     // as they stand alone
	byFirst map[rune][]string   // by their first character, lower case
	byStem  map[string][]string // those of one word by their first letters, umlauts spelled out
}

// roles are the words of a page by their role, made ready.
type roles struct {
	similar, ad, top, terms, none, nav, asking, oldPrice, newPrice, perPeriod, delivery, sale phrases
}

func newRoles(w Words) roles {
	return roles{newPhrases(w.Similar), newPhrases(w.Ad), newPhrases(w.Top), newPhrases(w.Terms), newPhrases(w.None), newPhrases(w.Nav), newPhrases(w.Asking), newPhrases(w.OldPrice), newPhrases(w.NewPrice), newPhrases(w.PerPeriod), newPhrases(w.Delivery), newPhrases(w.Sale)}
}

// stem is how many letters words share that are forms of one another.
const stem = 6

var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss", "ø", "oe", "æ", "ae", "å", "aa")

func newPhrases(list []string) phrases {
	ph := phrases{map[string]bool{}, map[rune][]string{}, map[string][]string{}}
	for _, p := range list {
		p = strings.ToLower(strings.TrimSpace(p))
		if p == "" {
			continue
		}
		ph.whole[bareText(p)] = true
		first, _ := utf8.DecodeRuneInString(p)
		if !slices.Contains(ph.byFirst[first], p) {
			ph.byFirst[first] = append(ph.byFirst[first], p)
		}
		if spelled := umlauts.Replace(p); len(spelled) >= stem {
			ph.byStem[spelled[:stem]] = append(ph.byStem[spelled[:stem]], spelled)
		}
	}
	delete(ph.whole, "")
	return ph
}

func (ph phrases) empty() bool { return len(ph.byFirst) == 0 }

// in says whether one of the phrases occurs in text as whole words, in any
// letter case. An edge of a phrase that is no letter needs no word's edge.
func (ph phrases) in(text string) bool { return ph.inside(text, 1) }

// named is in for the words of class names, where phrases of less than three
// letters are more likely something else.
func (ph phrases) named(words string) bool { return ph.inside(words, 3) }

func (ph phrases) inside(text string, least int) bool {
	if ph.empty() || text == "" {
		return false
	}
	text = strings.ReplaceAll(strings.ToLower(text), "’", "'")
	inWord := false
	for i, c := range text {
		letter := unicode.IsLetter(c)
		if !letter || !inWord {
			for _, p := range ph.byFirst[c] {
				if len(p) >= least && strings.HasPrefix(text[i:], p) && edge(text[i+len(p):], p) {
					return true
				}
			}
		}
		inWord = letter
	}
	return false
}

// end says whether a text ends with one of the phrases, but for marks.
func (ph phrases) end(text string) bool {
	text = strings.ToLower(strings.TrimRight(text, ":=-–. "))
	for i := range text {
		if r, _ := utf8.DecodeLastRuneInString(text[:i]); (i == 0 || !unicode.IsLetter(r)) && ph.whole[bareText(text[i:])] {
			return true
		}
	}
	return false
}

// edge says whether the phrase ends where what follows begins.
func edge(after, phrase string) bool {
	n, _ := utf8.DecodeRuneInString(after)
	p, _ := utf8.DecodeLastRuneInString(phrase)
	return !unicode.IsLetter(p) || !unicode.IsLetter(n)
}

// stemmed says whether a word of six letters or more begins one of the phrases
// of one word, or the other way round, but for two letters at most, however
// umlauts are written: the class "aehnlich" for "ähnliche".
func (ph phrases) stemmed(words string) bool {
	for _, w := range strings.Fields(words) {
		if len(w) < stem {
			continue
		}
		for _, p := range ph.byStem[w[:stem]] {
			short, long := min(len(w), len(p)), max(len(w), len(p))
			if long-short <= 2 && w[:short] == p[:short] {
				return true
			}
		}
	}
	return false
}

// are says whether the text as a whole is one of the phrases, but for letter
// case and marks around it.
func (ph phrases) are(text string) bool {
	return len(text) <= longestPhrase && !ph.empty() && ph.whole[bareText(text)]
}

const longestPhrase = 200 // bytes of a text that may be a phrase

// bareText gives a text in lower case without marks around it.
func bareText(s string) string {
	return strings.ToLower(strings.TrimFunc(fold(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }))
}

// name says whether a class name or the id of an element is, as a whole, one
// of the phrases.
func (ph phrases) name(n *html.Node) bool {
	s := attr(n, "class") + " " + attr(n, "id")
	if len(s) > 1000 || ph.empty() {
		return false
	}
	for _, name := range strings.Fields(s) {
		if ph.are(strings.Join(wordsOf(name), " ")) {
			return true
		}
	}
	return false
}

// beside says that a text is no more than the words beside a price.
func (w roles) beside(text string) bool {
	if len(text) > longestPhrase {
		return false
	}
	text = bareText(text)
	return w.oldPrice.whole[text] || w.perPeriod.whole[text] || w.delivery.whole[text]
}

// marks gives the words of an element's class names and id, in one line.
func marks(n *html.Node) string {
	s := attr(n, "class") + " " + attr(n, "id")
	if len(s) > 1000 || s == " " {
		return ""
	}
	return strings.Join(wordsOf(s), " ")
}
