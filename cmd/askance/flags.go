package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"askance/ingest"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/page"
)

// fields are what a column of a table may hold.
var fields = []string{"title", "text", "price", "currency", "year", "class", "maker", "length", "condition", "seller", "place",
	"listed", "url", "hull_number", "sold", "paid"}

// intakeFlags say how exports are read.
type intakeFlags struct {
	Column   []string `group:"reading" sep:"none" placeholder:"FIELD=HEADER" help:"Which column holds which field, when the header is not recognised by itself. Repeatable. Fields: title text price currency year class maker length condition seller place listed url hull_number sold paid."`
	Factor   []string `group:"reading" sep:"none" placeholder:"HEADER" help:"One more price driver in words, such as a region or a material. Repeatable."`
	Measure  []string `group:"reading" sep:"none" placeholder:"HEADER" help:"One more price driver in numbers above 0. Repeatable."`
	Extra    []string `group:"reading" sep:"none" placeholder:"[ITEM=]HEADER" help:"One more yes/no equipment column, or a column for an item of the knowhow. Repeatable."`
	Select   string   `group:"reading" placeholder:"FILE.toml" help:"CSS selectors for a saved page whose listings are not found by themselves."`
	Knowhow  string   `group:"reading" placeholder:"DIR" help:"Your own facts, laid over the built-in ones (see askance knowhow export)."`
	Currency string   `group:"reading" placeholder:"CODE" help:"Currency of the market (ISO 4217). Default: the commonest one read."`
	Rates    string   `group:"reading" placeholder:"FILE" help:"Exchange rates, in the CSV layout of the ECB's reference rates. Without it, listings in another currency are left out."`
	AsOf     string   `group:"reading" placeholder:"YYYY-MM-DD" help:"Date taken for a listing that carries none."`
}

// judgeFlags say how boats are judged.
type judgeFlags struct {
	Purpose string  `group:"judging" placeholder:"ID" help:"What the boat is for: race, leisure, fishing, school, or your own."`
	Range   float64 `group:"judging" default:"0.80" placeholder:"P" help:"Width of the price range, a share of the boats. Default: 0.80."`
}

// formatFlag says what standard output carries.
type formatFlag struct {
	Format string `group:"output" default:"table" placeholder:"table|json|jsonl|csv" help:"What standard output carries; jsonl is for read alone."`
}

// allow makes sure that the format is one of the command's.
func (f formatFlag) allow(command string, formats ...string) error {
	if slices.Contains(formats, f.Format) {
		return nil
	}
	return misused("--format: wanted %s for %s, found %q", strings.Join(formats, ", "), command, f.Format)
}

// loadKnowhow loads the built-in knowhow; dir is the user's own, "" for none.
// A fault makes it unusable: a price from half-read facts would look like any
// other.
func (h *host) loadKnowhow(dir string) (*knowhow.Book, error) {
	if dir == "" {
		return knowhow.Load(nil)
	}
	info, err := os.Stat(h.at(dir))
	if err != nil {
		return nil, fmt.Errorf("%s: no knowhow to read: %w", dir, reason(err))
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s: no knowhow to read: not a folder", dir)
	}
	book, err := knowhow.Load(os.DirFS(h.at(dir)))
	if err != nil {
		return nil, h.knowhowFaults(dir, err)
	}
	return book, nil
}

// options turns the flags into what the intake wants to know.
func (f intakeFlags) options(h *host, book *knowhow.Book) (ingest.Options, error) {
	o := ingest.Options{Factors: f.Factor, Measures: f.Measure, Today: h.now(), Column: map[string]string{}, Extras: map[string]string{}}
	for _, c := range f.Column {
		field, header, ok := strings.Cut(c, "=")
		if !ok || header == "" || !slices.Contains(fields, field) {
			return o, misused("--column: wanted FIELD=HEADER with one of the fields %s, found %q", strings.Join(fields, " "), c)
		}
		o.Column[field] = header
	}
	for _, e := range f.Extra {
		header, item := extraColumn(e, book)
		if header == "" {
			return o, misused("--extra: wanted HEADER or ITEM=HEADER, found %q", e)
		}
		o.Extras[header] = item
	}
	if f.Currency != "" {
		if len(f.Currency) != 3 {
			return o, misused("--currency: wanted a code of three letters such as EUR, found %q", f.Currency)
		}
		o.Currency = strings.ToUpper(f.Currency)
	}
	if f.AsOf != "" {
		day, err := time.Parse(time.DateOnly, f.AsOf)
		if err != nil {
			return o, misused("--as-of: wanted a date YYYY-MM-DD, found %q", f.AsOf)
		}
		o.AsOf = day
	}
	if f.Rates != "" {
		data, err := h.readFile(f.Rates, "exchange rates")
		if err != nil {
			return o, err
		}
		if _, err := money.ReadRates(data); err != nil {
			return o, fmt.Errorf("%s: %w", f.Rates, err)
		}
		o.Rates = data
	}
	if f.Select != "" {
		data, err := h.readFile(f.Select, "selectors")
		if err != nil {
			return o, err
		}
		if o.Select, err = selectors(f.Select, data); err != nil {
			return o, err
		}
	}
	return o, nil
}

// selectors reads a file of CSS selectors: a line of TOML each.
func selectors(name string, data []byte) (*page.Selectors, error) {
	s := &page.Selectors{}
	meta, err := toml.Decode(string(data), s)
	var fault toml.ParseError
	if errors.As(err, &fault) {
		return nil, fmt.Errorf("%s:%d:%d: %s", name, fault.Position.Line, fault.Position.Col, fault.Message)
	}
	if err == nil {
		err = s.Check()
	}
	if unknown := meta.Undecoded(); err == nil && len(unknown) > 0 {
		err = fmt.Errorf("wanted card or one of %s, found %q", strings.Join(fields, " "), unknown[0])
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return s, nil
}

// extraColumn splits ITEM=HEADER where ITEM is one of the knowhow; anything
// else is a header as a whole.
func extraColumn(s string, book *knowhow.Book) (header, item string) {
	if id, header, ok := strings.Cut(s, "="); ok {
		if _, known := book.Item(id); known {
			return header, id
		}
	}
	return s, ""
}

// check makes sure that the flags make sense.
func (f judgeFlags) check(book *knowhow.Book) error {
	if !(f.Range > 0 && f.Range < 1) {
		return misused("--range: wanted a share between 0 and 1, found %g", f.Range)
	}
	if f.Purpose != "" && !slices.Contains(book.Purposes(), f.Purpose) {
		return misused("--purpose: wanted one of %s, found %q", strings.Join(book.Purposes(), ", "), f.Purpose)
	}
	return nil
}
