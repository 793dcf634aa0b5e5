package page

import (
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

func TestCharsets(t *testing.T) {
	page := func(meta string) string {
		return "<html><head>" + meta + "</head><body><ul><li><a href='https://x.example/1'>Zürbel – größer</a> <b>EUR 1900</b></li><li><a href='https://x.example/2'>Pluvo</a> <b>EUR 900</b></li></ul></body></html>"
	}
	encode := func(s string, enc interface{ String(string) (string, error) }) string {
		out, err := enc.String(s)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	cp1252 := charmap.Windows1252.NewEncoder()
	for name, data := range map[string]string{
		"UTF-8":                        page(""),
		"UTF-8, BOM":                   "\xef\xbb\xbf" + page(""),
		"UTF-8, declared otherwise":    page(`<meta charset="iso-8859-1">`),
		"UTF-16LE, BOM":                encode(page(""), unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder()),
		"UTF-16BE, BOM":                encode(page(""), unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder()),
		"windows-1252":                 encode(page(`<meta charset="windows-1252">`), cp1252),
		"windows-1252 as iso-8859-1":   encode(page(`<meta charset="iso-8859-1">`), cp1252),
		"windows-1252, http-equiv":     encode(page(`<meta http-equiv="Content-Type" content="text/html; charset=windows-1252">`), cp1252),
		"windows-1252, not declared":   encode(page(""), cp1252),
		"windows-1252, declared UTF-8": encode(page(`<meta charset="utf-8">`), cp1252),
	} {
		t.Run(name, func(t *testing.T) {
			batch := read(t, data)
			if len(batch.Rows) != 2 || batch.Rows[0].Text("title") != "Zürbel – größer" {
				t.Errorf("wanted %q, got %v", "Zürbel – größer", batch.Rows)
			}
		})
	}
}

func TestAddressOfPage(t *testing.T) {
	link := `<ul><li><a href="b/1">Zwirbel 16</a> <b>EUR 1900</b></li><li><a href="b/2">Pluvo 18</a> <b>EUR 900</b></li></ul>`
	for name, c := range map[string]struct{ page, url, first string }{
		"none":          {"<html><body>" + link, "", ""},
		"base":          {`<html><head><base href="https://x.example/d/"></head><body>` + link, "", "https://x.example/d/b/1"},
		"canonical":     {`<html><head><link rel="canonical" href="https://x.example/d/list"></head><body>` + link, "https://x.example/d/list", "https://x.example/d/b/1"},
		"og:url":        {`<html><head><meta property="og:url" content="https://x.example/e/"></head><body>` + link, "https://x.example/e/", "https://x.example/e/b/1"},
		"comment":       {`<html><!-- saved from url=(0024)https://x.example/f/list --><body>` + link, "https://x.example/f/list", "https://x.example/f/b/1"},
		"base relative": {`<!-- saved from url=(0024)https://x.example/f/list --><html><head><base href="/g/"></head><body>` + link, "https://x.example/f/list", "https://x.example/g/b/1"},
		"lines":         {"<!--\n Page saved\n url: https://x.example/h/list\n saved date: Fri Jul 18 2025 14:21:01 GMT+0200 (CEST)\n--><html><body>" + link, "https://x.example/h/list", "https://x.example/h/b/1"},
		"file base":     {`<html><head><base href="file:///home/x/"><link rel="canonical" href="https://x.example/i/"></head><body>` + link, "https://x.example/i/", "https://x.example/i/b/1"},
		"about:blank":   {`<!-- saved from url=(0014)about:internet --><html><body>` + link, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			batch := read(t, c.page)
			if batch.URL != c.url {
				t.Errorf("wanted the page's address %q, got %q", c.url, batch.URL)
			}
			if got := batch.Rows[0].Text("url"); got != c.first {
				t.Errorf("wanted the link %q, got %q", c.first, got)
			}
		})
	}
}

func TestDateOfPage(t *testing.T) {
	for name, c := range map[string]struct{ head, want string }{
		"modified":         {`<meta property="article:modified_time" content="2026-04-12T09:30:00+02:00"><meta property="article:published_time" content="2026-01-01">`, "2026-04-12"},
		"published":        {`<meta property="article:published_time" content="2026-01-02">`, "2026-01-02"},
		"itemprop is none": {`<meta itemprop="datePublished" content="2026-01-03">`, "0001-01-01"},
		"name":             {`<meta name="date" content="2026-01-04">`, "2026-01-04"},
		"saved":            {"<!-- url: https://x.example/\nsaved date: Fri Jul 18 2025 14:21:01 GMT+0200 (CEST) --><meta name=\"date\" content=\"2020-01-01\">", "2025-07-18"},
		"not a date":       {`<meta name="date" content="yesterday">`, "0001-01-01"},
	} {
		if got := read(t, "<html><head>"+c.head+"</head><body></body></html>").Date.Format("2006-01-02"); got != c.want {
			t.Errorf("%s: wanted %s, got %s", name, c.want, got)
		}
	}
}

func TestSelectors(t *testing.T) {
	page := `<html><head><base href="https://x.example/"></head><body>
<section class="a"><h6>Zwirbel</h6><i>1.900 €</i><a href="b/1">see</a><span data-y="2009">built</span><p>Dry <b>hulls</b>.</p></section>
<section class="a"><h6>Pluvo</h6><i>on request</i><a href="javascript:x()">see</a></section>
<section class="b"><h6>Other</h6><i>5 €</i></section><section class="a"></section></body></html>`
	opts := testOptions()
	opts.Select = &Selectors{Card: "section.a", Title: "h6", Price: "i", URL: "a", Year: "span@data-y", Text: "p"}
	batch, err := Read("s.html", []byte(page), opts)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, row := range batch.Rows {
		got = append(got, strings.Join([]string{row.At.At(), row.Text("title"), row.Text("price"), row.Text("url"), row.Text("year"), row.Text("text"), row.Cells[0].From}, "|"))
	}
	want := "card 1|Zwirbel|1.900 €|https://x.example/b/1|2009|Dry hulls.|select\ncard 2|Pluvo|on request||||select"
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("wanted\n%s\ngot\n%s", want, s)
	}

	opts.Select = &Selectors{Title: "h6", Price: "i"}
	if batch, err = Read("s.html", []byte(page), opts); err != nil || len(batch.Rows) != 1 || batch.Rows[0].At.At() != "page" || batch.Rows[0].Text("title") != "Zwirbel" {
		t.Errorf("without a card: wanted one row of the page, got %v %v", batch.Rows, err)
	}

	opts.Select = &Selectors{Card: "section", Price: "i["}
	if _, err = Read("s.html", []byte(page), opts); err == nil || !strings.Contains(err.Error(), `s.html: selector price: wanted a CSS selector, found "i["`) {
		t.Errorf("wanted an error that names the selector, got %v", err)
	}
}

// TestWithoutWords reads cards though no words are handed in.
func TestWithoutWords(t *testing.T) {
	batch, err := Read("w.html", []byte(list), Options{Price: readPrice})
	if err != nil || len(batch.Rows) != 2 || batch.Rows[1].Text("title") != "Pluvo 18" {
		t.Errorf("wanted two listings, got %v %v", batch.Rows, err)
	}
	if batch, err = Read("w.html", []byte(list), Options{}); err != nil || len(batch.Rows) != 0 {
		t.Errorf("without a price reader: wanted no listing, got %v %v", batch.Rows, err)
	}
}

// TestText joins what elements break up: words and numbers stay whole, other
// neighbours are parted.
func TestText(t *testing.T) {
	for page, want := range map[string]string{
		"<b>Z</b>wirbel":                                "Zwirbel",
		"<span>2009</span><span>Kiel</span>":            "2009 Kiel",
		"<i>2</i><i>.450</i> €":                         "2.450 €",
		"<i>2.</i><i>450</i>":                           "2.450",
		"a<br>b":                                        "a b",
		"<p>a</p><p>b</p>":                              "a b",
		"a<script>x</script><p hidden>y</p><p>b</p>":    "a b",
		"<p style='display: none'>x</p>a\u00a0\u200b b": "a b",
	} {
		t2, _, err := parse("t", source{html: []byte("<body>" + page)}, Limits{}.withDefaults(), false, noButtons)
		if err != nil {
			t.Fatal(err)
		}
		if got := textOf(nil, t2.root); got != want {
			t.Errorf("%s: wanted %q, got %q", page, want, got)
		}
	}
}

// TestLoneObject finds no listing in an object with a name and a price among
// many that have none, but in the array inside another.
func TestLoneObject(t *testing.T) {
	batch := read(t, `<html><body><script type="application/json">[{"name":"Delivery","price":5},{"name":"a"},{"name":"b"},{"items":[{"name":"Zwirbel","price":900},{"name":"Pluvo","price":1900}]}]</script>`)
	if len(batch.Rows) != 2 || batch.Rows[0].Text("title") != "Zwirbel" {
		t.Errorf("wanted the two of the inner array, got %v", batch.Rows)
	}
}

func TestHolds(t *testing.T) {
	for _, c := range []struct {
		text, phrase string
		want         bool
	}{
		{"89 € / Monat", "/ monat", true}, {"89 € mtl.", "mtl.", true}, {"Adria", "ad", false}, {"an Ad here", "ad", true},
		{"vorher", "her", false}, {"statt 5", "statt", true}, {"", "x", false}, {"x", "", false}, {"add ad", "ad", true},
	} {
		if got := newPhrases([]string{c.phrase}).in(c.text); got != c.want {
			t.Errorf("%q in %q: wanted %v, got %v", c.text, c.phrase, c.want, got)
		}
	}
}
