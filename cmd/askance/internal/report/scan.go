package report

import (
	"askance/analysis"
	"askance/analysis/outlay"
	"askance/analysis/price"
	"askance/analysis/settle"
	"askance/analysis/verdict"
	"askance/ingest/boat"
)

type marketDoc struct {
	Read       int `json:"read"`
	Used       int `json:"used"`
	NotJudged  int `json:"not_judged"`
	Duplicates int `json:"duplicates"`
	LeftOut    int `json:"left_out"`
}

type agePointDoc struct {
	Age   float64  `json:"age"`
	Share float64  `json:"share"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
}

type worthDoc struct {
	Item     string   `json:"item"`
	Value    string   `json:"value"`
	Amount   float64  `json:"amount"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Listings int      `json:"listings"`
	Prior    *float64 `json:"prior,omitempty"`
	Mostly   string   `json:"mostly"`
}

type ratioDoc struct {
	MedianRatio *float64 `json:"median_ratio,omitempty"`
	COD         *float64 `json:"cod,omitempty"`
	PRD         *float64 `json:"prd,omitempty"`
	PRB         *float64 `json:"prb,omitempty"`
}

type modelDoc struct {
	Scale        float64       `json:"scale"`
	Listings     int           `json:"listings"`
	Downweighted int           `json:"downweighted"`
	Coverage     *float64      `json:"coverage,omitempty"`
	SmallestGap  *float64      `json:"smallest_gap_seen,omitempty"`
	AgeCurve     []agePointDoc `json:"age_curve"`
	Values       []worthDoc    `json:"values"`
	RatioStudy   ratioDoc      `json:"ratio_study"`
}

type partDoc struct {
	What   string  `json:"what"`
	Item   string  `json:"item,omitempty"`
	Value  string  `json:"value,omitempty"`
	Quote  string  `json:"quote,omitempty"`
	Amount float64 `json:"amount"`
}

type allInDoc struct {
	Purpose       string   `json:"purpose"`
	CostLow       *float64 `json:"cost_low,omitempty"`
	CostHigh      *float64 `json:"cost_high,omitempty"`
	CostToReady   *float64 `json:"cost_to_ready,omitempty"`
	AllIn         *float64 `json:"all_in,omitempty"`
	ReadyExpected *float64 `json:"ready_expected,omitempty"`
	ReadyLow      *float64 `json:"ready_low,omitempty"`
	ReadyHigh     *float64 `json:"ready_high,omitempty"`
	Margin        *float64 `json:"margin,omitempty"`
}

type reasonDoc struct {
	What   string  `json:"what"`
	Amount float64 `json:"amount"`
}

type offerDoc struct {
	Highest *float64    `json:"highest,omitempty"`
	Because []reasonDoc `json:"because"`
}

type adjustmentDoc struct {
	What   string  `json:"what"`
	Value  string  `json:"value,omitempty"`
	Amount float64 `json:"amount"`
}

type comparableDoc struct {
	ID          string          `json:"id"`
	Title       string          `json:"title,omitempty"`
	Ask         float64         `json:"ask"`
	Adjustments []adjustmentDoc `json:"adjustments"`
	Adjusted    float64         `json:"adjusted"`
}

type judgedDoc struct {
	ID               string          `json:"id"`
	Title            string          `json:"title,omitempty"`
	Source           sourceDoc       `json:"source"`
	Ask              *float64        `json:"ask,omitempty"`
	Expected         *float64        `json:"expected,omitempty"`
	Low              *float64        `json:"low,omitempty"`
	High             *float64        `json:"high,omitempty"`
	Gap              *float64        `json:"gap,omitempty"`
	Verdict          string          `json:"verdict"`
	OutsideRange     *bool           `json:"outside_range,omitempty"`
	P                *float64        `json:"p,omitempty"`
	PAdjusted        *float64        `json:"p_adjusted,omitempty"`
	Contributions    []partDoc       `json:"contributions"`
	AllIn            *allInDoc       `json:"all_in,omitempty"`
	Offer            *offerDoc       `json:"offer,omitempty"`
	Comparables      []comparableDoc `json:"comparables"`
	Cautions         []string        `json:"cautions" csv:"join"`
	NotJudgedBecause string          `json:"not_judged_because,omitempty"`
}

type leftOutDoc struct {
	Source sourceDoc `json:"source"`
	Title  string    `json:"title,omitempty"`
	Code   string    `json:"code"`
	Reason string    `json:"reason"`
}

type scanDoc struct {
	Schema   string       `json:"schema"`
	AsOf     string       `json:"as_of"`
	Currency string       `json:"currency"`
	Market   marketDoc    `json:"market"`
	Model    modelDoc     `json:"model"`
	Listings []judgedDoc  `json:"listings"`
	LeftOut  []leftOutDoc `json:"left_out"`
}

// scanOf turns a survey into its document, listings as they rank.
func scanOf(s *analysis.Survey, v View) scanDoc {
	c := coinOf(s.Market.Currency)
	d := scanDoc{Schema: "askance.scan/1", AsOf: day(s.Market.AsOf), Currency: s.Market.Currency, Market: marketOf(s), Model: modelOf(s, c), Listings: []judgedDoc{}, LeftOut: []leftOutDoc{}}
	for _, j := range ranked(s, v) {
		d.Listings = append(d.Listings, judgedOf(j, c))
	}
	for _, l := range s.Market.LeftOut {
		d.LeftOut = append(d.LeftOut, leftOutDoc{Source: sourceOf(l.Source), Title: l.Title, Code: l.Code, Reason: l.Reason})
	}
	return d
}

func marketOf(s *analysis.Survey) marketDoc {
	return marketDoc{Read: s.Market.Read, Used: s.Used, NotJudged: s.NotJudged, Duplicates: s.Market.Duplicates, LeftOut: len(s.Market.LeftOut)}
}

func modelOf(s *analysis.Survey, c coin) modelDoc {
	m := s.Model
	d := modelDoc{Scale: m.Scale, Listings: m.Listings, Downweighted: m.Downweighted, Coverage: ratio(s.Coverage), SmallestGap: ratio(s.SmallestGap), AgeCurve: []agePointDoc{}, Values: []worthDoc{}}
	for _, p := range m.AgeCurve {
		if isNumber(p.Share) {
			d.AgeCurve = append(d.AgeCurve, agePointDoc{Age: p.Age, Share: *ratio(p.Share), Low: ratio(p.Low), High: ratio(p.High)})
		}
	}
	for _, w := range m.Values {
		if isNumber(w.Amount) {
			d.Values = append(d.Values, worthDoc{Item: w.Item, Value: w.Value, Amount: c.round(w.Amount), Low: c.amount(w.Low), High: c.amount(w.High), Listings: w.Listings, Prior: c.amount(w.Prior), Mostly: w.Mostly})
		}
	}
	if r := s.Ratio; r != nil {
		d.RatioStudy = ratioDoc{MedianRatio: ratio(r.Median), COD: ratio(r.COD), PRD: ratio(r.PRD), PRB: ratio(r.PRB)}
	}
	return d
}

func judgedOf(j *analysis.Judged, c coin) judgedDoc {
	val := j.Valuation
	d := judgedDoc{
		ID: j.Listing.ID, Title: j.Listing.Title, Source: sourceOf(j.Listing.Source), Expected: c.positive(val.Expected), Low: c.positive(val.Low), High: c.positive(val.High),
		Verdict: j.Verdict.Verdict, Contributions: partsOf(c, val), Comparables: comparablesOf(c, val.Comparable), Cautions: cautionsOf(j), NotJudgedBecause: j.Verdict.Because,
	}
	if j.Listing.Price.Known {
		d.Ask = c.amount(j.Listing.Price.Major())
	}
	if d.Ask != nil && d.Expected != nil {
		d.Gap, d.OutsideRange = ratio(j.Verdict.Gap), &j.Verdict.OutsideRange
	}
	if j.Verdict.Verdict != verdict.NotJudged {
		d.P, d.PAdjusted = chance(j.Verdict.P), chance(j.Verdict.PAdjusted)
	}
	if o := j.Outlay; o != nil {
		d.AllIn = allInOf(c, o)
	}
	if j.Offer != nil {
		d.Offer = &offerDoc{Highest: c.amount(j.Offer.Highest), Because: reasonsOf(c, j.Offer.Because)}
	}
	return d
}

func allInOf(c coin, o *outlay.Outlay) *allInDoc {
	return &allInDoc{Purpose: o.Purpose, CostLow: c.amount(o.CostLow), CostHigh: c.amount(o.CostHigh), CostToReady: c.amount(o.CostToReady), AllIn: c.positive(o.AllIn),
		ReadyExpected: c.positive(o.ReadyExpected), ReadyLow: c.positive(o.ReadyLow), ReadyHigh: c.positive(o.ReadyHigh), Margin: marginOf(c, o)}
}

// marginOf is unknown where either of its two sides is.
func marginOf(c coin, o *outlay.Outlay) *float64 {
	if o.AllIn <= 0 || o.ReadyExpected <= 0 {
		return nil
	}
	return c.amount(o.Margin)
}

func partsOf(c coin, v price.Valuation) []partDoc {
	out := []partDoc{}
	for _, p := range c.parts(v.Parts, v.Expected) {
		out = append(out, partDoc{What: p.What, Item: p.Item, Value: p.Value, Quote: p.Quote, Amount: p.Amount})
	}
	return out
}

func comparablesOf(c coin, list []price.Comparable) []comparableDoc {
	out := []comparableDoc{}
	for _, cmp := range list {
		ask, steps, total := c.adjusted(cmp)
		d := comparableDoc{ID: idOf(cmp.Listing), Title: titleOf(cmp.Listing), Ask: ask, Adjusted: total, Adjustments: []adjustmentDoc{}}
		for _, a := range steps {
			d.Adjustments = append(d.Adjustments, adjustmentDoc(a))
		}
		out = append(out, d)
	}
	return out
}

func reasonsOf(c coin, list []settle.Reason) []reasonDoc {
	out := []reasonDoc{}
	for _, r := range list {
		if isNumber(r.Amount) {
			out = append(out, reasonDoc{What: r.What, Amount: c.round(r.Amount)})
		}
	}
	return out
}

func idOf(l *boat.Listing) string {
	if l == nil {
		return ""
	}
	return l.ID
}

func titleOf(l *boat.Listing) string {
	if l == nil {
		return ""
	}
	return l.Title
}
