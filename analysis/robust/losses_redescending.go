package robust

import "math"

// Hampel is the three-part loss: quadratic up to A, linear up to B, falling back
// to flat at C. 0 < A <= B < C, standardised residuals.
//
// Hampel (1974), J. Am. Stat. Assoc. 69, 383-393, doi:10.1080/01621459.1974.10482962.
type Hampel struct{ A, B, C float64 }

// Rho is the integral of Psi.
func (h Hampel) Rho(r float64) float64 {
	a := math.Abs(r)
	switch {
	case a <= h.A:
		return a * a / 2
	case a <= h.B:
		return h.A * (a - h.A/2)
	case a < h.C:
		left := h.C - a
		return h.Height() - h.A*left*left/(2*(h.C-h.B))
	}
	return h.Height()
}

// Psi is r up to A, then A up to B, then falls in a straight line to 0 at C.
func (h Hampel) Psi(r float64) float64 {
	a := math.Abs(r)
	switch {
	case a <= h.A:
		return r
	case a <= h.B:
		return math.Copysign(h.A, r)
	case a < h.C:
		return math.Copysign(h.A*(h.C-a)/(h.C-h.B), r)
	}
	return 0
}

// PsiPrime is 1, 0, -A/(C-B) and 0 on the four parts.
func (h Hampel) PsiPrime(r float64) float64 {
	a := math.Abs(r)
	switch {
	case a < h.A:
		return 1
	case a < h.B:
		return 0
	case a < h.C:
		return -h.A / (h.C - h.B)
	}
	return 0
}

// Weight is Psi(r)/r.
func (h Hampel) Weight(r float64) float64 { return weight(h, r) }

// Height is A/2 * (B - A + C).
func (h Hampel) Height() float64 { return h.A / 2 * (h.B - h.A + h.C) }

func (h Hampel) corners() []float64 { return []float64{h.A, h.B, h.C} }

// Optimal is the polynomial approximation to the loss that has the least bias
// under contamination for its efficiency: quadratic up to 2C, flat from 3C.
// C is a standardised residual above 0; 1.060158 gives 95 % efficiency.
//
// Yohai & Zamar (1997), J. Stat. Plan. Inference 64, 309-323,
// doi:10.1016/S0378-3758(97)00040-4 (from memory); the polynomial from Svarc, Yohai & Zamar
// (2002), Optimal bias-robust M-estimates of regression, in Statistical Data
// Analysis Based on the L1-Norm, Birkhäuser, 191-200.
type Optimal struct{ C float64 }

// Rho is r*r/2 up to 2C, then
// C² * (1.792 - 0.972t² + 0.432t⁴ - 0.052t⁶ + 0.002t⁸) with t = r/C up to 3C,
// then 3.25C².
func (o Optimal) Rho(r float64) float64 {
	t := r / o.C
	t *= t
	switch {
	case t <= 4:
		return r * r / 2
	case t < 9:
		return o.C * o.C * (1.792 + t*(-0.972+t*(0.432+t*(-0.052+t*0.002))))
	}
	return o.Height()
}

// Psi is the derivative of Rho.
func (o Optimal) Psi(r float64) float64 { return r * o.Weight(r) }

// PsiPrime is the derivative of Psi.
func (o Optimal) PsiPrime(r float64) float64 {
	t := r / o.C
	t *= t
	switch {
	case t < 4:
		return 1
	case t < 9:
		return -1.944 + t*(5.184+t*(-1.56+t*0.112))
	}
	return 0
}

// Weight is Psi(r)/r.
func (o Optimal) Weight(r float64) float64 {
	t := r / o.C
	t *= t
	switch {
	case t <= 4:
		return 1
	case t < 9:
		// rounding would leave the weight a hair under 0 near 3C
		return math.Max(0, -1.944+t*(1.728+t*(-0.312+t*0.016)))
	}
	return 0
}

// Height is 3.25C².
func (o Optimal) Height() float64 { return 3.25 * o.C * o.C }

func (o Optimal) corners() []float64 { return []float64{2 * o.C, 3 * o.C} }

// LQQ is the linear-quadratic-quadratic loss, whose Psi bends back slowly:
// straight up to C, quadratic over the next B while its slope goes from 1 to
// 1-S, quadratic again back to 0 while the slope goes to 0.
// B, C > 0 are standardised residuals, S > 1 has no unit.
//
// Koller & Stahel (2011), Comput. Stat. Data Anal. 55, 2504-2515,
// doi:10.1016/j.csda.2011.02.014.
type LQQ struct{ B, C, S float64 }

// tail is how far the third piece reaches.
func (l LQQ) tail() float64 { return (2*(l.B+l.C) - l.B*l.S) / (l.S - 1) }

// left is how much of the third piece lies beyond a residual past C.
func (l LQQ) left(past float64) float64 { return math.Max(0, l.tail()-(past-l.B)) }

// Rho is the integral of Psi.
func (l LQQ) Rho(r float64) float64 {
	a := math.Abs(r)
	past := a - l.C
	switch {
	case past <= 0:
		return a * a / 2
	case past <= l.B:
		return a*a/2 - l.S/(6*l.B)*past*past*past
	}
	left := l.left(past)
	return l.Height() - (l.S-1)/(6*l.tail())*left*left*left
}

// Psi is r up to C, then |r| - S/(2B) (|r|-C)² over the next B, then a parabola
// that reaches 0 with slope 0.
func (l LQQ) Psi(r float64) float64 {
	a := math.Abs(r)
	past := a - l.C
	switch {
	case past <= 0:
		return r
	case past <= l.B:
		return math.Copysign(a-l.S/(2*l.B)*past*past, r)
	}
	left := l.left(past)
	return math.Copysign((l.S-1)/(2*l.tail())*left*left, r)
}

// PsiPrime is the derivative of Psi.
func (l LQQ) PsiPrime(r float64) float64 {
	past := math.Abs(r) - l.C
	switch {
	case past < 0:
		return 1
	case past < l.B:
		return 1 - l.S/l.B*past
	}
	return -(l.S - 1) / l.tail() * l.left(past)
}

// Weight is Psi(r)/r.
func (l LQQ) Weight(r float64) float64 { return weight(l, r) }

// Height is Rho at the end of its last piece.
func (l LQQ) Height() float64 {
	end := l.B + l.C
	return end*end/2 - l.S*l.B*l.B/6 + l.tail()*l.tail()*(l.S-1)/6
}

func (l LQQ) corners() []float64 {
	return []float64{l.C, l.C + l.B, l.C + l.B + l.tail()}
}

// weight is Psi(r)/r, 1 at nought, for a loss that has no shorter form.
func weight(l Loss, r float64) float64 {
	if r == 0 {
		return 1
	}
	return l.Psi(r) / r
}
