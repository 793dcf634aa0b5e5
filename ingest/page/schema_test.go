package page

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"askance/ingest/record"
)

// TestSchemaOrgExamples reads the examples that schema.org publishes (version
// 30.0; the first line of each file names the source). One row a line:
// title | price | currency | url | start of the text | source of the title.
func TestSchemaOrgExamples(t *testing.T) {
	for _, c := range []struct {
		file     string
		want     []string
		problems int
	}{
		{"eg-0010-jsonld", []string{`Kenmore White 17" Microwave | 55.00 | USD |  | 0.7 cubic feet countertop | json-ld`}, 0},
		{"eg-0010-microdata", []string{`Kenmore White 17" Microwave | 1000.00 | USD |  | Kenmore White 17" Microwa | microdata`}, 0},
		{"eg-0011-jsonld", []string{`Dell UltraSharp 30" LCD Monitor | 1250 | USD |  |  | json-ld`}, 1},
		{"eg-0011-microdata", []string{`Dell UltraSharp 30" LCD Monitor | 1250 | USD |  | Dell UltraSharp 30" LCD M | microdata`}, 2},
		{"eg-0016-jsonld", []string{"HP Pavilion dv6-6013cl |  |  |  |  | json-ld", "Dell XPS 15 (Sandy Bridge) |  |  |  |  | json-ld", "Lenovo ThinkPad X220 |  |  |  |  | json-ld"}, 0},
		{"eg-0016-microdata", []string{"HP Pavilion dv6-6013cl |  |  |  |  | microdata", "Dell XPS 15 (Sandy Bridge) |  |  |  |  | microdata", "Lenovo ThinkPad X220 |  |  |  |  | microdata"}, 0},
		{"eg-0029-jsonld", []string{"ACME Racing Bike in black (2008) |  |  |  | ACME Racing Bike, bought  | json-ld"}, 0},
		{"eg-0029-microdata", []string{"ACME Racing Bike in black (2008) |  |  |  | We use the IndividualProd | microdata"}, 0},
		{"eg-0208-jsonld", []string{"Brand 502 | 4399.00 | RUB | http://multivarki.ru/brand_502/ |  | json-ld"}, 0},
		{"eg-0208-microdata", []string{"BRAND 502 | 4399.00 | RUB | http://multivarki.ru/brand_502/ | ... | microdata"}, 0},
		{"eg-0210-jsonld", nil, 0},
		{"eg-0210-microdata", nil, 0},
	} {
		t.Run(c.file, func(t *testing.T) {
			batch := readFile(t, filepath.Join("testdata", "schemaorg", c.file+".html"))
			var got []string
			problems := len(batch.Problems)
			for _, row := range batch.Rows {
				title, _ := row.Get("title")
				text := strings.ReplaceAll(row.Text("text"), "\n", " ")
				got = append(got, strings.Join([]string{title.Text, row.Text("price"), row.Text("currency"), row.Text("url"), clip(text, 25), title.From}, " | "))
				problems += len(row.Problems)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
			if problems != c.problems {
				t.Errorf("wanted %d problems, got %v", c.problems, batch)
			}
		})
	}
}

// read reads a page that a test writes out.
func read(t *testing.T, page string) record.Batch {
	t.Helper()
	batch, err := Read("page.html", []byte(page), testOptions())
	if err != nil {
		t.Fatal(err)
	}
	return batch
}

func jsonLDPage(json string) string {
	return `<html><head><base href="https://x.example/"><script type="application/ld+json">` + json + `</script></head><body></body></html>`
}

func TestStructuredFields(t *testing.T) {
	for name, c := range map[string]struct {
		json string
		want map[string]string
	}{
		"price as number":       {`{"@type":"Product","name":"Ovelka","offers":{"price":1250.5,"priceCurrency":"EUR"}}`, map[string]string{"price": "1250.5", "currency": "EUR"}},
		"large price as number": {`{"@type":"Product","name":"Ovelka","offers":{"price":1250000,"priceCurrency":"SEK"}}`, map[string]string{"price": "1250000"}},
		"type in an array":      {`{"@type":["IndividualProduct","Vehicle"],"name":"Ovelka","serialNumber":"AB-CDE12345F607"}`, map[string]string{"hull_number": "AB-CDE12345F607"}},
		"offer around a product": {`{"@type":"Offer","price":"900","priceCurrency":"GBP","itemOffered":{"@type":"Product","name":"Ovelka","modelDate":"1999"}}`,
			map[string]string{"title": "Ovelka", "price": "900", "year": "1999"}},
		"graph with references": {`{"@graph":[{"@type":"Product","name":"Ovelka","offers":{"@id":"#o"}},{"@id":"#o","@type":"Offer","price":"700","availability":"SoldOut"}]}`,
			map[string]string{"price": "700", "sold": "SoldOut"}},
		"array at the top":     {`[{"@type":"Product","name":"Ovelka","offers":[{"@type":"Offer"},{"@type":"Offer","price":"650"}]}]`, map[string]string{"price": "650"}},
		"prefixed vocabulary":  {`{"@type":"schema:Product","schema:name":"Ovelka","schema:offers":{"@type":"schema:Offer","schema:price":{"@value":"20"}}}`, map[string]string{"title": "Ovelka", "price": "20"}},
		"reserved":             {`{"@type":"Product","name":"Ovelka","offers":{"price":"1","availability":"https://schema.org/Reserved"}}`, map[string]string{"sold": "Reserved"}},
		"in stock is not sold": {`{"@type":"Product","name":"Ovelka","offers":{"price":"1","availability":"InStock"}}`, map[string]string{"sold": ""}},
		"seller and place of the seller": {`{"@type":"Product","name":"Ovelka","offers":{"price":"1","seller":{"@type":"Organization","address":{"addressLocality":"Skarvnes","addressCountry":"NO"}}}}`,
			map[string]string{"seller": "Organization", "place": "Skarvnes, NO"}},
		"maker and class": {`{"@type":"Product","name":"Ovelka 14","brand":{"@type":"Brand","name":"Ovelka Yard"},"model":"14","offers":{"price":"1"}}`,
			map[string]string{"maker": "Ovelka Yard", "class": "14"}},
		"dates":              {`{"@type":"Product","name":"Ovelka","datePublished":"2026-03-01","offers":{"price":"1","validFrom":"2026-01-01"}}`, map[string]string{"listed": "2026-03-01"}},
		"more properties":    {`{"@type":"Product","name":"Ovelka","offers":{"price":"1"},"additionalProperty":{"@type":"PropertyValue","name":"Baujahr","value":2003}}`, map[string]string{"year": "2003"}},
		"markup in a text":   {`{"@type":"Product","name":"Ovelka","description":"<p>Sound.</p><p>Dry &amp; clean.</p>","offers":{"price":"1"}}`, map[string]string{"text": "Sound.\nDry & clean."}},
		"raw newline":        {"{\"@type\":\"Product\",\"name\":\"Ove\nlka\",\"offers\":{\"price\":\"1\"}}", map[string]string{"title": "Ove lka"}},
		"no script address":  {`{"@type":"Product","name":"Ovelka","url":"javascript:alert(1)","offers":{"price":"1"}}`, map[string]string{"url": ""}},
		"relative address":   {`{"@type":"Product","name":"Ovelka","url":"b/1","offers":{"price":"1"}}`, map[string]string{"url": "https://x.example/b/1"}},
		"no password in url": {`{"@type":"Product","name":"Ovelka","url":"https://u:p@x.example/b","offers":{"price":"1"}}`, map[string]string{"url": "https://x.example/b"}},
		"unknown type with an offer": {`{"@type":"Sailboat","name":"Ovelka","offers":{"@type":"Offer","price":"3000"}}`,
			map[string]string{"title": "Ovelka", "price": "3000"}},
	} {
		t.Run(name, func(t *testing.T) {
			batch := read(t, jsonLDPage(c.json))
			if len(batch.Rows) != 1 {
				t.Fatalf("wanted one row, got %v", batch)
			}
			for field, want := range c.want {
				if got := batch.Rows[0].Text(field); got != want {
					t.Errorf("%s: wanted %q, got %q", field, want, got)
				}
			}
			if at := batch.Rows[0].At.At(); at != "page" {
				t.Errorf("wanted the place page, got %s", at)
			}
		})
	}
}

func TestBrokenJSONIsAProblem(t *testing.T) {
	batch := read(t, jsonLDPage(`{"@type":"Product","name":"Ovelka","offers":{"price":"12`))
	if len(batch.Problems) != 1 || !strings.Contains(batch.Problems[0].String(), "cut off") {
		t.Errorf("wanted a problem that tells of JSON cut off, got %v", batch.Problems)
	}
	batch = read(t, jsonLDPage(strings.Repeat(`{"a":`, 100)+"1"+strings.Repeat("}", 100)))
	if len(batch.Problems) != 1 || !strings.Contains(batch.Problems[0].String(), "nested too deep") {
		t.Errorf("wanted a problem that tells of deep JSON, got %v", batch.Problems)
	}
}

func TestLists(t *testing.T) {
	for name, c := range map[string]struct {
		json string
		want string
	}{
		"crumbs":  {`{"@type":"BreadcrumbList","itemListElement":[{"@type":"ListItem","name":"Home","item":"https://x.example/"}]}`, ""},
		"related": {`{"@type":"Product","name":"Ovelka","isRelatedTo":{"@type":"Product","name":"Other","offers":{"price":"3"}},"offers":{"price":"1"}}`, "Ovelka"},
		"offers of a shop": {`{"@type":"LocalBusiness","makesOffer":[{"@type":"Offer","price":"5","itemOffered":{"@type":"Product","name":"Ovelka"}},{"@type":"Offer","price":"6","itemOffered":{"@type":"Product","name":"Pluvo"}}]}`,
			"Ovelka, Pluvo"},
		"elements as addresses": {`{"@type":"ItemList","itemListElement":[{"@type":"ListItem","position":1,"url":"/a","name":"Ovelka"},{"@type":"ListItem","position":2,"item":"/b","name":"Pluvo"}]}`, "Ovelka, Pluvo"},
	} {
		t.Run(name, func(t *testing.T) {
			var titles []string
			for _, row := range read(t, jsonLDPage(c.json)).Rows {
				titles = append(titles, row.Text("title"))
			}
			if got := strings.Join(titles, ", "); got != c.want {
				t.Errorf("wanted %q, got %q", c.want, got)
			}
		})
	}
}

func TestFixturesNameTheirSource(t *testing.T) {
	files, _ := filepath.Glob("testdata/schemaorg/*.html")
	if len(files) != 12 {
		t.Fatalf("wanted 12 examples, found %d", len(files))
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil || !strings.HasPrefix(string(data), "<!-- Source: schema.org version 30.0") {
			t.Errorf("%s: wanted the source in its first line", f)
		}
	}
}
