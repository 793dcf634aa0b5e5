// Package verdict says of each ask whether it stands well below, near or well
// above what such boats ask, and how sure that is.
package verdict

// Verdicts.
const (
	WellBelow = "well below"
	Near      = "near"
	WellAbove = "well above"
	NotJudged = "not judged"
)

// A Verdict is the judgement of one ask.
type Verdict struct {
	Verdict      string
	Gap          float64 // ask / expected - 1
	OutsideRange bool
	P            float64 // two-sided
	PAdjusted    float64 // held over the whole market by Benjamini and Hochberg
	Because      string  // why it is not judged
}
