package table

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// exported writes a table of 40 boats with one line among them that an export
// has spoiled.
func exported(delimiter, header, spoiled string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range 40 {
		if i == 20 {
			b.WriteString(spoiled + "\n")
		}
		place := []string{"Ostholm", "Sund", "Weststrand"}[i%3]
		text := []string{"Trocken gelagert, Segel neu.", "Rumpf dicht. Trailer und Persenning dabei.", "Selten gesegelt."}[i%3]
		if delimiter == "," {
			text = `"` + text + `"`
		}
		line := map[string]string{
			"title": fmt.Sprintf("Zwirbel 16 Nr %d", i), "price": fmt.Sprintf("%d €", 1500+37*i), "year": fmt.Sprint(1990 + i%30),
			"place": place, "text": text, "listed": fmt.Sprintf("2026-04-%02d", 1+i%28), "url": fmt.Sprintf("https://example.org/ad/%d", 1000+i),
		}
		var cells []string
		for _, h := range strings.Split(header, delimiter) {
			cells = append(cells, line[h])
		}
		b.WriteString(strings.Join(cells, delimiter) + "\n")
	}
	return b.String()
}

// A line that an export has spoiled is read as it was meant and tells so, and
// the lines around it stay as they are.
func TestSpoiledLines(t *testing.T) {
	const row = "title=Pluvo 18 price=2900 € year=2009 place=Nordholm text=Gut, alt listed=2026-05-01"
	for _, test := range []struct{ name, delimiter, header, line, want string }{
		{"delimiter with a space in a place", ",", "title,price,year,place,text,listed", "Pluvo 18,2900 €,2009,Nordholm, am Sund,Gut. Alt.,2026-05-01",
			"title=Pluvo 18 price=2900 € year=2009 place=Nordholm, am Sund text=Gut. Alt. listed=2026-05-01"},
		{"in a title and in a text", ",", "title,price,year,place,text,listed", "Pluvo 18, blau,2900 €,2009,Nordholm,Rumpf gut, Segel alt, Trailer neu,2026-05-01",
			"title=Pluvo 18, blau price=2900 € year=2009 place=Nordholm text=Rumpf gut, Segel alt, Trailer neu listed=2026-05-01"},
		{"no fault", ",", "title,price,year,place,text,listed", `Pluvo 18,"2,900 €",2009,Nordholm,"Gut, alt",2026-05-01`, strings.Replace(row, "2900", "2,900", 1)},
		{"in a price without quotes", ",", "title,price,year,place,text,listed", `Pluvo 18,2,900 €,2009,Nordholm,"Gut, alt",2026-05-01`, strings.Replace(row, "2900", "2,900", 1)},
		{"in the last text", ";", "title;price;year;place;text", "Pluvo 18;2900 €;2009;Nordholm;Rumpf gut;Segel alt;Trailer neu",
			"title=Pluvo 18 price=2900 € year=2009 place=Nordholm text=Rumpf gut;Segel alt;Trailer neu"},
		{"in a link", ";", "title;price;url;text", "Pluvo 18;2900 €;https://example.org/ad/7;sid=3;x=1;Rumpf gut, Segel alt",
			"title=Pluvo 18 price=2900 € url=https://example.org/ad/7;sid=3;x=1 text=Rumpf gut, Segel alt"},
		{"a cell left out", ";", "title;price;year;place;text;listed", "Pluvo 18;2900 €;Nordholm;Rumpf gut, Segel etwas alt;2026-05-01",
			"title=Pluvo 18 price=2900 € year= place=Nordholm text=Rumpf gut, Segel etwas alt listed=2026-05-01"},
		{"a blank cell too many", "\t", "title\tprice\tyear\tplace\tlisted", "Pluvo 18\t\t2900 €\t2009\tNordholm\t2026-05-01",
			"title=Pluvo 18 price=2900 € year=2009 place=Nordholm listed=2026-05-01"},
		{"a line break in a text", ";", "title;price;text;place;listed", "Pluvo 18;2900 €;Rumpf gut, trocken.\nSegel alt.;Nordholm;2026-05-01",
			"title=Pluvo 18 price=2900 € text=Rumpf gut, trocken.\nSegel alt. place=Nordholm listed=2026-05-01"},
		{"line breaks in the last text", ";", "title;price;year;text", "Pluvo 18;2900 €;2009;Rumpf gut, trocken.\nSegel alt.\nTrailer neu.",
			"title=Pluvo 18 price=2900 € year=2009 text=Rumpf gut, trocken.\nSegel alt.\nTrailer neu."},
		{"a quote never closed", ",", "title,price,year,place,text,listed", `"Pluvo 18,2900 €,2009,Nordholm,"Gut, alt",2026-05-01`, row},
	} {
		t.Run(test.name, func(t *testing.T) {
			batch, err := Read("x.csv", []byte(exported(test.delimiter, test.header, test.line)), fieldsByName("title", "price", "year", "place", "text", "listed", "url"))
			if err != nil || len(batch.Rows) != 41 || len(batch.Skipped) > 0 {
				t.Fatal(err, len(batch.Rows), batch.Skipped)
			}
			for i, r := range batch.Rows {
				var cells []string
				for _, c := range r.Cells {
					cells = append(cells, c.Field+"="+c.Text)
				}
				if got := strings.Join(cells, " "); i == 20 {
					if diff := cmp.Diff(test.want, got); diff != "" {
						t.Error(diff)
					}
					if fine := test.name == "no fault"; fine == (len(r.Problems) > 0) || r.At.Line != 22 {
						t.Errorf("at %v, problems %v", r.At, r.Problems)
					}
				} else if n := i - min(i/21, 1); !strings.HasPrefix(got, fmt.Sprintf("title=Zwirbel 16 Nr %d price=%d €", n, 1500+37*n)) || len(r.Problems) > 0 {
					t.Errorf("row %d: %s %v", i, got, r.Problems)
				}
			}
		})
	}
}

// Lines that are no row of a wide table are told with their place.
func TestLinesBesideRows(t *testing.T) {
	var b strings.Builder
	b.WriteString("Boot;;Angebot;\nTitle;Year;Price;Place\n")
	for i := range 30 {
		switch i {
		case 10:
			b.WriteString("Gruppe 2;;;\n")
		case 20:
			b.WriteString("\nBoot;;Angebot;\nTitle;Year;Price;Place\n")
		}
		fmt.Fprintf(&b, "Zwirbel Nr %d;%d;%d;Ostholm\n", i, 1990+i, 1000+i)
	}
	b.WriteString(";;;\nAlle Angaben ohne Gewähr;;;\n")
	batch, err := Read("x.csv", []byte(b.String()), fieldsByName("title", "price", "year", "place"))
	if err != nil || len(batch.Rows) != 30 {
		t.Fatal(err, len(batch.Rows))
	}
	var got []string
	for _, s := range batch.Skipped {
		got = append(got, fmt.Sprintf("%d %s %s", s.At.Line, s.Title, s.Reason[:12]))
	}
	want := []string{"1 Boot stands above", "13 Gruppe 2 has one cell", "25 Boot repeats a li", "26 Title repeats the ", "38 Alle Angaben ohne Gewähr has one cell"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestDatesAsNumbers(t *testing.T) {
	batch, err := Read("x.csv", []byte("title,price,listed\nCat,1200,46108\nDog,1300,46108.75\nEel,1400,2026-03-27\nFox,46108,99999\n"), fieldsByName("title", "price", "listed"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"2026-03-27", "2026-03-27", "2026-03-27", "99999"} {
		if got := batch.Rows[i].Text("listed"); got != want {
			t.Errorf("row %d: %q, want %q", i, got, want)
		}
	}
	if got := batch.Rows[3].Text("price"); got != "46108" {
		t.Errorf("price %q", got)
	}
}

// Lines of both encodings in one file are read each in its own.
func TestLinesInTwoEncodings(t *testing.T) {
	for _, most := range []string{"Gr\xfc\xdfe", "Grüße"} {
		other := map[string]string{"Gr\xfc\xdfe": "Grüße", "Grüße": "Gr\xfc\xdfe"}[most]
		text := "title;price\n" + strings.Repeat(most+" 1;100\n", 20) + other + " 2;200\n" + strings.Repeat(most+" 3;300\n", 20)
		batch, err := Read("x.csv", []byte(text), fieldsByName("title", "price"))
		if err != nil || len(batch.Rows) != 41 || len(batch.Problems) != 1 {
			t.Fatal(err, len(batch.Rows), batch.Problems)
		}
		for i, r := range batch.Rows {
			if !strings.HasPrefix(r.Text("title"), "Grüße ") {
				t.Errorf("row %d: %q", i, r.Text("title"))
			}
		}
	}
}

func fieldsByName(names ...string) Options {
	return Options{Headers: func(h string) (string, string, bool) {
		for _, name := range names {
			if strings.EqualFold(h, name) {
				return name, "", true
			}
		}
		return "", "", false
	}}
}
