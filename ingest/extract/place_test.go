package extract

import (
	"testing"

	"askance/ingest/record"
)

// Whose "kr" is meant is told by the address, the place, a telephone number or
// a country named; without any, Danish words, which may be Norwegian ones,
// are taken for Danish.
func TestWhoseKroner(t *testing.T) {
	r, _ := builtin(t)
	tests := []struct{ field, said, text, want string }{
		{"", "", "God båd, meget velholdt.", "DKK"},
		{"url", "https://ads.example.no/1", "God båd, meget velholdt.", "NOK"},
		{"url", "https://ads.example.se/1", "God båd, meget velholdt.", "SEK"},
		{"url", "https://ads.example.dk/1", "Fin båt, bra seil.", "DKK"},
		{"place", "Bergen", "God båd, meget velholdt.", "NOK"},
		{"place", "Göteborg", "God båd, meget velholdt.", "SEK"},
		{"place", "Svendborg", "Fin båt, bra segel.", "DKK"},
		{"", "", "God båd, meget velholdt. Ring +47 912 34 567", "NOK"},
		{"", "", "Fin båt, bra segel. Ring +45 20 12 34 56", "DKK"},
		{"", "", "God båd, meget velholdt. Ligger i Norge", "NOK"},
		{"", "", "God båd, meget velholdt. Købt i Sverige", "DKK"},
		{"", "", "Fin båt, bra segel. Köpt i Danmark", "SEK"},
	}
	for _, tt := range tests {
		row := record.Row{Cells: []record.Cell{{Field: "title", Text: "Katamaran"}, {Field: "text", Text: tt.text}, {Field: "price", Text: "25000 kr"}, {Field: tt.field, Text: tt.said}}}
		l := r.Listing(row, record.Batch{}, Options{AsOf: adsAsOf})
		if l.Price.Currency != tt.want {
			t.Errorf("%s %s %q: wanted %s, found %+v", tt.field, tt.said, tt.text, tt.want, l.Price)
		}
		byWords := tt.want == "DKK" && tt.field == ""
		if got := r.KronerByWords(&l, record.Batch{}); tt.text != "Fin båt, bra segel. Ring +45 20 12 34 56" && got != byWords {
			t.Errorf("%s %s %q: wanted %v that only the words tell, found %v", tt.field, tt.said, tt.text, byWords, got)
		}
	}
}
