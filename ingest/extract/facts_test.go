package extract

import (
	"strings"
	"testing"
	"time"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/record"

	"github.com/google/go-cmp/cmp"
)

func rowOf(cells ...string) record.Row {
	var row record.Row
	for i := 0; i+1 < len(cells); i += 2 {
		row.Cells = append(row.Cells, record.Cell{Field: cells[i], Header: cells[i], Text: cells[i+1]})
	}
	return row
}

func TestMask(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"call 01234 567890 or mail jo@example.org", "call [phone] or mail [mail]"},
		{"Tel. 0171/2345678", "Tel. [phone]"},
		{"+49 171 234 56 78, ab 18 Uhr", "[phone], ab 18 Uhr"},
		{"jo (at) example (punkt) org", "[mail]"},
		{"3450 EUR, 05/2009", "3450 EUR, 05/2009"},
		{"05.06.2026", "05.06.2026"},
		{"XXX12AB7F910", "XXX12AB7F910"},
		{"FR-XXX1A234C414", "FR-XXX1A234C414"},
		{"4.500,00 EUR + 300 EUR", "4.500,00 EUR + 300 EUR"},
		{"1998-10", "1998-10"},
		{"DE-XXX00123A010", "DE-XXX00123A010"},
		{"£1,000 or 2000 2010", "£1,000 or 2000 2010"},
	} {
		if got := Mask(c.text); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

func TestDates(t *testing.T) {
	r, _ := builtin(t)
	asOf := time.Date(2026, 6, 10, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct{ text, want string }{
		{"2026-04-12", "2026-04-12"}, {"12.04.2026", "2026-04-12"}, {"12.4.26", "2026-04-12"}, {"12/04/2026", "2026-04-12"},
		{"2026-04-12T18:30:00Z", "2026-04-12"}, {"12 April 2026", "2026-04-12"}, {"April 12, 2026", "2026-04-12"},
		{"12. April 2026", "2026-04-12"}, {"12 Apr", "2026-04-12"}, {"24 Dec", "2025-12-24"}, {"12. März 2026", "2026-03-12"},
		{"today", "2026-06-10"}, {"Heute, 18:20", "2026-06-10"}, {"yesterday", "2026-06-09"}, {"3 days ago", "2026-06-07"},
		{"vor 2 Wochen", "2026-05-27"}, {"il y a 3 jours", "2026-06-07"}, {"31.02.2026", ""}, {"soon", ""}, {"13/05/2026", "2026-05-13"},
		{"05/13/2026", "2026-05-13"}, {"", ""}, {"i går", "2026-06-09"}, {"för 3 dagar sedan", "2026-06-07"}, {"for 2 uger siden", "2026-05-27"}, {"12. maj 2026", "2026-05-12"}, {"3 okt 2025", "2025-10-03"},
	} {
		got, ok := r.dates.date(c.text, asOf, false)
		have := ""
		if ok {
			have = got.Format(time.DateOnly)
		}
		if have != c.want {
			t.Errorf("%q: %q, want %q", c.text, have, c.want)
		}
	}
	if got, _ := r.dates.date("04/12/2026", asOf, true); got.Month() != time.April {
		t.Errorf("month first: %v", got)
	}
}

func TestYearColumn(t *testing.T) {
	r, _ := builtin(t)
	for _, c := range []struct {
		text        string
		year, month int
	}{
		{"2009", 2009, 0}, {"10/1998", 1998, 10}, {"1998-10", 1998, 10}, {"Bj. 98", 1998, 0}, {"ca. 2005", 2005, 0},
		{"1998/10", 1998, 10}, {"10.1998", 1998, 10}, {"Oct 1998", 1998, 10}, {"1990s", 0, 0}, {"90er Jahre", 0, 0},
		{"unknown", 0, 0}, {"07", 2007, 0}, {"2009-05-01", 2009, 5}, {"3010", 0, 0},
	} {
		y, m, _ := r.columnYear(c.text, 2026)
		if y != c.year || m != c.month {
			t.Errorf("%q: %d month %d, want %d month %d", c.text, y, m, c.year, c.month)
		}
	}
}

func TestBuildYearAmongOtherYears(t *testing.T) {
	r, _ := builtin(t)
	for _, c := range []struct {
		title, text string
		want        int
	}{
		{"Skerrik 16", "Alle draden vernieuwd in het voorjaar van 2025.", 0},
		{"Skerrik 16", "Sails from 2019, bought in 2015, raced at the nationals 2018.", 0},
		{"Skerrik 16", "Bought new in 2012.", 2012},
		{"For sale", "Private seller offers catamaran, 2011, in very tidy order.", 2011},
		{"Skerrik 16", "About 20 years old.", 0},
		{"Skerrik 16", "From the 1990s.", 0},
		{"Skerrik 16", "Built 10/1998.", 1998},
		{"Skerrik 16 2004", "Trampoline 2022", 2004},
		{"Skerrik 16 -03", "Sails -22", 2003},
		{"Skerrik 16", "Suits children, 10 -12 years", 0},
		{"Cat for sale", "Skerrik 16, 2011, good sails, trailer", 2011},
		{"Skerrik 16", "1988 års båt", 1988},
		{"Skerrik 16", "Aus den 90er Jahren", 0},
		{"Skerrik 16", "TÜV bis 2027, Segel 2020", 0},
		{"Skerrik 16", "Bj. 98, VB 1500 €", 1998},
		{"Skerrik 16", "year 2003, price 2000 EUR", 2003},
		{"Skerrik 16 with sails 2019", "", 0},
		{"Skerrik 16", "2007 boat in good condition", 2007},
		{"Skerrik 16", "HIN XXX12AB7F910", 2010},
		{"Skerrik 16", "It was fun. We are too old now. The boat (2008) is yours.", 2008},
		{"Skerrik 16", "Trampoline and sails new (2025).", 0},
		{"Skerrik 16", "Grand-voile de 2022, foc de 2015.", 0},
		{"Skerrik 16", "Kat uit 2004 in goede staat.", 2004},
	} {
		l := r.Listing(rowOf("title", c.title, "text", c.text), record.Batch{}, Options{AsOf: adsAsOf})
		if l.Year.Value != c.want {
			t.Errorf("%q / %q: %d from %q, want %d", c.title, c.text, l.Year.Value, l.Year.Said, c.want)
		}
	}
}

func TestYearConflicts(t *testing.T) {
	r, _ := builtin(t)
	l := r.Listing(rowOf("title", "Skerrik 16", "year", "2014", "hull_number", "XXX12AB7F910"), record.Batch{}, Options{AsOf: adsAsOf})
	if l.Year.Value != 2014 || l.Year.From != "column" || l.Year.Conflict != "hull number says 2010" {
		t.Errorf("%+v", l.Year)
	}
	l = r.Listing(rowOf("title", "Skerrik 16", "year", "2009", "hull_number", "XXX12AB7F910"), record.Batch{}, Options{AsOf: adsAsOf})
	if l.Year.Conflict != "" {
		t.Errorf("a year apart is no conflict: %+v", l.Year)
	}
	l = r.Listing(rowOf("title", "Skerrik 16", "year", "2014", "text", "built 2004"), record.Batch{}, Options{AsOf: adsAsOf})
	if l.Year.Value != 2014 || !strings.Contains(l.Year.Conflict, "2004") {
		t.Errorf("%+v", l.Year)
	}
}

func TestLength(t *testing.T) {
	r, _ := builtin(t)
	for _, c := range []struct {
		title, text, column, unit string
		want                      float64
	}{
		{"Skerrik 16", "", "5.05 m", "", 5.05}, {"Skerrik 16", "", "16", "ft", 4.8768}, {"Skerrik 16", "", "16 ft 5 in", "", 5.0038},
		{"Skerrik 16", "", "5,05m", "", 5.05}, {"Skerrik 16", "", "16", "", 0}, {"Skerrik 16", "", "505 cm", "", 5.05},
		{"Skerrik 16", "Length 5.05 m, mast 8.5 m", "", "", 5.05}, {"Skerrik 16", "mast 8.5 m", "", "", 0},
		{"Skerrik 16", "Länge 5,05 m, Breite 2,4 m", "", "", 5.05}, {"16 ft catamaran", "", "", "", 4.8768}, {"Skerrik 16", "beam 2.4 m", "", "", 0},
		{"Skerrik 16", "5,05 m lang", "", "", 5.05}, {"Skerrik 16", "", "16' 6\"", "", 5.0292},
	} {
		row := rowOf("title", c.title, "text", c.text)
		if c.column != "" {
			row.Cells = append(row.Cells, record.Cell{Field: "length", Header: "length", Text: c.column, Unit: c.unit})
		}
		l := r.Listing(row, record.Batch{}, Options{AsOf: adsAsOf})
		if d := l.Length.Value - c.want; d > 1e-9 || d < -1e-9 {
			t.Errorf("%q %q %q: %g, want %g", c.title, c.text, c.column, l.Length.Value, c.want)
		}
	}
}

func TestPriceColumnAgainstText(t *testing.T) {
	r, _ := builtin(t)
	for _, c := range []struct {
		column, text string
		want         float64
		terms        string
	}{
		{"3450 EUR", "new price 9800 EUR", 3450, ""},
		{"1 €", "Preis 2500 €, Neupreis 9800 €", 2500, ""},
		{"", "New sails cost 2400 EUR. Asking 4700 EUR ono", 4700, "negotiable"},
		{"VB 3.450 €", "", 3450, "negotiable"},
		{"", "Prix : CHF 2'950.- à discuter", 2950, "negotiable"},
		{"VB", "Neupreis 9800 €", 0, "negotiable"},
		{"", "Trailer optional 400 €. VB 1900 €", 1900, "negotiable"},
		{"3000", "Festpreis!", 3000, "fixed"},
	} {
		l := r.Listing(rowOf("title", "Skerrik 16", "price", c.column, "text", c.text), record.Batch{Currency: "EUR"}, Options{AsOf: adsAsOf})
		got := 0.0
		if l.Price.Known {
			got = l.Price.Major()
		}
		if got != c.want || l.Price.Terms != c.terms {
			t.Errorf("%q / %q: %g %q, want %g %q", c.column, c.text, got, l.Price.Terms, c.want, c.terms)
		}
	}
}

func TestSeveralBoats(t *testing.T) {
	r, _ := builtin(t)
	for _, c := range []struct {
		title, text string
		boats       int
		lot         bool
	}{
		{"Two Skerrik 16 catamarans", "4000 EUR each", 2, false},
		{"3 cats for sale", "9000 EUR for all", 3, true},
		{"Skerrik 16", "One of the best boats", 1, false},
		{"Sejlbåde", "2 stk. katamaraner sælges for 12.000 kr. pr. stk.", 2, false},
		{"Sejlbåde", "2 stk. katamaraner sælges samlet for 24.000 kr.", 2, true},
		{"Zwei Katamarane", "zusammen 5000 €", 2, true},
		{"Skerrik 16 catamaran", "", 1, false},
	} {
		l := r.Listing(rowOf("title", c.title, "text", c.text), record.Batch{}, Options{AsOf: adsAsOf})
		if l.Boats != c.boats || l.Lot != c.lot {
			t.Errorf("%q: %d boats, lot %v", c.title, l.Boats, l.Lot)
		}
	}
}

func TestKind(t *testing.T) {
	r, _ := builtin(t)
	for _, c := range []struct {
		title, text, price string
		want               boat.Kind
	}{
		{"Skerrik 16 for sale", "with trailer", "2000 EUR", boat.ForSale},
		{"WANTED Skerrik 16", "", "", boat.Wanted},
		{"Skerrik 16", "I am looking for a Skerrik 16 with trailer", "", boat.Wanted},
		{"Skerrik 16 looking for a new home", "", "2000 EUR", boat.ForSale},
		{"Skerrik 16", "Selling because I am looking for a bigger boat", "2000 EUR", boat.ForSale},
		{"Mainsail Skerrik 16", "good", "200 EUR", boat.Parts},
		{"New trampoline for Skerrik 16", "", "200 EUR", boat.Parts},
		{"Skerrik 16", "Är du intresserad av bara seglen? Det går inte.", "20000 SEK", boat.ForSale},
		{"Hulls catamaran", "two of them", "200 EUR", boat.Parts},
		{"Sail boat with two hulls", "came with the house", "450 EUR", boat.ForSale},
		{"Kat te koop, ook voor onderdelen geschikt", "", "500 EUR", boat.ForSale},
		{"Skerrik 16 with new sails", "", "2000 EUR", boat.ForSale},
		{"Skerrik 16 for spares only", "", "200 EUR", boat.Parts},
		{"Breaking Skerrik 16 for spares", "", "200 EUR", boat.Parts},
		{"Skerrik 16 swap for dinghy", "", "", boat.Swap},
		{"Skerrik 16 sale or swap", "", "2000 EUR", boat.ForSale},
		{"Tausche Skerrik 16", "gegen Jolle", "", boat.Swap},
		{"Gesucht: Kat", "", "", boat.Wanted},
		{"Ruderblätter Skerrik 16", "", "100 €", boat.Parts},
		{"Skerrik 16 sucht neuen Besitzer", "", "1000 €", boat.ForSale},
	} {
		l := r.Listing(rowOf("title", c.title, "text", c.text, "price", c.price), record.Batch{}, Options{AsOf: adsAsOf})
		if l.Kind != c.want {
			t.Errorf("%q / %q: %s, want %s", c.title, c.text, l.Kind, c.want)
		}
	}
}

func TestExtraColumns(t *testing.T) {
	r, _ := builtin(t)
	batch := record.Batch{Rows: []record.Row{
		rowOf("title", "A 16", "Wagen", "x", "Radio", "yes", "Sails", "new 2025"),
		rowOf("title", "B 16", "Wagen", "", "Radio", "no", "Sails", ""),
		rowOf("title", "C 16", "Wagen", "x", "Radio", "", "Sails", "tired"),
	}}
	for i := range batch.Rows {
		for k := range batch.Rows[i].Cells {
			if c := &batch.Rows[i].Cells[k]; c.Header == "Sails" {
				c.Field = "sails"
			}
		}
	}
	ls := r.Listings(batch, Options{AsOf: adsAsOf, Extras: []ExtraColumn{{"launching_trolley", "Wagen"}, {"", "Radio"}}})
	var got []string
	for _, l := range ls {
		s := ""
		for _, f := range l.Findings {
			s += f.Item + "=" + f.Value + " "
		}
		got = append(got, strings.TrimSpace(s))
	}
	want := []string{"sails=fresh launching_trolley=included extra:Radio=included", "launching_trolley=absent extra:Radio=absent", "sails=worn launching_trolley=included"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestMeasures(t *testing.T) {
	r, _ := builtin(t)
	l := r.Listing(rowOf("title", "A 16", "Area", "17,5", "Weight", "0", "Region", " north "), record.Batch{}, Options{AsOf: adsAsOf, Factors: []string{"Region"}, Measures: []string{"Area", "Weight"}})
	if l.Measures["Area"] != 17.5 || l.Factors["Region"] != "north" || len(l.Measures) != 1 || len(l.Problems) != 1 {
		t.Errorf("%v %v %v", l.Measures, l.Factors, l.Problems)
	}
}

func TestClasses(t *testing.T) {
	r, _ := builtin(t)
	var ls []boat.Listing
	for _, title := range []string{"Skerrik16 2009", "skerrik 16, top", "SKERRIK-16 with trailer", "Tavor 18 race", "Tavor 18", "Cat 2004", "Trailer 750 kg", "Lumen", "old Tavor 18"} {
		ls = append(ls, r.Listing(rowOf("title", title), record.Batch{}, Options{AsOf: adsAsOf}))
	}
	var got []string
	for _, l := range r.Classes(ls) {
		got = append(got, l.Class.Value)
	}
	want := []string{"SKERRIK-16", "SKERRIK-16", "SKERRIK-16", "Tavor 18", "Tavor 18", "", "", "", "Tavor 18"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestClassesFromBookAndColumn(t *testing.T) {
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	book.Classes = []knowhow.Class{{ID: "sk16", Name: "Skerrik 16", Also: []string{"Skerrik sixteen"}, Maker: "Nordhavn Yard"}}
	r := New(book)
	ls := []boat.Listing{
		r.Listing(rowOf("title", "nice boat", "class", "SKERRIK-16"), record.Batch{}, Options{}),
		r.Listing(rowOf("title", "my Skerrik Sixteen"), record.Batch{}, Options{}),
		r.Listing(rowOf("title", "x", "class", "Tavor 18", "maker", "Tavor Boats"), record.Batch{}, Options{}),
		r.Listing(rowOf("title", "selling a tavor18"), record.Batch{}, Options{}),
	}
	var got []string
	for _, l := range r.Classes(ls) {
		got = append(got, l.Class.Value+" by "+l.Maker.Value)
	}
	want := []string{"Skerrik 16 by Nordhavn Yard", "Skerrik 16 by Nordhavn Yard", "Tavor 18 by Tavor Boats", "Tavor 18 by Tavor Boats"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestIDs(t *testing.T) {
	a := boat.Listing{Title: "Skerrik 16", Source: boat.Source{URL: "https://example.org/ad?id=7&utm_source=x"}}
	b := boat.Listing{Title: "other", Source: boat.Source{URL: "https://example.org/ad?id=7"}}
	c := boat.Listing{Title: "SKERRIK-16", Text: "a", Price: boat.Price{Known: true}}
	d := boat.Listing{Title: "skerrik 16", Text: "b"}
	ls := []boat.Listing{a, b, c, d}
	AssignIDs(ls)
	if ls[1].ID != ls[0].ID+"-2" || ls[3].ID != ls[2].ID+"-2" || len(ls[0].ID) != 12 || ls[0].ID == ls[2].ID {
		t.Errorf("%s %s %s %s", ls[0].ID, ls[1].ID, ls[2].ID, ls[3].ID)
	}
}

// A price in the title is no part of the id, so that a new price keeps it.
func TestIDIsFreeOfThePrice(t *testing.T) {
	r, _ := builtin(t)
	var ids []string
	for _, title := range []string{"Skerrik 16, € 4.750", "Skerrik 16, € 4.250", "Skerrik 16 - 3 900 EUR", "Skerrik 16", "Skerrik 18"} {
		ids = append(ids, ID(r.Listing(rowOf("title", title), record.Batch{}, Options{AsOf: adsAsOf})))
	}
	if ids[0] != ids[1] || ids[3] != ids[0] || ids[4] == ids[0] {
		t.Error(ids)
	}
	if other := ID(r.Listing(rowOf("title", "Skerrik 16 - 3 400 EUR"), record.Batch{}, Options{AsOf: adsAsOf})); other != ids[2] {
		t.Errorf("%s and %s", other, ids[2])
	}
}

func TestContradictionIsTold(t *testing.T) {
	r, _ := builtin(t)
	l := r.Listing(rowOf("title", "Skerrik 16", "text", "The sails are worn. Correction: the mainsail is new 2025."), record.Batch{}, Options{AsOf: adsAsOf})
	f, _ := l.Find("sails")
	if f.Value != "fresh" || len(l.Notes) != 1 {
		t.Errorf("%+v %q", f, l.Notes)
	}
}

func TestListingDate(t *testing.T) {
	r, _ := builtin(t)
	fileDate := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		listed string
		file   time.Time
		want   string
	}{
		{"12.04.2025", fileDate, "2025-04-12"}, {"", fileDate, "2026-05-01"}, {"", time.Time{}, "2026-06-01"}, {"gestern", fileDate, "2026-04-30"},
	} {
		l := r.Listing(rowOf("title", "x", "listed", c.listed), record.Batch{Date: c.file}, Options{AsOf: adsAsOf})
		if got := l.AsOf.Format(time.DateOnly); got != c.want {
			t.Errorf("%q: %s, want %s", c.listed, got, c.want)
		}
	}
}
