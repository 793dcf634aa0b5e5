package ingest

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"askance/ingest/boat"
)

const manyRows = 5000

// export writes a long list as a site's export has it: lines above the header,
// columns that nobody asked for, texts with the delimiter, the header again on
// each printed page, and a sum below.
func export() string {
	var b strings.Builder
	b.WriteString("Inseratsexport;;;;;;;\nStand: 01.05.2026;;;;;;;\n;;;;;;;\n")
	header := "Überschrift;Baujahr;Preis;Standort;Anzeigentext;Segelnummer;Farbe;Trailer\n"
	b.WriteString(header)
	for i := range manyRows {
		if i > 0 && i%1000 == 0 {
			b.WriteString(header)
		}
		text := "Gepflegtes Boot aus erster Hand und immer im Trockenen gelagert"
		if i%97 == 5 {
			text += "; neue Segel" // without quotes
		}
		fmt.Fprintf(&b, "Zephrin 16 Nummer %d;%d;%d.%03d,00 €;Ostholm;%s;%d;%s;%s\n", i, 1985+i%40, 1+i%9, i%100*10+5, text, 100+i, []string{"blau", "rot"}[i%2], []string{"x", ""}[i%2])
	}
	b.WriteString("Summe;;22.495.000,00 €;;;;;\n")
	return b.String()
}

func readOne(t *testing.T, f File, o Options) *Reading {
	t.Helper()
	all, err := Listings([]File{f}, builtin(t), o)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestLongExport(t *testing.T) {
	f := File{Name: "export.csv", Data: []byte(export()), Modified: day("2026-05-01")}
	all := readOne(t, f, Options{Factors: []string{"Farbe"}, Measures: []string{"Segelnummer"}, Extras: map[string]string{"Trailer": "road_trailer"}})
	if len(all.Listings) != manyRows {
		t.Fatalf("wanted %d listings, found %d", manyRows, len(all.Listings))
	}
	for i, l := range all.Listings {
		wantPrice := float64(1000*(1+i%9) + i%100*10 + 5)
		if l.Title != fmt.Sprintf("Zephrin 16 Nummer %d", i) || l.Price.Major() != wantPrice || l.Price.Currency != "EUR" || l.Year.Value != 1985+i%40 || l.Place.Value != "Ostholm" || l.Factors["Farbe"] == "" || l.Measures["Segelnummer"] != float64(100+i) {
			t.Fatalf("row %d: found %q %v %s %v %q %v %v", i, l.Title, l.Price.Major(), l.Price.Currency, l.Year.Value, l.Place.Value, l.Factors, l.Measures)
		}
		if strings.Contains(l.Text, ";") != (i%97 == 5) {
			t.Fatalf("row %d: text %q", i, l.Text)
		}
		if got := finding(&l, "road_trailer"); (got == "included") != (i%2 == 0) {
			t.Fatalf("row %d: trailer %q", i, got)
		}
	}
	if unused := readOne(t, f, Options{}).Unused["export.csv"]; fmt.Sprint(unused) != "[{Segelnummer 100 --measure} {Farbe blau --factor}]" {
		t.Errorf("wanted the two columns that nothing uses, found %q", unused)
	}
}

func finding(l *boat.Listing, item string) string {
	for _, f := range l.Findings {
		if f.Item == item {
			return f.Value
		}
	}
	return ""
}

// TestLongWorkbook reads a workbook with a merged title, two sheets of boats
// whose columns differ, one of notes, and a second header further down.
func TestLongWorkbook(t *testing.T) {
	x := excelize.NewFile()
	set := func(sheet string, row int, values ...any) {
		if err := x.SetSheetRow(sheet, fmt.Sprintf("A%d", row), &values); err != nil {
			t.Fatal(err)
		}
	}
	set("Sheet1", 1, "Boats for sale, spring")
	if err := x.MergeCell("Sheet1", "A1", "D1"); err != nil {
		t.Fatal(err)
	}
	set("Sheet1", 3, "Boat", "Year", "Price (£)", "Lying", "Berth code")
	for i := range manyRows / 2 {
		set("Sheet1", 4+i, fmt.Sprintf("Zephrin 16 no. %d", i), 1990+i%30, 1000+i, "Ostholm", "B7")
	}
	set("Sheet1", 4+manyRows/2, "Total", nil, 1e6)
	set("Sheet1", 8+manyRows/2, "Price (£)", "Boat", "Year")
	set("Sheet1", 9+manyRows/2, 4321, "Pluvo 18", 2001)
	for _, name := range []string{"More", "Notes"} {
		if _, err := x.NewSheet(name); err != nil {
			t.Fatal(err)
		}
	}
	set("More", 1, "Asking price", "Title", "Built")
	set("More", 2, "€ 2.450,-", "Ovelka 14", 1999)
	set("Notes", 1, "Ask the secretary")
	var data bytes.Buffer
	if err := x.Write(&data); err != nil {
		t.Fatal(err)
	}
	all := readOne(t, File{Name: "boats.xlsx", Data: data.Bytes(), Modified: day("2026-05-01")}, Options{})
	if len(all.Listings) != manyRows/2+2 {
		t.Fatalf("wanted %d listings, found %d", manyRows/2+2, len(all.Listings))
	}
	for at, want := range map[int]string{0: "Zephrin 16 no. 0 1000 GBP 1990", manyRows/2 - 1: "Zephrin 16 no. 2499 3499 GBP 1999", manyRows / 2: "Pluvo 18 4321 GBP 2001", manyRows/2 + 1: "Ovelka 14 2450 EUR 1999"} {
		l := all.Listings[at]
		if got := fmt.Sprintf("%s %v %s %d", l.Title, l.Price.Major(), l.Price.Currency, l.Year.Value); got != want {
			t.Errorf("listing %d: wanted %s, found %s", at, want, got)
		}
	}
	if unused := all.Unused["boats.xlsx"]; len(unused) != 1 || unused[0].Header != "Berth code" {
		t.Errorf("wanted the column that nothing uses, found %q", unused)
	}
}

// TestNamedColumn lets the user say which column holds the price.
func TestNamedColumn(t *testing.T) {
	f := csv("m.csv", "title,limit,year", "Zephrin 16,EUR 2450,2004")
	if l := readOne(t, f, Options{Column: map[string]string{"price": "limit"}}).Listings[0]; l.Price.Major() != 2450 {
		t.Errorf("found %+v", l.Price)
	}
}
