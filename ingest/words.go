package ingest

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"askance/ingest/knowhow"
)

// A vocabulary is the words of the knowhow that tables and pages are read
// with, made comparable.
type vocabulary struct {
	book    *knowhow.Book
	headers map[string]string // folded header to field or item
	units   map[string]string // folded unit, currency sign or code, as they stand behind a header
	named   map[string]string // folded header that the user named to its field
}

func newVocabulary(book *knowhow.Book, columns map[string]string) *vocabulary {
	v := &vocabulary{book: book, headers: map[string]string{}, units: map[string]string{}, named: map[string]string{}}
	for _, p := range book.Phrases("header") {
		if key := fold(p.Phrase); v.headers[key] == "" {
			v.headers[key] = p.For
		}
	}
	for _, kind := range []string{"unit", "currency"} {
		for _, p := range book.Phrases(kind) {
			v.units[fold(p.Phrase)] = p.For
		}
	}
	for field, header := range columns {
		v.named[fold(header)] = field
	}
	return v
}

// header tells which field a header fills, and the unit that it names: a
// header as a whole, or one with a unit behind it, as in "Length (ft)",
// "Length [ft]", "price eur" or "Preis in €".
func (v *vocabulary) header(text string) (field, unit string, ok bool) {
	field, ok = v.lookUp(text)
	name, unit, found := cutUnit(text)
	if _, known := v.units[fold(unit)]; !found || !known {
		return field, "", ok
	}
	if ok { // one that the user named, or a whole header that has a unit
		return field, unit, true
	}
	field, ok = v.lookUp(name)
	if !ok {
		field, ok = v.lookUp(withoutLastWord(name))
	}
	return field, unit, ok
}

// lookUp tells which field a header without a unit fills. What the user named
// comes first.
func (v *vocabulary) lookUp(text string) (field string, ok bool) {
	key := fold(text)
	if key == "" {
		return "", false
	}
	if field, ok = v.named[key]; ok {
		return field, true
	}
	field, ok = v.headers[key]
	return field, ok
}

// cutUnit splits the unit off a header: what stands in brackets at its end,
// or its last word.
func cutUnit(text string) (name, unit string, ok bool) {
	text = strings.TrimRight(strings.TrimSpace(text), ": ")
	if last := len(text) - 1; last > 0 && strings.ContainsRune(")]", rune(text[last])) {
		open := strings.LastIndexAny(text, "([")
		if open > 0 {
			return strings.TrimSpace(text[:open]), strings.TrimSpace(text[open+1 : last]), true
		}
		return "", "", false
	}
	words := strings.Fields(strings.ReplaceAll(text, "_", " "))
	if len(words) < 2 {
		return "", "", false
	}
	return strings.Join(words[:len(words)-1], " "), words[len(words)-1], true
}

// withoutLastWord drops the joint of "price in eur"; "" where there is only
// one word.
func withoutLastWord(s string) string {
	words := strings.Fields(s)
	if len(words) < 2 || len([]rune(words[len(words)-1])) > 3 {
		return ""
	}
	return strings.Join(words[:len(words)-1], " ")
}

// phrasesFor returns the words of one kind that stand for one thing.
func (v *vocabulary) phrasesFor(kind, what string) []string {
	var out []string
	for _, p := range v.book.Phrases(kind) {
		if p.For == what {
			out = append(out, p.Phrase)
		}
	}
	return out
}

// phrases returns the words of one kind in file order.
func (v *vocabulary) phrases(kind string) []string {
	var out []string
	for _, p := range v.book.Phrases(kind) {
		out = append(out, p.Phrase)
	}
	return out
}

// folder replaces letters that are written in two ways, lower case.
var folder = strings.NewReplacer("ß", "ss", "ä", "ae", "ö", "oe", "ø", "oe", "ü", "ue", "æ", "ae", "œ", "oe", "’", "'", "_", " ", "-", " ", "*", " ", ":", " ")

// fold makes the ways of writing one header equal: letter case, "askingPrice"
// and "asking_price", umlauts, accents, dots at the end.
func fold(s string) string {
	s = folder.Replace(strings.ToLower(norm.NFC.String(splitCamel(s))))
	s = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
	return strings.Join(strings.Fields(strings.TrimRight(s, ". ")), " ")
}

// splitCamel puts a space before a capital that follows a small letter.
func splitCamel(s string) string {
	var b strings.Builder
	small := false
	for _, r := range s {
		if small && unicode.IsUpper(r) {
			b.WriteByte(' ')
		}
		small = unicode.IsLower(r)
		b.WriteRune(r)
	}
	return b.String()
}
