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
	query := untracked(u.RawQuery)
	slices.Sort(query)
	address := host + strings.TrimRight(u.EscapedPath(), "/")
	if len(query) > 0 {
		address += "?" + strings.Join(query, "&")
	}
	return address
}

// Untracked gives a web address without the parts of its query that only track
// readers, all else as written.
func Untracked(raw string) string {
	raw = strings.TrimSpace(raw)
	u, err := url.Parse(raw)
	if err != nil || u.RawQuery == "" {
		return raw
	}
	kept := strings.Join(untracked(u.RawQuery), "&")
	if kept != "" {
		kept = "?" + kept
	}
	return strings.Replace(raw, "?"+u.RawQuery, kept, 1)
}

// untracked lists the parts of a query that say what is shown, in their order.
func untracked(query string) []string {
	var kept []string
	for part := range strings.SplitSeq(query, "&") {
		name, _, _ := strings.Cut(part, "=")
		if part != "" && !tracks(strings.ToLower(name)) {
			kept = append(kept, part)
		}
	}
	return kept
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
