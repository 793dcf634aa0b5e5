// Package calibrate turns residuals into statements that keep their promises:
// tail probabilities (student.go), false-discovery control (discovery.go),
// distribution-free ranges (conformal.go), the share of ranges that held
// (coverage.go), and the ratio study of mass appraisal (ratio.go, order.go). It
// works on plain numbers, reads no clock and no disk, and changes no argument.
//
// Where there are too few numbers for a promise the answer is infinite and says
// how many would be enough.
package calibrate
