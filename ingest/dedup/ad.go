package dedup

import (
	"fmt"
	"hash/fnv"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"askance/ingest/boat"
	"askance/ingest/hull"
)

// An ad is a listing with what is compared of it.
type ad struct {
	l           *boat.Listing
	index, rank int
	key         string // what it says, for an order that the input does not set
	date        time.Time
	address     string // "" where it has none
	hull        string // valid, without a country; "" unknown
	class       string // letters and digits only
	place       []string
	title, text []string            // words
	figures     map[string][]string // numbers by the two words before them, prices aside
	triples     []uint64            // hashes of three words in a row, sorted, each once
}

const mostWords = 3000 // of one ad are compared

func newAd(l *boat.Listing, index int) *ad {
	a := &ad{l: l, index: index, date: l.AsOf, address: Address(l.Source.URL)}
	if l.Listed.Known {
		a.date = l.Listed.Value
	}
	if !isPage(a.address) {
		a.address = ""
	}
	if n := hull.Decode(l.HullNumber.Value); l.HullNumber.Known && n.Valid {
		a.hull = n.Number[len(n.Number)-12:]
	}
	if l.Class.Known {
		a.class = strings.Join(words(l.Class.Value), "")
	}
	if l.Place.Known {
		a.place = words(l.Place.Value)
	}
	a.title, a.text = words(l.Title), words(l.Text)
	a.text = a.text[:min(len(a.text), mostWords)]
	a.figures = figures(a.title, a.text)
	a.triples = triples(a.text)
	at := l.Source.At
	a.key = fmt.Sprintf("%s\x00%s\x00%08d\x00%08d\x00%s\x00%s\x00%s\x00%d\x00%s", at.File, at.Sheet, at.Line, at.Column,
		l.Source.URL, l.Title, l.Text, l.Price.Minor, a.date.Format(time.RFC3339))
	return a
}

// words cuts a text into words of letters and digits in lower case. A number
// keeps no marks: "3.450" is 3450.
func words(text string) []string {
	var list []string
	var b strings.Builder
	rs := []rune(text)
	for i, r := range rs {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(unicode.ToLower(r))
		case strings.ContainsRune(".,'’", r) && i > 0 && i+1 < len(rs) && unicode.IsDigit(rs[i-1]) && unicode.IsDigit(rs[i+1]):
		case b.Len() > 0:
			list = append(list, b.String())
			b.Reset()
		}
	}
	if b.Len() > 0 {
		list = append(list, b.String())
	}
	return list
}

// isFigure tells whether a word may tell boats apart: it has a digit, or is a
// single letter.
func isFigure(word string) bool {
	return strings.IndexFunc(word, unicode.IsDigit) >= 0 || len([]rune(word)) == 1
}

// figures gives the figures by the two words before each.
func figures(texts ...[]string) map[string][]string {
	found := map[string][]string{}
	for _, text := range texts {
		for i, w := range text {
			if !isFigure(w) {
				continue
			}
			context := strings.Join(text[max(0, i-2):i], " ")
			if !slices.Contains(found[context], w) && len(found[context]) < 50 {
				found[context] = append(found[context], w)
			}
		}
	}
	return found
}

func triples(text []string) []uint64 {
	var list []uint64
	for i := 0; i+3 <= len(text); i++ {
		h := fnv.New64a()
		for _, w := range text[i : i+3] {
			h.Write([]byte(w))
			h.Write([]byte{0})
		}
		list = append(list, h.Sum64())
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// priceWords gives the ways in which an ad's words may write its price.
func (a *ad) priceWords() []string {
	var list []string
	for _, p := range []boat.Price{a.l.Price, a.l.Paid} {
		if p.Known {
			whole := strconv.FormatFloat(p.Major(), 'f', 0, 64)
			thousands := strings.ReplaceAll(strconv.FormatFloat(p.Major()/1000, 'f', -1, 64), ".", "")
			list = append(list, whole, whole+"00", thousands, thousands+"k")
		}
		list = append(list, words(p.Quote)...)
	}
	return list
}
