package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"

	"askance/analysis"
	"askance/ingest/boat"
)

// rowOf is a row of a document together with the document's own particulars,
// so that a row taken out of the table still tells its currency and date.
type rowOf[T any] struct {
	Row      T      `json:"-"`
	AsOf     string `json:"as_of"`
	Currency string `json:"currency"`
}

// ScanCSV writes one row a listing, headers named as the JSON's fields.
func ScanCSV(w io.Writer, s *analysis.Survey, v View) error {
	d := scanOf(s, v)
	rows := []rowOf[judgedDoc]{}
	for _, l := range d.Listings {
		rows = append(rows, rowOf[judgedDoc]{l, d.AsOf, d.Currency})
	}
	return writeCSV(w, rows)
}

// PriceCSV writes one row, headers named as the JSON's fields.
func PriceCSV(w io.Writer, p *analysis.Pricing, _ View) error {
	return writeCSV(w, []pricingDoc{pricingOf(p)})
}

// ReserveCSV writes one row a boat, headers named as the JSON's fields.
func ReserveCSV(w io.Writer, f *analysis.Fleet, _ View) error {
	d := reserveOf(f)
	rows := []rowOf[reserveBoatDoc]{}
	for _, b := range d.Boats {
		rows = append(rows, rowOf[reserveBoatDoc]{b, d.AsOf, d.Currency})
	}
	return writeCSV(w, rows)
}

// ReadCSV writes one row a listing, headers named as the JSON's fields.
func ReadCSV(w io.Writer, listings []boat.Listing) error {
	rows := []listingDoc{}
	for i := range listings {
		rows = append(rows, listingOf(&listings[i]))
	}
	return writeCSV(w, rows)
}

// writeCSV writes the single values of each row, nested ones named with dots.
func writeCSV[T any](w io.Writer, rows []T) error {
	out := csv.NewWriter(w)
	if err := out.Write(headers(reflect.TypeFor[T](), "")); err != nil {
		return fmt.Errorf("write csv: %w", err)
	}
	for _, r := range rows {
		if err := out.Write(cells(reflect.ValueOf(r), reflect.TypeFor[T]())); err != nil {
			return fmt.Errorf("write csv: %w", err)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("write csv: %w", err)
	}
	return nil
}

// headers lists the names of a type's single values.
func headers(t reflect.Type, prefix string) []string {
	var out []string
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch inner := pointee(f.Type); {
		case name == "-":
			out = append(out, headers(inner, prefix)...)
		case inner.Kind() == reflect.Struct:
			out = append(out, headers(inner, prefix+name+".")...)
		case inner.Kind() != reflect.Slice || f.Tag.Get("csv") == "join":
			out = append(out, prefix+name)
		}
	}
	return out
}

// cells lists the single values of a row; v may be a nil pointer or invalid,
// then all are blank.
func cells(v reflect.Value, t reflect.Type) []string {
	var out []string
	if v.IsValid() && v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	for i := range t.NumField() {
		f := t.Field(i)
		var value reflect.Value
		if v.IsValid() {
			value = v.Field(i)
		}
		switch inner := pointee(f.Type); {
		case inner.Kind() == reflect.Struct:
			out = append(out, cells(value, inner)...)
		case inner.Kind() != reflect.Slice || f.Tag.Get("csv") == "join":
			if _, options, _ := strings.Cut(f.Tag.Get("json"), ","); options == "omitempty" && value.IsValid() && value.IsZero() {
				value = reflect.Value{}
			}
			out = append(out, cell(value))
		}
	}
	return out
}

func pointee(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}

// cell writes one value; unknown ones are blank.
func cell(v reflect.Value) string {
	if v.IsValid() && v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	if !v.IsValid() {
		return ""
	}
	switch x := v.Interface().(type) {
	case string:
		return inert(x)
	case float64:
		return strconv.FormatFloat(x, 'f', -1, 64)
	case int:
		return strconv.Itoa(x)
	case bool:
		return strconv.FormatBool(x)
	case []string:
		return inert(strings.Join(x, "; "))
	case []findingDoc:
		var words []string
		for _, f := range x {
			words = append(words, f.Item+"="+f.Value)
		}
		return inert(strings.Join(words, "; "))
	}
	return ""
}

// inert keeps a spreadsheet from taking a text for a formula: one that starts
// like a formula gets an apostrophe in front.
func inert(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
