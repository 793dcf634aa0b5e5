// Package knowhow loads the facts of the trade, which are CSV files that a
// user may export, edit and lay over the built-in ones: words, items, values,
// costs, purposes, classes and how boats lose value with age.
package knowhow

import (
	"slices"
	"time"

	"askance/ingest/record"
)

// Kinds of items.
const (
	Fitting   = "fitting"
	Wear      = "wear"
	Extra     = "extra"
	Defect    = "defect"
	Condition = "condition" // the overall condition, one item named "condition"
)

// How grave a defect is.
const (
	Cosmetic   = "cosmetic"
	Repair     = "repair"
	Structural = "structural"
	WalkAway   = "walk_away" // structural, and no price makes up for it
)

// Values that the items of a kind share.
const (
	Included    = "included"
	AtExtraCost = "at_extra_cost"
	Absent      = "absent"
	Present     = "present"
	Repaired    = "repaired"
	Denied      = "denied"
)

// An Item is a thing that a listing may speak of.
type Item struct {
	ID        string
	Kind      string
	Grave     string // of a defect: Cosmetic, Repair, Structural or WalkAway
	Label     string
	Check     string  // what to look at when going to see a boat
	Reference string  // the value whose money is 0 and whose factor is 1
	Levels    []Value // from the lowest to the highest
	Factor    bool    // its levels multiply the hull instead of adding money
	Source    string
	At        record.Pos
}

// IsStructural tells whether the item is a structural defect.
func (it Item) IsStructural() bool { return it.Grave == Structural || it.Grave == WalkAway }

// Value returns the level with that id.
func (it Item) Value(id string) (Value, bool) {
	for _, v := range it.Levels {
		if v.ID == id {
			return v, true
		}
	}
	return Value{}, false
}

// A Value is one level of an item.
type Value struct {
	Item, ID   string
	Label      string
	Adds       float64 // money over the reference value, in Book.Money.Currency
	Factor     float64 // what it multiplies the hull by; 0 where it adds money
	FactorLow  float64 // of a structural defect: the range that its hull is told at
	FactorHigh float64
	Spread     float64 // log spread of the prior on the step up to this level; 0: no step of its own
	Usual      float64 // share of boats with this value among those that say nothing
	Source     string
	At         record.Pos
}

// A Cost is what it takes to bring an item from one value to another.
type Cost struct {
	Item, From, To string
	Low, High      float64
	What           string
	Source         string
	At             record.Pos
}

// A Need is what a purpose asks of an item.
type Need struct {
	Purpose, Label, Item, AtLeast string
	Must                          bool
	Source                        string
	At                            record.Pos
}

// A Class is a class of boats that the knowhow names.
type Class struct {
	ID, Name string
	Also     []string // other spellings
	Maker    string
	Length   float64 // metres, 0 unknown
	NewPrice float64 // 0 unknown
	Currency string
	At       record.Pos
}

// A Number is one figure of depreciation.csv with its spread.
type Number struct {
	Value, Spread float64
	Unit, Source  string
	At            record.Pos
}

// A Phrase is one entry of a words file: what words stand for.
type Phrase struct {
	Kind     string // what sort of words: "header", "unit", "item", …
	For      string // what they stand for within that sort
	Phrase   string // as written in the file
	Language string // "en", "de", …
	Note     string
	At       record.Pos
}

// Money says in which currency and of which date the knowhow's money is.
type Money struct {
	Currency string
	Date     string // YYYY-MM-DD
}

// A Book is all facts of the trade, cross-checked.
type Book struct {
	Items   []Item // in file order
	Costs   []Cost
	Needs   []Need
	Classes []Class
	Money   Money
	Rates   []byte // exchange rates in the ECB reference-rate CSV layout, for the knowhow's own money

	numbers map[string]Number
	phrases []Phrase
	runs    []run
	items   map[string]int
	builtin bool
}

// IsBuiltin tells whether the book is the built-in one, with nothing laid
// over it.
func (b *Book) IsBuiltin() bool { return b.builtin }

// Item returns the item with that id.
func (b *Book) Item(id string) (Item, bool) {
	i, ok := b.items[id]
	if !ok {
		return Item{}, false
	}
	return b.Items[i], true
}

// Number returns a figure of depreciation.csv; loading has made sure that
// each figure the program asks for is there.
func (b *Book) Number(id string) Number { return b.numbers[id] }

// A run is a row of entries of one kind, as they stand in a file:
// phrases[from:to].
type run struct {
	kind     string
	from, to int
}

// runsOf finds the runs of entries.
func runsOf(phrases []Phrase) []run {
	var runs []run
	for i := range phrases {
		if i == 0 || phrases[i].Kind != phrases[i-1].Kind || phrases[i].Language != phrases[i-1].Language {
			runs = append(runs, run{kind: phrases[i].Kind, from: i})
		}
		runs[len(runs)-1].to = i + 1
	}
	return runs
}

// Phrases returns the entries of some kinds, all languages, in file order.
func (b *Book) Phrases(kinds ...string) []Phrase {
	var out []Phrase
	for _, r := range b.runs {
		if slices.Contains(kinds, r.kind) && b.phrases[r.from].Language != Worldwide {
			out = append(out, b.phrases[r.from:r.to]...)
		}
	}
	return out
}

// Worldwide is the language of the words about prices that count in a price
// column or tag only, whatever its language.
const Worldwide = "mul"

// WorldwidePhrases returns those words, in file order.
func (b *Book) WorldwidePhrases() []Phrase {
	var out []Phrase
	for _, r := range b.runs {
		if b.phrases[r.from].Language == Worldwide {
			out = append(out, b.phrases[r.from:r.to]...)
		}
	}
	return out
}

// AllPhrases returns every entry in file order.
func (b *Book) AllPhrases() []Phrase { return b.phrases }

// Purposes returns the ids of the purposes, in file order.
func (b *Book) Purposes() []string {
	var out []string
	seen := map[string]bool{}
	for _, n := range b.Needs {
		if !seen[n.Purpose] {
			seen[n.Purpose] = true
			out = append(out, n.Purpose)
		}
	}
	return out
}

// MoneyDate is the date of the knowhow's money.
func (b *Book) MoneyDate() time.Time {
	t, _ := time.Parse(time.DateOnly, b.Money.Date) // loading has checked it
	return t
}
