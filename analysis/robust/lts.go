package robust

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// LTS fits y (n) to the columns of the design x (n by p) by least trimmed
// squares: the coefficients whose Settings.Kept smallest squared residuals have
// the least sum. It is a start that a large part of bad rows cannot lead astray,
// not an estimate to report; its scale is TrimmedScale. The search is over
// subsets (see Settings), the same for the same seed, and finds the minimum itself
// on small data only. It is an error when the model is one for LeastSquares, or
// Kept is not within (n+p+1)/2 and n.
//
// Rousseeuw (1984), J. Am. Stat. Assoc. 79, 871-880,
// doi:10.1080/01621459.1984.10477105; concentration steps: Rousseeuw & Van
// Driessen (2006), Data Min. Knowl. Discov. 12, 29-45, doi:10.1007/s10618-005-0024-4.
func LTS(x mat.Matrix, y []float64, settings Settings) (*Fit, error) {
	q, err := newProblem(x, y, settings)
	if err != nil {
		return nil, err
	}
	if _, err := factor(q.x); err != nil {
		return nil, err
	}
	least := min((q.n+q.p+1)/2, q.n)
	if q.given.Kept == 0 {
		q.given.Kept = least
	}
	if q.given.Kept < least || q.given.Kept > q.n {
		return nil, fmt.Errorf("least trimmed squares: wanted to keep %d to %d of %d rows, got %d", least, q.n, q.n, q.given.Kept)
	}
	best := finalists{most: q.given.Finalists}
	for b := range q.starts() {
		c := q.concentrate(&candidate{coefficients: b, residuals: q.residuals(b), objective: math.Inf(1)}, 2)
		if worst, full := best.worst(); !full || c.objective < worst {
			best.offer(c)
		}
	}
	if len(best.best) == 0 {
		return nil, fmt.Errorf("least trimmed squares: no subset of rows determines the coefficients: %w", errSingular)
	}
	for i, c := range best.best {
		best.best[i] = q.concentrate(c, q.given.MaxIterations)
	}
	winner := slices.MinFunc(best.best, func(a, b *candidate) int { return cmp.Compare(a.objective, b.objective) })

	kept := make([]float64, q.n)
	for _, i := range q.smallest(winner.residuals) {
		kept[i] = 1
	}
	fit := q.newFit(MethodLTS, winner.coefficients, kept, TrimmedScale(winner.residuals, q.given.Kept))
	fit.Iterations, fit.Converged = winner.iterations, winner.converged
	if !winner.converged {
		fit.warn("concentration steps did not come to rest in %d iterations: raise MaxIterations", q.given.MaxIterations)
	}
	if fit.Scale == 0 {
		fit.warn("%d rows lie exactly on the fit: the scale is 0", q.given.Kept)
	}
	return fit, nil
}

// concentrate takes up to steps concentration steps: least squares on the rows of
// the smallest residuals, which never makes their sum of squares larger.
func (q *problem) concentrate(c *candidate, steps int) *candidate {
	for range steps {
		b, err := q.fitRows(q.smallest(c.residuals))
		if err != nil {
			return c // the kept rows no longer determine the coefficients
		}
		r := q.residuals(b)
		objective := 0.0
		for _, i := range q.smallest(r) {
			objective += r[i] * r[i]
		}
		if objective >= c.objective {
			c.converged = true
			return c
		}
		c = &candidate{coefficients: b, residuals: r, objective: objective, iterations: c.iterations + 1}
	}
	return c
}

// smallest are the rows of the Kept smallest |residuals|, in ascending order.
func (q *problem) smallest(residuals []float64) []int {
	rows := make([]int, len(residuals))
	for i := range rows {
		rows[i] = i
	}
	slices.SortStableFunc(rows, func(a, b int) int {
		return cmp.Compare(math.Abs(residuals[a]), math.Abs(residuals[b]))
	})
	rows = rows[:q.given.Kept]
	slices.Sort(rows)
	return rows
}
