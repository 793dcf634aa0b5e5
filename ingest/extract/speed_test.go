package extract

import (
	"fmt"
	"strings"
	"testing"

	"askance/ingest/knowhow"
	"askance/ingest/record"
)

// padded makes a matcher of the book's phrases and as many invented ones
// beside each as make it times larger.
func padded(book *knowhow.Book, times int) *matcher {
	m := newMatcher(times * len(book.AllPhrases()))
	for i, p := range book.AllPhrases() {
		m.add(&p, 1)
		for k := 1; k < times; k++ {
			q := p
			q.Phrase = p.Phrase + " vqx" + letters(k) + "zz" + letters(i)
			if k%2 == 0 {
				q.Phrase = "vqx" + letters(k) + "zz" + letters(i) + " " + p.Phrase
			}
			m.add(&q, 1)
		}
	}
	m.close()
	return m
}

// letters writes a number in letters, so that it makes a word.
func letters(n int) string {
	s := ""
	for ; n >= 0; n = n/26 - 1 {
		s = string(rune('a'+n%26)) + s
	}
	return s
}

func adText(tb testing.TB) string {
	var b strings.Builder
	for _, a := range readAds(tb, "seen") {
		b.WriteString(a.row.Text("title") + "\n" + a.row.Text("text") + "\n")
	}
	return b.String()
}

// BenchmarkCompile measures what every command does once: making a reader of
// the loaded words.
func BenchmarkCompile(b *testing.B) {
	_, book := builtin(b)
	for b.Loop() {
		compile(book)
	}
}

// BenchmarkLex is the floor for the benchmarks below: cutting the same text
// into tokens, and nothing else.
func BenchmarkLex(b *testing.B) {
	text := adText(b)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		lex(text)
	}
}

// BenchmarkFind measures the finding of phrases alone: its cost must not grow
// with their number.
func BenchmarkFind(b *testing.B) {
	_, book := builtin(b)
	text := adText(b)
	lines := strings.Split(text, "\n")
	var found []match
	for _, times := range []int{1, 4, 16} {
		m := padded(book, times)
		b.Run(fmt.Sprintf("phrases x%d", times), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				for _, line := range lines {
					found = m.find(found[:0], lex(line), 1)
				}
			}
		})
	}
}

// BenchmarkListings measures the whole reading of a listing.
func BenchmarkListings(b *testing.B) {
	r, _ := builtin(b)
	ads := readAds(b, "seen")
	n := 0
	for _, a := range ads {
		n += len(a.row.Text("title")) + len(a.row.Text("text"))
	}
	b.SetBytes(int64(n))
	for b.Loop() {
		for _, a := range ads {
			r.Listing(a.row, record.Batch{}, Options{AsOf: a.asOf})
		}
	}
}

// TestCostDoesNotGrowWithPhrases counts look-ups instead of time: the trie is
// asked once per state and symbol, whatever the number of phrases.
func TestCostDoesNotGrowWithPhrases(t *testing.T) {
	_, book := builtin(t)
	text := adText(t)
	few, many := lex(text), lex(text)
	small, large := padded(book, 1), padded(book, 3)
	for i := range few {
		if a, b := len(small.symbolsOf(&few[i], nil)), len(large.symbolsOf(&many[i], nil)); b > a {
			t.Fatalf("%q stands for %d symbols among many phrases, %d among few", few[i].fold, b, a)
		}
	}
	if a, b := len(small.find(nil, few, 1)), len(large.find(nil, many, 1)); a != b {
		t.Errorf("%d matches among many phrases, %d among few", b, a)
	}
}
