package extract

import (
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"strconv"
	"strings"

	"askance/ingest/boat"
	"askance/ingest/dedup"
)

// ID names a listing by what stays the same when it is read again: its url
// without the parts that only track readers, else its hull number, else its
// title, class, year and place; a price that the title tells is none of it.
// It is the first 12 hexadecimal digits of the
// SHA-256 sum.
func ID(l boat.Listing) string {
	key := ""
	switch {
	case l.Source.URL != "":
		key = dedup.Untracked(l.Source.URL)
	case l.HullNumber.Known:
		key = l.HullNumber.Value
	default:
		year := ""
		if l.Year.Known {
			year = strconv.Itoa(l.Year.Value)
		}
		key = strings.Join([]string{wordsOnly(withoutPrice(l.Title, l.Price)), wordsOnly(l.Class.Value), year, wordsOnly(l.Place.Value)}, "\x00")
	}
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:])[:12]
}

// AssignIDs gives every listing its ID, in order; of equals the second gets
// "-2" behind it, and so on.
func AssignIDs(listings []boat.Listing) {
	seen := map[string]int{}
	for i := range listings {
		id := ID(listings[i])
		seen[id]++
		if n := seen[id]; n > 1 {
			id += "-" + strconv.Itoa(n)
		}
		listings[i].ID = id
	}
}

// withoutPrice drops the asking price from a title: as it is quoted, and any
// number of its digits.
func withoutPrice(title string, p boat.Price) string {
	if !p.Known || p.Minor == 0 {
		return title
	}
	if p.Quote != "" {
		title = strings.Replace(title, p.Quote, " ", 1)
	}
	asked := strconv.FormatFloat(p.Major(), 'f', -1, 64)
	var kept strings.Builder
	from := 0
	for _, t := range lex(title) {
		if v, ok := t.decimal(); t.kind == number && (ok && v == p.Major() || digitsOf(t.fold) == asked) {
			kept.WriteString(title[from:t.start])
			from = t.end
		}
	}
	return kept.String() + title[from:]
}

// digitsOf drops all but digits.
func digitsOf(s string) string {
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, s)
}

// wordsOnly folds a text to its words and numbers.
func wordsOnly(s string) string {
	var words []string
	for _, t := range lex(s) {
		if t.kind == word || t.kind == number {
			words = append(words, t.fold)
		}
	}
	return strings.Join(words, " ")
}

// webLink gives a link that may be shown: http or https, else "".
func webLink(s string) string {
	if s == "" {
		return ""
	}
	u, err := url.Parse(strings.TrimSpace(s))
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	return u.String()
}
