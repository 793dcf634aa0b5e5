package page

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/record"
)

// An object is a JSON object with its members in order. Other JSON values
// are []any, string, json.Number, bool and nil.
type object []member

type member struct {
	key   string
	value any
}

func (o object) get(key string) any {
	for _, m := range o {
		if m.key == key {
			return m.value
		}
	}
	return nil
}

// readJSON reads the one JSON value that data begins with, and tells how many
// bytes it took. Raw control characters in strings, a common mistake, count
// as spaces.
func readJSON(data []byte, depth int) (any, int64, error) {
	dec := json.NewDecoder(&controlsAsSpaces{data})
	dec.UseNumber()
	v, err := readValue(dec, depth)
	return v, dec.InputOffset(), err
}

// controlsAsSpaces reads data with a space for each control character.
type controlsAsSpaces struct{ data []byte }

func (c *controlsAsSpaces) Read(p []byte) (int, error) {
	if len(c.data) == 0 {
		return 0, io.EOF
	}
	n := copy(p, c.data)
	c.data = c.data[n:]
	for i, b := range p[:n] {
		if b < ' ' {
			p[i] = ' '
		}
	}
	return n, nil
}

func readValue(dec *json.Decoder, depth int) (any, error) {
	tok, err := dec.Token()
	if err != nil {
		return nil, err
	}
	delim, ok := tok.(json.Delim)
	if !ok {
		return tok, nil
	}
	if depth <= 0 {
		return nil, errors.New("JSON is nested too deep")
	}
	if delim == '[' {
		list := []any{}
		for dec.More() {
			v, err := readValue(dec, depth-1)
			if err != nil {
				return list, err
			}
			list = append(list, v)
		}
		_, err := dec.Token()
		return list, err
	}
	o := object{}
	for dec.More() {
		key, err := dec.Token()
		if err != nil {
			return o, err
		}
		v, err := readValue(dec, depth-1)
		if err != nil {
			return o, err
		}
		o = append(o, member{fmt.Sprint(key), v})
	}
	_, err = dec.Token()
	return o, err
}

// scriptText gives the content of a script without the comment or CDATA marks
// that may wrap it.
func scriptText(n *html.Node) string {
	if n.FirstChild == nil {
		return ""
	}
	s := strings.TrimSpace(n.FirstChild.Data)
	for _, wrap := range [][2]string{{"<!--", "-->"}, {"//<![CDATA[", "//]]>"}, {"<![CDATA[", "]]>"}} {
		if strings.HasPrefix(s, wrap[0]) {
			s = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(s, wrap[0]), wrap[1]))
		}
	}
	return s
}

// jsonLD reads the JSON-LD scripts of the page into things. Objects that only
// name another's @id are joined with it. A script that is no JSON is told as
// a problem.
func (r *reader) jsonLD() []*thing {
	var top []*thing
	byID := map[string]*thing{}
	var all []*thing
	for _, n := range r.tree.nodes {
		if n.Data != "script" || !strings.HasPrefix(strings.ToLower(attr(n, "type")), "application/ld+json") {
			continue
		}
		text := strings.TrimRight(scriptText(n), "; \n")
		if text == "" {
			continue
		}
		if len(text) > r.opts.Limits.JSONBytes {
			r.jsonProblem(fmt.Sprintf("%d bytes", len(text)), fmt.Sprintf("at most %d bytes of JSON in a script", r.opts.Limits.JSONBytes))
			continue
		}
		v, _, err := readJSON([]byte(text), r.opts.Limits.JSONDepth)
		if err != nil {
			r.jsonProblem(jsonFault(err), "structured data in JSON")
		}
		m := maker{node: n, byID: byID, all: &all}
		for _, v := range m.values(v) {
			if v.thing != nil {
				top = append(top, v.thing)
			}
		}
	}
	offers := map[*thing]bool{} // those of a product
	for _, t := range all {
		for i := range t.props {
			for j, v := range t.props[i].values {
				if v.thing != nil && len(v.thing.props) == 0 && byID[v.thing.id] != nil {
					t.props[i].values[j].thing = byID[v.thing.id]
					offers[byID[v.thing.id]] = t.props[i].name == "offers" && byID[v.thing.id] != t
				}
			}
		}
	}
	return slices.DeleteFunc(top, func(t *thing) bool { return offers[t] })
}

func jsonFault(err error) string {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return "JSON that is cut off"
	}
	return err.Error()
}

func (r *reader) jsonProblem(got, wanted string) {
	r.problems = append(r.problems, record.Problem{At: record.Pos{File: r.name}, Wanted: wanted, Got: got, Hint: "the rest of the page was used"})
}

// A maker turns JSON-LD into things.
type maker struct {
	node *html.Node
	byID map[string]*thing
	all  *[]*thing
}

func (m *maker) values(v any) []value {
	switch v := v.(type) {
	case nil:
		return nil
	case []any:
		var vs []value
		for _, e := range v {
			vs = append(vs, m.values(e)...)
		}
		return vs
	case object:
		if graph, ok := v.get("@graph").([]any); ok {
			return m.values(graph)
		}
		if list := v.get("@list"); list != nil {
			return m.values(list)
		}
		if literal := v.get("@value"); literal != nil {
			return m.values(literal)
		}
		return []value{{thing: m.thing(v)}}
	}
	return []value{{text: strings.TrimSpace(fmt.Sprint(v))}}
}

func (m *maker) thing(o object) *thing {
	t := &thing{node: m.node, from: "json-ld"}
	for _, member := range o {
		switch member.key {
		case "@context":
		case "@id":
			t.id, _ = member.value.(string)
		case "@type", "type":
			for _, v := range m.values(member.value) {
				t.types = append(t.types, shortName(v.text))
			}
		default:
			t.props = append(t.props, prop{shortName(member.key), m.values(member.value)})
		}
	}
	*m.all = append(*m.all, t)
	if t.id != "" && len(t.props) > 0 && m.byID[t.id] == nil {
		m.byID[t.id] = t
	}
	return t
}
