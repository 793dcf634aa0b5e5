package page

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
)

// TestHostile reads pages made to do harm: each must end in a second or two,
// with the listings that stand or a clear error.
func TestHostile(t *testing.T) {
	cards := `<ul><li><a href="https://h.example/1">Zwirbel 16</a> <b>1.900 €</b></li><li><a href="https://h.example/2">Pluvo 18</a> <b>4.100 €</b></li></ul>`
	for name, c := range map[string]struct {
		page string
		rows int
		err  string
	}{
		"deep nesting":           {"<html><body>" + strings.Repeat("<div>", 100_000) + cards, 0, "exceeds 512"},
		"deep inline nesting":    {"<html><body>" + strings.Repeat("<b>", 100_000) + cards, 0, "exceeds 512"},
		"deep but allowed":       {"<html><body>" + strings.Repeat("<div>", 480) + cards, 2, ""},
		"long attribute":         {`<html><body><div class="` + strings.Repeat("price title ", 90_000) + `" data-price="` + strings.Repeat("9", 1_000_000) + `">` + cards + "</div>", 2, ""},
		"long address":           {`<html><body><ul><li><a href="https://h.example/` + strings.Repeat("a", 1_000_000) + `">Zwirbel 16</a> <b>1.900 €</b></li><li><a href="https://h.example/2">Pluvo 18</a> <b>4.100 €</b></li></ul>`, 2, ""},
		"scripts":                {"<html><body>" + strings.Repeat(`<script>var a = {"b": [{"title":"x","price":`+"</script>", 5000) + cards, 2, ""},
		"half open JSON":         {"<html><body><script>" + strings.Repeat(`a = {"title":"x","price":[`, 20_000) + "</script>" + cards, 2, ""},
		"deep JSON":              {`<html><body><script type="application/json">` + strings.Repeat("[", 1_000_000) + "</script>" + cards, 2, ""},
		"JSON-LD that loops":     {`<html><body><script type="application/ld+json">{"@graph":[{"@id":"#a","@type":"WebPage","mainEntity":{"@id":"#b"}},{"@id":"#b","@type":"WebPage","mainEntity":{"@id":"#a"}},{"@id":"#c","@type":"Product","name":"P","offers":{"@id":"#c"}}]}</script>` + cards, 3, ""},
		"scopes that loop":       {`<html><body><div itemscope itemtype="Product" id="a" itemref="a b"><i itemprop="name">P</i></div><div id="b" itemscope itemref="a"></div>` + cards, 3, ""},
		"unclosed everything":    {"<html><body><table><tr><td><ul><li><select><option>5 €<div><p>" + cards, 0, ""},
		"many prices, no titles": {"<html><body><div>" + strings.Repeat("<i>5 €</i>", 20_000) + "</div>", 0, ""},
		"one long text":          {"<html><body><p>" + strings.Repeat("5 € ", 500_000) + "</p>" + cards, 2, ""},
		"many cards":             {"<html><body>" + strings.Repeat(`<div class="c"><h3>Zwirbel</h3><p>1.900 €</p></div>`, 20_000), 20_000, ""},
		"many marked items":      {"<html><body>" + strings.Repeat(`<div itemscope itemtype="Product"><h3 itemprop="name">Zwirbel</h3><s>2.000 €</s><p>1.900 €</p></div>`, 10_000) + "<h2>Similar</h2>", 10_000, ""},
		"script as link":         {`<html><body><ul><li><a href="javascript:alert(1)">Zwirbel 16</a> <b>1.900 €</b></li><li><a href="data:text/html,x">Pluvo 18</a> <b>4.100 €</b></li></ul>`, 2, ""},
		"texts in pieces":        {"<html><body><p>" + strings.Repeat("5 €<!-- -->", 200_000) + "</p>" + cards, 2, ""},
		"prices deep in nothing": {"<html><body>" + strings.Repeat("<div>", 400) + strings.Repeat("<div><i>5 €</i></div>", 10_000), 0, ""},
		"null bytes":             {"<html><body>" + strings.ReplaceAll(cards, "16", "1\x006"), 2, ""},
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			batch, err := Read("h.html", []byte(c.page), testOptions())
			if c.err != "" {
				if err == nil || !strings.Contains(err.Error(), c.err) {
					t.Errorf("wanted an error with %q, got %v", c.err, err)
				}
			} else if err != nil {
				t.Fatal(err)
			}
			if len(batch.Rows) != c.rows {
				t.Errorf("wanted %d rows, got %d", c.rows, len(batch.Rows))
			}
			for _, row := range batch.Rows {
				if u := row.Text("url"); u != "" && !strings.HasPrefix(u, "http") {
					t.Errorf("kept the link %q", u)
				}
			}
			if d := time.Since(start); d > time.Minute {
				t.Errorf("took %v", d)
			}
		})
	}
}

func TestLimits(t *testing.T) {
	for name, c := range map[string]struct {
		limits Limits
		page   string
		want   string
	}{
		"bytes": {Limits{Bytes: 100}, "<html>" + strings.Repeat(" ", 100), "at most 100 bytes, found 106"},
		"nodes": {Limits{Nodes: 10}, "<html>" + strings.Repeat("<p>", 20), "at most 10 tags, found 21"},
		"parts": {Limits{Parts: 2}, message("", "Content-Type: a/b\r\n\r\n", "Content-Type: a/b\r\n\r\n", "Content-Type: text/html\r\n\r\n<p>"), "at most 2 parts"},
	} {
		opts := testOptions()
		opts.Limits = c.limits
		if _, err := Read("l.html", []byte(c.page), opts); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: wanted %q, got %v", name, c.want, err)
		}
	}
	opts := testOptions()
	opts.Limits = Limits{Rows: 3, CellBytes: 8}
	batch, err := Read("l.html", []byte("<html><body>"+strings.Repeat(`<div class="c"><h3>Zwirbel sechzehn</h3><p>1.900 €</p></div>`, 9)), opts)
	if err != nil || len(batch.Rows) != 3 || len(batch.Problems) != 1 || batch.Rows[0].Text("title") != "Zwirbel " {
		t.Errorf("wanted 3 rows with short cells and a problem, got %v %v", batch, err)
	}
}

func addCorpus(f *testing.F, pattern string) {
	files, _ := filepath.Glob(pattern)
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
}

// checkRead reads data and checks what must hold of any batch: links are http
// or https, cells are bounded, places are counted from 1 without a gap, and a
// second reading gives the same.
func checkRead(t *testing.T, name string, data []byte) {
	opts := testOptions()
	opts.Words.Asking = []string{"asking", "preis"}
	opts.Limits = Limits{Bytes: 1 << 20, CellBytes: 1 << 10}
	batch, err := Read(name, data, opts)
	if err != nil {
		return
	}
	for i, row := range batch.Rows {
		if want := i + 1; len(batch.Rows) > 1 && row.At.Line != want {
			t.Errorf("wanted card %d, got %v", want, row.At)
		}
		for _, c := range row.Cells {
			if len(c.Text) > 1<<10 || c.Text == "" {
				t.Errorf("a cell of %d bytes", len(c.Text))
			}
			if c.Field == "url" && parseLink(c.Text) == nil {
				t.Errorf("a link %q", c.Text)
			}
		}
	}
	again, _ := Read(name, data, opts)
	if len(again.Rows) != len(batch.Rows) || len(again.Skipped) != len(batch.Skipped) {
		t.Error("a second reading differs")
	}
}

func FuzzHTML(f *testing.F) {
	addCorpus(f, "testdata/*.html")
	addCorpus(f, "testdata/schemaorg/*.html")
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "f.html", data) })
}

func FuzzMHTML(f *testing.F) {
	addCorpus(f, "testdata/*.mhtml")
	f.Add([]byte(message("", "Content-Type: text/html\r\nContent-Transfer-Encoding: base64\r\n\r\nPGh0bWw+")))
	f.Fuzz(func(t *testing.T, data []byte) { checkRead(t, "f.mhtml", data) })
}

// bigPage is a page of 2,000 cards with some words each.
func bigPage() []byte {
	card := `<article class="hit"><div class="pic"><img src="x.jpg" alt="photo"></div><div class="body"><h3><a href="https://b.example/i/%">Zwirbel 16 number %</a></h3><p class="price">1.900 €</p><p>` +
		strings.Repeat("Segel gut, Trampolin von 2019, Rumpf trocken. ", 12) + `</p><ul><li>Altenrade</li><li>privat</li></ul></div></article>`
	var b strings.Builder
	b.WriteString("<html><body><main>")
	for i := range 2000 {
		b.WriteString(strings.ReplaceAll(card, "%", strings.Repeat("x", i%7)+string(rune('a'+i%26))+strings.Repeat("y", i/26)))
	}
	return []byte(b.String())
}

func BenchmarkRead(b *testing.B) {
	data := bigPage()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		batch, err := Read("b.html", data, testOptions())
		if err != nil || len(batch.Rows) < 1000 {
			b.Fatal(err, len(batch.Rows))
		}
	}
}

// BenchmarkParse is the floor: the tree alone.
func BenchmarkParse(b *testing.B) {
	data := bigPage()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := html.Parse(strings.NewReader(string(data))); err != nil {
			b.Fatal(err)
		}
	}
}
