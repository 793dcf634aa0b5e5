package hull_test

import (
	"encoding/json"
	"testing"

	"askance/ingest/hull"
)

func TestNumberAsJSON(t *testing.T) {
	tests := []struct{ text, want string }{
		{"FR-XXX1A234C414", `{"number":"FR-XXX1A234C414","valid":true,"format":"ISO 10087","maker":"XXX","serial":"1A234","month":3,"year":2014,"model_year":2014,"problems":[]}`},
		{"12345", `{"number":"12345","valid":false,"problems":["wanted 12 characters, or 14 with the country, found 5"]}`},
	}
	for _, tt := range tests {
		if got, err := json.Marshal(hull.Decode(tt.text)); err != nil || string(got) != tt.want {
			t.Errorf("%s: wanted %s, found %s, %v", tt.text, tt.want, got, err)
		}
	}
}
