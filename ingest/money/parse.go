package money

import (
	"slices"
	"sort"
	"strings"
	"unicode"
)

// A Reading is what a text says of a price.
type Reading struct {
	Amount            // counts only where Known
	Known      bool   // there is an amount
	Told       bool   // the text itself tells the currency
	Terms      string // "fixed", "negotiable", "offers", "wanted", "swap", "free", "auction" or ""
	Quote      string // the words that say so, as written: text[Start:End]
	Start, End int    // byte offsets of the quote
	High       Amount // the upper end where the text gives a range, else zero; Amount is the lower end
	Ambiguous  bool   // it might be read another way
	Reason     string // why there is no amount, or why it is ambiguous; "" if neither
}

const (
	most     = 1e9  // no amount is above this, in major units
	mostTold = 1e12 // nor above this where it is written as a sum with its currency
	longest  = 1e5  // runes that are read of one text
	quoteMax = 80   // runes of a quote that is no amount
	farthest = 30   // runes from "new price" to its number
	reach    = 3    // runes between a number and its sign or term
	century  = 1950 // numbers from here to 2049 may be years
)

// Parse reads a text that is known to be about a price: a cell or a price
// tag. Of several numbers it takes what is asked now: not the price when new,
// the former price, a rate or the cost of delivery, and rather a number with a
// currency or a price term than a bare one. Placeholders (0, 1 and those of
// the words) are no amount; a gift is the amount 0.
func Parse(text string, w *Words, h Hint) Reading { return read(text, w, h, false) }

// InText reads a price from running text, where a bare number is no price: it
// needs a currency or a price term beside it. Terms count beside an amount
// only.
func InText(text string, w *Words, h Hint) Reading { return read(text, w, h, true) }

func read(text string, w *Words, h Hint, running bool) Reading {
	if running && strings.IndexFunc(text, unicode.IsDigit) < 0 {
		return Reading{Reason: "no amount"}
	}
	r := &reader{text: plain(text), w: w, table: w.inText, h: h, running: running}
	if !running {
		r.written, r.table, r.code = []rune(text), w.byStart, onlyCode(text, w)
	}
	if len(r.text) > longest {
		r.text = r.text[:longest]
	}
	r.scan()
	r.named = r.namedCurrency()
	r.findSums()
	r.joinParts()
	r.dropMeasures()
	r.dropDays()
	r.giveRoles()
	got := r.decide()
	got.Start, got.End = place(text, r.text, got.Start, got.End)
	got.Quote = text[got.Start:got.End]
	return got
}

type reader struct {
	text    []rune // plain
	written []rune // as it is, where nothing but a price is spoken of
	table   phraseTable
	code    string // the currency's code that are its only letters, "" if there are others
	w       *Words
	h       Hint
	running bool
	items   []item // in order, apart
	sums    []sum  // in order
	named   string // the one currency that the text names, "" if none or several
}

// An item is a number or a phrase of the words.
type item struct {
	start, end int
	isNumber   bool
	number     number
	phrase     phrase
	taken      bool // by a sum, as its currency or its thousands
}

func (it *item) is(kind string) bool { return !it.isNumber && it.phrase.is(kind) }

// gap tells whether text[from:to] holds only the given characters, at most max.
func (r *reader) gap(from, to, max int, allowed string) bool {
	if to < from || to-from > max {
		return false
	}
	for _, c := range r.text[from:to] {
		if !strings.ContainsRune(allowed, c) {
			return false
		}
	}
	return true
}

// decide picks the sum that is asked and adds the terms.
func (r *reader) decide() Reading {
	best, reading := r.choose()
	if best == nil {
		return r.withoutAmount(reading.Reason)
	}
	reading.Start, reading.End = r.widen(best.start, best.end)
	if r.running {
		reading.Terms = r.terms(reading.Start, reading.End, true)
	} else {
		reading.Terms = r.terms(0, len(r.text), true)
	}
	reading.Told = best.told
	reading.Currency = best.currency
	if meaning, ok := r.placeholderValue(best); ok {
		return r.placeholder(reading, meaning, best.value)
	}
	switch {
	case best.value < 0:
		reading.Reason, reading.Ambiguous = "a negative number is no price", false
		return reading
	case best.value > best.most():
		reading.Reason, reading.Ambiguous = "more than a thousand million is no price", false
		return reading
	}
	reading.Known = true
	reading.Amount = Of(best.value, best.currency)
	if best.high > 0 && best.high <= best.most() {
		reading.High = Of(best.high, best.currency)
	}
	return reading
}

// placeholderValue gives what a sum means that stands for no price. A sum in a
// cell that has cents, or is in a currency of small units and grouped, is a
// shop's.
func (r *reader) placeholderValue(s *sum) (meaning string, ok bool) {
	meaning, ok = r.w.placeholders[s.value]
	if !ok || s.value <= 1 || r.running || !s.signed || len(s.number.marks) == 0 {
		return meaning, ok
	}
	if s.number.cents() || MinorDigits(s.currency) == 0 {
		return "", false
	}
	return meaning, true
}

// placeholder makes a reading of a number that stands for no price, or for a
// gift, or a first bid of this size, where the words say so.
func (r *reader) placeholder(reading Reading, meaning string, bid float64) Reading {
	stated := r.terms(0, len(r.text), false)
	if stated == "auction" && !r.running && bid > 0 { // it may begin at 1
		reading.Known, reading.Terms, reading.Amount = true, stated, Of(bid, reading.Currency)
		return reading
	}
	if stated == "free" && !r.running {
		reading.Known, reading.Terms, reading.Amount = true, "free", Of(0, reading.Currency)
		return reading
	}
	reading.Terms = stated
	if isTerm(meaning) && stated == "" {
		reading.Terms = meaning
	}
	reading.Ambiguous = false
	reading.Reason = "a placeholder, no price"
	return reading
}

// withoutAmount makes a reading of a text that has no sum.
func (r *reader) withoutAmount(reason string) Reading {
	if r.running {
		return Reading{Reason: reason}
	}
	reading := Reading{Reason: reason, Terms: r.terms(0, len(r.text), false), End: len(r.text)}
	for _, it := range r.items {
		if it.is(kindTerm) || it.is(kindPlaceholder) {
			reading.Start, reading.End = r.widen(it.start, it.end)
			break
		}
	}
	if reading.Terms == "free" && len(r.sums) == 0 { // not "free from 35 € on"
		reading.Known, reading.Reason, reading.Currency = true, "", r.h.Currency
	}
	return reading
}

// widen takes in the terms and currencies that stand directly beside a
// stretch, and a bracket that they open.
func (r *reader) widen(start, end int) (int, int) {
	const between = " .:,;/(*-"
	joins := func(it item) bool { return it.is(kindTerm) || it.is(kindCurrency) && !it.is(kindRange) }
	for i := r.itemAt(start) - 1; i >= 0 && joins(r.items[i]) && r.gap(r.items[i].end, start, reach, between); i-- {
		start = r.items[i].start
	}
	for i := r.itemAt(end); i < len(r.items) && joins(r.items[i]) && r.gap(end, r.items[i].start, reach, between); i++ {
		end = r.items[i].end
	}
	inside := r.text[start:end]
	if slices.Contains(inside, '(') && !slices.Contains(inside, ')') && end < len(r.text) && r.text[end] == ')' {
		end++
	}
	return start, end
}

// itemAt gives the index of the first item that starts at or after a place.
func (r *reader) itemAt(place int) int {
	return sort.Search(len(r.items), func(i int) bool { return r.items[i].start >= place })
}

// place turns rune offsets of a quote into byte offsets of the text, without
// the spaces around it and not too long.
func place(text string, plain []rune, start, end int) (from, to int) {
	blank := func(r rune) bool { return r == ' ' || r == '\n' }
	for start < end && blank(plain[start]) {
		start++
	}
	for end > start && blank(plain[end-1]) {
		end--
	}
	end = min(end, start+quoteMax)
	from, to = len(text), len(text)
	count := 0
	for i := range text {
		switch count {
		case start:
			from = i
			if start == end {
				return from, from
			}
		case end:
			return from, i
		}
		count++
	}
	return from, to
}

// terms gives the strongest term of a stretch. Beside an amount a gift is
// something else's.
func (r *reader) terms(start, end int, amount bool) string {
	order := []string{"auction", "wanted", "free", "fixed", "negotiable", "offers", "swap"}
	if amount {
		order = []string{"auction", "wanted", "fixed", "negotiable", "offers", "swap"}
	}
	for _, term := range order {
		for i := r.itemAt(start); i < len(r.items) && r.items[i].end <= end; i++ {
			if slices.Contains(r.items[i].phrase.meanings(kindTerm), term) {
				return term
			}
		}
	}
	return ""
}

func isTerm(s string) bool {
	return slices.Contains([]string{"fixed", "negotiable", "offers", "wanted", "swap", "free", "auction"}, s)
}
