package report

import (
	"fmt"
	"io"
	"slices"

	"askance/analysis"
	"askance/analysis/outlay"
	"askance/analysis/verdict"
)

// Explain prints one listing, every step from its words to its verdict. An
// unknown id is an error.
func Explain(w io.Writer, s *analysis.Survey, id string, v View) error {
	for i := range s.Boats {
		if s.Boats[i].Listing.ID == id {
			out := newScreen(v)
			v.explain(out, s, &s.Boats[i])
			return out.print(w)
		}
	}
	return fmt.Errorf("no listing with the id %q in this market (hint: the ids stand in the last column of the table)", id)
}

func (v View) explain(out *screen, s *analysis.Survey, j *analysis.Judged) {
	c := coinOf(s.Market.Currency)
	v.listing(out, j.Listing, false)
	if age, ok := j.Listing.Age(); ok {
		out.para(fmt.Sprintf("Its age counts as %.1f years, on %s.", age, day(j.Listing.AsOf)), 2)
	}
	out.heading("From a new boat of the class to this one, in " + c.currency)
	v.steps(out, j.Valuation, c)
	v.comparables(out, j.Valuation.Comparable, c)
	out.heading("The verdict")
	out.para(fmt.Sprintf("The ask is %s; expected is %s, and %.0f of 100 such boats ask %s to %s.", grouped(j.Listing.Price.Major()), grouped(j.Valuation.Expected), rangeOf(s)*100, grouped(j.Valuation.Low), grouped(j.Valuation.High)), 0)
	v.verdictLines(out, s, j)
	v.toReady(out, j)
	if len(j.Checks) > 0 {
		out.heading("What to check")
		for _, k := range j.Checks {
			out.item("-", v.item(k.Item)+": "+k.Why, 0)
		}
	}
}

// verdictLines prints the verdict with what it rests on and what to mind.
func (v View) verdictLines(out *screen, s *analysis.Survey, j *analysis.Judged) {
	if j.Verdict.Verdict == verdict.NotJudged {
		out.para("Not judged: "+j.Verdict.Because+".", 0)
	} else {
		out.para(fmt.Sprintf("The gap is %s: %s. Chance alone would put an ask this far off in %s of 100 cases, or %s counting that many listings are judged at once.", percentWords(j.Verdict.Gap), j.Verdict.Verdict, hundredths(j.Verdict.P), hundredths(j.Verdict.PAdjusted)), 0)
		out.para(fmt.Sprintf("Its say in the fit: %.2f of 1. The smallest gap that this market can tell from chance: %.0f %%.", j.Valuation.Weight, s.SmallestGap*100), 0)
	}
	out.para(v.sidesWords(j.Valuation.Sides), 0)
	for _, w := range append(cautionsOf(j), j.Valuation.Warnings...) {
		out.item("!", w, 0)
	}
}

// hundredths writes a probability as so many of 100.
func hundredths(p float64) string {
	switch {
	case p < 0.001:
		return "less than 0.1"
	case p < 0.1:
		return fmt.Sprintf("%.1f", p*100)
	}
	return fmt.Sprintf("%.0f", p*100)
}

// joined puts the same work on the same item, for states that exclude each
// other, into one job.
func joined(jobs []outlay.Job) []outlay.Job {
	var out []outlay.Job
	for _, j := range jobs {
		i := slices.IndexFunc(out, func(o outlay.Job) bool { return o.Item == j.Item && o.What == j.What })
		if i < 0 {
			out = append(out, j)
			continue
		}
		out[i].Chance += j.Chance
		out[i].Low, out[i].High = min(out[i].Low, j.Low), max(out[i].High, j.High)
	}
	return out
}

// toReady prints what it takes to make the boat ready, and the highest
// sensible offer.
func (v View) toReady(out *screen, j *analysis.Judged) {
	if o := j.Outlay; o != nil {
		out.heading("Made ready for " + o.Purpose)
		if o.NotFit != "" {
			out.para(o.NotFit, 0)
		}
		for _, job := range joined(o.Jobs) {
			words := "certain"
			if job.Chance < 0.995 {
				words = fmt.Sprintf("needed in %.0f of 100 boats that say as little", job.Chance*100)
			}
			out.item("-", fmt.Sprintf("%s: %s, %s to %s; %s", v.item(job.Item), job.What, grouped(job.Low), grouped(job.High), words), 0)
		}
		out.para(fmt.Sprintf("Cost to ready %s, all in %s; ready it would be expected at %s (%s to %s).", grouped(o.CostToReady), grouped(o.AllIn), grouped(o.ReadyExpected), grouped(o.ReadyLow), grouped(o.ReadyHigh)), 0)
	}
	if j.Offer != nil {
		out.heading("The most to offer: " + grouped(j.Offer.Highest))
		for _, r := range j.Offer.Because {
			out.item("-", named(r.What)+" "+signedWhole(r.Amount), 0)
		}
	}
}
