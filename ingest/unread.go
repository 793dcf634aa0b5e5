package ingest

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/record"
)

// An UnreadWord is a word of listings that nothing in the knowhow explains.
type UnreadWord struct {
	Word     string
	Language string // of the first listing that has it, "" unknown
	Listings int    // that have it
	Example  string // some words round it
}

// shortest is the least number of letters of a word that is looked for: below
// are articles and the like.
const shortest = 4

// Unread finds the words that stand in at least so many listings and that no
// phrase of the knowhow holds, the most frequent first. Names of classes,
// makers and places are no such words.
func Unread(listings []boat.Listing, book *knowhow.Book, atLeast int) []UnreadWord {
	known := knownWords(book)
	for _, l := range listings {
		for _, name := range []string{l.Class.Value, l.Maker.Value, l.Place.Value} {
			known.add(name)
		}
	}
	found := map[string]*UnreadWord{}
	var order []*UnreadWord
	for _, l := range listings {
		text := l.Title + "\n" + l.Text
		seen := map[string]bool{}
		for _, w := range strings.FieldsFunc(text, notLetter) {
			key := fold(strings.ToLower(w))
			if seen[key] || len([]rune(w)) < shortest || known.has(key) {
				continue
			}
			seen[key] = true
			u := found[key]
			if u == nil {
				u = &UnreadWord{Word: strings.ToLower(w), Language: l.Language, Example: around(text, w)}
				found[key] = u
				order = append(order, u)
			}
			u.Listings++
		}
	}
	var out []UnreadWord
	for _, u := range order {
		if u.Listings >= atLeast {
			out = append(out, *u)
		}
	}
	slices.SortStableFunc(out, func(a, b UnreadWord) int {
		return cmp.Or(cmp.Compare(b.Listings, a.Listings), cmp.Compare(a.Word, b.Word))
	})
	return out
}

// wordSet holds words, and the parts of words that a phrase marks with *.
type wordSet struct {
	whole map[string]bool
	parts []string // with their stars
}

func knownWords(book *knowhow.Book) *wordSet {
	s := &wordSet{whole: map[string]bool{}}
	for _, p := range book.AllPhrases() {
		s.add(p.Phrase)
	}
	for _, c := range book.Classes {
		s.add(c.Name + " " + strings.Join(c.Also, " ") + " " + c.Maker)
	}
	return s
}

func (s *wordSet) add(words string) {
	for _, w := range strings.FieldsFunc(words, func(r rune) bool { return r != '*' && notLetter(r) }) {
		w = strings.ToLower(w)
		if strings.Contains(w, "*") {
			if bare := strings.Trim(w, "*"); bare != "" {
				s.parts = append(s.parts, strings.Replace(w, bare, fold(bare), 1))
			}
			continue
		}
		s.whole[fold(w)] = true
	}
}

func (s *wordSet) has(word string) bool {
	return s.whole[word] || slices.ContainsFunc(s.parts, func(p string) bool {
		bare := strings.Trim(p, "*")
		front, back := strings.HasPrefix(p, "*"), strings.HasSuffix(p, "*")
		switch {
		case front && back:
			return strings.Contains(word, bare)
		case front:
			return strings.HasSuffix(word, bare)
		}
		return strings.HasPrefix(word, bare)
	})
}

func notLetter(r rune) bool { return !unicode.IsLetter(r) }

// around gives some of the text round a word.
func around(text, word string) string {
	const each = 30
	i := strings.Index(text, word)
	from, to := max(0, i-each), min(len(text), i+len(word)+each)
	return record.Shorten(strings.ToValidUTF8(text[from:to], ""), 2*each+len(word))
}
