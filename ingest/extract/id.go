package extract

import (
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"askance/ingest/boat"
)

// ID names a listing by what stays the same when it is read again: its url
// without the parts that only track readers, else its hull number, else its
// title, class, year and place. It is the first 12 hexadecimal digits of the
// SHA-256 sum.
func ID(l boat.Listing) string {
	key := ""
	switch {
	case l.Source.URL != "":
		key = "url " + plainURL(l.Source.URL)
	case l.HullNumber.Known:
		key = "hull " + l.HullNumber.Value
	default:
		year := ""
		if l.Year.Known {
			year = strconv.Itoa(l.Year.Value)
		}
		key = strings.Join([]string{"words", wordsOnly(l.Title), wordsOnly(l.Class.Value), year, wordsOnly(l.Place.Value)}, "\x00")
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

// tracking names the parts of a query that only track readers; names ending
// in _ or - stand for all that begin so.
func tracking() []string {
	return []string{"utm_", "pk_", "mc_", "hsa_", "gclid", "fbclid", "msclkid", "dclid", "yclid", "igshid", "ref", "referrer", "source", "src", "tracking", "session", "sessionid", "sid", "campaign", "share"}
}

func plainURL(s string) string {
	u, err := url.Parse(strings.TrimSpace(s))
	if err != nil {
		return s
	}
	u.Fragment = ""
	u.Host = strings.ToLower(u.Host)
	u.Scheme = strings.ToLower(u.Scheme)
	q := u.Query()
	for name := range q {
		lower := strings.ToLower(name)
		if slices.ContainsFunc(tracking(), func(t string) bool {
			return lower == t || strings.HasSuffix(t, "_") && strings.HasPrefix(lower, t)
		}) {
			q.Del(name)
		}
	}
	u.RawQuery = q.Encode() // in the order of names
	return u.String()
}

// webLink gives a link that may be shown: http or https, else "".
func webLink(s string) string {
	u, err := url.Parse(strings.TrimSpace(s))
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	return u.String()
}
