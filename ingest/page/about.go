package page

import (
	"net/url"
	"regexp"
	"strings"
	"time"

	"golang.org/x/net/html"
)

// about is what a page says of itself.
type about struct {
	base     *url.URL // what links are relative to, nil if unknown
	url      string
	language string
	date     time.Time
	title    string            // of the title element
	meta     map[string]string // by lower-case property or name, the first of each
}

// savedComment finds the comment that browsers and tools for saving write:
// "saved from url=(0030)https://…", or lines "url:" and "saved date:".
var (
	savedFrom = regexp.MustCompile(`(?i)^\s*saved from url=\(\d+\)(\S+)`)
	savedURL  = regexp.MustCompile(`(?im)^\s*url:\s*(\S+)`)
	savedDate = regexp.MustCompile(`(?im)^\s*saved date:\s*([^(\n]+)`)
)

// learnAbout reads the head of a page. Its address is taken, in this order,
// from the wrapper, the comment of who saved it, the canonical link, og:url;
// its date from the wrapper, the comment, then article:modified_time and its
// like.
func learnAbout(t *tree, src source) about {
	a := about{meta: map[string]string{}}
	var savedAt, href, canonical string
	var saved time.Time
	comments(t.root, func(text string) {
		if m := savedFrom.FindStringSubmatch(text); m != nil && savedAt == "" {
			savedAt = m[1]
		} else if m := savedURL.FindStringSubmatch(text); m != nil && savedAt == "" {
			savedAt = m[1]
			if m := savedDate.FindStringSubmatch(text); m != nil {
				saved = readDate(m[1])
			}
		}
	})
	for _, n := range t.nodes {
		switch n.Data {
		case "html":
			a.language = firstOf(attr(n, "lang"), attr(n, "xml:lang"))
		case "base":
			href = firstOf(href, attr(n, "href"))
		case "title":
			if a.title == "" && n.FirstChild != nil && n.Namespace == "" {
				a.title = fold(n.FirstChild.Data)
			}
		case "link":
			if strings.EqualFold(attr(n, "rel"), "canonical") {
				canonical = firstOf(canonical, attr(n, "href"))
			}
		case "meta":
			key := strings.ToLower(firstOf(attr(n, "property"), attr(n, "name"), attr(n, "http-equiv")))
			if _, seen := a.meta[key]; key != "" && !seen && len(a.meta) < 1000 {
				a.meta[key] = attr(n, "content")
			}
		}
	}
	if a.language == "" {
		a.language = a.meta["content-language"]
	}
	for _, u := range []string{src.location, savedAt, canonical, a.meta["og:url"]} {
		if a.url = resolve(nil, u); a.url != "" {
			break
		}
	}
	a.base = parseLink(a.url)
	if u := resolve(a.base, href); u != "" {
		a.base = parseLink(u)
	}
	dates := []string{"article:modified_time", "og:updated_time", "datemodified", "last-modified", "article:published_time", "datepublished", "date", "dc.date"}
	for _, at := range []time.Time{src.date, saved} {
		if a.date.IsZero() {
			a.date = at
		}
	}
	for _, key := range dates {
		if a.date.IsZero() {
			a.date = readDate(a.meta[key])
		}
	}
	return a
}

// comments calls f with each comment before the body's end, up to 100.
func comments(n *html.Node, f func(string)) {
	seen := 0
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		for c := n.FirstChild; c != nil && seen < 100; c = c.NextSibling {
			if c.Type == html.CommentNode {
				seen++
				f(c.Data[:min(len(c.Data), 4<<10)])
			}
			walk(c)
		}
	}
	walk(n)
}

// readDate reads the date forms that machines write: ISO 8601, RFC 1123 and
// the one of a browser's Date object. It is zero for anything else.
func readDate(s string) time.Time {
	s = fold(s)
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04:05Z0700", "2006-01-02 15:04:05", "2006-01-02T15:04Z07:00", "2006-01-02T15:04", "2006-01-02",
		time.RFC1123, time.RFC1123Z, "Mon Jan 02 2006 15:04:05 GMT-0700"} {
		if at, err := time.Parse(layout, s); err == nil {
			return at
		}
	}
	return time.Time{}
}
