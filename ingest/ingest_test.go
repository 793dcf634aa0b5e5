package ingest

import (
	"errors"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"askance/fixtures"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// loadOnce loads the built-in facts for all tests.
var loadOnce = sync.OnceValues(func() (*knowhow.Book, error) { return knowhow.Load(nil) })

func builtin(t testing.TB) *knowhow.Book {
	t.Helper()
	book, err := loadOnce()
	if err != nil {
		t.Fatal(err)
	}
	return book
}

func day(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return d
}

// csv makes a file of a table.
func csv(name string, lines ...string) File {
	return File{Name: name, Data: []byte(strings.Join(lines, "\n") + "\n"), Modified: day("2026-05-01")}
}

// demoFiles are the exports of the invented market.
func demoFiles(t testing.TB) []File {
	t.Helper()
	var files []File
	err := fs.WalkDir(fixtures.Market(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(fixtures.Market(), name)
		files = append(files, File{Name: name, Data: data})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func TestEveryExportOfTheDemoGivesBoats(t *testing.T) {
	book, files := builtin(t), demoFiles(t)
	whole, err := Read(files, book, Options{Today: day("2026-09-14")})
	if err != nil {
		t.Fatal(err)
	}
	if got := len(whole.Listings) + whole.Duplicates + len(whole.LeftOut); got != whole.Read {
		t.Errorf("read %d rows, but %d listings, %d duplicates and %d left out", whole.Read, len(whole.Listings), whole.Duplicates, len(whole.LeftOut))
	}
	if n := len(whole.Listings); n < 90 || n > 140 {
		t.Errorf("%d boats, want 90 to 140", n)
	}
	if whole.Currency != "EUR" {
		t.Errorf("currency %q, want EUR", whole.Currency)
	}
	codes := map[string]int{}
	for _, l := range whole.LeftOut {
		codes[l.Code]++
	}
	for _, code := range []string{boat.NoPrice, boat.IsWanted, boat.IsParts, boat.IsSwap, boat.IsFree, boat.IsLot, boat.NoRate} {
		if codes[code] == 0 {
			t.Errorf("nothing left out as %s: %v", code, codes)
		}
	}
	for _, f := range files {
		one, err := Read([]File{f}, book, Options{Today: day("2026-09-14")})
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		if len(one.Listings) == 0 {
			t.Errorf("%s alone gives no boat", f.Name)
		}
	}
	again, err := Read(files, book, Options{Today: day("2026-09-14")})
	if diff := cmp.Diff(whole, again); err != nil || diff != "" {
		t.Errorf("a second reading differs: %v\n%s", err, diff)
	}
}

func TestBadFileAmongGoodOnes(t *testing.T) {
	good := csv("good.csv", "title,price,year", "Zephrin 16,EUR 3000,2010")
	bad := []File{
		{Name: "empty.csv"},
		{Name: "report.csv", Data: []byte("%PDF-1.7\n1 0 obj\n")},
		{Name: "gone.csv", Err: errors.New("no such file or directory")},
		{Name: "about.html", Data: []byte("<!doctype html><html><body><p>We sail on Sundays.</p></body></html>")},
	}
	m, err := Read(append(bad, good), builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Listings) != 1 || m.Read != 5 || len(m.LeftOut) != 4 {
		t.Errorf("%d listings of %d rows, %d left out; want 1 of 5, 4", len(m.Listings), m.Read, len(m.LeftOut))
	}
	for i, l := range m.LeftOut {
		if l.Code != boat.Unreadable || l.Source.At.File != bad[i].Name || l.Reason == "" {
			t.Errorf("left out %d: %+v", i, l)
		}
	}
	_, err = Read(bad, builtin(t), Options{})
	if err == nil {
		t.Fatal("no error though nothing is usable")
	}
	for _, f := range bad {
		if !strings.Contains(err.Error(), f.Name+": ") {
			t.Errorf("the error does not tell why of %s:\n%v", f.Name, err)
		}
	}
}

func TestWhyNot(t *testing.T) {
	priced := boat.Price{Amount: money.Of(3000, "EUR"), Known: true}
	with := func(terms string) boat.Price { p := priced; p.Terms = terms; return p }
	for _, c := range []struct {
		listing boat.Listing
		want    string
	}{
		{boat.Listing{Kind: boat.ForSale, Price: priced}, ""},
		{boat.Listing{Kind: boat.ForSale, Price: with("negotiable")}, ""},
		{boat.Listing{Kind: boat.ForSale, Price: with("offers")}, ""},
		{boat.Listing{Kind: boat.ForSale, Price: priced, Sold: true}, ""},
		{boat.Listing{Kind: boat.ForSale, Price: with("swap")}, ""},
		{boat.Listing{Kind: boat.ForSale}, boat.NoPrice},
		{boat.Listing{Kind: boat.ForSale, Price: boat.Price{Terms: "swap"}}, boat.IsSwap},
		{boat.Listing{Kind: boat.Wanted, Price: priced}, boat.IsWanted},
		{boat.Listing{Kind: boat.Parts, Price: priced}, boat.IsParts},
		{boat.Listing{Kind: boat.Swap}, boat.IsSwap},
		{boat.Listing{Kind: boat.ForSale, Price: boat.Price{Known: true, Terms: "free"}}, boat.IsFree},
		{boat.Listing{Kind: boat.ForSale, Price: with("auction")}, boat.IsAuction},
		{boat.Listing{Kind: boat.ForSale, Price: priced, Boats: 3, Lot: true}, boat.IsLot},
	} {
		if got, reason := whyNot(&c.listing); got != c.want || (got == "") != (reason == "") {
			t.Errorf("%+v: %q (%s), want %q", c.listing, got, reason, c.want)
		}
	}
}

func TestOneCurrency(t *testing.T) {
	files := []File{csv("list.csv", "title,price,year,listed",
		"Zephrin 16 a,EUR 3000,2010,2026-04-10",
		"Zephrin 16 b,EUR 4000,2010,2026-04-10",
		"Zephrin 16 c,GBP 2000,2010,2026-04-11",
		"Zephrin 16 d,GBP 1000,2010,2020-01-01",
		"Zephrin 16 e,SEK 30000,2010,2026-04-11",
		"Zephrin 16 f,3500,2010,2026-04-11")}
	rates := []byte("Date,GBP,USD,\n2026-04-11,0.80,1.10,\n2026-04-09,0.90,1.20,\n")

	m, err := Read(files, builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if m.Currency != "EUR" || len(m.Listings) != 3 || len(m.LeftOut) != 3 {
		t.Errorf("without rates: %s, %d listings, %d left out; want EUR, 3, 3", m.Currency, len(m.Listings), len(m.LeftOut))
	}
	m, err = Read(files, builtin(t), Options{Rates: rates})
	if err != nil {
		t.Fatal(err)
	}
	amounts := map[string]float64{}
	for _, l := range m.Listings {
		amounts[strings.TrimPrefix(l.Title, "Zephrin 16 ")] = l.Price.Major()
		if l.Price.Currency != "EUR" {
			t.Errorf("%s is in %s", l.Title, l.Price.Currency)
		}
	}
	// 2000 / 0.80 on its day, 1000 / 0.90 at the oldest rate there is
	want := map[string]float64{"a": 3000, "b": 4000, "c": 2500, "d": 1111.11, "f": 3500}
	if diff := cmp.Diff(want, amounts); diff != "" {
		t.Error(diff)
	}
	if len(m.LeftOut) != 1 || m.LeftOut[0].Code != boat.NoRate {
		t.Errorf("left out %+v, want the one without a rate", m.LeftOut)
	}
	notes := strings.Join(m.Notes, "\n")
	for _, w := range []string{"1 price names no currency in list.csv; taken to be in EUR", "2 prices in GBP turned into EUR", "1 of those is before the first day"} {
		if !strings.Contains(notes, w) {
			t.Errorf("no note %q in:\n%s", w, notes)
		}
	}
	m, err = Read(files, builtin(t), Options{Rates: rates, Currency: "GBP"})
	if err != nil || m.Currency != "GBP" || len(m.Listings) != 5 {
		t.Errorf("asked for GBP: %v, %+v", err, m)
	}
	if _, err := Read(files, builtin(t), Options{Rates: []byte("no rates")}); err == nil {
		t.Error("rates that are none pass")
	}
}

func TestDateOfAListing(t *testing.T) {
	listed := []string{"title,price,listed", "Zephrin 16,EUR 3000,2026-02-03"}
	bare := []string{"title,price", "Zephrin 16,EUR 3000"}
	options := Options{AsOf: day("2026-03-04"), Today: day("2026-06-07")}
	for _, c := range []struct {
		name string
		file File
		o    Options
		want string
	}{
		{"its own", csv("list-2026-01-02.csv", listed...), options, "2026-02-03"},
		{"in the file's name", csv("exports/list_20260102.csv", bare...), options, "2026-01-02"},
		{"not a day", csv("list-2026-13-02.csv", bare...), options, "2026-03-04"},
		{"not a date", csv("list-120260102.csv", bare...), options, "2026-03-04"},
		{"in a folder's name", csv("2026-01-02/list.csv", bare...), options, "2026-03-04"},
		{"as of", csv("list.csv", bare...), options, "2026-03-04"},
		{"the file's time", csv("list.csv", bare...), Options{Today: options.Today}, "2026-05-01"},
		{"today", File{Name: "-", Data: csv("", bare...).Data}, Options{Today: options.Today}, "2026-06-07"},
	} {
		m, err := Read([]File{c.file}, builtin(t), c.o)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := m.Listings[0].AsOf.Format(time.DateOnly); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestNamedColumns(t *testing.T) {
	files := []File{
		csv("a.csv", "Was;Betrag;GPS;Revier", "Zephrin 16 a;3000 EUR;x;Nord", "Zephrin 16 b;3100 EUR;;"),
		csv("b.csv", "title,price", "Zephrin 16 c,EUR 3200"),
	}
	o := Options{Column: map[string]string{"title": "was", "price": "Betrag"}, Factors: []string{"Revier"}, Extras: map[string]string{"GPS": ""}}
	m, err := Read(files, builtin(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Listings) != 3 {
		t.Fatalf("%d listings, want 3; left out %+v", len(m.Listings), m.LeftOut)
	}
	first := m.Listings[0]
	if first.Title != "Zephrin 16 a" || first.Price.Major() != 3000 || first.Factors["Revier"] != "Nord" {
		t.Errorf("read %+v", first)
	}
	if f, ok := first.Find("extra:GPS"); !ok || f.Value != "included" {
		t.Errorf("extra column: %+v", first.Findings)
	}
	if f, ok := m.Listings[1].Find("extra:GPS"); !ok || f.Value != "absent" {
		t.Errorf("a blank in a column of marks: %+v", m.Listings[1].Findings)
	}
	if len(m.Unused) != 0 {
		t.Errorf("unused headers %v, want none", m.Unused)
	}
	o.Column["year"] = "Jahrgang"
	if _, err := Read(files, builtin(t), o); err == nil || !strings.Contains(err.Error(), "Jahrgang") {
		t.Errorf("a column that no file has: %v", err)
	}
}

func TestHeaders(t *testing.T) {
	v := newVocabulary(builtin(t), map[string]string{"place": "Heimat (Ort)"})
	for _, c := range []struct{ header, field, unit string }{
		{"Price", "price", ""}, {"ASKING PRICE:", "price", ""}, {"askingPrice", "price", ""}, {"asking_price", "price", ""},
		{"Price (USD)", "price", "USD"}, {"Price [€]", "price", "€"}, {"price eur", "price", "eur"}, {"Preis in €", "price", "€"},
		{"Length (ft)", "length", "ft"}, {"Länge m", "length", "m"}, {"Laenge (m)", "length", "m"}, {"LÄNGE", "length", ""},
		{"Heimat (Ort)", "place", ""}, {"heimat (ort)", "place", ""},
		{"Ad ID", "", ""}, {"", "", ""}, {"(", "", ""}, {")", "", ""}, {"Price (per month)", "", ""},
	} {
		field, unit, ok := v.header(c.header)
		if field != c.field || unit != c.unit || ok != (c.field != "") {
			t.Errorf("%q: %q, %q, %v; want %q, %q", c.header, field, unit, ok, c.field, c.unit)
		}
	}
}

func TestBoatToBePriced(t *testing.T) {
	o := Options{Today: day("2026-06-07"), AsOf: day("2026-06-01")}
	market := &boat.Market{Listings: []boat.Listing{{Class: boat.Know("Zephrin 16", "column", "Zephrin 16", record.Pos{})}}}
	draft := &File{Name: "draft.txt", Modified: o.Today, Data: []byte("\xef\xbb\xbfZephrin 16, built 2014\r\n\r\nGood condition.\r\nLaunching trolley included.\r\n")}
	b, err := Boat(draft, nil, market, builtin(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if b.Title != "Zephrin 16, built 2014" || b.Year.Value != 2014 || b.Class.Value != "Zephrin 16" || !strings.Contains(b.Text, "trolley") || !b.AsOf.Equal(o.AsOf) || b.ID == "" {
		t.Errorf("draft read as %+v", b)
	}
	b, err = Boat(draft, []Pair{{"year", "2015"}, {"launching_trolley", "absent"}, {"length", "5,0"}}, market, builtin(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if f, _ := b.Find("launching_trolley"); b.Year.Value != 2015 || f.Value != "absent" || b.Length.Value != 5 {
		t.Errorf("with pairs over it read as year %d, trolley %q, length %g", b.Year.Value, f.Value, b.Length.Value)
	}
	b, err = Boat(nil, []Pair{{"class", "Zephrin 16"}, {"year", "2012"}, {"condition", "good"}}, market, builtin(t), o)
	if err != nil || b.Class.Value != "Zephrin 16" || b.Year.Value != 2012 || b.Condition.Value != "good" {
		t.Errorf("from pairs alone: %v, %+v", err, b)
	}
	row := csv("row.csv", "title,class,year", "my boat,Zephrin 16,2011")
	if b, err = Boat(&row, nil, market, builtin(t), o); err != nil || b.Class.Value != "Zephrin 16" || b.Source.At.Line != 2 {
		t.Errorf("from a table: %v, %+v", err, b)
	}
	for name, f := range map[string]File{
		"wanted one boat, found 2": csv("two.csv", "title,year", "a,2011", "b,2012"),
		"no such file":             {Name: "gone.txt", Err: errors.New("no such file or directory")},
		"PDF":                      {Name: "draft.txt", Data: []byte("%PDF-1.7\n1 0 obj\n")},
	} {
		if _, err := Boat(&f, nil, market, builtin(t), o); err == nil || !strings.Contains(err.Error(), name) || !strings.Contains(err.Error(), f.Name) {
			t.Errorf("%s: got %v", name, err)
		}
	}
}

func TestFleetKeepsEveryRow(t *testing.T) {
	fleet, err := Fleet(csv("fleet.csv", "Boat,Class,Year", "No. 1,Zephrin 16,2011", "", "No. 2,,"), &boat.Market{}, builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(fleet.Listings); n != 2 {
		t.Fatalf("%d boats, want 2", n)
	}
	if a, b := fleet.Listings[0].Source.At.Line, fleet.Listings[1].Source.At.Line; a != 2 || b != 4 {
		t.Errorf("rows %d and %d, want 2 and 4", a, b)
	}
	if _, err := Fleet(csv("fleet.csv"), &boat.Market{}, builtin(t), Options{}); err == nil {
		t.Error("an empty fleet passes")
	}
}

func TestWithoutKeepsABoatOutOfItsOwnPrice(t *testing.T) {
	m, err := Read([]File{csv("m.csv", "title,class,year,hull number,price", "our fast one,Zephrin 16,2012,XN-ODK09999F212,EUR 6000", "our slow one,Zephrin 16,2012,XN-ODK09998F212,EUR 6100")}, builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Boat(nil, []Pair{{"class", "Zephrin 16"}, {"hull_number", "XN-ODK09999F212"}}, m, builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	rest, twins := Without(m, b)
	if len(twins) != 1 || twins[0].Title != "our fast one" || len(rest.Listings) != 1 || len(m.Listings) != 2 {
		t.Errorf("twins %v, rest %v", twins, rest.Listings)
	}
	if rest.Read != len(rest.Listings)+rest.Duplicates+len(rest.LeftOut) {
		t.Errorf("the counts do not add up: %+v", rest)
	}
}

func TestUnreadWords(t *testing.T) {
	all, err := Listings([]File{csv("m.csv", "title,text,class,price",
		"Zephrin 16,\"good sails, flibbertigibbet\",Zephrin 16,EUR 1",
		"Zephrin 16,Flibbertigibbet and a grommetude,Zephrin 16,EUR 2",
		"Zephrin 16,no flibbertigibbet,Zephrin 16,EUR 3")}, builtin(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := Unread(all.Listings, builtin(t), 3)
	if len(got) != 1 || got[0].Word != "flibbertigibbet" || got[0].Listings != 3 || !strings.Contains(got[0].Example, "good sails") {
		t.Errorf("got %+v", got)
	}
}
