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
	exact  map[string]int32 // the symbols of whole words
	parts  automaton
	next   edges
	first  []int32  // by symbol, the state after the first word
	spoken []uint16 // by symbol, the languages of phrases that hold the word
	denial []bool   // by symbol, whether it is a denial by itself

	phrases, states, symbols int32 // how many

	endings []ending // in the order of the phrases; after close in that of their states
	at      []state  // after close, the states of the trie
	cut     cutPhrase
}

// An ending tells that a phrase ends at a state, and its language.
type ending struct {
	state, phrase int32
	lang          uint16
}

// A state is what find asks of a state of the trie.
type state struct {
	onward uint64 // of the symbols that lead on, except any word, a bit each by their last six bits
	wild   int32  // where any word leads, 0 if nowhere

	from, to int32  // the phrases that end there, among the endings
	heard    uint16 // their languages
}

// A cutPhrase is room for the phrase that is being added.
type cutPhrase struct {
	tokens         []token
	words          []string
	states, onward []int32
}

const (
	anyNumber = int32(0) // the symbol that # stands for
	anyWord   = int32(1) // the symbol that ~ stands for
	root      = int32(0)
)

// newMatcher makes a matcher with room for so many phrases.
func newMatcher(phrases int) *matcher {
	return &matcher{
		exact: make(map[string]int32, phrases/2), parts: newAutomaton(), next: newEdges(phrases),
		endings: make([]ending, 0, phrases), states: 1, symbols: 2,
	}
}

// hear takes the words of a phrase for words of a language.
func (m *matcher) hear(phrase string, lang uint16) {
	m.cutUp(phrase)
	for _, w := range m.cut.words {
		m.speak(w, m.word(w), lang)
	}
}

// leastHeard is the length of the shortest word of a phrase that tells its
// language.
const leastHeard = 3

func (m *matcher) speak(word string, symbol int32, lang uint16) {
	if len(word) < leastHeard {
		return
	}
	for int(symbol) >= len(m.spoken) {
		m.spoken = append(m.spoken, 0)
	}
	m.spoken[symbol] |= lang
}

func (m *matcher) cutUp(phrase string) {
	m.cut.tokens = appendTokens(m.cut.tokens[:0], phrase)
	m.cut.words = phraseWords(m.cut.words[:0], m.cut.tokens)
}

// add takes a phrase in, and tells whether it can be found. A * before or
// after a word stands for any letters, a ~ for one word or none. Short words
// keep their accents where a phrase means nothing, and a letter that is the
// whole phrase: "è" is not "e".
func (m *matcher) add(p *knowhow.Phrase, lang uint16) bool {
	m.cutUp(p.Phrase)
	words, tokens := m.cut.words, m.cut.tokens
	accents := len(tokens) == len(words) && (len(words) == 1 && tokens[0].letter() || p.Kind == "nothing")
	states, onward := append(m.cut.states[:0], root), m.cut.onward
	for i, w := range words {
		symbol := m.symbol(w)
		m.speak(w, symbol, lang)
		if accents && tokens[i].accented != "" {
			symbol = m.word(tokens[i].accented)
		}
		onward = onward[:0]
		for _, s := range states {
			if w == "~" {
				onward = append(onward, s, m.step(s, anyWord))
			} else {
				onward = append(onward, m.step(s, symbol))
			}
		}
		if len(words) == 1 && len(tokens) == 1 && !accents && tokens[0].accented != "" {
			onward = append(onward, m.step(root, m.word(tokens[0].accented))) // found first where it is written so
		}
		states, onward = onward, states
	}
	m.cut.states, m.cut.onward = states, onward
	if p.Kind == "negation" && len(words) == 1 {
		m.deny(m.symbol(words[0]))
	}
	if states[0] == root {
		return false
	}
	for _, s := range states {
		m.endings = append(m.endings, ending{s, m.phrases, lang})
	}
	m.phrases++
	return true
}

// deny takes note of a word that is a denial.
func (m *matcher) deny(symbol int32) {
	for int(symbol) >= len(m.denial) {
		m.denial = append(m.denial, false)
	}
	m.denial[symbol] = true
}

// step gives the state that follows on a symbol, a new one if need be.
func (m *matcher) step(state, symbol int32) int32 {
	if state == root {
		for int(symbol) >= len(m.first) {
			m.first = append(m.first, 0)
		}
		if m.first[symbol] == 0 {
			m.first[symbol] = m.newState()
		}
		return m.first[symbol]
	}
	to := m.next.to(state, symbol)
	if to == 0 {
		to = m.newState()
		m.next.add(state, symbol, to)
	}
	return to
}

func (m *matcher) newState() int32 { m.states++; return m.states - 1 }

func (m *matcher) newSymbol() int32 { m.symbols++; return m.symbols - 1 }

// symbol gives the symbol of a word of a phrase, a new one if need be.
func (m *matcher) symbol(w string) int32 {
	if w == "#" {
		return anyNumber
	}
	if strings.Contains(w, "*") {
		return m.parts.add(w, m.newSymbol)
	}
	return m.word(w)
}

func (m *matcher) word(w string) int32 {
	id, ok := m.exact[w]
	if !ok {
		id = m.newSymbol()
		m.exact[w] = id
	}
	return id
}

// phraseWords appends the words of a phrase, keeping # and the stars.
func phraseWords(words []string, tokens []token) []string {
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

// find appends the matches in a row of tokens. At each token the longest match
// is taken, whole words before parts of words, all phrases of the same words;
// a match never reaches past a mark of punctuation that it does not name.
// allowed says which languages count.
func (m *matcher) find(out []match, tokens []token, allowed uint16) []match {
	var room struct {
		all               [64]int32
		ends              [32]int
		states, following [16]int32
	}
	all, ends := room.all[:0], append(room.ends[:0], 0) // symbols of all tokens, one after the other
	for i := range tokens {
		all = m.symbolsOf(&tokens[i], all)
		ends = append(ends, len(all))
	}
	states, following := room.states[:0], room.following[:0]
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
			if thousands(tokens, j-1) {
				following = append(following, states...) // "5 000" is one number
			}
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
		for _, e := range m.endings[m.at[best].from:m.at[best].to] {
			if e.lang&allowed != 0 {
				out = append(out, match{from: i, to: end, phrase: e.phrase})
			}
		}
		i = end
	}
	return out
}

// onward gives the states that follow on a token.
func (m *matcher) onward(out, states []int32, t *token, symbols []int32) []int32 {
	for _, s := range states {
		at := &m.at[s]
		for _, symbol := range symbols {
			if at.onward&bitOf(symbol) == 0 {
				continue
			}
			if to := m.next.to(s, symbol); to != 0 {
				out = append(out, to)
			}
		}
		if at.wild != 0 && t.kind == word && !m.denies(symbols) {
			out = append(out, at.wild)
		}
		if at.onward == 0 {
			continue
		}
		if t.fold == "." {
			out = append(out, s) // an abbreviation's dot
		}
	}
	return out
}

// denies tells that a word is a denial, for which no ~ stands: "takes no
// water" is not "takes some water".
func (m *matcher) denies(symbols []int32) bool {
	for _, s := range symbols {
		if int(s) < len(m.denial) && m.denial[s] {
			return true
		}
	}
	return false
}

// longest takes over the first state where a phrase ends in a language that
// counts.
func (m *matcher) longest(states []int32, end int, best int32, bestEnd int, allowed uint16) (int32, int) {
	for _, s := range states {
		if m.at[s].heard&allowed != 0 && end > bestEnd {
			return s, end
		}
	}
	return best, bestEnd
}

// close makes the tables that find works with; nothing may be added after it.
func (m *matcher) close() {
	m.parts.link()
	for int(m.symbols) > len(m.first) {
		m.first = append(m.first, 0)
	}
	for int(m.symbols) > len(m.spoken) {
		m.spoken = append(m.spoken, 0)
	}
	m.at = make([]state, m.states)
	for _, e := range m.next.slots {
		switch {
		case e.to == 0:
		case e.symbol == anyWord:
			m.at[e.from].wild = e.to
		default:
			m.at[e.from].onward |= bitOf(e.symbol)
		}
	}
	m.closeEndings()
	m.cut = cutPhrase{}
}

func bitOf(symbol int32) uint64 { return 1 << (symbol & 63) }

// closeEndings puts the endings in the order of their states, each state's in
// their own.
func (m *matcher) closeEndings() {
	for _, e := range m.endings {
		m.at[e.state].to++ // how many so far
		m.at[e.state].heard |= e.lang
	}
	end := int32(0)
	for s := range m.at {
		end += m.at[s].to
		m.at[s].from, m.at[s].to = end-m.at[s].to, end-m.at[s].to
	}
	sorted := make([]ending, len(m.endings))
	for _, e := range m.endings {
		sorted[m.at[e.state].to] = e
		m.at[e.state].to++
	}
	m.endings = sorted
}

// look gives the symbol of a token as a whole, 0 if no phrase has it. An aa
// that no phrase knows may be an å that the keyboard had not: "paa".
func (m *matcher) look(t *token) int32 {
	if t.known == 0 {
		t.known = m.exact[t.fold]
		if t.known == 0 && t.kind == word && strings.Contains(t.fold, "aa") {
			t.known = m.exact[strings.ReplaceAll(t.fold, "aa", "a")]
		}
		if t.known == 0 {
			t.known = -1
		}
	}
	return max(t.known, 0)
}

// symbolsOf appends the symbols that a token may stand for, the most exact
// first.
func (m *matcher) symbolsOf(t *token, out []int32) []int32 {
	if t.accented != "" {
		if id, ok := m.exact[t.accented]; ok {
			out = append(out, id)
		}
	}
	if id := m.look(t); id != 0 {
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
