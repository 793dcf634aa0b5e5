package extract

import (
	"net/url"
	"strings"

	"askance/ingest/money"
	"askance/ingest/record"
)

// habits are what the prices of a whole file tell of each of them.
type habits struct {
	marks    money.Marks // how its numbers are written
	currency string      // the one that most of its prices name, "" for none
	language string      // of its words together, where it declares none
}

// mostForHabits bounds the rows that tell a file's habits.
const mostForHabits = 2000

// habitsOf reads the habits of a file from its price columns.
func (r *Reader) habitsOf(batch record.Batch) habits {
	var texts []string
	var words strings.Builder
	named := map[string]int{}
	site := money.Hint{Declared: batch.Language, Country: countryOf(batch.URL)}
	best := ""
	rows := batch.Rows[:min(len(batch.Rows), mostForHabits)]
	for i, row := range rows {
		if i < 50 {
			for _, c := range row.Cells {
				words.WriteString(c.Header + "\n" + record.Shorten(c.Text, 300) + "\n")
			}
		}
		cell, ok := row.Get("price")
		if !ok {
			continue
		}
		texts = append(texts, cell.Text)
		if p := money.Parse(cell.Text, r.prices.words, site); p.Known && p.Told {
			if named[p.Currency]++; named[p.Currency] > named[best] {
				best = p.Currency
			}
		}
	}
	h := habits{marks: money.Habit(texts), currency: best, language: batch.Language}
	if h.language == "" {
		h.language = r.mainLanguage(r.languages(lex(words.String())))
	}
	return h
}

// hint gathers what is known of a row's price before it is read: its currency
// from the row, from the header or from the page; its country from its web address; and
// the habits of the file.
func (r *Reader) hint(row record.Row, cell record.Cell, batch record.Batch, language string, own habits) money.Hint {
	h := money.Hint{Declared: batch.Language, Language: language, Marks: own.marks, Usual: own.currency, Country: countryOf(row.Text("url"), batch.URL)}
	if base, _, _ := strings.Cut(own.language, "-"); h.Language == "" || strings.EqualFold(h.Language, base) {
		h.Language = own.language // "en-AU" tells more than "en"
	}
	for _, said := range []string{row.Text("currency"), cell.Unit, batch.Currency} {
		if h.Currency = r.currencyOf(strings.TrimSpace(said), h); h.Currency != "" {
			return h
		}
	}
	return h
}

// currencyOf reads a currency's name, code or sign; "" is none.
func (r *Reader) currencyOf(said string, h money.Hint) string {
	if said == "" {
		return ""
	}
	if p := money.Parse("500 "+said, r.prices.words, h); p.Known && (p.Told || p.Currency == money.Unsettled) {
		return p.Currency
	}
	if len(said) == 3 && strings.Trim(strings.ToUpper(said), "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
		return strings.ToUpper(said)
	}
	return ""
}

// countryOf tells the country by the first web address whose host ends in a
// country's code. Codes that are sold to anybody tell nothing; common
// practice, no source.
func countryOf(addresses ...string) string {
	for _, a := range addresses {
		if a == "" {
			continue
		}
		u, err := url.Parse(strings.TrimSpace(a))
		if err != nil {
			continue
		}
		host := strings.ToLower(u.Hostname())
		switch end := host[strings.LastIndexByte(host, '.')+1:]; {
		case len(end) != 2 || len(end) == len(host):
		case end == "uk":
			return "GB"
		case strings.Contains(" eu co io tv me ai cc ws fm to ly gg sh la nu ", " "+end+" "):
		default:
			return strings.ToUpper(end)
		}
	}
	return ""
}
