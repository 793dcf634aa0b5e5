package price

import (
	"math"
	"math/rand/v2"
	"slices"

	"askance/analysis/robust"
)

// trimmedStart searches the fit whose best rows fit best.
func (q *problem) trimmedStart(t Tuning, scale float64) point {
	n := len(q.rows)
	if n == 0 {
		pt, _ := q.descend(q.priorPoint(), nil, nil, scale, t.Steps)
		return pt
	}
	random := rand.New(rand.NewPCG(t.Seed, uint64(n)))
	size := min(n, startRows, 6+len(q.plan.classes)/4)
	type candidate struct {
		at   point
		cost float64
	}
	var found []candidate
	ones := make([]float64, n)
	for i := range ones {
		ones[i] = 1
	}
	part := q.sample(random, startRows)
	for k := range t.Starts + 1 {
		at := q.priorPoint()
		if k > 0 { // the first start is the priors' own middle
			subset := random.Perm(len(part.rows))[:size]
			at, _ = part.descend(at, subset, ones[:size], scale, 4)
		}
		var cost float64
		for range 2 {
			at, cost = part.concentrate(at, t.Keep, scale, 2)
		}
		found = append(found, candidate{at, cost})
	}
	slices.SortStableFunc(found, func(a, b candidate) int { return compare(a.cost, b.cost) })
	best := candidate{cost: math.Inf(1)}
	for _, c := range found[:min(5, len(found))] {
		for range 30 {
			at, cost := q.concentrate(c.at, t.Keep, scale, 4)
			done := c.cost-cost < 1e-8*(1+cost)
			c = candidate{at, cost}
			if done {
				break
			}
		}
		if c.cost < best.cost {
			best = c
		}
	}
	return best.at
}

// startRows is how many rows the first stage of the trimmed start looks at:
// more would not find a better start, only later.
const startRows = 1000

// sample is the problem with at most that many of its rows, picked at random.
func (q *problem) sample(random *rand.Rand, most int) *problem {
	if len(q.rows) <= most {
		return q
	}
	part := *q
	part.rows, part.y, part.rowSD = nil, nil, nil
	picked := random.Perm(len(q.rows))[:most]
	slices.Sort(picked)
	for _, i := range picked {
		part.rows, part.y, part.rowSD = append(part.rows, q.rows[i]), append(part.y, q.y[i]), append(part.rowSD, q.rowSD[i])
	}
	return &part
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// concentrate refits on the rows that the point fits best, and gives the
// trimmed cost of the new point.
func (q *problem) concentrate(at point, keep, scale float64, steps int) (point, float64) {
	best := q.bestRows(at, keep)
	ones := make([]float64, len(best))
	for i := range ones {
		ones[i] = 1
	}
	at, _ = q.descend(at, best, ones, scale, steps)
	return at, q.objective(at, q.bestRows(at, keep), ones, scale)
}

// bestRows lists the rows with the smallest residuals, in row order.
func (q *problem) bestRows(at point, keep float64) []int {
	r := q.residuals(at)
	order := make([]int, len(r))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(math.Abs(r[a]), math.Abs(r[b])) })
	best := order[:trimmedCount(len(r), keep)]
	slices.Sort(best)
	return best
}

func trimmedCount(n int, keep float64) int { return min(n, int(math.Ceil(keep*float64(n)))) }

// keptSpread is the root mean square of the residuals of the best rows, which
// lies below the spread of the market, so that the search for that spread
// starts from below and stops before it takes in what is mispriced.
func (q *problem) keptSpread(at point, keep float64) float64 {
	n := len(q.rows)
	if n == 0 {
		return 0
	}
	h := trimmedCount(n, keep)
	return robust.TrimmedScale(q.residuals(at), h) / robust.TrimmedConsistency(h, n)
}
