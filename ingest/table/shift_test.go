package table

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// shiftHeaders knows the columns of these tests.
var shiftHeaders = Options{Headers: func(h string) (string, string, bool) {
	field, ok := map[string]string{"title": "title", "text": "text", "year": "year", "price": "price", "place": "place", "listed": "listed", "item": "title", "cost": "price", "model": "class"}[strings.ToLower(h)]
	return field, "", ok
}}

// A line with the delimiter in one of its texts, without quotes, is read as if
// it had quotes: the text is whole and the other cells fill their own columns.
func TestShiftedLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		b.WriteString("title,year,price,text,listed\n")
		rows := rapid.IntRange(20, 60).Draw(t, "rows")
		odd := rapid.IntRange(10, rows-1).Draw(t, "odd")
		extra := rapid.IntRange(1, 3).Draw(t, "extra")
		inText := rapid.Bool().Draw(t, "in the text")
		title, text := "", ""
		for i := range rows {
			ti := fmt.Sprintf("Cat number %d", i)
			te := fmt.Sprintf("A sound boat kept dry in a hall for many years %d", i)
			if i == odd {
				if inText {
					te += strings.Repeat(", new sails and ropes", extra)
				} else {
					ti += strings.Repeat(", blue", extra)
				}
				title, text = ti, te
			}
			fmt.Fprintf(&b, "%s,%d,%d,%s,2026-04-%02d\n", ti, 1990+i%30, 1000+i*10, te, 1+i%28)
		}
		batch, err := Read("x.csv", []byte(b.String()), shiftHeaders)
		if err != nil || len(batch.Rows) != rows {
			t.Fatal(err, len(batch.Rows))
		}
		r := batch.Rows[odd]
		if r.Text("title") != title || r.Text("text") != text || r.Text("price") != fmt.Sprint(1000+odd*10) || r.Text("listed") == "" {
			t.Fatalf("wanted %q and %q, found %+v", title, text, r.Cells)
		}
		if len(r.Problems) != 1 {
			t.Fatalf("wanted one problem, found %v", r.Problems)
		}
	})
}

// A line with more cells than the header that are no part of a text is left as
// it is.
func TestExcessCellsStay(t *testing.T) {
	var b strings.Builder
	b.WriteString("title,year,price\n")
	for i := range 20 {
		fmt.Fprintf(&b, "Cat %d,%d,%d\n", i, 1990+i, 1000+i)
	}
	b.WriteString("Cat 20,2010,1020,see picture\n")
	batch, err := Read("x.csv", []byte(b.String()), shiftHeaders)
	if err != nil {
		t.Fatal(err)
	}
	last := batch.Rows[20]
	if last.Text("title") != "Cat 20" || last.Text("year") != "2010" || last.Text("price") != "1020" {
		t.Errorf("found %+v", last.Cells)
	}
}

func TestRowNumbersWithoutHeader(t *testing.T) {
	batch, err := Read("x.csv", []byte("\"title\",\"price\"\n\"1\",\"Cat\",3450\n\"2\",\"Dog\",2900\n"), shiftHeaders)
	if err != nil || len(batch.Rows) != 2 || batch.Rows[0].Text("title") != "Cat" || batch.Rows[1].Text("price") != "2900" {
		t.Errorf("%v %+v", err, batch.Rows)
	}
}

func TestSecondHeader(t *testing.T) {
	batch, err := Read("x.csv", []byte("title,year,price\nCat,2009,3450\nDog,2010,2900\n,,\nprice,place,title,year\n900,Ostholm,Eel,1999\n"), shiftHeaders)
	if err != nil || len(batch.Rows) != 3 {
		t.Fatal(err, batch.Rows)
	}
	if r := batch.Rows[2]; r.Text("title") != "Eel" || r.Text("price") != "900" || r.Text("place") != "Ostholm" {
		t.Errorf("found %+v", r.Cells)
	}
}
