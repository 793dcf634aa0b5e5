package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/net/html/charset"

	"askance/ingest/boat"
	"askance/ingest/dedup"
	"askance/ingest/knowhow"
	"askance/ingest/record"
	"askance/ingest/table"
)

// A Pair is one fact that the user states of a boat: a field, or an item of
// the knowhow, and its value.
type Pair struct{ Name, Value string }

// Boat reads the one boat that is to be priced: from a draft advertisement
// (its first line is the title, the rest the text), from a table or a page
// with just one listing, from pairs, or from a draft with pairs over it. draft
// may be nil. The boat's date is its own, else that of the options; its class
// is spelt as in the market, and found in its words if the market has it.
func Boat(draft *File, set []Pair, m *boat.Market, book *knowhow.Book, o Options) (boat.Listing, error) {
	in := newIntake(book, o)
	file := File{Name: "--set", Modified: o.Today}
	batch := record.Batch{File: file.Name, Rows: []record.Row{{At: record.Pos{File: file.Name}}}}
	if draft != nil {
		file = *draft
		var err error
		if batch, err = in.draft(file); err != nil {
			return boat.Listing{}, fmt.Errorf("%s: %w", file.Name, err)
		}
	}
	batch.Rows[0].Cells = append(cellsOf(set, book, batch.Rows[0].At), batch.Rows[0].Cells...)
	l := in.readRows(file, batch)[0]
	for _, p := range set {
		if _, isItem := book.Item(p.Name); isItem && !isField(p.Name) {
			l.Findings = slices.DeleteFunc(l.Findings, func(f boat.Finding) bool { return f.Item == p.Name })
			l.Findings = append(l.Findings, boat.Finding{Item: p.Name, Value: p.Value, Quote: p.Name + "=" + p.Value, At: l.Source.At})
		}
	}
	return in.besides(m, []boat.Listing{l})[0], nil
}

// draft reads a draft advertisement, or a table or a page with one listing.
func (in *intake) draft(f File) (record.Batch, error) {
	batch, err := in.rows(f)
	if err == nil && looksLikeTable(f.Name, batch) {
		if n := len(batch.Rows); n != 1 {
			return batch, fmt.Errorf("wanted one boat, found %d (hint: askance reserve prices a table of boats)", n)
		}
		return batch, nil
	}
	if f.Err != nil || hasTableSuffix(f.Name) {
		return batch, err
	}
	if format, err := table.Sniff(f.Data); err != nil || format != table.Text {
		return batch, errors.Join(err, errors.New("wanted a text with the advertisement"))
	}
	text, err := plainText(f.Data)
	if err != nil {
		return batch, err
	}
	title, rest, _ := strings.Cut(strings.TrimSpace(text), "\n")
	at := record.Pos{File: f.Name}
	return record.Batch{File: f.Name, Rows: []record.Row{{At: at, Cells: []record.Cell{
		{Field: "title", Header: "title", Text: strings.TrimSpace(title), At: at, From: "column"},
		{Field: "text", Header: "text", Text: strings.TrimSpace(rest), At: at, From: "column"},
	}}}}, nil
}

// plainText decodes a text file: by its byte order mark, as UTF-8 where it is
// that, else as windows-1252.
func plainText(data []byte) (string, error) {
	r, err := charset.NewReader(bytes.NewReader(data), "text/plain")
	if err != nil {
		return "", err
	}
	text, err := io.ReadAll(r)
	return strings.TrimPrefix(string(text), "\ufeff"), err
}

// looksLikeTable tells a table or a page from an advertisement that was read
// as if it were one: columns were recognised.
func looksLikeTable(name string, batch record.Batch) bool {
	if hasTableSuffix(name) {
		return true
	}
	fields := map[string]bool{}
	for _, row := range batch.Rows {
		for _, c := range row.Cells {
			fields[c.Field] = c.Field != ""
		}
	}
	delete(fields, "")
	return len(fields) > 1
}

func hasTableSuffix(name string) bool {
	return slices.Contains([]string{".csv", ".tsv", ".xlsx", ".html", ".htm", ".mhtml", ".mht"}, strings.ToLower(path.Ext(name)))
}

// cellsOf turns the fields among the pairs into cells.
func cellsOf(set []Pair, book *knowhow.Book, at record.Pos) []record.Cell {
	var cells []record.Cell
	for _, p := range set {
		if _, isItem := book.Item(p.Name); isItem && !isField(p.Name) {
			continue
		}
		c := record.Cell{Field: p.Name, Header: p.Name, Text: p.Value, At: at, From: "column"}
		if _, err := strconv.ParseFloat(strings.Replace(p.Value, ",", ".", 1), 64); err == nil && p.Name == "length" {
			c.Unit = "m"
		}
		cells = append(cells, c)
	}
	return cells
}

// isField tells the one name that is both a field and an item.
func isField(name string) bool { return name == "condition" }

// Fleet reads the boats of a table, whether they have a price or not. Each
// keeps the row that it stands in.
func Fleet(f File, m *boat.Market, book *knowhow.Book, o Options) (*Reading, error) {
	in := newIntake(book, o)
	batch, err := in.rows(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	in.reading.Problems = batch.Problems
	in.reading.Listings = in.besides(m, in.readRows(f, batch))
	if len(in.reading.Listings) == 0 {
		return nil, fmt.Errorf("%s: no boat in it", f.Name)
	}
	if err := in.unknownColumns(); err != nil {
		return nil, err
	}
	return &in.reading, nil
}

// besides names boats, and finds their classes, by what a market knows.
func (in *intake) besides(m *boat.Market, boats []boat.Listing) []boat.Listing {
	identify(boats)
	n := len(m.Listings)
	return in.listing.Classes(append(slices.Clone(m.Listings), boats...))[n:]
}

// Without keeps boats out of their own price: it returns the market without
// the listings that are one of them, and those listings. They count as
// duplicates.
func Without(m *boat.Market, boats ...boat.Listing) (*boat.Market, []boat.Listing) {
	rest := *m
	rest.Listings = nil
	var twins []boat.Listing
	for _, l := range m.Listings {
		if slices.ContainsFunc(boats, func(b boat.Listing) bool { return sameBoat(l, b) }) {
			twins = append(twins, l)
			rest.Duplicates++
			continue
		}
		rest.Listings = append(rest.Listings, l)
	}
	return &rest, twins
}

// sameBoat tells whether a listing of the market offers that boat: by address,
// hull number or nearly the same words. A boat whose price is open may have
// any price.
func sameBoat(l, b boat.Listing) bool {
	if here := dedup.Address(b.Source.URL); here != "" && slices.ContainsFunc(l.Also, func(s boat.Sighting) bool { return dedup.Address(s.Source.URL) == here }) {
		return true
	}
	b.Kind = l.Kind
	b.Price = l.Price
	_, duplicates := dedup.Fold([]boat.Listing{l, b})
	return duplicates == 1
}
