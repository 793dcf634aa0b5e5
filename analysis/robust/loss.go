package robust

import "math"

// A Loss says how much a standardised residual (residual over scale, no unit)
// counts. Psi is the derivative of Rho, PsiPrime of Psi, and Weight is Psi(r)/r
// with Weight(0) = 1. Rho is even, grows with |r| and has Rho(0) = 0; it is not
// normalised, so near nought every loss here equals r*r/2.
//
// Where Psi has a corner PsiPrime is the derivative from the outer side.
type Loss interface {
	Rho(r float64) float64
	Psi(r float64) float64
	PsiPrime(r float64) float64
	Weight(r float64) float64
}

// A BoundedLoss is a Loss whose Rho reaches a finite height and stays there, as
// a high breakdown point needs. Height is that value, the least upper bound of
// Rho; Rho(r)/Height() is the form that an M-scale averages.
type BoundedLoss interface {
	Loss
	Height() float64
}

// cornered is a loss made of pieces: the positive residuals at which one piece
// ends and the next begins, ascending. Integrals are taken piece by piece.
type cornered interface {
	corners() []float64
}

// Huber is the loss that is quadratic up to C and linear beyond.
// C is a standardised residual above 0; 1.345 gives 95 % efficiency.
//
// Huber (1964), Ann. Math. Statist. 35, 73-101, doi:10.1214/aoms/1177703732.
type Huber struct{ C float64 }

// Rho is r*r/2 for |r| <= C and C*(|r| - C/2) beyond.
func (h Huber) Rho(r float64) float64 {
	if a := math.Abs(r); a > h.C {
		return h.C * (a - h.C/2)
	}
	return r * r / 2
}

// Psi is r cut off at -C and C.
func (h Huber) Psi(r float64) float64 {
	return math.Max(-h.C, math.Min(h.C, r))
}

// PsiPrime is 1 for |r| < C and 0 from there on.
func (h Huber) PsiPrime(r float64) float64 {
	if math.Abs(r) < h.C {
		return 1
	}
	return 0
}

// Weight is min(1, C/|r|).
func (h Huber) Weight(r float64) float64 {
	if a := math.Abs(r); a > h.C {
		return h.C / a
	}
	return 1
}

func (h Huber) corners() []float64 { return []float64{h.C} }

// Bisquare is Tukey's biweight: residuals beyond C have no weight at all.
// C is a standardised residual above 0; 4.685061 gives 95 % efficiency,
// 1.547645 an M-scale of breakdown point 0.5.
//
// Beaton & Tukey (1974), Technometrics 16, 147-185, doi:10.1080/00401706.1974.10489171.
type Bisquare struct{ C float64 }

// Rho is C²/6 * (1 - (1-(r/C)²)³) for |r| <= C and C²/6 beyond.
func (b Bisquare) Rho(r float64) float64 {
	u := r / b.C
	if u *= u; u < 1 {
		// the expanded form of 1-(1-u)³ keeps its digits near nought
		return b.C * b.C / 6 * u * (3 - u*(3-u))
	}
	return b.C * b.C / 6
}

// Psi is r * (1-(r/C)²)² for |r| <= C and 0 beyond.
func (b Bisquare) Psi(r float64) float64 { return r * b.Weight(r) }

// PsiPrime is (1-(r/C)²) * (1-5(r/C)²) for |r| <= C and 0 beyond.
func (b Bisquare) PsiPrime(r float64) float64 {
	u := r / b.C
	if u *= u; u < 1 {
		return (1 - u) * (1 - 5*u)
	}
	return 0
}

// Weight is (1-(r/C)²)² for |r| <= C and 0 beyond.
func (b Bisquare) Weight(r float64) float64 {
	u := r / b.C
	if u *= u; u < 1 {
		return (1 - u) * (1 - u)
	}
	return 0
}

// Height is C²/6.
func (b Bisquare) Height() float64 { return b.C * b.C / 6 }

func (b Bisquare) corners() []float64 { return []float64{b.C} }
