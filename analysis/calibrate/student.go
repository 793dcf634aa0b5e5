package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// TwoSidedP is the probability that a t-distributed number with df degrees of
// freedom (above 0, whole or not; +Inf for the normal distribution) is at least as
// far from 0 as t. It keeps its digits in the far tail. NaN when df is not above 0.
//
// Student (1908), Biometrika 6, 1-25, doi:10.1093/biomet/6.1.1.
func TwoSidedP(t, df float64) float64 {
	switch {
	case !(df > 0) || math.IsNaN(t):
		return math.NaN()
	case math.IsInf(df, 1):
		return math.Erfc(math.Abs(t) / math.Sqrt2)
	}
	return math.Min(1, 2*distuv.StudentsT{Sigma: 1, Nu: df}.Survival(math.Abs(t)))
}

// StudentQuantile is the number below which a t-distributed one with df degrees of
// freedom (above 0, whole or not; +Inf for the normal distribution) lies with
// probability p. -Inf and +Inf for p = 0 and 1; NaN when p is not within [0, 1] or
// df not above 0.
func StudentQuantile(p, df float64) float64 {
	switch {
	case !(p >= 0 && p <= 1) || !(df > 0):
		return math.NaN()
	case p == 0 || p == 1:
		return math.Inf(int(2*p - 1))
	case math.IsInf(df, 1):
		return distuv.UnitNormal.Quantile(p)
	case p > 0.5:
		return -StudentQuantile(1-p, df)
	}
	return -twoSidedQuantile(2*p, df)
}

// twoSidedQuantile is the t >= 0 with TwoSidedP(t, df) = p.
func twoSidedQuantile(p, df float64) float64 {
	high := 1.0
	for TwoSidedP(high, df) > p && high < math.MaxFloat64/2 {
		high *= 2
	}
	return bisect(0, high, func(t float64) float64 { return p - TwoSidedP(t, df) })
}

// bisect is the place between low and high where the increasing function f
// crosses nought.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			break
		}
		if f(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2
}

// A StudentFit is a t-distribution about 0.
type StudentFit struct {
	DF            float64 // degrees of freedom, within [4, +Inf]
	Scale         float64 // in the unit of the residuals; for DF = +Inf the standard deviation
	LogLikelihood float64 // of the residuals
	// Gain is by how much the log-likelihood exceeds that of the best normal
	// distribution; 0 for DF = +Inf.
	Gain float64
}

// The degrees of freedom that FitStudent tries run from leastDF to mostDF; beyond
// the latter a t-distribution cannot be told from the normal one.
const leastDF, mostDF = 4, 1000

// FitStudent fits a t-distribution about 0 to the residuals by maximum likelihood,
// degrees of freedom within 4 and +Inf. It gives +Inf when the normal distribution
// fits as well as any of them. It is an error when there are fewer than 3
// residuals, when one is not finite, or when four fifths of them are 0.
//
// Lange, Little & Taylor (1989), J. Am. Stat. Assoc. 84, 881-896,
// doi:10.1080/01621459.1989.10478852. The limit of 4 is this package's own: below
// it a sample's tail is a matter of single values.
func FitStudent(residuals []float64) (StudentFit, error) {
	n := len(residuals)
	if n < 3 {
		return StudentFit{}, fmt.Errorf("t-distribution: wanted at least 3 residuals, got %d", n)
	}
	square, zeros := 0.0, 0
	for i, r := range residuals {
		if math.IsNaN(r) || math.IsInf(r, 0) {
			return StudentFit{}, fmt.Errorf("t-distribution: residual %d is %g, wanted a finite number", i, r)
		}
		if r == 0 {
			zeros++
		}
		square += r * r
	}
	// with more the likelihood grows without end as the scale goes to 0
	if most := n * leastDF / (leastDF + 1); zeros >= most {
		return StudentFit{}, fmt.Errorf("t-distribution: wanted fewer than %d of %d residuals to be 0, got %d", most, n, zeros)
	}
	sd := math.Sqrt(square / float64(n))
	normal := StudentFit{DF: math.Inf(1), Scale: sd, LogLikelihood: -float64(n) * (math.Log(sd) + (1+math.Log(2*math.Pi))/2)}

	// in 1/df the likelihood is smooth and the normal distribution is at 0
	at := func(inverse float64) StudentFit { return studentAt(residuals, 1/inverse, sd) }
	best := maximise(1.0/mostDF, 1.0/leastDF, func(inverse float64) float64 { return at(inverse).LogLikelihood })
	fit := at(best)
	// what is gained at the edge of the search is the edge's doing, not the tail's
	if edge := at(1.0 / mostDF); fit.LogLikelihood <= math.Max(normal.LogLikelihood, edge.LogLikelihood) {
		return normal, nil
	}
	fit.Gain = fit.LogLikelihood - normal.LogLikelihood
	return fit, nil
}

// studentAt is the best fit with the given degrees of freedom. Its scale s solves
// sum (df+1) r²/(df s² + r²) = n.
func studentAt(residuals []float64, df, sd float64) StudentFit {
	n := float64(len(residuals))
	scale := math.Exp(bisect(math.Log(sd)-20, math.Log(sd)+1, func(logScale float64) float64 {
		s, sum := math.Exp(logScale), 0.0
		for _, r := range residuals {
			u := r / s
			sum += (df + 1) * u * u / (df + u*u)
		}
		return n - sum
	}))
	fit := StudentFit{DF: df, Scale: scale}
	t := distuv.StudentsT{Sigma: scale, Nu: df}
	for _, r := range residuals {
		fit.LogLikelihood += t.LogProb(r)
	}
	return fit
}

// maximise is the place between low and high where f is largest: the best of a
// grid, then golden sections about it.
func maximise(low, high float64, f func(float64) float64) float64 {
	const steps = 40
	width := (high - low) / steps
	best, top := low, math.Inf(-1)
	for i := range steps + 1 {
		x := low + float64(i)*width
		if v := f(x); v > top {
			best, top = x, v
		}
	}
	a, b := math.Max(low, best-width), math.Min(high, best+width)
	golden := (math.Sqrt(5) - 1) / 2
	for b-a > 1e-9 {
		c, d := b-golden*(b-a), a+golden*(b-a)
		if f(c) >= f(d) {
			b = d
		} else {
			a = c
		}
	}
	if middle := a + (b-a)/2; f(middle) > top {
		return middle
	}
	return best
}
