package price

import (
	"gonum.org/v1/gonum/blas/blas64"
)

// A tier is the part of an arrow that belongs to classes, or to makers: one
// block each, and their cross terms with the shared parameters.
type tier struct {
	blocks  []block
	cross   []float64 // two rows a member, each as long as the shared parameters
	touched []bool    // whether any row belongs to the member
	p       int
}

func newTier(members, p int, sd effect) tier {
	t := tier{blocks: make([]block, members), cross: make([]float64, 2*members*p), touched: make([]bool, members), p: p}
	for i := range t.blocks {
		t.blocks[i] = priorBlock(sd)
	}
	return t
}

// beside is the cross row of one effect of a member with the shared
// parameters.
func (t *tier) beside(member, b int) []float64 {
	at := (2*member + b) * t.p
	return t.cross[at : at+t.p]
}

// add adds a row's part; set lists where g is not nought.
func (t *tier) add(g []float64, set []int, member int, own effect, weight float64) {
	if member < 0 {
		return
	}
	t.touched[member] = true
	t.blocks[member].add(own, weight)
	for b, v := range own {
		if v != 0 {
			cross := t.beside(member, b)
			for _, i := range set {
				cross[i] += weight * v * g[i]
			}
		}
	}
}

// eliminate takes the members of a tier out of the shared matrix.
func (t *tier) eliminate(shared blas64.Symmetric) error {
	for i, k := range t.blocks {
		d := k.determinant()
		if k.level <= 0 || d <= 0 {
			return errIndefinite
		}
		if !t.touched[i] {
			continue
		}
		t.takeOut(i, k, shared)
	}
	return nil
}

// takeOut takes a member of block k out of the shared matrix: its cross rows
// times the inverse of k times themselves. A member of few rows meets few of
// the shared parameters, so that only those are gone through.
func (t *tier) takeOut(member int, k block, shared blas64.Symmetric) {
	level, rate := t.beside(member, 0), t.beside(member, 1)
	var set []int
	for i := range level {
		if level[i] != 0 || rate[i] != 0 {
			set = append(set, i)
		}
	}
	for n, i := range set {
		v := k.solve(effect{level[i], rate[i]})
		row := shared.Data[i*shared.Stride:]
		for _, j := range set[n:] {
			row[j] -= v[0]*level[j] + v[1]*rate[j]
		}
	}
}

// rest is a member's part of a right-hand side less what the shared
// parameters explain.
func (t *tier) rest(v effect, member int, shared []float64) effect {
	if !t.touched[member] {
		return v
	}
	for b := range v {
		v[b] -= dot(t.beside(member, b), shared)
	}
	return v
}
