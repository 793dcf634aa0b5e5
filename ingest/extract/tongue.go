package extract

import (
	"math/bits"

	"askance/ingest/knowhow"
)

// accents are the letters with accents that the small words of each language
// have, by language bit.
type accents map[rune]uint16

func newAccents(r *Reader, book *knowhow.Book) accents {
	out := accents{}
	for _, p := range book.Phrases("stopword", "month", "number") {
		for _, c := range p.Phrase {
			if c > 0x7f {
				out[c] |= r.language(p.Language)
			}
		}
	}
	return out
}

// accentShare is what one letter counts against a small word.
const accentShare = 1.0

// withAccents adds to the scores of languages what the letters of texts tell:
// a letter counts the less, the more languages have it.
func (r *Reader) withAccents(scores [16]float64, texts ...string) [16]float64 {
	for _, text := range texts {
		for _, c := range text {
			if c <= 0x7f {
				continue
			}
			set := r.accents[c]
			share := accentShare / float64(max(1, bits.OnesCount16(set)))
			for k := range scores {
				if set&(1<<k) != 0 {
					scores[k] += share
				}
			}
		}
	}
	return scores
}
