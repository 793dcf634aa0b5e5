package ingest

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// A column of lengths that names no unit tells it by its own numbers, and the
// user is told; a column that names one is taken at its word, also where the
// user named the column.
func TestUnitOfLengths(t *testing.T) {
	for _, c := range []struct {
		header, cells string
		column        string
		metres        float64 // of the first
		note          string
	}{
		{"Length", "16 18 14 16 20", "", 16 * 0.3048, "in feet, since most are whole"},
		{"Length", "5.05 4.20 6,1 5.5 4.7", "", 5.05, "in metres, since the middle one is 5.0"},
		{"Length", "12.35 10.5 9.99 8.20 11.06", "", 12.35, "in metres, since most have decimals"},
		{"Length", "38 42.5 45 40 36", "", 38 * 0.3048, "in feet, since the middle one is 40"},
		{"Länge", "505 420 550 610 470", "", 5.05, "in centimetres"},
		{"Length (ft)", "16 18 14 16 20", "", 16 * 0.3048, ""},
		{"LOA \n(ft)", "30 45 46 29 28", "LOA \n(ft)", 30 * 0.3048, ""},
		{"Length", "5.05 4.20 6.1 5.5", "", 0, ""}, // too few to tell
		{"Length", "16 ft;18 ft;14 ft;16 ft;20 ft", "", 16 * 0.3048, ""},
	} {
		split := strings.Fields(c.cells)
		if strings.Contains(c.cells, ";") {
			split = strings.Split(c.cells, ";")
		}
		file := fmt.Sprintf("Title;Price;Year;%q\n", c.header)
		if strings.Contains(c.header, "\n") {
			file = "Title;Price;Year;\"" + c.header + "\"\n"
		}
		for i, cell := range split {
			file += fmt.Sprintf("Zephrin %d;%d00 EUR;2010;%s\n", 16+i, 31+i, cell)
		}
		o := Options{Today: day("2026-06-07")}
		if c.column != "" {
			o.Column = map[string]string{"length": c.column}
		}
		all, err := Listings([]File{{Name: "boats.csv", Data: []byte(file)}}, builtin(t), o)
		if err != nil {
			t.Fatal(err)
		}
		if got := all.Listings[0].Length.Value; math.Abs(got-c.metres) > 1e-9 {
			t.Errorf("%q %s: %.3f m, want %.3f", c.header, c.cells, got, c.metres)
		}
		if notes := strings.Join(all.Notes, "\n"); !strings.Contains(notes, c.note) || c.note == "" && strings.Contains(notes, "length") {
			t.Errorf("%q %s: notes %q, want %q", c.header, c.cells, notes, c.note)
		}
	}
}

// A table that names the class and no title calls its boats by class and year,
// not by the first words of their description.
func TestTitleFromClass(t *testing.T) {
	file := "Model;Year;Price;Description\nZephrin 16;2011;3200 EUR;Well kept boat with trolley.\n;2008;2100 EUR;Old but sound\n"
	all, err := Listings([]File{{Name: "boats.csv", Data: []byte(file)}}, builtin(t), Options{Today: day("2026-06-07")})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := all.Listings[0].Title, all.Listings[1].Title; a != "Zephrin 16 2011" || b != "Old but sound" {
		t.Errorf("titles %q, %q", a, b)
	}
}
