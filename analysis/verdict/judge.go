package verdict

import (
	"math"

	"askance/analysis/calibrate"
	"askance/analysis/price"
	"askance/analysis/robust"
)

// Rules say when a gap is worth a word. The zero value is the recommended
// setting.
type Rules struct {
	FalseShare  float64 // false discoveries held to this share of verdicts, 0 means 0.08
	SmallestGap float64 // a verdict needs a gap of at least this, 0 means 0.12
	Absurd      float64 // an ask over this many times the expected one, or under its inverse, is taken for a mistake, 0 means 6
}

func (r Rules) filled() Rules {
	if r.FalseShare == 0 {
		r.FalseShare = 0.08
	}
	if r.SmallestGap == 0 {
		r.SmallestGap = 0.12
	}
	if r.Absurd == 0 {
		r.Absurd = 6
	}
	return r
}

// An Ask is one listing to be judged.
type Ask struct {
	Ask       float64
	Valuation price.Valuation
	Because   string // why it cannot be judged, known beforehand; "" if it can
}

// Judge judges the asks of one market together: whether each lies well below
// or well above its own left-out expectation, false discoveries held over the
// market.
//
// Benjamini and Hochberg (1995), J. R. Stat. Soc. B 57, 289-300,
// doi:10.1111/j.2517-6161.1995.tb02031.x.
func Judge(asks []Ask, r Rules) ([]Verdict, error) {
	r = r.filled()
	out := make([]Verdict, len(asks))
	var p []float64
	var judged []int
	for i, a := range asks {
		v := &out[i]
		v.Because = a.Because
		if v.Because == "" {
			v.Because = a.Valuation.Unusable
		}
		if a.Valuation.Expected > 0 {
			v.Gap = a.Ask/a.Valuation.Expected - 1
			v.OutsideRange = a.Ask < a.Valuation.Low || a.Ask > a.Valuation.High
			if v.Because == "" && (1+v.Gap > r.Absurd || 1+v.Gap < 1/r.Absurd) {
				v.Because = "the ask is so far from what is expected that it looks like a typing error, a deposit or a part"
			}
		}
		v.P = calibrate.TwoSidedP(a.Valuation.Residual/a.Valuation.LogSD, a.Valuation.DF)
		v.PAdjusted = v.P
		if v.Because != "" {
			v.Verdict = NotJudged
			continue
		}
		p = append(p, v.P)
		judged = append(judged, i)
	}
	adjusted, err := calibrate.AdjustBH(p)
	if err != nil {
		return nil, err
	}
	for k, adjusted := range adjusted {
		v := &out[judged[k]]
		v.PAdjusted = adjusted
		v.Verdict = Near
		if adjusted <= r.FalseShare && math.Abs(v.Gap) >= r.SmallestGap {
			v.Verdict = WellAbove
			if v.Gap < 0 {
				v.Verdict = WellBelow
			}
		}
	}
	return out, nil
}

// SmallestSeen is the smallest gap that this market could have told from
// chance at its middle listing: the gap whose p-value would just pass beside
// the verdicts that were given.
func SmallestSeen(asks []Ask, verdicts []Verdict, r Rules) float64 {
	r = r.filled()
	var spreads, freedoms []float64
	given := 0
	for i, v := range verdicts {
		if v.Verdict == NotJudged {
			continue
		}
		spreads, freedoms = append(spreads, asks[i].Valuation.LogSD), append(freedoms, asks[i].Valuation.DF)
		if v.Verdict != Near {
			given++
		}
	}
	if len(spreads) == 0 {
		return math.NaN()
	}
	level := r.FalseShare * float64(given+1) / float64(len(spreads))
	z := calibrate.StudentQuantile(1-level/2, freedoms[0])
	return math.Max(r.SmallestGap, math.Exp(z*robust.Median(spreads))-1)
}
