package extract

import (
	"slices"
	"strings"
)

// An automaton finds parts of words: beginnings (foo*), ends (*foo) and
// middles (*foo*). It is built while words are added and closed by link.
type automaton struct {
	next   [][letterKinds]int32 // by state and letter; after link always a state
	output [][]int32            // symbols by state
	ids    map[string]int32
	length map[int32]int // of the part, by symbol
}

// The letters that the automaton tells apart: a to z, the edge of a word, and
// all others as one.
const (
	edge        = 26
	other       = 27
	letterKinds = 28
)

func letterKind(c byte) int {
	switch {
	case 'a' <= c && c <= 'z':
		return int(c - 'a')
	case c == ' ':
		return edge
	}
	return other
}

func newAutomaton() automaton {
	return automaton{next: make([][letterKinds]int32, 1), output: [][]int32{nil}, ids: map[string]int32{}, length: map[int32]int{}}
}

// add takes a pattern in and gives its symbol, asking fresh for a new one.
func (a *automaton) add(pattern string, fresh func() int32) int32 {
	if id, ok := a.ids[pattern]; ok {
		return id
	}
	id := fresh()
	a.ids[pattern] = id
	text := strings.Trim(pattern, "*")
	if !strings.HasPrefix(pattern, "*") {
		text = " " + text
	}
	if !strings.HasSuffix(pattern, "*") {
		text += " "
	}
	a.length[id] = len(text)
	state := int32(0)
	for i := 0; i < len(text); i++ {
		to := &a.next[state][letterKind(text[i])]
		if *to == 0 {
			*to = int32(len(a.next))
			state = *to
			a.next = append(a.next, [letterKinds]int32{})
			a.output = append(a.output, nil)
			continue
		}
		state = *to
	}
	a.output[state] = append(a.output[state], id)
	return id
}

// link fills in where each state goes on every letter; nothing may be added
// after it.
func (a *automaton) link() {
	fail := make([]int32, len(a.next))
	queue := []int32{0}
	for len(queue) > 0 {
		state := queue[0]
		queue = queue[1:]
		for c := range letterKinds {
			to := a.next[state][c]
			switch {
			case to == 0 && state != 0:
				a.next[state][c] = a.next[fail[state]][c]
			case to != 0:
				if state != 0 {
					fail[to] = a.next[fail[state]][c]
				}
				a.output[to] = append(a.output[to], a.output[fail[to]]...)
				queue = append(queue, to)
			}
		}
	}
}

// match appends the symbols of every part found in a word, the longest first.
func (a *automaton) match(w string, out []int32) []int32 {
	whole := len(out)
	state := a.next[0][edge]
	for i := 0; i <= len(w); i++ {
		c := edge
		if i < len(w) {
			c = letterKind(w[i])
		}
		state = a.next[state][c]
		for _, id := range a.output[state] {
			if !slices.Contains(out[whole:], id) {
				out = append(out, id)
			}
		}
	}
	if len(out) > whole+1 {
		slices.SortStableFunc(out[whole:], func(x, y int32) int { return a.length[y] - a.length[x] })
	}
	return out
}
