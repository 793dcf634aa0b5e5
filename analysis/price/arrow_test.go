package price

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// dense writes the arrow out: shared parameters, then makers, then classes.
func (a *arrow) dense() *mat.SymDense {
	makers, classes := len(a.maker.blocks), len(a.class.blocks)
	d := mat.NewSymDense(a.p+2*(makers+classes), nil)
	for i := range a.p {
		for j := i; j < a.p; j++ {
			d.SetSym(i, j, a.shared.At(i, j))
		}
	}
	put := func(at int, t *tier, member int) {
		k := t.blocks[member]
		d.SetSym(at, at, k.level)
		d.SetSym(at+1, at+1, k.rate)
		d.SetSym(at, at+1, k.both)
		for b := range 2 {
			for i, v := range t.beside(member, b) {
				d.SetSym(i, at+b, v)
			}
		}
	}
	for m := range makers {
		put(a.p+2*m, &a.maker, m)
	}
	for c := range classes {
		at := a.p + 2*(makers+c)
		put(at, &a.class, c)
		if m := a.makerOf[c]; m >= 0 {
			to := a.p + 2*m
			d.SetSym(to, at, a.meet[c].level)
			d.SetSym(to+1, at+1, a.meet[c].rate)
			d.SetSym(to, at+1, a.meet[c].both)
			d.SetSym(to+1, at, a.meet[c].both)
		}
	}
	return d
}

func (pt point) flat() []float64 {
	out := slices.Clone(pt.theta)
	for _, e := range slices.Concat(pt.maker, pt.class) {
		out = append(out, e[:]...)
	}
	return out
}

// The arrow solves what the dense matrix would, and halves give its inverse's
// products.
func TestArrowAgreesWithTheDenseMatrix(t *testing.T) {
	listings, book := invent(t, 50, 2)
	yachts, _ := inventYachts(t, 120, 2)
	for i, l := range yachts {
		if i%7 == 0 {
			l.Class.Known = false // a maker alone
		}
		if i%11 == 0 {
			l.Maker.Known = false
		}
	}
	for _, market := range [][]int{{0}, {1}} {
		rows := listings
		if market[0] == 1 {
			rows = yachts
		}
		m, err := Fit(rows, book, "EUR", Tuning{})
		if err != nil {
			t.Fatal(err)
		}
		q := m.fit.problem
		index, weights := q.everyRow()
		a, rhs := q.normal(m.fit.at, index, weights, 0.2)
		dense := a.dense()
		var chol mat.Cholesky
		if !chol.Factorize(dense) {
			t.Fatal("the dense matrix is not positive definite")
		}
		solve := func(b []float64) []float64 {
			var x mat.VecDense
			if err := chol.SolveVecTo(&x, mat.NewVecDense(len(b), b)); err != nil {
				t.Fatal(err)
			}
			return x.RawVector().Data
		}
		f, err := a.factor(0)
		if err != nil {
			t.Fatal(err)
		}
		want := solve(rhs.flat())
		for i, v := range f.solve(rhs).flat() {
			if math.Abs(v-want[i]) > 1e-7*(1+math.Abs(v)) {
				t.Fatalf("element %d: arrow %g, dense %g", i, v, want[i])
			}
		}
		s := q.plan.stateAt(m.fit.at)
		gradient := func(i int) ([]float64, halved) {
			g := q.plan.zero()
			e := &q.rows[i]
			_, own := s.gradient(e, g.theta)
			if e.class >= 0 {
				g.class[e.class] = own
			}
			if e.maker >= 0 {
				g.maker[e.maker] = own
			}
			return g.flat(), f.half(g.theta, e.class, e.maker, own)
		}
		for i := range q.rows {
			gi, hi := gradient(i)
			j := (i*7 + 3) % len(q.rows)
			gj, hj := gradient(j)
			x := solve(gi)
			if want := dot(gi, x); math.Abs(hi.variance()-want) > 1e-7*want {
				t.Fatalf("row %d: half %g, dense %g", i, hi.variance(), want)
			}
			a, b := &q.rows[i], &q.rows[j]
			if want, got := dot(gj, x), product(hi, hj, a.maker == b.maker, a.class == b.class); math.Abs(got-want) > 1e-7*(math.Abs(want)+1e-4) {
				t.Fatalf("rows %d and %d: halves %g, dense %g", i, j, got, want)
			}
		}
		for c := range q.plan.classes {
			for b := range 2 {
				unit := q.plan.zero()
				unit.class[c][b] = 1
				if want, got := dot(unit.flat(), solve(unit.flat())), f.effectHalf(c, -1, unit.class[c]).variance(); math.Abs(got-want) > 1e-7*want {
					t.Fatalf("class %d effect %d: half %g, dense %g", c, b, got, want)
				}
			}
		}
		for k := range q.plan.makers {
			unit := q.plan.zero()
			unit.maker[k] = effect{0.3, 1}
			if want, got := dot(unit.flat(), solve(unit.flat())), f.effectHalf(-1, k, unit.maker[k]).variance(); math.Abs(got-want) > 1e-7*want {
				t.Fatalf("maker %d: half %g, dense %g", k, got, want)
			}
		}
	}
}
