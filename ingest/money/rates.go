package money

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"
)

// Rates are dated exchange rates, in units of a currency for one euro.
type Rates struct {
	days []day // oldest first
}

type day struct {
	date  time.Time
	perEU map[string]float64
}

const base = "EUR" // what the rates are for one of

const (
	maxDays       = 40_000 // of one file: over a hundred years
	maxCurrencies = 300
)

// ReadRates reads the euro foreign exchange reference rates as the European
// Central Bank publishes them: the CSV of one day ("26 September 2024", comma
// and space), the CSV of all days (ISO dates, newest first, N/A where there is
// none) or the XML of either. Errors tell line and column.
func ReadRates(data []byte) (Rates, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	text := bytes.TrimSpace(data)
	var r Rates
	var err error
	switch {
	case len(text) == 0:
		err = fault(1, 1, "exchange rates", "nothing")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		err = errors.New("wanted the text of exchange rates, found a zip archive (hint: unpack it first)")
	case text[0] == '<':
		err = r.readXML(data)
	default:
		err = r.readCSV(data)
	}
	if err != nil {
		return Rates{}, err
	}
	if len(r.days) == 0 {
		return Rates{}, fault(1, 1, "at least one day of exchange rates", "none")
	}
	sort.SliceStable(r.days, func(i, j int) bool { return r.days[i].date.Before(r.days[j].date) })
	for i := 1; i < len(r.days); i++ {
		if r.days[i].date.Equal(r.days[i-1].date) {
			return Rates{}, fmt.Errorf("wanted each day once, found %s twice", r.days[i].date.Format(time.DateOnly))
		}
	}
	return r, nil
}

func fault(line, column int, wanted, found string) error {
	return fmt.Errorf("line %d, column %d: wanted %s, found %s", line, column, wanted, found)
}

func (r *Rates) readCSV(data []byte) error {
	in := csv.NewReader(bytes.NewReader(data))
	in.Comment = '#'
	in.TrimLeadingSpace = true
	in.FieldsPerRecord = -1
	header, err := in.Read()
	if err != nil {
		return csvFault(err)
	}
	codes, err := currencies(in, header)
	if err != nil {
		return err
	}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return csvFault(err)
		}
		d, err := readDay(in, row, codes)
		if err != nil {
			return err
		}
		if len(r.days) == maxDays {
			line, _ := in.FieldPos(0)
			return fault(line, 1, fmt.Sprintf("at most %d days", maxDays), "more")
		}
		r.days = append(r.days, d)
	}
}

// csvFault puts an error of the CSV reader into this package's words.
func csvFault(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return fault(p.Line, p.Column, "comma-separated text", p.Err.Error())
	}
	return err
}

// currencies reads the header: "Date", then codes; the field after the last
// comma is empty.
func currencies(in *csv.Reader, header []string) ([]string, error) {
	if !strings.EqualFold(strings.TrimSpace(header[0]), "date") {
		line, column := in.FieldPos(0)
		return nil, fault(line, column, `"Date" as the first header`, strconv.Quote(header[0]))
	}
	if len(header) > maxCurrencies {
		return nil, fault(1, 1, fmt.Sprintf("at most %d currencies", maxCurrencies), strconv.Itoa(len(header)))
	}
	codes := make([]string, len(header))
	for i, h := range header[1:] {
		code := strings.TrimSpace(h)
		line, column := in.FieldPos(i + 1)
		switch {
		case code == "" && i+2 == len(header):
		case !isCode(code):
			return nil, fault(line, column, "a currency code of three capitals", strconv.Quote(h))
		case slices.Contains(codes, code):
			return nil, fault(line, column, "each currency once", code+" twice")
		}
		codes[i+1] = code
	}
	return codes, nil
}

func isCode(s string) bool {
	return len(s) == 3 && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

func readDay(in *csv.Reader, row, codes []string) (day, error) {
	at := func(i int, wanted string) error {
		line, column := in.FieldPos(i)
		return fault(line, column, wanted, strconv.Quote(row[i]))
	}
	date, err := readDate(strings.TrimSpace(row[0]))
	if err != nil {
		return day{}, at(0, `a date such as "2024-09-26" or "26 September 2024"`)
	}
	d := day{date, map[string]float64{}}
	for i, field := range row[1:] {
		text := strings.TrimSpace(field)
		switch {
		case text == "" || text == "N/A":
			continue
		case i+1 >= len(codes) || codes[i+1] == "":
			return day{}, at(i+1, "no more fields than headers")
		}
		rate, ok := readRate(text)
		if !ok {
			return day{}, at(i+1, "a rate above 0, or N/A")
		}
		d.perEU[codes[i+1]] = rate
	}
	return d, nil
}

func readDate(s string) (time.Time, error) {
	if t, err := time.Parse(time.DateOnly, s); err == nil {
		return t, nil
	}
	return time.Parse("2 January 2006", s)
}

func readRate(s string) (float64, bool) {
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && v > 0 && !math.IsInf(v, 0)
}

// readXML reads nested elements Cube: one a day with the attribute time, in it
// one a currency.
func (r *Rates) readXML(data []byte) error {
	in := xml.NewDecoder(bytes.NewReader(data))
	for {
		line, column := in.InputPos()
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			line, column = in.InputPos()
			return fault(line, column, "well-formed XML", err.Error())
		}
		cube, ok := token.(xml.StartElement)
		if !ok || cube.Name.Local != "Cube" {
			continue
		}
		if err := r.readCube(cube, line, column); err != nil {
			return err
		}
	}
}

func (r *Rates) readCube(cube xml.StartElement, line, column int) error {
	is := map[string]string{}
	for _, a := range cube.Attr {
		is[a.Name.Local] = a.Value
	}
	if text, ok := is["time"]; ok {
		date, err := readDate(text)
		if err != nil {
			return fault(line, column, `a date such as "2024-09-26"`, strconv.Quote(text))
		}
		if len(r.days) == maxDays {
			return fault(line, column, fmt.Sprintf("at most %d days", maxDays), "more")
		}
		r.days = append(r.days, day{date, map[string]float64{}})
	}
	code, ok := is["currency"]
	if !ok {
		return nil
	}
	rate, valid := readRate(is["rate"])
	switch {
	case len(r.days) == 0:
		return fault(line, column, "a day before its rates", code)
	case !isCode(code):
		return fault(line, column, "a currency code of three capitals", strconv.Quote(code))
	case !valid:
		return fault(line, column, "a rate above 0", strconv.Quote(is["rate"]))
	}
	r.days[len(r.days)-1].perEU[code] = rate
	return nil
}
