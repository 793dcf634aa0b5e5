package calibrate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/montanaflynn/stats"
)

// Ratios is a ratio study: how estimates compare with prices. Ratios have no unit.
type Ratios struct {
	Count  int
	Median float64
	// MedianRange holds the true median ratio with probability level.
	MedianRange Interval
	Mean        float64
	// WeightedMean is the sum of the estimates over the sum of the prices.
	WeightedMean float64
	// COD, the coefficient of dispersion: the mean distance of the ratios from their
	// median, in per cent of the median.
	COD float64
	// COV, the coefficient of variation: their standard deviation (n-1) in per cent
	// of their mean.
	COV float64
	// PRD, the price-related differential: mean over weighted mean. Above 1.03 dear
	// ones are estimated too low, below 0.98 too high.
	PRD float64
	// PRB, the coefficient of price-related bias: by what share of the median ratio
	// ratios change when the value doubles. PRBError is its standard error, PRBRange
	// holds the true one with probability level.
	PRB, PRBError float64
	PRBRange      Interval
	// MKI, the modified Kakwani index: Gini coefficient of the estimates in the order
	// of the prices over that of the prices; KI their difference. Under 1 and 0 the
	// estimates spread less than the prices.
	MKI, KI  float64
	Warnings []string
}

// RatioStudy compares the estimates (n) with the prices (n, same unit), ranges at
// the given level, within (0, 1). It is an error when the lengths differ, there are
// fewer than 3, one is not above 0 and finite, or the level is out of range. What
// cannot be computed, such as the bias when all values are equal, is NaN with a
// warning.
//
// International Association of Assessing Officers (2013), Standard on Ratio
// Studies; PRB: Gloudemans (2011), J. Prop. Tax Assess. Adm. 8, 5-19; MKI: Quintos
// (2020), J. Prop. Tax Assess. Adm. 17, 2.
func RatioStudy(estimates, prices []float64, level float64) (Ratios, error) {
	n := len(prices)
	if len(estimates) != n || n < 3 {
		return Ratios{}, fmt.Errorf("ratio study: wanted as many estimates as prices and at least 3, got %d and %d", len(estimates), n)
	}
	ratios := make([]float64, n)
	for i, price := range prices {
		if !(price > 0) || !(estimates[i] > 0) || math.IsInf(price, 0) || math.IsInf(estimates[i], 0) {
			return Ratios{}, fmt.Errorf("ratio study: case %d: wanted amounts above 0, got an estimate of %g and a price of %g", i, estimates[i], price)
		}
		ratios[i] = estimates[i] / price
	}
	study := Ratios{Count: n}
	var err error
	if study.MedianRange, err = MedianInterval(ratios, level); err != nil {
		return Ratios{}, err
	}
	study.Warnings = append(study.Warnings, study.MedianRange.Warnings...)

	// none of these fails on three or more numbers
	study.Median, _ = stats.Median(ratios)
	study.Mean, _ = stats.Mean(ratios)
	deviation, _ := stats.StandardDeviationSample(ratios)
	totalEstimate, _ := stats.Sum(estimates)
	totalPrice, _ := stats.Sum(prices)
	apart := 0.0
	for _, r := range ratios {
		apart += math.Abs(r-study.Median) / float64(n)
	}
	study.WeightedMean = totalEstimate / totalPrice
	study.COD = 100 * apart / study.Median
	study.COV = 100 * deviation / study.Mean
	study.PRD = study.Mean / study.WeightedMean
	study.bias(ratios, estimates, prices, level)
	study.concentration(estimates, prices)
	return study, nil
}

// bias sets PRB: the slope of (ratio - median)/median on the base-2 logarithm of
// the mean of price and estimate/median, by least squares with an intercept.
func (s *Ratios) bias(ratios, estimates, prices []float64, level float64) {
	n := len(ratios)
	off, size := make([]float64, n), make([]float64, n)
	for i, r := range ratios {
		off[i] = (r - s.Median) / s.Median
		size[i] = math.Log2((estimates[i]/s.Median + prices[i]) / 2)
	}
	meanOff, _ := stats.Mean(off)
	meanSize, _ := stats.Mean(size)
	product, square := 0.0, 0.0
	for i := range off {
		product += (size[i] - meanSize) * (off[i] - meanOff)
		square += (size[i] - meanSize) * (size[i] - meanSize)
	}
	if square == 0 {
		s.PRB, s.PRBError = math.NaN(), math.NaN()
		s.PRBRange = Interval{Low: math.Inf(-1), High: math.Inf(1)}
		s.Warnings = append(s.Warnings, "all values are equal: no bias by price can be seen")
		return
	}
	s.PRB = product / square
	rest := 0.0
	for i := range off {
		e := off[i] - meanOff - s.PRB*(size[i]-meanSize)
		rest += e * e
	}
	s.PRBError = math.Sqrt(rest / float64(n-2) / square)
	reach := StudentQuantile((1+level)/2, float64(n-2)) * s.PRBError
	s.PRBRange = Interval{Low: s.PRB - reach, High: s.PRB + reach}
}

// concentration sets MKI and KI.
func (s *Ratios) concentration(estimates, prices []float64) {
	order := make([]int, len(prices))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(prices[a], prices[b]) })
	ofPrices, ofEstimates := gini(prices, order), gini(estimates, order)
	s.MKI, s.KI = ofEstimates/ofPrices, ofEstimates-ofPrices
	if ofPrices == 0 {
		s.MKI = math.NaN()
		s.Warnings = append(s.Warnings, "all prices are equal: no concentration can be compared")
	}
}

// gini is the Gini coefficient of the values taken in the given order,
// 2 sum i x_i / (n sum x_i) - (n+1)/n.
func gini(x []float64, order []int) float64 {
	n, sum, ranked := float64(len(x)), 0.0, 0.0
	for rank, i := range order {
		sum += x[i]
		ranked += float64(rank+1) * x[i]
	}
	return 2*ranked/(n*sum) - (n+1)/n
}
