package price

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// An effect is what is a class's, or a maker's, own: its level in log price,
// and the log of its rate of ageing over the market's.
type effect [2]float64

// A block is a symmetric 2 by 2 matrix: two diagonal elements and the one
// beside them.
type block struct{ level, rate, both float64 }

func (b block) determinant() float64 { return b.level*b.rate - b.both*b.both }

// times gives the block times v.
func (b block) times(v effect) effect {
	return effect{b.level*v[0] + b.both*v[1], b.both*v[0] + b.rate*v[1]}
}

// solve gives the block's inverse times v.
func (b block) solve(v effect) effect {
	d := b.determinant()
	return effect{(b.rate*v[0] - b.both*v[1]) / d, (b.level*v[1] - b.both*v[0]) / d}
}

// half gives h with h'h = v' B^-1 v.
func (b block) half(v effect) effect {
	l := math.Sqrt(b.level)
	h := v[0] / l
	return effect{h, (v[1] - b.both/l*h) / math.Sqrt(b.rate-b.both*b.both/b.level)}
}

// add adds weight * v v'.
func (b *block) add(v effect, weight float64) {
	b.level += weight * v[0] * v[0]
	b.rate += weight * v[1] * v[1]
	b.both += weight * v[0] * v[1]
}

// priorBlock is the precision of an effect of the given spread.
func priorBlock(sd effect) block { return block{level: 1 / square(sd[0]), rate: 1 / square(sd[1])} }

// An arrow is the symmetric matrix of the normal equations: shared parameters,
// and the effects of makers and of classes. A class belongs to one maker, so
// classes meet only their maker and the shared parameters, and makers only
// the shared ones; the cost is linear in both.
type arrow struct {
	shared  *mat.SymDense
	class   tier
	maker   tier
	meet    []block // of each class with its maker: its effects enter a row alike
	makerOf []int   // of each class, -1 for none
	p       int
	set     []int // scratch
}

// newArrow starts from the precision of the priors.
func (q *problem) newArrow() *arrow {
	p := len(q.plan.priors)
	a := &arrow{shared: mat.NewSymDense(p, nil), class: newTier(len(q.plan.classes), p, q.classSD), maker: newTier(len(q.plan.makers), p, q.makerSD),
		meet: make([]block, len(q.plan.classes)), makerOf: q.plan.makerOf, p: p}
	for i, t := range q.plan.priors {
		a.shared.SetSym(i, i, 1/(t.sd*t.sd))
	}
	return a
}

func vector(x []float64) blas64.Vector { return blas64.Vector{N: len(x), Inc: 1, Data: x} }

func dot(a, b []float64) float64 { return blas64.Dot(vector(a), vector(b)) }

// add adds weight * g g' for a row; own is its derivative by the effects of
// its class and, alike, of its maker.
func (a *arrow) add(g []float64, e *encoded, own effect, weight float64) {
	a.set = a.set[:0]
	for i, v := range g { // most levels of factors are another boat's
		if v != 0 {
			a.set = append(a.set, i)
		}
	}
	raw := a.shared.RawSymmetric()
	for k, i := range a.set {
		row := raw.Data[i*raw.Stride:]
		for _, j := range a.set[k:] {
			row[j] += weight * g[i] * g[j]
		}
	}
	a.class.add(g, a.set, e.class, own, weight)
	a.maker.add(g, a.set, e.maker, own, weight)
	if e.class >= 0 && e.maker >= 0 {
		a.meet[e.class].add(own, weight)
	}
}

// A factored arrow solves systems with it.
type factored struct {
	arrow *arrow
	maker tier         // after the classes are eliminated
	chol  mat.Cholesky // of what is left after both
	upper blas64.Triangular
}

var errIndefinite = errors.New("the normal equations are not positive definite")

// factor eliminates classes, then makers, and factors the rest by Cholesky,
// adding ridge times the diagonal.
func (a *arrow) factor(ridge float64) (*factored, error) {
	f := &factored{arrow: a, maker: a.maker}
	schur := mat.NewSymDense(a.p, nil)
	schur.CopySym(a.shared)
	raw := schur.RawSymmetric()
	for i := range a.p {
		raw.Data[i*raw.Stride+i] *= 1 + ridge
	}
	if err := a.class.eliminate(raw); err != nil {
		return nil, err
	}
	f.maker.blocks = append([]block(nil), a.maker.blocks...)
	f.maker.cross = append([]float64(nil), a.maker.cross...)
	for c, m := range a.makerOf {
		if m < 0 || !a.class.touched[c] {
			continue
		}
		k, meet := a.class.blocks[c], a.meet[c]
		// meet * K^-1 * meet leaves the maker's block, meet * K^-1 * cross its cross rows
		first, second := meet.times(k.solve(effect{meet.level, meet.both})), meet.times(k.solve(effect{meet.both, meet.rate}))
		b := &f.maker.blocks[m]
		b.level, b.both, b.rate = b.level-first[0], b.both-first[1], b.rate-second[1]
		for i := range 2 {
			unit := effect{}
			unit[i] = 1
			f.takeClass(f.maker.beside(m, i), c, meet.times(unit))
		}
	}
	if err := f.maker.eliminate(raw); err != nil {
		return nil, err
	}
	if !f.chol.Factorize(schur) {
		return nil, errIndefinite
	}
	f.upper = f.chol.RawU().(*mat.TriDense).RawTriangular()
	return f, nil
}

// takeClass takes the part v that a class has in a right-hand side into the
// shared part.
func (f *factored) takeClass(shared []float64, class int, v effect) {
	for b, w := range f.arrow.class.blocks[class].solve(v) {
		blas64.Axpy(-w, vector(f.arrow.class.beside(class, b)), vector(shared))
	}
}

// takeMaker does the same for a maker's part, classes being gone.
func (f *factored) takeMaker(shared []float64, maker int, v effect) {
	for b, w := range f.maker.blocks[maker].solve(v) {
		blas64.Axpy(-w, vector(f.maker.beside(maker, b)), vector(shared))
	}
}

// less gives the maker's part of a right-hand side less what a class's part v
// takes of it.
func (f *factored) less(maker effect, class int, v effect) effect {
	w := f.arrow.meet[class].times(f.arrow.class.blocks[class].solve(v))
	return effect{maker[0] - w[0], maker[1] - w[1]}
}

// solve gives A^-1 b.
func (f *factored) solve(b point) point {
	a := f.arrow
	x := b.clone()
	for c, v := range b.class {
		if v == (effect{}) {
			continue
		}
		f.takeClass(x.theta, c, v)
		if m := a.makerOf[c]; m >= 0 {
			x.maker[m] = f.less(x.maker[m], c, v)
		}
	}
	for m, v := range x.maker {
		if v != (effect{}) {
			f.takeMaker(x.theta, m, v)
		}
	}
	blas64.Trsv(blas.Trans, f.upper, vector(x.theta))
	blas64.Trsv(blas.NoTrans, f.upper, vector(x.theta))
	for m, v := range x.maker {
		x.maker[m] = f.maker.blocks[m].solve(f.maker.rest(v, m, x.theta))
	}
	for c, v := range b.class {
		v = a.class.rest(v, c, x.theta)
		if m := a.makerOf[c]; m >= 0 {
			w := a.meet[c].times(x.maker[m])
			v = effect{v[0] - w[0], v[1] - w[1]}
		}
		x.class[c] = a.class.blocks[c].solve(v)
	}
	return x
}

// A halved gradient is h with h'h = g' A^-1 g, in the shared parameters, the
// maker's and the class's; h of two rows have the product g' A^-1 g, where
// class and maker parts meet only those of the same class and maker.
type halved struct {
	shared       []float64
	maker, class effect
}

// half halves the gradient of a row.
func (f *factored) half(g []float64, class, maker int, own effect) halved {
	h := halved{shared: append([]float64(nil), g...)}
	if maker >= 0 {
		h.maker = own
	}
	if class >= 0 {
		f.takeClass(h.shared, class, own)
		h.class = f.arrow.class.blocks[class].half(own)
		if m := f.arrow.makerOf[class]; m >= 0 {
			h.maker = f.less(h.maker, class, own)
			maker = m
		}
	}
	if maker >= 0 {
		f.takeMaker(h.shared, maker, h.maker)
		h.maker = f.maker.blocks[maker].half(h.maker)
	}
	blas64.Trsv(blas.Trans, f.upper, vector(h.shared))
	return h
}

// variance is h'h.
func (h halved) variance() float64 {
	return dot(h.shared, h.shared) + dot(h.maker[:], h.maker[:]) + dot(h.class[:], h.class[:])
}

// product of two rows' halves.
func product(a, b halved, sameMaker, sameClass bool) float64 {
	c := dot(a.shared, b.shared)
	if sameMaker {
		c += dot(a.maker[:], b.maker[:])
	}
	if sameClass {
		c += dot(a.class[:], b.class[:])
	}
	return c
}
