package analysis

import (
	"askance/analysis/calibrate"
	"askance/analysis/verdict"
)

// count fills in the figures over all boats: how many were judged, how often
// an ask lay in its own range, the smallest gap that could be seen, and the
// ratio study of the left-out prices over the asks judged near.
func (s *Survey) count(asks []verdict.Ask, verdicts []verdict.Verdict) {
	inside, near := 0, 0
	var expected, asked []float64
	for i, v := range verdicts {
		if v.Verdict == verdict.NotJudged {
			s.NotJudged++
			continue
		}
		s.Used++
		if v.Verdict == verdict.Near {
			expected, asked = append(expected, asks[i].Valuation.Expected), append(asked, asks[i].Ask)
			near++
			if !v.OutsideRange {
				inside++
			}
		}
	}
	if near > 0 {
		s.Coverage = float64(inside) / float64(near)
	}
	s.SmallestGap = verdict.SmallestSeen(asks, verdicts, verdict.Rules{})
	if study, err := calibrate.RatioStudy(expected, asked, 0.95); err == nil {
		s.Ratio = &study
	} else {
		s.Warnings = append(s.Warnings, err.Error())
	}
}
