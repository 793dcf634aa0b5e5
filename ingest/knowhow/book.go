package knowhow

import (
	"io/fs"
	"path"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"askance/ingest/record"
)

// book puts the facts files of all layers together.
func (l *loader) book(layers []layer) *Book {
	b := &Book{numbers: map[string]Number{}, items: map[string]int{}}
	for _, r := range l.overlaid(layers, "items.csv", []string{"id", "kind", "grave", "label", "reference", "check", "source"}, []string{"id"}) {
		it := Item{ID: r.get("id"), Kind: r.get("kind"), Grave: r.get("grave"), Label: r.get("label"), Reference: r.get("reference"), Check: r.get("check"), Source: r.get("source"), At: r.at()}
		b.items[it.ID] = len(b.Items)
		b.Items = append(b.Items, it)
	}
	for _, r := range l.overlaid(layers, "values.csv", []string{"item", "value", "label", "adds", "factor", "factor_low", "factor_high", "spread", "usual", "source"}, []string{"item", "value"}) {
		v := Value{Item: r.get("item"), ID: r.get("value"), Label: r.get("label"), Source: r.get("source"), At: r.at(),
			Adds: l.number(r, "adds", 0), Factor: l.number(r, "factor", 0), FactorLow: l.number(r, "factor_low", 0), FactorHigh: l.number(r, "factor_high", 0),
			Spread: l.number(r, "spread", 0), Usual: l.number(r, "usual", 0)}
		i, ok := b.items[v.Item]
		if !ok {
			l.fault(r.at(), "item", "an id of items.csv", v.Item, "")
			continue
		}
		b.Items[i].Levels = append(b.Items[i].Levels, v)
		b.Items[i].Factor = b.Items[i].Factor || v.Factor > 0
	}
	for _, r := range l.overlaid(layers, "costs.csv", []string{"item", "value", "to", "low", "high", "what", "source"}, []string{"item", "value", "to"}) {
		b.Costs = append(b.Costs, Cost{Item: r.get("item"), From: r.get("value"), To: r.get("to"), Low: l.number(r, "low", 0), High: l.number(r, "high", 0), What: r.get("what"), Source: r.get("source"), At: r.at()})
	}
	for _, r := range l.overlaid(layers, "purposes.csv", []string{"purpose", "label", "item", "at_least", "need", "source"}, []string{"purpose", "item"}) {
		n := Need{Purpose: r.get("purpose"), Label: r.get("label"), Item: r.get("item"), AtLeast: r.get("at_least"), Must: r.get("need") == "must", Source: r.get("source"), At: r.at()}
		if w := r.get("need"); w != "must" && w != "should" {
			l.fault(r.at(), "need", "must or should", w, "")
		}
		b.Needs = append(b.Needs, n)
	}
	for _, r := range l.overlaid(layers, "classes.csv", []string{"id", "name", "also", "maker", "length_m", "new_price", "currency", "date", "source"}, []string{"id"}) {
		c := Class{ID: r.get("id"), Name: r.get("name"), Maker: r.get("maker"), Length: l.number(r, "length_m", 0), NewPrice: l.number(r, "new_price", 0), Currency: strings.ToUpper(r.get("currency")), At: r.at()}
		for _, also := range strings.Split(r.get("also"), "|") {
			if also = strings.TrimSpace(also); also != "" {
				c.Also = append(c.Also, also)
			}
		}
		if c.Name == "" {
			l.fault(r.at(), "name", "the name of the class", "", "")
			continue
		}
		b.Classes = append(b.Classes, c)
	}
	l.numbers(b, layers)
	l.words(b, layers)
	for _, ly := range layers {
		if data, err := fs.ReadFile(ly.tree, "rates.csv"); err == nil {
			b.Rates = data
		}
	}
	return b
}

// numbers reads depreciation.csv, and from it the currency and the date of
// the knowhow's money.
func (l *loader) numbers(b *Book, layers []layer) {
	for _, r := range l.overlaid(layers, "depreciation.csv", []string{"id", "value", "spread", "unit", "source"}, []string{"id"}) {
		switch id := r.get("id"); id {
		case "currency":
			b.Money.Currency = strings.ToUpper(r.get("value"))
		case "date":
			b.Money.Date = r.get("value")
		default:
			b.numbers[id] = Number{Value: l.number(r, "value", 0), Spread: l.number(r, "spread", 0), Unit: r.get("unit"), Source: r.get("source"), At: r.at()}
		}
	}
}

// words reads every words/LANG.csv. A phrase of the user's with the same kind
// and words as a built-in one replaces it; with an empty meaning it goes.
func (l *loader) words(b *Book, layers []layer) {
	names := wordFiles(layers)
	files := readWords(layers, names)
	total := 0
	for _, f := range files {
		total += len(f.rows)
	}
	b.phrases = make([]Phrase, 0, total)
	for i, f := range files {
		l.faults = append(l.faults, f.faults...)
		lang := strings.TrimSuffix(path.Base(names[i]), ".csv")
		for _, r := range f.rows {
			p := Phrase{Kind: r.get("kind"), For: r.get("for"), Phrase: r.get("phrase"), Language: lang, Note: r.get("note"), At: r.at()}
			if p.Phrase == "" {
				l.fault(r.at(), "phrase", "the words", "", "")
				continue
			}
			if p.For != "" {
				b.phrases = append(b.phrases, p)
			}
		}
	}
	b.runs = runsOf(b.phrases)
}

// wordRows is what a words file holds in all layers together.
type wordRows struct {
	rows   []row
	faults Faults
}

// readWords reads words files, several at a time.
func readWords(layers []layer, names []string) []wordRows {
	files := make([]wordRows, len(names))
	var taken atomic.Int32
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(names)) {
		workers.Go(func() {
			l := newLoader()
			for i := int(taken.Add(1)) - 1; i < len(names); i = int(taken.Add(1)) - 1 {
				l.faults = nil
				rows := l.overlaid(having(layers, names[i]), names[i], []string{"kind", "for", "phrase", "note"}, []string{"kind", "phrase"})
				files[i] = wordRows{rows, l.faults}
			}
		})
	}
	workers.Wait()
	return files
}

// having lists the layers that have a file.
func having(layers []layer, name string) []layer {
	var out []layer
	for _, ly := range layers {
		if _, err := fs.Stat(ly.tree, name); err == nil {
			out = append(out, ly)
		}
	}
	return out
}

// at returns where a file of the knowhow as a whole stands.
func fileAt(name string) record.Pos { return record.Pos{File: "knowhow/" + name} }
