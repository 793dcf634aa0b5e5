package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"askance/ingest"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// one reads one file, which may be "-", with the error in it.
func (h *host) one(name string) ingest.File {
	f := ingest.File{Name: filepath.ToSlash(name), Modified: h.now()}
	if name == "-" {
		f.Data, f.Err = readLimited(h.stdin)
		return f
	}
	in, err := os.Open(h.at(name))
	if err != nil {
		f.Err = reason(err)
		return f
	}
	defer in.Close()
	f.Data, f.Err = readLimited(in)
	return f
}

// pairs reads the values of --set: FIELD=VALUE or ITEM=VALUE, each checked.
func pairs(set []string, book *knowhow.Book) ([]ingest.Pair, error) {
	var out []ingest.Pair
	for _, s := range set {
		name, value, ok := strings.Cut(s, "=")
		if !ok || name == "" {
			return nil, misused("--set: wanted FIELD=VALUE or ITEM=VALUE, found %q", s)
		}
		item, isItem := book.Item(name)
		switch {
		case isItem && name != "condition":
			if _, ok := item.Value(value); !ok {
				return nil, misused("--set %s: wanted one of %s, found %q", name, strings.Join(valuesOf(item), ", "), value)
			}
		case !slices.Contains(fields, name):
			return nil, misused("--set: wanted one of the fields %s or an item such as rudder_blades, found %q", strings.Join(fields, " "), name)
		}
		out = append(out, ingest.Pair{Name: name, Value: value})
	}
	return out, nil
}

func valuesOf(item knowhow.Item) []string {
	var out []string
	for _, v := range item.Levels {
		out = append(out, v.ID)
	}
	return out
}

// tellTwins tells which listings of the market are the boat itself and were
// therefore kept out of its price.
func (h *host) tellTwins(twins []boat.Listing) {
	for _, t := range twins {
		h.note("%s, %s (%s) is the same boat and is kept out of its own price", t.Source.At.File, t.Source.At.At(), t.Title)
	}
}
