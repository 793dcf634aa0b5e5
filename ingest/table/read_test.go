package table

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"askance/ingest/record"
)

// testHeaders knows a few headers in two languages, with units in brackets.
func testHeaders(header string) (field, unit string, ok bool) {
	name := strings.ToLower(header)
	if open := strings.IndexAny(name, "(["); open > 0 {
		unit = strings.Trim(header[open:], "()[]")
		name = strings.TrimSpace(name[:open])
	}
	if before, after, found := strings.Cut(name, " in "); found {
		name, unit = before, strings.ToUpper(after)
	}
	field, ok = map[string]string{
		"title": "title", "titel": "title", "name": "title", "price": "price", "preis": "price",
		"year": "year", "baujahr": "year", "length": "length", "länge": "length", "place": "place",
		"ort": "place", "text": "text", "beschreibung": "text", "link": "url", "listed": "listed",
	}[name]
	return field, unit, ok
}

var known = Options{Headers: testHeaders}

// mustRead reads a table that has no error.
func mustRead(t *testing.T, name, data string, opts Options) record.Batch {
	t.Helper()
	b, err := Read(name, []byte(data), opts)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// flat writes the rows as "14: title=Cat price=3450 Colour:red", a field by
// its name and any other cell by its header.
func flat(b record.Batch) []string {
	var out []string
	for _, r := range b.Rows {
		s := fmt.Sprintf("%d:", r.At.Line)
		for _, c := range r.Cells {
			if c.Field != "" {
				s += fmt.Sprintf(" %s=%s", c.Field, c.Text)
			} else {
				s += fmt.Sprintf(" %s:%s", c.Header, c.Text)
			}
			if c.Unit != "" {
				s += "[" + c.Unit + "]"
			}
		}
		out = append(out, s)
	}
	return out
}

func problems(b record.Batch) []string {
	var out []string
	for _, p := range b.Problems {
		out = append(out, p.String())
	}
	for _, r := range b.Rows {
		for _, p := range r.Problems {
			out = append(out, p.String())
		}
	}
	return out
}

func TestDialects(t *testing.T) {
	for _, test := range []struct {
		name, data string
		want       []string
	}{
		{"comma", "Title,Price\nCat,3450\n", []string{"2: title=Cat price=3450"}},
		{"semicolon and decimal comma", "Titel;Preis;Länge\nCat;3.450,00;5,05\n", []string{"2: title=Cat price=3.450,00 length=5,05"}},
		{"tab", "Title\tPrice\nCat, red\t3,450\n", []string{"2: title=Cat, red price=3,450"}},
		{"pipe", "Title|Price\nCat; red|3450\n", []string{"2: title=Cat; red price=3450"}},
		{"sep line", "sep=;\r\nTitle;Price\r\nCat, 5, 6;3450\r\n", []string{"3: title=Cat, 5, 6 price=3450"}},
		{"sep line with a delimiter of its own", "sep=^\nTitle^Price\nCat^3450\n", []string{"3: title=Cat price=3450"}},
		{"one column", "Title\nCat, red; fast\nDog, blue; slow, old\n", []string{"2: title=Cat, red; fast", "3: title=Dog, blue; slow, old"}},
		{"no header known, by consistency", "A;B;C\n1,5;2,5;x\n2,5;3;y,z\n", []string{"2: A:1,5 B:2,5 C:x", "3: A:2,5 B:3 C:y,z"}},
		{"no header known, running text", "What there is\nCat, red\nDog\nOwl\nElk, old, big\n", []string{
			"2: What there is:Cat, red", "3: What there is:Dog", "4: What there is:Owl", "5: What there is:Elk, old, big"}},
		{"delimiters inside quotes do not count", "A,B\n\"x;y;z\",1\n\"x;y;z\",2\n", []string{"2: A:x;y;z B:1", "3: A:x;y;z B:2"}},
		{"CRLF", "Title,Price\r\nCat,1\r\nDog,2\r\n", []string{"2: title=Cat price=1", "3: title=Dog price=2"}},
		{"CR", "Title,Price\rCat,1\rDog,2\r", []string{"2: title=Cat price=1", "3: title=Dog price=2"}},
		{"no end of the last line", "Title,Price\nCat,1", []string{"2: title=Cat price=1"}},
		{"quoted newlines", "Title,Price\n\"Cat\nred\r\nfast\",1\nDog,2", []string{"2: title=Cat\nred\r\nfast price=1", "5: title=Dog price=2"}},
		{"doubled quotes", "Title,Price\n\"16\"\" cat\",1\n", []string{`2: title=16" cat price=1`}},
		{"space before a quote", "Title, Price\n\"Cat\", \"3,450\" \n", []string{"2: title=Cat price=3,450"}},
		{"preamble", "My export\nmade today, by me\n\nTitle,Price\nCat,1\n", []string{"5: title=Cat price=1"}},
		{"header again", "Title,Price\nCat,1\nTITLE, price\nDog,2\n", []string{"2: title=Cat price=1", "4: title=Dog price=2"}},
		{"blank lines", "\n\nTitle,Price\n\n,\n  , \nCat,1\n\n", []string{"7: title=Cat price=1"}},
		{"totals", "Title,Price\nCat,1\nTotal: 1,1\nSum,\nSumatra,2\n", []string{"2: title=Cat price=1", "5: title=Sumatra price=2"}},
		{"short and long lines", "Title,Price,Year\nCat\nDog,2,1999,red,,blue,\n", []string{"2: title=Cat", "3: title=Dog price=2 year=1999 :red :blue"}},
		{"blank cell is kept", "Title,Price,Colour\nCat,,\n", []string{"2: title=Cat price= Colour:"}},
		{"no header for a column", "Title,,Price,\nCat,red,1,\n", []string{"2: title=Cat :red price=1"}},
		{"header twice", "Title,Price,Price\nCat,,1\n", []string{"2: title=Cat price= price=1"}},
		{"units", "Title,Length (ft),Price [USD],Preis in EUR\nCat,16,1,2\n", []string{"2: title=Cat length=16[ft] price=1[USD] price=2[EUR]"}},
		{"no-break spaces", "\u00a0Title\u00a0,Price\nCat\u00a0,\u00a01\n", []string{"2: title=Cat price=1"}},
		{"trailing delimiter", "Title,Price,\nCat,1,\n", []string{"2: title=Cat price=1"}},
		{"error value", "Title,Price\nCat,#n/a\n", []string{"2: title=Cat price="}},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := mustRead(t, "x.csv", test.data, Options{Headers: testHeaders, Totals: []string{"total", "sum"}})
			if diff := cmp.Diff(test.want, flat(b)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestSkippedAndUnused(t *testing.T) {
	b := mustRead(t, "x.csv", "My list\nTitle,Colour,Price,Mood\nCat,red,1,\nTitle,Colour,Price,Mood\nTotal,,1\n",
		Options{Headers: testHeaders, Totals: []string{"total"}})
	var skipped []string
	for _, s := range b.Skipped {
		skipped = append(skipped, s.At.At()+" "+s.Title+" "+s.Reason)
	}
	want := []string{"line 1 My list stands above the header", "line 4 Title repeats the header", "line 5 Total is a line of totals"}
	if diff := cmp.Diff(want, skipped); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"Colour", "Mood"}, b.Unused); diff != "" {
		t.Error(diff)
	}
}

func TestProblems(t *testing.T) {
	for _, test := range []struct{ name, data, want string }{
		{"no header known", "A,B\n1,2\n", `x.csv:1: wanted a header with a known column, found "A, B" (hint: say which column holds what: --column FIELD=HEADER)`},
		{"long line", "Title,Price\nCat,1,2,3\n", `x.csv:2: wanted 2 cells, as the header has, found "2 more" (hint: quote a cell that holds the delimiter)`},
		{"field twice", "Title,Price,Preis\nCat,1,2\n", `x.csv:1:13: price: wanted one column, found "Price and Preis" (hint: the first filled one counts; choose with --column price=HEADER)`},
		{"error value", "Title,Price\nCat,#REF!\n", `x.csv:2:5: wanted a value, found "#REF!" (hint: the spreadsheet had no result for this cell)`},
		{"stray quote", "Title,Price\n\"Cat,1\n", `x.csv:2:1: wanted a closing quote before the next delimiter, found "\"Cat" (hint: double a quote inside quotes)`},
		{"zero bytes", "Title,Price\nC\x00at,1\n", `x.csv: wanted text, found "1 control characters" (hint: they are left out; export the file again if something is missing)`},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := problems(mustRead(t, "x.csv", test.data, known))
			if diff := cmp.Diff([]string{test.want}, got); diff != "" {
				t.Error(diff)
			}
		})
	}
	if got := problems(mustRead(t, "x.csv", "Title,Price\nCat,1\n", known)); got != nil {
		t.Errorf("a clean table has problems: %q", got)
	}
}

func TestColumn(t *testing.T) {
	read := func(data string, column map[string]string) (record.Batch, error) {
		return Read("x.csv", []byte(data), Options{Headers: testHeaders, Column: column})
	}
	b, err := read("Title,Price,Ask  (EUR)\nCat,9,1\n", map[string]string{"price": "ask (eur)"})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"2: title=Cat Price:9 price=1[EUR]"}, flat(b)); diff != "" {
		t.Errorf("the user's column should take the field from the known one: %s", diff)
	}
	if !slices.Equal(b.Unused, []string{"Price"}) {
		t.Errorf("Unused = %q", b.Unused)
	}
	b, err = read("Some list\nof mine\nWhat,Ask\nCat,1\n", map[string]string{"text": "what", "title": "What", "price": "ASK"})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"4: text=Cat title=Cat price=1"}, flat(b)); diff != "" {
		t.Errorf("a user's column should mark the header and may fill two fields: %s", diff)
	}
	_, err = read("Title,Price\nCat,1\n", map[string]string{"price": "Ask", "title": "Title"})
	var unknown *UnknownHeader
	if !errors.As(err, &unknown) || unknown.Field != "price" || !slices.Equal(unknown.Have, []string{"Title", "Price"}) {
		t.Errorf("err = %v", err)
	}
	if want := `x.csv: wanted a column "Ask" for price, found "Title", "Price" (hint: --column price=HEADER with one of these)`; err.Error() != want {
		t.Errorf("err = %v, want %s", err, want)
	}
}

func TestHeaderIsFound(t *testing.T) {
	for _, test := range []struct {
		name, data string
		line       int // where the header stands
	}{
		{"most recognised cells", "Title,x\nTitle,Price\nCat,1\n", 2},
		{"one known word in a data line is no header", "A,B,C\n1,2,3\nx,title,y\n", 1},
		{"the first wide line if none is known", "Made by me\nA,B\n1,2\n", 2},
		{"within twenty filled lines", strings.Repeat("x,y\n\n", 19) + "Title,Price\nCat,1\n", 39},
		{"not beyond them", strings.Repeat("x,y\n\n", 20) + "Title,Price\nCat,1\n", 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := mustRead(t, "x.csv", test.data, known)
			above := 0
			for _, s := range b.Skipped {
				if s.Reason == "stands above the header" {
					above = max(above, s.At.Line)
				}
			}
			if len(b.Rows) == 0 || b.Rows[0].At.Line <= test.line && test.line != 1 || above >= test.line {
				t.Errorf("rows start at %v, last line above the header is %d, want the header on %d", flat(b)[:1], above, test.line)
			}
		})
	}
}

func TestHeaderCells(t *testing.T) {
	for data, want := range map[string]int{
		"Title;Price;Colour\nCat;1;red\n":      2,
		"Selling my cat, good price, 2009.\n":  0,
		"%PDF-1.4":                             0,
		"Title: cat\nPrice: 3450, or so\nOk\n": 0,
	} {
		if got := HeaderCells([]byte(data), known); got != want {
			t.Errorf("HeaderCells(%q) = %d, want %d", data, got, want)
		}
	}
}

func TestLimits(t *testing.T) {
	table := "Title,Price\n" + strings.Repeat("Cat,1\n", 50)
	for _, test := range []struct {
		name, data string
		opts       Options
		rows       int
		problem    string
	}{
		{"rows", table, Options{MaxRows: 7}, 7, `x.csv: wanted at most 7 rows, found "more"`},
		{"many rows", table, Options{MaxRows: 45}, 45, `x.csv: wanted at most 45 rows, found "more"`},
		{"exactly so many rows", table, Options{MaxRows: 50}, 50, ""},
		{"cells", table, Options{MaxCells: 21}, 9, `x.csv: wanted at most 21 cells, found "more"`},
		{"columns", "Title,Price\nCat,1,2,3,4\n", Options{MaxColumns: 3}, 1, `x.csv:2: wanted 2 cells, as the header has, found "3 more"`},
		{"text", "Title,Price\nCat,ééé\n", Options{MaxCellBytes: 3}, 1, `x.csv:2:5: wanted at most 3 bytes of text, found "ééé"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			test.opts.Headers = testHeaders
			b := mustRead(t, "x.csv", test.data, test.opts)
			if len(b.Rows) != test.rows {
				t.Errorf("%d rows, want %d", len(b.Rows), test.rows)
			}
			got := strings.Join(problems(b), "\n")
			if !strings.HasPrefix(got, test.problem) || (got == "") != (test.problem == "") {
				t.Errorf("problems %q, want %q", got, test.problem)
			}
		})
	}
	if b := mustRead(t, "x.csv", "Title,Price\nCat,ééé\n", Options{Headers: testHeaders, MaxCellBytes: 3}); b.Rows[0].Text("price") != "é" {
		t.Errorf("cut to %q, want whole characters only", b.Rows[0].Text("price"))
	}
	_, err := Read("x.csv", []byte(table), Options{MaxBytes: 10})
	if err == nil || !strings.HasPrefix(err.Error(), "x.csv: wanted at most ") {
		t.Errorf("err = %v", err)
	}
}
