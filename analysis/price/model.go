package price

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/stat"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
)

// Enough listings for a verdict: with fewer the expected prices come from the
// knowhow and what there is.
const Enough = 12

// A Model is a fitted market.
type Model struct {
	plan     *plan
	fit      *fitted
	book     *knowhow.Book
	listings []*boat.Listing       // of the rows of the fit
	rowOf    map[*boat.Listing]int // their places
	leftOut  []prediction          // of each row, without that row
	rows     []pricedRow           // of the fit
	nearby   *neighbourhood
	moved    []float64 // by which neighbours move the left-out log price of each row
	spread   spread
	scale    float64 // money of the knowhow in the market's currency
	currency string
	tuning   Tuning
	warnings []string
}

// Fit fits the price model to the listings of one market, which are all in
// one currency. Listings without a price, with an unknown year where others
// tell it, or with a structural defect are valued but do not enter the fit.
// A market of many ages is also fitted with an age curve of its own shape,
// which is kept where it predicts boats that are left out better. An error
// says that the fit did not come out at all; doubts are warnings.
func Fit(listings []*boat.Listing, book *knowhow.Book, currency string, t Tuning) (*Model, error) {
	if !manyTellAges(listings) {
		return fitShape(listings, book, currency, t, decay)
	}
	var other *Model
	var otherErr error
	var meanwhile sync.WaitGroup
	meanwhile.Go(func() { other, otherErr = fitShape(listings, book, currency, t, steps) })
	m, err := fitShape(listings, book, currency, t, decay)
	meanwhile.Wait()
	if err == nil && otherErr == nil && m.plan.hasAge && len(m.listings) >= manyAges && other.clearlyBetter(m) {
		return other, nil
	}
	return m, err
}

// manyTellAges tells whether enough listings tell their age to try a curve of
// their own.
func manyTellAges(listings []*boat.Listing) bool {
	n := 0
	for _, l := range listings {
		if _, ok := l.Age(); ok {
			n++
		}
	}
	return n >= manyAges && n >= len(listings)/tellingAges
}

// clearlyBetter tells whether a model misses the asks of the same listings,
// each left out, by less than another does, by more than that difference's own
// scatter.
func (m *Model) clearlyBetter(than *Model) bool {
	loss := func(m *Model, i int) float64 {
		return math.Min(math.Abs(m.fit.problem.y[i]-m.leftOut[i].log), 0.6)
	}
	gains := make([]float64, len(m.listings))
	for i := range gains {
		gains[i] = loss(than, i) - loss(m, i)
	}
	mean, sd := stat.MeanStdDev(gains, nil)
	return mean > 2*sd/math.Sqrt(float64(len(gains)))
}

// fitShape fits the model with one shape of the age curve.
func fitShape(listings []*boat.Listing, book *knowhow.Book, currency string, t Tuning, shape curve) (*Model, error) {
	m := &Model{book: book, currency: currency, rowOf: map[*boat.Listing]int{}, scale: 1, tuning: t.filled()}
	m.convertKnowhow()
	m.plan = newPlan(listings, book, m.scale, shape)
	for i := range m.plan.priors {
		m.plan.priors[i].sd *= m.tuning.PriorScale
	}
	q := &problem{plan: m.plan, classSD: m.plan.classPrior(), makerSD: m.plan.makerPrior()}
	for _, l := range listings {
		e := m.plan.encode(l)
		if !l.Price.Known || l.Price.Minor <= 0 || m.plan.unusable(l) != "" || structural(l, book) != "" {
			continue
		}
		m.rowOf[l] = len(q.rows)
		m.listings = append(m.listings, l)
		q.rows = append(q.rows, e)
		q.y = append(q.y, math.Log(l.Price.Major()))
		q.rowSD = append(q.rowSD, 1)
	}
	q.anchors = m.anchors(len(q.rows))
	n := book.Number("noise")
	noise := noisePrior{sd: n.Value, worth: n.Spread}
	var err error
	if m.fit, err = q.fit(m.tuning, noise); err != nil {
		return nil, fmt.Errorf("the price model could not be fitted to %d listings: %w", len(q.rows), err)
	}
	for range 2 { // anew with the spreads of classes, makers and factors that the fit has found
		if !m.fit.pool(m.plan.classPrior(), m.plan.makerPrior()) {
			break
		}
		if err = m.fit.again(m.tuning, noise, rough); err != nil {
			return nil, fmt.Errorf("the price model could not be fitted to %d listings: %w", len(q.rows), err)
		}
	}
	m.fit.shape = m.fit.measureShape()
	s := m.state()
	for i := range q.rows {
		e := &q.rows[i]
		q.rowSD[i] = math.Sqrt(m.fit.shape.relative(e.age, s.unsaid(e)))
	}
	if err = m.fit.again(m.tuning, noise, fine); err != nil {
		return nil, fmt.Errorf("the price model could not be fitted to %d listings: %w", len(q.rows), err)
	}
	if !m.fit.converged {
		m.warnings = append(m.warnings, fmt.Sprintf("the fit had not settled after %d steps; its figures are close but not final", m.fit.iterations))
	}
	if m.plan.ages > 0 && !m.plan.hasAge {
		m.warnings = append(m.warnings, fmt.Sprintf("only %d of %d listings tell a build year, too few to say what age is worth; prices are compared without it", m.plan.ages, len(listings)))
	}
	if len(q.rows) < Enough {
		m.warnings = append(m.warnings, fmt.Sprintf("only %d listings can be used; %d are needed for verdicts, so prices lean on the knowhow", len(q.rows), Enough))
	}
	m.leftOut = m.fit.leaveOutEach()
	s = m.state()
	for i := range q.rows {
		m.rows = append(m.rows, priceRow(s, &q.rows[i]))
	}
	m.nearby = m.newNeighbourhood()
	m.nearby.choose()
	for i, l := range m.listings {
		m.moved = append(m.moved, m.nearby.correctionFor(l, &m.rows[i], i))
	}
	m.spread = m.measureSpread()
	return m, nil
}

// classPrior is how far the levels, and the logs of the rates of ageing, of
// classes spread beforehand.
func (p *plan) classPrior() effect {
	return effect{p.book.Number("class_spread").Value, p.ratePrior(len(p.classes))}
}

// makerPrior is the same for makers, to whose own level and rate those of their
// classes are drawn.
func (p *plan) makerPrior() effect {
	return effect{p.book.Number("maker_spread").Value, p.ratePrior(len(p.makers))}
}

// manyRates is how many classes, or makers, it takes to see how far their
// rates of ageing differ; fewer are held close to the market's rate.
const manyRates = 8

func (p *plan) ratePrior(members int) float64 {
	spread := p.book.Number("class_rate_spread").Value
	if members < manyRates {
		return spread / 5
	}
	return spread
}

// convertKnowhow finds what one unit of the knowhow's money is in the
// market's currency.
func (m *Model) convertKnowhow() {
	from := m.book.Money.Currency
	if m.currency == "" || m.currency == from {
		return
	}
	rate, err := knowhowRate(m.book, m.currency)
	if err != nil {
		m.warnings = append(m.warnings, fmt.Sprintf("the knowhow's money is in %s and no rate to %s is known, so its figures are taken as they stand", from, m.currency))
		return
	}
	m.scale = rate
}

// knowhowRate gives what one unit of the knowhow's currency costs in another,
// by the knowhow's own rates.
func knowhowRate(book *knowhow.Book, to string) (float64, error) {
	rates, err := money.ReadRates(book.Rates)
	if err != nil {
		return 0, err
	}
	const units = 1e6
	out, _, err := rates.Convert(money.Of(units, book.Money.Currency), to, book.MoneyDate())
	if err != nil {
		return 0, err
	}
	return out.Major() / units, nil
}

// anchors are the prices of new boats that the knowhow names. Where a market
// is too small to speak for itself, the price of any new boat of the
// reference length joins them.
func (m *Model) anchors(rows int) []anchor {
	var out []anchor
	fresh := func(class int, length float64) encoded {
		e := m.plan.encode(&boat.Listing{})
		e.age, e.ageKnown = 0, true
		if class >= 0 {
			m.plan.setClass(&e, class)
		}
		if length > 0 && m.plan.hasLength {
			e.logLength = math.Log(length / m.plan.refLength)
		}
		return e
	}
	for _, c := range m.book.Classes {
		i := -1
		for _, name := range append([]string{c.Name}, c.Also...) {
			if i < 0 {
				i = m.plan.classOf(boat.Fact[string]{Value: name, Known: true}, boat.Fact[string]{})
			}
		}
		if i < 0 || c.NewPrice <= 0 || c.Currency != "" && c.Currency != m.book.Money.Currency {
			continue
		}
		out = append(out, anchor{boat: fresh(i, c.Length), logPrice: math.Log(c.NewPrice * m.scale), sd: 0.2})
	}
	if rows < Enough && m.plan.hasAge {
		n := m.book.Number("new_price")
		out = append(out, anchor{boat: fresh(-1, m.plan.refLength), logPrice: math.Log(n.Value * m.scale), sd: n.Spread})
	}
	return out
}

// unusable tells why a listing cannot be priced with confidence, "" if it
// can.
func (p *plan) unusable(l *boat.Listing) string {
	if _, ok := l.Age(); !ok && p.hasAge {
		return "the build year is unknown"
	}
	classKnown := l.Class.Known && p.hasClass
	lengthKnown := l.Length.Known && p.hasLength
	if (p.hasClass || p.hasLength) && !classKnown && !lengthKnown {
		return "neither the class nor the length is known"
	}
	return ""
}

// structural returns the gravest structural defect that a listing states as
// present, "" if none.
func structural(l *boat.Listing, book *knowhow.Book) string {
	found := ""
	for _, f := range l.Findings {
		it, ok := book.Item(f.Item)
		if !ok || !it.IsStructural() || f.Value != knowhow.Present {
			continue
		}
		if it.Grave == knowhow.WalkAway {
			return it.ID
		}
		if found == "" {
			found = it.ID
		}
	}
	return found
}
