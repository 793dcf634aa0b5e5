package robust

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// MM fits y (n) to the columns of the design x (n by p) by an MM-estimate: it
// begins at the S-estimate, holds its scale fixed, and solves
// sum psi(r/s) x = 0 with Settings.Loss. It has the breakdown point of the one and
// the efficiency of the other. Fit.Start is the S fit. It is an error when the
// model is one for S, or when the weights of a step leave too few rows.
//
// Standard errors are those for a scale estimated from the data, which hold for
// skew errors too: with u = psi(r/s) x - a (rho0(r0/s)/height0 - b), the
// covariance is s²/n A mean(uu') A, A = mean(psi'(r/s) xx')⁻¹,
// a = mean(psi'(r/s) r/s x) / mean(psi0(r0/s) r0/s / height0), the nought marking
// the S fit.
//
// Yohai (1987), Ann. Stat. 15, 642-656, doi:10.1214/aos/1176350366; standard
// errors: Croux, Dhaene & Hoorelbeke (2003), Robust standard errors for robust
// estimators, DPS 03.16, K.U. Leuven.
func MM(x mat.Matrix, y []float64, settings Settings) (*Fit, error) {
	q, err := newProblem(x, y, settings)
	if err != nil {
		return nil, err
	}
	if err := q.given.tuneLoss(); err != nil {
		return nil, err
	}
	start, err := q.s()
	if err != nil {
		return nil, err
	}
	if start.Scale == 0 {
		fit := *start
		fit.Method, fit.Start = MethodMM, start
		return &fit, nil
	}
	w, err := q.reweight(start.Coefficients, q.given.Loss, func([]float64) float64 { return start.Scale })
	if err != nil {
		return nil, fmt.Errorf("MM: %w", err)
	}
	fit := w.fit(q, MethodMM)
	fit.Start = start
	fit.Warnings = append(fit.Warnings, start.Warnings...)
	covariance, err := q.sandwich(w, q.residuals(start.Coefficients))
	if err != nil {
		fit.warn("no standard errors: %v", err)
		return fit, nil
	}
	fit.spread(covariance, 1)
	return fit, nil
}

// sandwich is the covariance of the coefficients, see MM; r0 are the residuals
// (m) of the S fit.
func (q *problem) sandwich(w *reweighted, r0 []float64) (*mat.SymDense, error) {
	slope := mat.NewDense(q.p, q.p, nil) // sum psi' xx'
	lead := mat.NewVecDense(q.p, nil)    // sum psi' r/s x
	spread := 0.0                        // sum psi0 r0/s / height0
	loss0, height0 := q.given.ScaleLoss, q.given.ScaleLoss.Height()
	for k, r := range w.residuals {
		x := q.x.RowView(k)
		u, u0 := r/w.scale, r0[k]/w.scale
		slope.RankOne(slope, w.loss.PsiPrime(u), x, x)
		lead.AddScaledVec(lead, w.loss.PsiPrime(u)*u, x)
		spread += loss0.Psi(u0) * u0 / height0
	}
	var inverse mat.Dense
	if err := inverse.Inverse(slope); err != nil {
		return nil, fmt.Errorf("the residuals' curvature is singular: %w", err)
	}
	// sum uu', where sum psi x = 0 and mean rho0 = b have been used
	middle := mat.NewDense(q.p, q.p, nil)
	cross := mat.NewVecDense(q.p, nil)
	variance, centred := 0.0, 0.0
	for k, r := range w.residuals {
		x := q.x.RowView(k)
		psi, rho0 := w.loss.Psi(r/w.scale), loss0.Rho(r0[k]/w.scale)/height0
		middle.RankOne(middle, psi*psi, x, x)
		cross.AddScaledVec(cross, psi*rho0, x)
		variance += rho0*rho0 - q.given.Breakdown*q.given.Breakdown
		centred += (rho0 - q.given.Breakdown) * (rho0 - q.given.Breakdown)
	}
	middle.RankOne(middle, -1/spread, cross, lead)
	middle.RankOne(middle, -1/spread, lead, cross)
	middle.RankOne(middle, variance/(spread*spread), lead, lead)
	if !positive(middle) {
		// with few rows a coefficient mean rho0 is less than b: take it as it is
		middle.RankOne(middle, (centred-variance)/(spread*spread), lead, lead)
	}
	var half, full mat.Dense
	half.Mul(&inverse, middle)
	full.Mul(&half, &inverse)
	covariance := mat.NewSymDense(q.p, nil)
	for i := range q.p {
		for j := i; j < q.p; j++ {
			covariance.SetSym(i, j, w.scale*w.scale*(full.At(i, j)+full.At(j, i))/2)
		}
	}
	return covariance, nil
}

// positive says whether a symmetric matrix is positive definite.
func positive(m *mat.Dense) bool {
	n, _ := m.Dims()
	var c mat.Cholesky
	return c.Factorize(mat.NewSymDense(n, mat.DenseCopyOf(m).RawMatrix().Data))
}
