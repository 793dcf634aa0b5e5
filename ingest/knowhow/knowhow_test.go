package knowhow

import "testing"

func TestBuiltinFactsHoldTogether(t *testing.T) {
	if _, err := Load(nil); err != nil {
		t.Fatal(err)
	}
}
