package report

import (
	"slices"
	"testing"

	"askance/analysis"
	"askance/analysis/outlay"
	"askance/analysis/price"
)

func ids(list []*analysis.Judged) []string {
	var out []string
	for _, j := range list {
		out = append(out, j.Listing.ID[11:])
	}
	return out
}

func TestWorthSeeingLeavesOutWhatCannotBeBought(t *testing.T) {
	s := sample(t)
	for i := range s.Boats {
		s.Boats[i].Outlay = nil
	}
	if got, want := ids(worthSeeing(s, View{}, 5)), []string{"0", "1", "2", "3", "4"}; !slices.Equal(got, want) {
		t.Errorf("worth seeing %v, want %v", got, want)
	}
	s.Boats[1].Listing.Sold = true
	s.Boats[2].Outlay = &outlay.Outlay{NotFit: "a pylon moves"}
	if got, want := ids(worthSeeing(s, View{}, 5)), []string{"0", "3", "4"}; !slices.Equal(got, want) {
		t.Errorf("worth seeing %v, want %v", got, want)
	}
}

func TestWorthSeeingGoesByWhatIsLeftAfterTheWork(t *testing.T) {
	s := sample(t)
	for i := range s.Boats {
		s.Boats[i].Outlay.Margin = float64(i * 100)
	}
	if got, want := ids(worthSeeing(s, View{}, 3)), []string{"4", "3", "2"}; !slices.Equal(got, want) {
		t.Errorf("worth seeing %v, want %v", got, want)
	}
}

func TestWeighsMostNamesTheThreeLargest(t *testing.T) {
	v := View{Book: facts(t)}
	got := v.weighsMost(sample(t).Boats[0].Valuation, coinOf("EUR"))
	if want := "hulls worn −501; rudder blades, pair epoxy or carbon +380; sails worn −121"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestChangeTellsLabels(t *testing.T) {
	v := View{Book: facts(t)}
	for _, k := range []struct {
		a    price.Adjustment
		want string
	}{
		{price.Adjustment{What: "rudder_blades", Value: "basic -> top"}, "plain plastic → epoxy or carbon"},
		{price.Adjustment{What: "launching_trolley", Value: "at_extra_cost -> not stated"}, "for more money → not stated"},
		{price.Adjustment{What: "length", Value: "5.45 m -> 5.00 m"}, "5.45 m → 5.00 m"},
	} {
		if got := v.change(k.a); got != k.want {
			t.Errorf("%q, want %q", got, k.want)
		}
	}
}

func TestAmountsInWords(t *testing.T) {
	for _, k := range []struct {
		v            float64
		signed, cent string
	}{{1234.56, "+1,235", "+1,234.56"}, {-1234567.8, "−1,234,568", "−1,234,567.80"}, {-0.2, "+0", "−0.20"}, {0, "+0", "+0.00"}, {999.995, "+1,000", "+1,000.00"}} {
		if got := signedWhole(k.v); got != k.signed {
			t.Errorf("%v is %s, want %s", k.v, got, k.signed)
		}
		if got := signedMoney(k.v, coinOf("EUR")); got != k.cent {
			t.Errorf("%v is %s, want %s", k.v, got, k.cent)
		}
	}
}
