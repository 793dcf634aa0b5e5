package hull_test

import (
	"strings"
	"testing"
	"time"

	"askance/ingest/hull"
)

func TestFind(t *testing.T) {
	tests := []struct {
		text string
		want []string
	}{
		{"Beach cat, HIN ABC12345A788, trailer", []string{"ABC12345A788"}},
		{"Rumpf-Nr. FR-XXX1A234C414.", []string{"FR-XXX1A234C414"}},
		{"hull number fr-xxx1a234c414", []string{"FR-XXX1A234C414"}},
		{"No. ABC 12345 A 7 88 on the transom", []string{"ABC12345A788"}},
		{"GB-ABC00042-A3-99", []string{"GB-ABC00042-A3-99"}},
		{"two boats: XXX00001A585 and XXX00001H485", []string{"XXX00001A585", "XXX00001H485"}},
		{"XXX123450183 old one", []string{"XXX123450183"}},
		{"XXX12345M80A", []string{"XXX12345M80A"}},
		{"in xxx12ab7f910 gebaut", []string{"XXX12AB7F910"}},
		// what is no hull number
		{"call tel 12345 1275 or 0171 1234567", nil},
		{"TEL 12345 1275", nil},
		{"Tel123451275 after six", nil},
		{"DE89 3704 0044 0532 0130 00", nil},
		{"https://example.org/boats/abc12345a788", nil},
		{"example.org/abc12345a788?x=1", nil},
		{"abc12345a788@example.org", nil},
		{"nur 12345 a 7 88", nil},
		{"part XXX12345A788-B2", nil},
		{"XXX12345A7889", nil},
		{"ABXXX12345A788", nil},
		{"catamaranab585", nil},
		{"XXX12345A299", nil}, // digit 2 beside model year 1999
		{"sail number GER 12345, built 1998", nil},
		{"price was 12000 now 9800", nil},
		{"", nil},
	}
	for _, tt := range tests {
		found := hull.Find(tt.text)
		ok := len(found) == len(tt.want)
		for i := 0; ok && i < len(found); i++ {
			ok = found[i].Number.Number == hull.Decode(tt.want[i]).Number
		}
		if !ok {
			t.Errorf("%q: wanted %q, found %+v", tt.text, tt.want, found)
		}
	}
}

func TestFindDoesNotHang(t *testing.T) {
	for _, piece := range []string{"a-", "ABC12345A788 ", "ABC12345A7-", "1", "www.", "é "} {
		text := strings.Repeat(piece, 200_000/len(piece))
		begun := time.Now()
		hull.Find(text)
		if took := time.Since(begun); took > time.Minute {
			t.Errorf("%q repeated took %v", piece, took)
		}
	}
}
