package table

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// scanAll cuts a text with a known delimiter into plain cells.
func scanAll(text string, delimiter byte) [][]string {
	var out [][]string
	s := newScanner(text, delimiter, 100)
	for l, ok := s.next(); ok; l, ok = s.next() {
		var cells []string
		for _, c := range l.cells {
			cells = append(cells, c.text)
		}
		out = append(out, cells)
	}
	return out
}

func TestStrayQuotes(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       [][]string
	}{
		{"inside a plain cell", "a 16\" cat,b\nc,d\n", [][]string{{`a 16" cat`, "b"}, {"c", "d"}}},
		{"a quoted word starts the cell", "\"Red\" cat,b\nc,d\n", [][]string{{`"Red" cat`, "b"}, {"c", "d"}}},
		{"before a quoted cell", "\"Red\" cat,\"b\"\nc,d\n", [][]string{{`"Red" cat`, "b"}, {"c", "d"}}},
		{"not doubled in a quoted cell", "\"a \"red\" cat, old\",b\nc,d\n", [][]string{{`a "red" cat, old`, "b"}, {"c", "d"}}},
		{"never closed", "\"a,b\nc,d\ne,f\n", [][]string{{"a", "b"}, {"c", "d"}, {"e", "f"}}},
		{"never closed before quoted cells", "\"a,b\n\"c\",\"d\"\n", [][]string{{"a", "b"}, {"c", "d"}}},
		{"never closed at the end", "a,\"b", [][]string{{"a", "b"}}},
		{"text after the closing quote", "\"a\"x,b\n", [][]string{{`"a"x`, "b"}}},
		{"a stray quote below a line break does not swallow", "\"a\n\"b\" c\nd,e\n", [][]string{{"a"}, {`"b" c`}, {"d", "e"}}},
		{"lone quote", "\"", [][]string{{`"`}}},
		{"empty quotes", "\"\",\"\"\n", [][]string{{"", ""}}},
		{"only quotes", "\"\"\"\"\n", [][]string{{`"`}}},
	} {
		t.Run(test.name, func(t *testing.T) {
			if diff := cmp.Diff(test.want, scanAll(test.text, ',')); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestPositions(t *testing.T) {
	b := mustRead(t, "dir/x.csv", "Title;Text;Price\r\nü;\"one\r\ntwo ä\";1\r\n\r\nnext;\"q\" ; 2\r\n", known)
	var got []string
	for _, r := range b.Rows {
		got = append(got, r.At.String())
		for _, c := range r.Cells {
			got = append(got, c.At.String()+" "+strings.ReplaceAll(c.Text, "\r\n", "|"))
		}
	}
	want := []string{
		"dir/x.csv:2", "dir/x.csv:2:1 ü", "dir/x.csv:2:3 one|two ä", "dir/x.csv:3:8 1",
		"dir/x.csv:5", "dir/x.csv:5:1 next", "dir/x.csv:5:6 q", "dir/x.csv:5:11 2",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// TestSpectrum reads the cases of csv-spectrum 2.0.0 (testdata/csv-spectrum,
// BSD-2-Clause). Eleven of the twelve agree. The JSON of the other,
// location_coordinates, is not that of its CSV: it has another phone number
// and is one object where the rest are lists. What its CSV holds is checked
// by hand instead.
func TestSpectrum(t *testing.T) {
	files, err := filepath.Glob("testdata/csv-spectrum/csvs/*.csv")
	if err != nil || len(files) != 12 {
		t.Fatalf("%d cases, want 12 (%v)", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".csv")
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got := asObjects(scanAll(string(data), ','))
			var want []map[string]string
			if name == "location_coordinates" {
				want = []map[string]string{{
					"Contact Phone Number": "2095257564",
					"Location Coordinates": "37\ufffd36'37.8\"N 121\ufffd2'17.9\"W",
					"Cities":               "Modesto",
					"Counties":             "Stanislaus",
				}}
			} else {
				text, err := os.ReadFile("testdata/csv-spectrum/json/" + name + ".json")
				if err != nil {
					t.Fatal(err)
				}
				if err := json.Unmarshal(text, &want); err != nil {
					t.Fatal(err)
				}
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Error(diff)
			}
			if found := findDelimiter(string(data), recogniser{}, 100); found != ',' {
				t.Errorf("found the delimiter %q", found)
			}
		})
	}
}

func asObjects(lines [][]string) []map[string]string {
	var out []map[string]string
	for _, l := range lines[1:] {
		object := map[string]string{}
		for i, header := range lines[0] {
			object[header] = l[i]
		}
		out = append(out, object)
	}
	return out
}
