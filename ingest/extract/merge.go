package extract

import (
	"slices"
	"strings"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/record"
)

// A statement is what one place of a listing says of one item.
type statement struct {
	item, value string
	weight      int
	passing     bool // a bare mention
	priced      bool // an amount stands in its sentence
	sentence    int  // the number of its sentence in the listing
	quote       string
	at          record.Pos
}

// merge weighs the statements on each item: the most specific wins, and of
// equals the last. What else was plainly claimed is told. Findings stand in
// the order of the book's items.
func (r *Reader) merge(all []statement) (findings []boat.Finding, notes []string) {
	findings = make([]boat.Finding, 0, min(len(all), len(r.book.Items)))
	for i := range r.book.Items {
		it := &r.book.Items[i]
		var won *statement
		var lost []*statement
		for k := range all {
			s := &all[k]
			if s.item != it.ID {
				continue
			}
			switch {
			case won == nil:
				won = s
			case it.Kind == knowhow.Defect && won.value == knowhow.Repaired && s.value == knowhow.Denied:
				// "was welded, solid since": both are told, and agree
			case it.Kind == knowhow.Defect && won.value == knowhow.Present && s.value == knowhow.Denied && won.sentence == s.sentence:
				won.value = knowhow.Repaired // "had a slight bend, straight again"
			case it.Kind == knowhow.Extra && won.value == knowhow.AtExtraCost && s.value == knowhow.Absent && s.priced:
				// "trailer 700. The boat without trailer 6250": what it costs without
			case s.weight >= won.weight:
				if s.value != won.value && !won.passing {
					lost = append(lost, won)
				}
				won = s
			case s.value != won.value && !s.passing:
				lost = append(lost, s)
			}
		}
		if won == nil {
			continue
		}
		findings = append(findings, boat.Finding{Item: it.ID, Value: won.value, Quote: won.quote, At: won.at})
		for _, l := range lost {
			if l.value != won.value {
				note := it.Label + ": \"" + l.quote + "\" against \"" + won.quote + "\"; the latter counts"
				if !slices.Contains(notes, note) {
					notes = append(notes, note)
				}
			}
		}
	}
	return findings, notes
}

// quoteOf cuts the words of a statement out of a text, as they stand there.
func quoteOf(text string, tokens []token, from, to int) string {
	to = min(to, len(tokens))
	if from >= to {
		return ""
	}
	return strings.TrimSpace(text[tokens[from].start:tokens[to-1].end])
}
