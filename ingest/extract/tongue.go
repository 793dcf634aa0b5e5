package extract

import "askance/ingest/knowhow"

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

// settleLanguage names the language of texts whose small words are as much
// those of one as of another: the one that has most of their accents, else
// the first of those.
func (r *Reader) settleLanguage(scores [16]float64, texts ...string) string {
	best := 0.0
	for _, n := range scores {
		best = max(best, n)
	}
	if best == 0 {
		return ""
	}
	language, most := "", -1
	for k, n := range scores {
		if n < best {
			continue
		}
		found := 0
		for _, text := range texts {
			for _, c := range text {
				if c > 0x7f && r.accents[c]&(1<<k) != 0 {
					found++
				}
			}
		}
		if found > most {
			language, most = r.langs[k], found
		}
	}
	return language
}
