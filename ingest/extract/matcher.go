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

	first  []int32 // by symbol, the state after the first word
	wild   []int32 // by state, where any word leads, 0 if nowhere
	leaf   []bool  // by state, only any word leads on, or nothing
	spoken []uint16
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
// ~ for one word or none. Short words keep their accents where a phrase
// means nothing, and a letter that is the whole phrase: "è" is not "e".
func (m *matcher) add(p knowhow.Phrase, lang uint16) {
	states := []int32{root}
	words := phraseWords(p.Phrase)
	if tokens := lex(p.Phrase); len(tokens) == len(words) && (len(words) == 1 && tokens[0].letter() || p.Kind == "nothing") {
		for i, t := range tokens {
			if t.accented != "" {
				words[i] = t.accented
			}
		}
	}
	for _, w := range words {
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
}

// find gives the matches in a row of tokens. At each token the longest match
// is taken, whole words before parts of words, all phrases of the same words;
// a match never reaches past a mark of punctuation that it does not name.
// allowed says which languages count.
func (m *matcher) find(tokens []token, allowed uint16) []match {
	var out []match
	all := make([]int32, 0, 2*len(tokens)) // symbols of all tokens, one after the other
	ends := make([]int, len(tokens)+1)
	for i := range tokens {
		all = m.symbolsOf(&tokens[i], all)
		ends[i+1] = len(all)
	}
	var states, following []int32
	for i := 0; i < len(tokens); {
		states = states[:0]
		for _, symbol := range all[ends[i]:ends[i+1]] {
			if to := m.first[symbol]; to != 0 {
				states = append(states, to)
			}
		}
		best, bestEnd := m.longest(states, i+1, -1, i, allowed)
		for j := i + 1; j < len(tokens) && len(states) > 0; j++ {
			following = m.onward(following[:0], states, &tokens[j], all[ends[j]:ends[j+1]])
			best, bestEnd = m.longest(following, j+1, best, bestEnd, allowed)
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

// onward gives the states that follow on a token.
func (m *matcher) onward(out, states []int32, t *token, symbols []int32) []int32 {
	for _, s := range states {
		if m.wild[s] != 0 && t.kind == word {
			out = append(out, m.wild[s])
		}
		if m.leaf[s] {
			continue
		}
		for _, symbol := range symbols {
			if to, ok := m.next[uint64(s)<<32|uint64(symbol)]; ok {
				out = append(out, to)
			}
		}
		if t.fold == "." {
			out = append(out, s) // an abbreviation's dot
		}
	}
	return out
}

// longest takes over the first state where a phrase ends in a language that
// counts.
func (m *matcher) longest(states []int32, end int, best int32, bestEnd int, allowed uint16) (int32, int) {
	for _, s := range states {
		if m.spoken[s]&allowed != 0 && end > bestEnd {
			return s, end
		}
	}
	return best, bestEnd
}

// close makes the tables that find works with; nothing may be added after it.
func (m *matcher) close() {
	m.parts.link()
	m.first = make([]int32, m.symbols)
	m.wild = make([]int32, len(m.ends))
	m.leaf = make([]bool, len(m.ends))
	m.spoken = make([]uint16, len(m.ends))
	for s := range m.leaf {
		m.leaf[s] = true
		for _, p := range m.ends[s] {
			m.spoken[s] |= m.langs[p]
		}
	}
	for key, to := range m.next {
		from, symbol := key>>32, int32(key&0xffffffff)
		switch {
		case from == 0:
			m.first[symbol] = to
		case symbol == anyWord:
			m.wild[from] = to
		default:
			m.leaf[from] = false
		}
	}
}

// symbolsOf appends the symbols that a token may stand for, the most exact
// first.
func (m *matcher) symbolsOf(t *token, out []int32) []int32 {
	if t.accented != "" {
		if id, ok := m.exact[t.accented]; ok {
			out = append(out, id)
		}
	}
	if id, ok := m.exact[t.fold]; ok {
		out = append(out, id)
	}
	switch t.kind {
	case number:
		return append(out, anyNumber)
	case word:
		return m.parts.match(t.fold, out)
	}
	return out
}
