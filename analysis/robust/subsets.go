package robust

import (
	"cmp"
	"iter"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// starts are the coefficients that fit small subsets of rows exactly: all subsets
// of p rows when there are at most Settings.Subsets of them, else that many random
// ones. A random subset whose rows do not determine the coefficients is enlarged
// row by row until they do, so that designs with rare dummies work too; of all
// subsets such are left out.
//
// Enlarging: Rousseeuw & Leroy (1987), Robust Regression and Outlier Detection,
// Wiley, chapter 5, doi:10.1002/0471725382.
func (q *problem) starts() iter.Seq[[]float64] {
	if q.subsetsOfP() {
		return q.everyStart
	}
	return q.randomStarts
}

// subsetsOfP says whether there are at most Settings.Subsets subsets of p rows.
func (q *problem) subsetsOfP() bool {
	count := 1.0
	for k := 1; k <= q.p; k++ {
		count *= float64(q.n-q.p+k) / float64(k)
	}
	return count <= float64(q.given.Subsets)+0.5
}

func (q *problem) everyStart(yield func([]float64) bool) {
	rows := make([]int, q.p)
	for i := range rows {
		rows[i] = i
	}
	for {
		if b, err := q.fitRows(rows); err == nil && !yield(b) {
			return
		}
		// the next subset in lexical order
		i := q.p - 1
		for i >= 0 && rows[i] == q.n-q.p+i {
			i--
		}
		if i < 0 {
			return
		}
		rows[i]++
		for j := i + 1; j < q.p; j++ {
			rows[j] = rows[j-1] + 1
		}
	}
}

func (q *problem) randomStarts(yield func([]float64) bool) {
	random := rand.New(rand.NewPCG(q.given.Seed, 0))
	for range q.given.Subsets {
		rows := random.Perm(q.n)
		for size := q.p; size <= q.n; size++ {
			if b, err := q.fitRows(rows[:size]); err == nil {
				if !yield(b) {
					return
				}
				break
			}
		}
	}
}

// fitRows is the least-squares fit of some of the rows.
func (q *problem) fitRows(rows []int) ([]float64, error) {
	x := mat.NewDense(len(rows), q.p, nil)
	y := make([]float64, len(rows))
	for k, i := range rows {
		x.SetRow(k, q.x.RawRowView(i))
		y[k] = q.y[i]
	}
	f, err := factor(x)
	if err != nil {
		return nil, err
	}
	return f.solve(y), nil
}

// candidate is a start on its way; a smaller objective is better.
type candidate struct {
	coefficients []float64
	residuals    []float64
	objective    float64
	iterations   int
	converged    bool
}

// finalists keeps the best few candidates, best first.
type finalists struct {
	most int
	best []*candidate
}

// worst is the objective that a candidate must beat; ok is false while there is room.
func (f *finalists) worst() (objective float64, ok bool) {
	if len(f.best) < f.most {
		return 0, false
	}
	return f.best[len(f.best)-1].objective, true
}

// offer takes the candidate in if it is good enough.
func (f *finalists) offer(c *candidate) {
	at, _ := slices.BinarySearchFunc(f.best, c, func(a, b *candidate) int { return cmp.Compare(a.objective, b.objective) })
	f.best = slices.Insert(f.best, at, c)
	if len(f.best) > f.most {
		f.best = f.best[:f.most]
	}
}
