package price

import (
	"math"
	"testing"

	"askance/ingest/boat"
)

// What each figure would be without a listing agrees with a refit without it,
// the scale held.
func TestPullsAgreeWithRefits(t *testing.T) {
	m, _ := fitted3(t, 200, 4)
	k := m.plan.tables[len(m.plan.tables)-1].first
	form := map[int]float64{k: 1}
	b := m.backing(form, 1)
	if n := float64(len(m.listings)); b.Effective < 1 || b.Effective > n {
		t.Errorf("as firm as %g listings of %g", b.Effective, n)
	}
	for _, p := range b.Strongest {
		for i, l := range m.listings {
			if l != p.Listing {
				continue
			}
			shift := m.fit.refinedWithout(i).at.theta[k] - m.fit.at.theta[k]
			if math.Abs(shift-p.Shift) > 0.1*math.Abs(shift)+0.002 {
				t.Errorf("without listing %d the figure moves by %.4f, told are %.4f", i, shift, p.Shift)
			}
			t.Logf("listing %d: moves by %.4f, told are %.4f", i, shift, p.Shift)
		}
	}
}

// Of listings that all say the same, each has the same pull.
func TestEqualPullsCountInFull(t *testing.T) {
	listings, book := invent(t, 40, 5)
	for _, l := range listings {
		*l = *listings[0]
	}
	for i, l := range listings {
		l.Findings = l.Findings[:0:0]
		if i%2 == 0 {
			l.Findings = append(l.Findings, boat.Finding{Item: "cover", Value: "included"})
		} else {
			l.Findings = append(l.Findings, boat.Finding{Item: "cover", Value: "absent"})
		}
	}
	m, err := Fit(listings, book, "EUR", Tuning{})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range m.Summary().Values {
		if w.Item == "cover" && (math.Abs(w.Effective-40) > 0.5 || math.Abs(w.Strongest[0].Share-1.0/40) > 0.002) {
			t.Errorf("as firm as %.2f listings, the strongest has %.3f of the pull", w.Effective, w.Strongest[0].Share)
		}
	}
}
