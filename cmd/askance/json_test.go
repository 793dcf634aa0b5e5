package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"askance/fixtures"
)

// stdoutOf runs a command in a folder and gives its standard output.
func stdoutOf(t testing.TB, dir string, args ...string) []byte {
	t.Helper()
	var out, msg bytes.Buffer
	h := quiet(dir, args...)
	h.stdout, h.stderr = &out, &msg
	if status := run(h); status != done {
		t.Fatalf("askance %s: exit status %d\n%s", strings.Join(args, " "), status, msg.String())
	}
	return out.Bytes()
}

// workplace is a folder with the demo's exports, a draft and a fleet.
func workplace(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	if err := quiet(dir).unpack(fixtures.Market(), "demo", func(string) {}); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"advert.txt", "fleet.csv"} {
		data, err := os.ReadFile(filepath.Join("..", "..", "fixtures", "boats", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestJSONAgreesWithItsSchemas runs each command that prints JSON and holds
// the documents against the schemas.
func TestJSONAgreesWithItsSchemas(t *testing.T) {
	skipUnderRace(t)
	dir := workplace(t)
	for _, c := range []struct {
		schema string
		lines  bool
		args   []string
	}{
		{"listing", true, []string{"read", "--format", "jsonl", "demo"}},
		{"scan", false, []string{"scan", "--format", "json", "demo"}},
		{"scan", false, []string{"scan", "--format", "json", "--purpose", "race", "--class", "Flindar 14", "demo/association-list.xlsx", "demo/harbourboard-2026-06-14.csv"}},
		{"scan", false, []string{"scan", "--format", "json", "demo/association-list.xlsx"}},
		{"scan", false, []string{"scan", "--format", "json", "demo/bootswiese-2026-09-05.html"}},
		{"scan", false, []string{"scan", "--format", "json", "demo/harbourboard-2026-06-14.csv"}},
		{"scan", false, []string{"scan", "--format", "json", "demo/hullyard-results.html"}},
		{"scan", false, []string{"scan", "--format", "json", "demo/strandmarkt_2026-07-02.csv"}},
		{"scan", false, []string{"scan", "--format", "json", "--range", "0.5", "demo/tidemart-search.mhtml"}},
		{"price", false, []string{"price", "--format", "json", "--market", "demo", "advert.txt"}},
		{"price", false, []string{"price", "--format", "json", "--market", "demo/association-list.xlsx", "--set", "class=Zephrin 16"}},
		{"reserve", false, []string{"reserve", "--format", "json", "--market", "demo", "fleet.csv"}},
		{"hull", true, []string{"hull", "--format", "json", "ABC12345D404", "ABC123450484"}},
	} {
		schema, err := jsonschema.NewCompiler().Compile(filepath.Join("internal", "report", "schema", c.schema+".json"))
		if err != nil {
			t.Fatal(err)
		}
		data := stdoutOf(t, dir, c.args...)
		documents := [][]byte{data}
		if c.lines {
			documents = bytes.Split(bytes.TrimSpace(data), []byte("\n"))
		}
		for _, doc := range documents {
			v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
			if err == nil {
				err = schema.Validate(v)
			}
			if err != nil {
				t.Errorf("askance %s: %v", strings.Join(c.args, " "), err)
				break
			}
		}
	}
}

// sums is what the tests below read of a document.
type sums struct {
	Market struct {
		Read       int
		Used       int
		NotJudged  int `json:"not_judged"`
		Duplicates int
		LeftOut    int `json:"left_out"`
	}
	Listings, Boats []summed
	LeftOut         []any `json:"left_out"`
	summed
}

type summed struct {
	Title         string
	Expected      float64
	Reserve       float64
	Contributions []struct {
		What   string
		Amount float64
	}
}

// check wants the contributions to add up to the cent, and a rounding line of
// at most two.
func (s summed) check(t *testing.T) {
	t.Helper()
	cents := 0.0
	for _, c := range s.Contributions {
		cents += math.Round(100 * c.Amount)
		if c.What == "rounding" && math.Abs(c.Amount) > 0.02+1e-9 {
			t.Errorf("%s: rounding by %g", s.Title, c.Amount)
		}
	}
	if cents != math.Round(100*s.Expected) {
		t.Errorf("%s: the contributions add up to %.2f, expected is %.2f", s.Title, cents/100, s.Expected)
	}
}

// TestJSONAddsUp holds the sums that the documents promise, on the demo.
func TestJSONAddsUp(t *testing.T) {
	skipUnderRace(t)
	dir := workplace(t)
	read := func(args ...string) (doc sums) {
		t.Helper()
		if err := json.Unmarshal(stdoutOf(t, dir, args...), &doc); err != nil {
			t.Fatal(err)
		}
		return doc
	}
	scan := read("scan", "--format", "json", "demo")
	m := scan.Market
	if m.Read != m.Used+m.NotJudged+m.Duplicates+m.LeftOut || m.Read == 0 || m.LeftOut != len(scan.LeftOut) || len(scan.Listings) != m.Used+m.NotJudged {
		t.Errorf("the counts do not add up: %+v, %d listings, %d left out", m, len(scan.Listings), len(scan.LeftOut))
	}
	for _, l := range scan.Listings {
		l.check(t)
	}
	read("price", "--format", "json", "--market", "demo", "advert.txt").check(t)
	for _, b := range read("reserve", "--format", "json", "--market", "demo", "fleet.csv").Boats {
		b.check(t)
		if b.Reserve <= 0 || b.Reserve >= b.Expected {
			t.Errorf("%s: a reserve of %.2f beside an expected ask of %.2f", b.Title, b.Reserve, b.Expected)
		}
	}
}

// TestBetterGradeNeverLowersThePrice prices one boat with each grade, state
// and extra from the lowest to the highest.
func TestBetterGradeNeverLowersThePrice(t *testing.T) {
	skipUnderRace(t)
	dir := workplace(t)
	for item, values := range map[string][]string{
		"rudder_blades":     {"basic", "mid", "top"},
		"sails":             {"replace", "worn", "good", "fresh"},
		"launching_trolley": {"absent", "included"},
		"beam_crack":        {"present", "repaired", "denied"},
	} {
		last := 0.0
		for _, value := range values {
			var doc summed
			data := stdoutOf(t, dir, "price", "--format", "json", "--market", "demo/harbourboard-2026-06-14.csv", "--set", item+"="+value, "advert.txt")
			if err := json.Unmarshal(data, &doc); err != nil {
				t.Fatal(err)
			}
			if doc.Expected < last {
				t.Errorf("%s=%s: expected %.2f, less than %.2f for the value below it", item, value, doc.Expected, last)
			}
			last = doc.Expected
		}
	}
}
