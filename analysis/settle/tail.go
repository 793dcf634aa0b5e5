package settle

import "askance/analysis/calibrate"

// cumulative distribution of the t distribution; df may be +Inf.
func cumulative(z, df float64) float64 {
	tail := calibrate.TwoSidedP(z, df) / 2
	if z < 0 {
		return tail
	}
	return 1 - tail
}
