package dedup

import (
	"net/url"
	"slices"
	"strings"
)

// Address gives the normal form of a web address, for telling whether two are
// the same: without scheme, "www.", fragment, a last slash and the parts of
// the query that only track readers; the rest of the query sorted. It gives ""
// for what is no http or https address.
func Address(raw string) string {
	u, err := url.Parse(strings.TrimSpace(raw))
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	host := strings.TrimPrefix(strings.ToLower(u.Host), "www.")
	host = strings.TrimSuffix(strings.TrimSuffix(host, ":443"), ":80")
	var query []string
	for _, part := range strings.Split(u.RawQuery, "&") {
		name, _, _ := strings.Cut(part, "=")
		if part != "" && !tracks(strings.ToLower(name)) {
			query = append(query, part)
		}
	}
	slices.Sort(query)
	address := host + strings.TrimRight(u.EscapedPath(), "/")
	if len(query) > 0 {
		address += "?" + strings.Join(query, "&")
	}
	return address
}

// tracks tells whether a part of a query says where the reader came from
// rather than what is shown; common practice, no source.
func tracks(name string) bool {
	switch name {
	case "ref", "referrer", "referer", "source", "src", "campaign", "cmp", "sid", "sessionid", "phpsessid", "jsessionid", "mc_eid", "mc_cid", "share", "from":
		return true
	}
	return strings.HasPrefix(name, "utm_") || strings.HasSuffix(name, "clid") || strings.HasSuffix(name, "clkid")
}

// isPage tells whether a normal address names more than a site.
func isPage(address string) bool { return strings.ContainsAny(address, "/?") }
