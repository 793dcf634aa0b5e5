package ingest

import (
	"errors"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"askance/ingest/boat"
	"askance/ingest/extract"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/page"
	"askance/ingest/record"
	"askance/ingest/table"
)

// An intake is the reading of some files.
type intake struct {
	options Options
	words   *vocabulary
	days    map[string][]dayPhrase
	prices  *money.Words
	listing *extract.Reader
	ofPages page.Words
	reading Reading
	missing map[string]*table.UnknownHeader // by field: a named column that no file has had so far
	found   map[string]bool                 // fields whose named column some file has
}

func newIntake(book *knowhow.Book, o Options) *intake {
	words, listing := newVocabulary(book, o.Column), extract.New(book)
	return &intake{
		options: o, words: words, days: words.dayPhrases(), prices: listing.MoneyWords(), listing: listing, ofPages: pageWords(words),
		reading: Reading{Unused: map[string][]boat.UnusedColumn{}},
		missing: map[string]*table.UnknownHeader{}, found: map[string]bool{},
	}
}

// pageWords are the words of pages by their role.
func pageWords(words *vocabulary) page.Words {
	return page.Words{
		Similar: words.phrases("page_similar"), Ad: words.phrases("page_ad"), Top: words.phrases("page_top"), Terms: words.priceWords(), None: words.phrases("page_none"), Nav: words.phrases("page_nav"),
		Asking: words.phrasesFor("price_cue", "asking"), OldPrice: words.phrases("old_price"), NewPrice: words.phrasesFor("new_price", "new_price"), PerPeriod: words.phrases("per_period"), Delivery: words.phrases("delivery"),
		Sale: slices.Concat(words.phrasesFor("ad", "sale"), words.phrases("page_sale")),
	}.Ready()
}

// priceWords are the words that stand in the place of a price.
func (v *vocabulary) priceWords() []string {
	return slices.Concat(v.phrasesFor("price_term", "free"), v.phrasesFor("price_term", "no_amount"), v.phrasesFor("price_term", "swap"), v.phrasesFor("price_term", "wanted"), v.phrasesFor("price_term", "negotiable"))
}

// rows reads the rows of one file, a page or a table by its content.
func (in *intake) rows(f File) (record.Batch, error) {
	if f.Err != nil {
		return record.Batch{}, f.Err
	}
	var batch record.Batch
	var err error
	if page.IsPage(f.Data) {
		batch, err = page.Read(f.Name, f.Data, in.pageOptions())
	} else {
		batch, err = in.table(f)
	}
	if err != nil {
		return batch, err
	}
	if len(batch.Rows) == 0 && len(batch.Skipped) == 0 {
		return batch, errors.New("no listing found (hint: save the whole page, or see --select)")
	}
	return batch, nil
}

// table reads a table. A column that the user named and that this file lacks
// may stand in another one, so the file is read without it.
func (in *intake) table(f File) (record.Batch, error) {
	columns := maps.Clone(in.options.Column)
	for {
		batch, err := table.Read(f.Name, f.Data, table.Options{Headers: in.words.header, Column: columns, Totals: in.words.phrases("total")})
		var unknown *table.UnknownHeader
		if !errors.As(err, &unknown) {
			if err == nil {
				for field := range columns {
					in.found[field] = true
				}
			}
			return batch, err
		}
		in.missing[unknown.Field] = unknown
		delete(columns, unknown.Field)
	}
}

// unknownColumns is the error for a column that the user named and that no
// file has, nil if there is none.
func (in *intake) unknownColumns() error {
	for _, field := range sortedKeys(in.missing) {
		if !in.found[field] {
			return in.missing[field]
		}
	}
	return nil
}

func (in *intake) pageOptions() page.Options {
	return page.Options{
		Labels: in.words.header, Price: in.priceIn, Date: in.dateIn, Select: in.options.Select,
		Words: in.ofPages,
	}
}

// priceIn finds an amount of money in a short text of a page; a bare number is
// none.
func (in *intake) priceIn(text string) (money.Amount, string, bool) {
	r := money.InText(text, in.prices, money.Hint{Currency: in.options.Currency})
	return r.Amount, r.Quote, r.Known
}

// listings reads the rows of one file into listings and dates them.
func (in *intake) listings(f File, batch record.Batch) {
	r := &in.reading
	r.Problems = append(r.Problems, batch.Problems...)
	if unused := in.unused(batch); len(unused) > 0 {
		r.Unused[f.Name] = unused
	}
	for _, s := range batch.Skipped {
		r.LeftOut = append(r.LeftOut, boat.LeftOut{Source: boat.Source{At: s.At}, Title: s.Title, Code: boat.NotAListing, Reason: s.Reason})
	}
	in.giveUnit(f, batch)
	listings := in.readRows(f, batch)
	in.noteKroner(f, batch, listings)
	in.giveCurrency(f, listings)
	for _, l := range listings {
		if tellsNothing(&l) {
			r.LeftOut = append(r.LeftOut, leftOut(&l, boat.NotAListing, "nothing in it tells of a boat"))
			continue
		}
		r.Listings = append(r.Listings, l)
	}
}

// giveCurrency gives prices that name no currency the one that most others of
// their file name, and notes it.
func (in *intake) giveCurrency(f File, listings []boat.Listing) {
	code, given := marketCurrency(listings, "", ""), 0
	if code == "" {
		return
	}
	for i := range listings {
		if p := &listings[i].Price; p.Known && p.Minor > 0 && p.Currency == "" {
			p.Amount = money.Of(p.Major(), code)
			given++
		}
	}
	if given > 0 {
		in.reading.Notes = append(in.reading.Notes, fmt.Sprintf("%s no currency in %s; taken to be in %s, as most others there", countOf(given, "price names", "prices name"), f.Name, code))
	}
}

// noteKroner says that prices in kr are taken for Danish by words that may be
// Norwegian.
func (in *intake) noteKroner(f File, batch record.Batch, listings []boat.Listing) {
	count := 0
	for i := range listings {
		if in.listing.KronerByWords(&listings[i], batch) {
			count++
		}
	}
	if count > 0 && in.options.Currency == "" {
		in.reading.Notes = append(in.reading.Notes, fmt.Sprintf("%s in kr taken to be Danish by the words of %s, which may be Norwegian; a place, an address or --currency tells", countOf(count, "price", "prices"), f.Name))
	}
}

// tellsNothing tells a row that speaks of no boat, such as a sum of prices.
func tellsNothing(l *boat.Listing) bool {
	return l.Title == "" && l.Text == "" && !l.Class.Known && !l.Maker.Known && !l.Year.Known && !l.Length.Known && !l.HullNumber.Known
}

// nameOf calls a boat without a title by what is known of it.
func nameOf(l *boat.Listing) string {
	var words []string
	for _, f := range []boat.Fact[string]{l.Maker, l.Class} {
		if f.Known {
			words = append(words, f.Value)
		}
	}
	if l.Year.Known {
		words = append(words, strconv.Itoa(l.Year.Value))
	}
	if len(words) == 0 {
		return l.Source.At.At()
	}
	return strings.Join(words, " ")
}

// readRows reads every row as a listing, with the date of its file where it
// carries none.
func (in *intake) readRows(f File, batch record.Batch) []boat.Listing {
	batch.Date = in.dateOf(f, batch)
	o := extract.Options{Factors: in.options.Factors, Measures: in.options.Measures, AsOf: batch.Date}
	for _, header := range sortedKeys(in.options.Extras) {
		o.Extras = append(o.Extras, extract.ExtraColumn{Item: in.options.Extras[header], Header: header})
	}
	return in.listing.Listings(batch, o)
}

// unreadable leaves a whole file out.
func (in *intake) unreadable(f File, err error) {
	at := record.Pos{File: f.Name}
	why := strings.TrimPrefix(err.Error(), f.Name+": ")
	in.reading.LeftOut = append(in.reading.LeftOut, boat.LeftOut{Source: boat.Source{At: at}, Title: f.Name, Code: boat.Unreadable, Reason: why})
}

// dayInName finds a date in a file's name: 2026-04-12, 2026_04_12, 20260412.
var dayInName = regexp.MustCompile(`(?:^|\D)((?:19|20)\d\d)[-_.]?(\d\d)[-_.]?(\d\d)(?:\D|$)`)

// dateOf is the date of a file's listings that carry none: the one that the
// export states of itself, one in its name, the user's, the file's time,
// today.
func (in *intake) dateOf(f File, batch record.Batch) time.Time {
	if !batch.Date.IsZero() {
		return dayOf(batch.Date)
	}
	if m := dayInName.FindStringSubmatch(path.Base(f.Name)); m != nil {
		if day, err := time.Parse("20060102", m[1]+m[2]+m[3]); err == nil {
			return day
		}
	}
	for _, day := range []time.Time{in.options.AsOf, f.Modified} {
		if !day.IsZero() {
			return dayOf(day)
		}
	}
	return dayOf(in.options.Today)
}

// dayOf drops the time of day.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// sortedKeys returns the keys of a map in their order.
func sortedKeys[V any](m map[string]V) []string {
	return slices.Sorted(maps.Keys(m))
}
