// Package ingest turns saved pages and lists into a market of boats for sale.
package ingest

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"askance/ingest/boat"
	"askance/ingest/dedup"
	"askance/ingest/extract"
	"askance/ingest/knowhow"
	"askance/ingest/page"
	"askance/ingest/record"
)

// A File is one export as it was found.
type File struct {
	Name     string // as given, with forward slashes; "-" for standard input
	Data     []byte
	Modified time.Time // zero if unknown
	Err      error     // why it could not be read from disk, nil if it could
}

// Options say how exports are read. The zero value reads what is recognised by
// itself, in the commonest currency.
type Options struct {
	Column   map[string]string // field to the header that holds it
	Factors  []string          // headers of further categorical price drivers
	Measures []string          // headers of further positive numeric price drivers
	Extras   map[string]string // header of a yes/no column to an item's id, or ""
	Select   *page.Selectors   // where listings stand on a page, nil to look for them
	Currency string            // ISO 4217; "" takes the commonest one read
	Rates    []byte            // exchange rates in the ECB reference-rate CSV layout, nil for none
	AsOf     time.Time         // the date of a listing that carries none; zero for none
	Today    time.Time         // the last resort for a date
}

// Read reads a market: boats for sale in one currency, duplicates folded,
// everything left out with its reason. A file that cannot be read is left out
// like a row. It is an error, which tells why file by file, if no boat with a
// price is left.
//
//	files -> rows -> listings -> offers -> one currency -> one listing a boat
func Read(files []File, book *knowhow.Book, o Options) (*boat.Market, error) {
	all, err := Listings(files, book, o)
	if err != nil {
		return nil, err
	}
	m := &boat.Market{Read: all.Read(), LeftOut: all.LeftOut, Problems: all.Problems, Unused: all.Unused, Notes: all.Notes}

	offers := forSale(all.Listings, m)
	m.Currency = marketCurrency(offers, o.Currency, book.Money.Currency)
	priced, err := inCurrency(offers, m, o.Rates)
	if err != nil {
		return nil, err
	}
	m.Listings, m.Duplicates = dedup.Fold(priced)
	for _, l := range m.Listings {
		m.AsOf = latest(m.AsOf, l.AsOf)
	}
	inOrder(m.LeftOut, files)
	if len(m.Listings) == 0 {
		return nil, errors.Join(nothingIn(files, m.LeftOut, "boat with a price"), priceHint(m.Unused, m.LeftOut))
	}
	return m, nil
}

// A Reading is every listing that files hold, whatever it offers.
type Reading struct {
	Listings []boat.Listing                 // in the order of files and positions
	LeftOut  []boat.LeftOut                 // rows that are no listing, and files that are not readable
	Problems []record.Problem               // of files; those of a listing are its own
	Notes    []string                       // what was assumed, in words
	Unused   map[string][]boat.UnusedColumn // by file
}

// Read gives the number of rows seen.
func (r *Reading) Read() int { return len(r.Listings) + len(r.LeftOut) }

// Listings reads every listing of the files. A row that is no listing and a
// file that cannot be read are left out with their reason; it is an error if
// there is no listing at all, or if the user names a column that no file has.
func Listings(files []File, book *knowhow.Book, o Options) (*Reading, error) {
	in := newIntake(book, o)
	for _, f := range files {
		batch, err := in.rows(f)
		if err != nil {
			in.unreadable(f, err)
			continue
		}
		in.listings(f, batch)
	}
	if err := in.unknownColumns(); err != nil {
		return nil, err
	}
	if len(in.reading.Listings) == 0 {
		return nil, nothingIn(files, in.reading.LeftOut, "listing")
	}
	identify(in.reading.Listings)
	in.reading.Listings = in.listing.Classes(in.reading.Listings)
	return &in.reading, nil
}

// identify gives every listing its id, and a title where it has none. Classes
// that only the other listings tell come later: an id does not depend on them.
func identify(listings []boat.Listing) {
	extract.AssignIDs(listings)
	for i := range listings {
		listings[i].Title = cmp.Or(listings[i].Title, nameOf(&listings[i]))
	}
}

// nothingIn tells, file by file, why what was wanted was not found.
func nothingIn(files []File, out []boat.LeftOut, wanted string) error {
	errs := []error{fmt.Errorf("no %s in what was read", wanted)}
	for _, f := range files {
		errs = append(errs, fmt.Errorf("%s: %s", f.Name, whyNothing(f.Name, out)))
	}
	return errors.Join(errs...)
}

// priceHint says how to name the price's column, where nothing has a price and
// columns are left over; nil otherwise.
func priceHint(unused map[string][]boat.UnusedColumn, out []boat.LeftOut) error {
	for _, l := range out {
		columns := unused[l.Source.At.File]
		if l.Code != boat.NoPrice || len(columns) == 0 {
			continue
		}
		headers := make([]string, len(columns))
		for i, c := range columns {
			headers[i] = c.Header
		}
		return fmt.Errorf("hint: name the column that holds the price, as in --column %q; not used were %s", "price="+headers[0], strings.Join(headers, ", "))
	}
	return nil
}

// whyNothing sums up what was left out of one file: "2 wanted, 1 no_price".
func whyNothing(file string, out []boat.LeftOut) string {
	var codes []string
	count := map[string]int{}
	for _, l := range out {
		if l.Source.At.File != file {
			continue
		}
		if l.Code == boat.Unreadable {
			return l.Reason
		}
		if count[l.Code] == 0 {
			codes = append(codes, l.Code)
		}
		count[l.Code]++
	}
	if len(codes) == 0 {
		return "no listing found"
	}
	for i, code := range codes {
		codes[i] = fmt.Sprintf("%d %s", count[code], code)
	}
	return "left out: " + strings.Join(codes, ", ")
}

// inOrder sorts what was left out by its place in the files.
func inOrder(out []boat.LeftOut, files []File) {
	place := map[string]int{}
	for i, f := range files {
		place[f.Name] = i
	}
	slices.SortStableFunc(out, func(a, b boat.LeftOut) int {
		x, y := a.Source.At, b.Source.At
		return cmp.Or(cmp.Compare(place[x.File], place[y.File]), cmp.Compare(x.Sheet, y.Sheet), cmp.Compare(x.Line, y.Line))
	})
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
