// Package robust holds the general tools of robust regression: loss functions
// and their tuning (loss.go, losses_redescending.go, tune.go), scales of a
// sample (scale.go, pairs.go, mscale.go, trimmed.go), and linear models
// (least_squares.go, m.go, lts.go, s.go, mm.go) that share one Settings and
// one Fit (fit.go), one decomposition (qr.go) and one search (subsets.go).
//
// Callers state what they want, an efficiency at the normal distribution or a
// breakdown point; the package computes the constant that gives it. Residuals
// passed to a loss are always divided by a scale first, so losses have no unit.
// The package reads no clock and no disk; what is random in it is seeded.
package robust
