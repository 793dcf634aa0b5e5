package page

import (
	"strings"

	"golang.org/x/net/html"
)

// A thing is an item of structured data in the terms of schema.org, whichever
// syntax it was written in.
type thing struct {
	types []string // without the vocabulary's address
	id    string
	props []prop // in page order
	node  *html.Node
	from  string // "json-ld", "microdata" or "rdfa"
}

type prop struct {
	name   string
	values []value
}

// A value is a text or a thing.
type value struct {
	text  string
	thing *thing
}

func (t *thing) is(types ...string) bool {
	for _, have := range t.types {
		for _, want := range types {
			if have == want {
				return true
			}
		}
	}
	return false
}

func (t *thing) all(name string) []value {
	var vs []value
	for _, p := range t.props {
		if p.name == name {
			vs = append(vs, p.values...)
		}
	}
	return vs
}

// text gives the first text among the values of the named properties; of a
// value that is a thing, its name, value or text.
func (t *thing) text(names ...string) string {
	for _, name := range names {
		for _, v := range t.all(name) {
			if s := v.words(); s != "" {
				return s
			}
		}
	}
	return ""
}

func (v value) words() string {
	if v.thing == nil {
		return v.text
	}
	for _, p := range v.thing.props {
		switch p.name {
		case "name", "value", "@value", "text":
			if len(p.values) > 0 && p.values[0].thing == nil && p.values[0].text != "" {
				return p.values[0].text
			}
		}
	}
	return ""
}

// things gives the things among the values of the named properties.
func (t *thing) things(names ...string) []*thing {
	var ts []*thing
	for _, name := range names {
		for _, v := range t.all(name) {
			if v.thing != nil {
				ts = append(ts, v.thing)
			}
		}
	}
	return ts
}

// shortName drops the address or prefix of a vocabulary: "Product" from
// "https://schema.org/Product" and from "schema:Product".
func shortName(s string) string {
	s = strings.TrimRight(strings.TrimSpace(s), "/#")
	return s[strings.LastIndexAny(s, "/#:")+1:]
}
