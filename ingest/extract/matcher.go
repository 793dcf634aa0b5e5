package extract

import (
	"strings"

	"askance/ingest/knowhow"
)

// A matcher finds every phrase of a book in a row of tokens in one pass. Its
// cost does not grow with the number of phrases: whole words are looked up in
// a table, parts of words are found by an Aho-Corasick automaton over the
// word (Aho and Corasick 1975, doi:10.1145/360825.360855), and phrases of
// several words are followed in a trie.
type matcher struct {
	phrases []knowhow.Phrase
	langs   []uint16 // of each phrase, one bit
	exact   map[string]int32
	parts   automaton
	next    map[uint64]int32
	ends    [][]int32 // by state of the trie, phrases that end there
	symbols int32
}

const (
	anyNumber = int32(0) // the symbol that # stands for
	anyWord   = int32(1) // the symbol that ~ stands for
	root      = int32(0)
)

func newMatcher() *matcher {
	return &matcher{exact: map[string]int32{}, next: map[uint64]int32{}, ends: [][]int32{nil}, symbols: 2, parts: newAutomaton()}
}

// add takes a phrase in. A * before or after a word stands for any letters, a
// ~ for one word or none.
func (m *matcher) add(p knowhow.Phrase, lang uint16) {
	states := []int32{root}
	for _, w := range phraseWords(p.Phrase) {
		var following []int32
		for _, s := range states {
			if w == "~" {
				following = append(following, s, m.step(s, anyWord))
			} else {
				following = append(following, m.step(s, m.symbol(w)))
			}
		}
		states = following
	}
	if states[0] == root {
		return
	}
	for _, s := range states {
		m.ends[s] = append(m.ends[s], int32(len(m.phrases)))
	}
	m.phrases = append(m.phrases, p)
	m.langs = append(m.langs, lang)
}

func (m *matcher) step(state, symbol int32) int32 {
	key := uint64(state)<<32 | uint64(symbol)
	to, ok := m.next[key]
	if !ok {
		to = int32(len(m.ends))
		m.ends = append(m.ends, nil)
		m.next[key] = to
	}
	return to
}

func (m *matcher) symbol(w string) int32 {
	if w == "#" {
		return anyNumber
	}
	if !strings.Contains(w, "*") {
		return m.intern(m.exact, w)
	}
	return m.parts.add(w, func() int32 { m.symbols++; return m.symbols - 1 })
}

func (m *matcher) intern(table map[string]int32, w string) int32 {
	id, ok := table[w]
	if !ok {
		id = m.symbols
		m.symbols++
		table[w] = id
	}
	return id
}

// phraseWords cuts a phrase the way a text is cut, keeping # and the stars.
func phraseWords(phrase string) []string {
	var words []string
	tokens := lex(phrase)
	for i, t := range tokens {
		switch {
		case t.fold == "*" && t.kind == mark:
			if i > 0 && t.glued && len(words) > 0 {
				words[len(words)-1] += "*"
			} else {
				words = append(words, "*")
			}
		case t.fold == "." && t.kind == mark, t.kind == newline:
		case i > 0 && t.glued && tokens[i-1].fold == "*" && len(words) > 0 && (len(words[len(words)-1]) == 1):
			words[len(words)-1] += t.fold
		default:
			words = append(words, t.fold)
		}
	}
	return words
}

// A match is a phrase found: tokens[from:to].
type match struct {
	from, to int
	phrase   int32
	inexact  bool // by a part of a word
}

// find gives the matches in a row of tokens. At each token the longest match
// is taken, whole words before parts of words, all phrases of the same words;
// a match never reaches past a mark of punctuation that it does not name.
// allowed says which languages count.
func (m *matcher) find(tokens []token, allowed uint16) []match {
	var out []match
	sets := make([][]int32, len(tokens))
	for i, t := range tokens {
		sets[i] = m.symbolsOf(t)
	}
	var states, following []int32
	for i := 0; i < len(tokens); {
		states = append(states[:0], root)
		best, bestEnd := int32(-1), i
		for j := i; j < len(tokens) && len(states) > 0; j++ {
			following = following[:0]
			for _, s := range states {
				if to, ok := m.next[uint64(s)<<32|uint64(anyWord)]; ok && tokens[j].kind == word {
					following = append(following, to)
				}
				for _, symbol := range sets[j] {
					if to, ok := m.next[uint64(s)<<32|uint64(symbol)]; ok {
						following = append(following, to)
					}
				}
				if tokens[j].fold == "." && s != root {
					following = append(following, s) // an abbreviation's dot
				}
			}
			for _, s := range following {
				if m.counts(s, allowed) && j+1 > bestEnd {
					best, bestEnd = s, j+1
				}
			}
			states, following = following, states
		}
		if best < 0 {
			i++
			continue
		}
		end := bestEnd
		for end-1 > i && tokens[end-1].fold == "." {
			end--
		}
		for _, p := range m.ends[best] {
			if m.langs[p]&allowed != 0 {
				out = append(out, match{from: i, to: end, phrase: p})
			}
		}
		i = end
	}
	return out
}

func (m *matcher) counts(state int32, allowed uint16) bool {
	for _, p := range m.ends[state] {
		if m.langs[p]&allowed != 0 {
			return true
		}
	}
	return false
}

// symbolsOf gives the symbols that a token may stand for, the most exact first.
func (m *matcher) symbolsOf(t token) []int32 {
	var out []int32
	if id, ok := m.exact[t.fold]; ok {
		out = append(out, id)
	}
	if t.kind == number {
		return append(out, anyNumber)
	}
	if t.kind == word {
		out = m.parts.match(t.fold, out)
	}
	return out
}
