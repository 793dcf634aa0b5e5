// Package boat holds a listing that has been read, and a market of them: what
// is known of each boat, in whose words, and where they stand.
package boat

import (
	"time"

	"askance/ingest/money"
	"askance/ingest/record"
)

// A Fact is one thing that a listing may state. An unknown year is not the
// year 0: Value counts only where Known is true.
type Fact[T any] struct {
	Value T
	Known bool
	From  string     // "column", "text" or "hull_number"
	Said  string     // the words, as written
	At    record.Pos // where they stand
}

// Know makes a known fact.
func Know[T any](v T, from, said string, at record.Pos) Fact[T] {
	return Fact[T]{Value: v, Known: true, From: from, Said: said, At: at}
}

// A Kind says what a listing offers.
type Kind string

const (
	ForSale Kind = "boat"
	Parts   Kind = "parts"
	Wanted  Kind = "wanted"
	Swap    Kind = "swap"
)

// A Finding is what a listing's words say of one item of the knowhow.
type Finding struct {
	Item  string // id of an item of the knowhow, or "extra:HEADER" for a column of the user's
	Value string // id of one of the item's values
	Quote string // the words, as written
	At    record.Pos
}

// A Price is what is asked. Known says that there is an amount; terms and
// quote may stand without one.
type Price struct {
	money.Amount
	Known bool
	Terms string // "fixed", "negotiable", "offers", "wanted", "swap", "free", "auction" or ""
	Quote string
	At    record.Pos
}

// A BuildYear is the year in which the boat was built.
type BuildYear struct {
	Fact[int]
	Month    int    // 1 to 12; 0 unknown
	Conflict string // what else is claimed, "" if nothing
}

// A Source is where a listing stands.
type Source struct {
	At  record.Pos
	URL string // http or https, else ""
}

// A Sighting is another listing of the same boat.
type Sighting struct {
	Source Source
	Price  Price
	Listed time.Time
}

// A Listing is one advertisement that has been read.
type Listing struct {
	ID     string
	Kind   Kind
	Boats  int  // how many boats the advertisement offers, at least 1
	Lot    bool // several boats for one price
	Source Source
	Also   []Sighting // other listings of the same boat, newest first

	Title, Text string
	Language    string // of the words, "en", "de", …; "" unknown

	Price Price
	Paid  Price
	Sold  bool

	Year       BuildYear
	Class      Fact[string]
	Maker      Fact[string]
	Length     Fact[float64] // metres
	HullNumber Fact[string]
	Condition  Fact[string] // "new", "very_good", "good", "fair", "poor"
	Seller     Fact[string] // "private", "dealer", "club"
	Place      Fact[string]
	Listed     Fact[time.Time] // the listing's own date
	AsOf       time.Time       // the date at which its age counts

	Findings []Finding
	Given    map[string]string  // by field that a cell filled: what gave it, as record.Cell.From
	Factors  map[string]string  // by header, for factor columns that the user named; blank is ""
	Measures map[string]float64 // by header, positive values only

	Problems []record.Problem
	Notes    []string // contradictions and the like, in words
}

// Age gives the boat's age in years at the listing's date, counted from
// 1 July of the build year, or the middle of its month if known; never under
// 0. It is false where the year is unknown.
func (l *Listing) Age() (float64, bool) {
	if !l.Year.Known {
		return 0, false
	}
	built := time.Date(l.Year.Value, time.July, 1, 0, 0, 0, 0, time.UTC)
	if l.Year.Month > 0 {
		built = time.Date(l.Year.Value, time.Month(l.Year.Month), 15, 0, 0, 0, 0, time.UTC)
	}
	years := l.AsOf.Sub(built).Hours() / 24 / 365.25
	return max(years, 0), true
}

// Find returns the finding on an item.
func (l *Listing) Find(item string) (Finding, bool) {
	for _, f := range l.Findings {
		if f.Item == item {
			return f, true
		}
	}
	return Finding{}, false
}

// Codes of the reasons for which a listing is left out of a market.
const (
	NoPrice     = "no_price"
	IsWanted    = "wanted"
	IsParts     = "parts"
	IsSwap      = "swap"
	IsFree      = "free"
	IsAuction   = "auction"
	IsLot       = "lot"
	NoRate      = "currency"
	NotAListing = "not_a_listing"
	Unreadable  = "unreadable"
)

// A LeftOut is a row that was seen and is not in the market, with its reason.
type LeftOut struct {
	Source Source
	Title  string
	Code   string
	Reason string
}

// A Market is the boats for sale in one currency, duplicates folded.
type Market struct {
	Currency   string
	AsOf       time.Time // the newest date of its listings
	Read       int       // rows seen: listings, duplicates and those left out
	Duplicates int       // listings folded into another
	Listings   []Listing // in the order of files and positions
	LeftOut    []LeftOut
	Problems   []record.Problem
	Notes      []string                  // what was assumed, in words
	Unused     map[string][]UnusedColumn // by file
}

// An UnusedColumn is a column of an export that fills no field.
type UnusedColumn struct {
	Header  string
	Example string // the first value that stands in it, masked; "" if there is none
	Use     string // the flag that fits its values best: "--extra", "--measure", "--factor" or "--column"
}
