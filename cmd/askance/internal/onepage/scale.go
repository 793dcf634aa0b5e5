package onepage

import "math"

// A scale is the drawing of prices on a line, in units of the drawing.
type scale struct {
	Width, Height int
	Low, Span     float64 // the range's left end and width
	Expected      float64
	Ask           float64
	HasAsk        bool
	Dots          []float64 // comparables, adjusted
	Ticks         []tick

	RangeText, ExpectedText, AskText string
	AskAnchor, ExpectedAnchor        string // "start", "middle" or "end": a text does not leave the drawing
}

type tick struct {
	X    float64
	Text string
}

// The drawing's measures, in its own units.
const (
	scaleWidth  = 700
	scaleHeight = 118
	scaleEdge   = 20
)

// scale draws the range, the expected ask, the ask and the comparables; nil
// where there is no range.
func (w writer) scale() *scale {
	v, l := w.boat.Valuation, w.boat.Listing
	if !(v.Low > 0 && v.High > v.Low) {
		return nil
	}
	ask := l.Price.Major()
	low, high := v.Low, v.High
	see := func(x float64) { low, high = min(low, x), max(high, x) }
	if l.Price.Known {
		see(ask)
	}
	for _, c := range v.Comparable {
		see(c.Adjusted)
	}
	pad := 0.06 * (high - low)
	low, high = max(low-pad, 0), high+pad
	at := func(x float64) float64 {
		return math.Round(10*(scaleEdge+(x-low)/(high-low)*(scaleWidth-2*scaleEdge))) / 10
	}
	s := &scale{
		Width: scaleWidth, Height: scaleHeight,
		Low: at(v.Low), Span: math.Round(10*(at(v.High)-at(v.Low))) / 10, Expected: at(v.Expected),
		RangeText:    w.say("range_short") + " " + w.whole(v.Low) + " – " + w.whole(v.High),
		ExpectedText: w.say("expected_short") + " " + w.money(v.Expected),
	}
	s.ExpectedAnchor = anchor(s.Expected)
	if l.Price.Known {
		s.Ask, s.HasAsk, s.AskText = at(ask), true, w.say("ask_short")+" "+w.money(ask)
		s.AskAnchor = anchor(s.Ask)
	}
	for _, c := range v.Comparable {
		s.Dots = append(s.Dots, at(c.Adjusted))
	}
	for x := math.Ceil(low/step(high-low)) * step(high-low); x <= high; x += step(high - low) {
		s.Ticks = append(s.Ticks, tick{at(x), w.whole(x)})
	}
	return s
}

// anchor says from which side a text at x is set.
func anchor(x float64) string {
	switch {
	case x < 110:
		return "start"
	case x > scaleWidth-110:
		return "end"
	}
	return "middle"
}

// step is a round distance that divides a span into some four to nine parts.
func step(span float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(span)))
	for _, f := range []float64{0.1, 0.2, 0.5, 1} {
		if span/(f*unit) <= 9 {
			return f * unit
		}
	}
	return unit
}
