package extract

import (
	"slices"
	"strings"
)

// An automaton finds parts of words: beginnings (foo*), ends (*foo) and
// middles (*foo*). It is built while words are added and closed by link.
type automaton struct {
	next   map[uint32]int32 // state<<8 | byte
	fail   []int32
	output [][]int32 // symbols by state
	ids    map[string]int32
	length map[int32]int // of the part, by symbol
}

const edge = byte(' ') // stands before and after each word

func newAutomaton() automaton {
	return automaton{next: map[uint32]int32{}, fail: []int32{0}, output: [][]int32{nil}, ids: map[string]int32{}, length: map[int32]int{}}
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
		text = string(edge) + text
	}
	if !strings.HasSuffix(pattern, "*") {
		text += string(edge)
	}
	a.length[id] = len(text)
	state := int32(0)
	for i := 0; i < len(text); i++ {
		key := uint32(state)<<8 | uint32(text[i])
		to, ok := a.next[key]
		if !ok {
			to = int32(len(a.fail))
			a.fail = append(a.fail, 0)
			a.output = append(a.output, nil)
			a.next[key] = to
		}
		state = to
	}
	a.output[state] = append(a.output[state], id)
	return id
}

// link makes the failure links; nothing may be added after it.
func (a *automaton) link() {
	type edgeTo struct {
		key uint32
		to  int32
	}
	children := make([][]edgeTo, len(a.fail))
	for key, to := range a.next {
		from := key >> 8
		children[from] = append(children[from], edgeTo{key, to})
	}
	for _, c := range children {
		slices.SortFunc(c, func(x, y edgeTo) int { return int(x.to) - int(y.to) })
	}
	queue := []int32{0}
	for len(queue) > 0 {
		state := queue[0]
		queue = queue[1:]
		for _, e := range children[state] {
			c := byte(e.key)
			if state != 0 {
				a.fail[e.to] = a.follow(a.fail[state], c)
			}
			a.output[e.to] = append(a.output[e.to], a.output[a.fail[e.to]]...)
			queue = append(queue, e.to)
		}
	}
}

func (a *automaton) follow(state int32, c byte) int32 {
	for {
		if to, ok := a.next[uint32(state)<<8|uint32(c)]; ok {
			return to
		}
		if state == 0 {
			return 0
		}
		state = a.fail[state]
	}
}

// match appends the symbols of every part found in a word, the longest first.
func (a *automaton) match(w string, out []int32) []int32 {
	whole := len(out)
	state := a.follow(0, edge)
	for i := 0; i <= len(w); i++ {
		c := edge
		if i < len(w) {
			c = w[i]
		}
		state = a.follow(state, c)
		for _, id := range a.output[state] {
			if !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	slices.SortStableFunc(out[whole:], func(x, y int32) int { return a.length[y] - a.length[x] })
	return out
}
