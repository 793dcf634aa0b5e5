package price

import (
	"fmt"
	"math"
	"slices"

	"askance/ingest/boat"
	"askance/ingest/knowhow"
)

// z80 is the normal quantile of an 80 % range.
const z80 = 1.2815515655446004

// Summary tells what the fit has found.
func (m *Model) Summary() Summary {
	s := m.state()
	out := Summary{Scale: m.spread.scale, Listings: len(m.listings), Iterations: m.fit.iterations, Warnings: slices.Clone(m.warnings)}
	for _, w := range m.fit.weights {
		if w < 0.5 {
			out.Downweighted++
		}
	}
	out.AgeCurve = m.ageCurve(s)
	hull := m.medianHull(s)
	for i := range m.plan.tables {
		out.Values = append(out.Values, m.worths(s, i, hull)...)
	}
	for i, header := range m.plan.extras {
		k := m.plan.at.extras + i
		sd := math.Sqrt(m.covariance(map[int]float64{k: 1}))
		out.Values = append(out.Values, Worth{Item: "extra:" + header, Value: knowhow.Included, Amount: m.round(s.theta[k]),
			Low: m.round(s.theta[k] - z80*sd), High: m.round(s.theta[k] + z80*sd), Listings: m.countExtra(i), Mostly: mostly(sd*sd, m.plan.priors[k].sd*m.plan.priors[k].sd), Backing: m.backing(map[int]float64{k: 1}, s.theta[k])})
	}
	out.Classes = m.classLevels(s)
	out.Warnings = append(out.Warnings, fewListings(out.Classes)...)
	return out
}

// Class levels of few listings are warned about, each where they are few.
const (
	fewOfClass  = 5
	fewWarnings = 12
)

func fewListings(classes []ClassLevel) []string {
	var out []string
	for _, c := range classes {
		if c.Listings < fewOfClass {
			out = append(out, fmt.Sprintf("%s of the class %s: its level leans on the other classes; some %d would halve its range", counted(c.Listings, "listing"), c.Class, c.HalvedBy))
		}
	}
	if len(out) > fewWarnings {
		return []string{fmt.Sprintf("%d of %d classes have fewer than %d listings each: their levels lean on the other classes, their makers' first", len(out), len(classes), fewOfClass)}
	}
	return out
}

// counted says how many there are of a thing.
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// halvedBy is how many listings of a class would halve the range of its level:
// the information of its listings must grow until the variance, that of the
// other classes included, is a quarter.
func (m *Model) halvedBy(class, listings int) int {
	v := m.fit.inverse.effectHalf(class, -1, effect{1, 0}).variance()
	prior := 1 / square(m.fit.problem.classSD[0])
	gained := math.Max(1/v-prior, 1e-9)
	if listings == 0 {
		return int(math.Ceil(3 * prior * square(m.spread.scale)))
	}
	return int(math.Ceil(float64(listings) * (4/v - prior) / gained))
}

// classLevels prices a new boat of each class, nothing else stated.
func (m *Model) classLevels(s *state) []ClassLevel {
	counts := make([]int, len(m.plan.classes))
	lengths := make([]float64, len(m.plan.classes))
	for _, e := range m.fit.problem.rows {
		if e.class >= 0 {
			counts[e.class]++
			lengths[e.class] += e.logLength
		}
	}
	var out []ClassLevel
	for c, name := range m.plan.classes {
		if counts[c] == 0 && m.plan.kindOf[c] >= 0 { // stands for makers that the market does not have
			continue
		}
		e := m.blank()
		m.plan.setClass(&e, c)
		if counts[c] > 0 {
			e.logLength = lengths[c] / float64(counts[c])
		}
		log, sd := s.logPrice(&e), math.Sqrt(m.ownVariance(s, &e))
		out = append(out, ClassLevel{Class: name, Listings: counts[c], New: m.round(math.Exp(log)), Low: m.round(math.Exp(log - z80*sd)), High: m.round(math.Exp(log + z80*sd)), HalvedBy: m.halvedBy(c, counts[c])})
	}
	return out
}

// ageCurve gives the share of new at ages from 0 to just over the oldest.
func (m *Model) ageCurve(s *state) []AgePoint {
	if !m.plan.hasAge {
		return nil
	}
	oldest := 10.0
	for _, e := range m.fit.problem.rows {
		oldest = math.Max(oldest, e.age)
	}
	var out []AgePoint
	for age := 0.0; age <= math.Min(math.Ceil(oldest), 60); age++ {
		share := s.share(age, 0)
		slopes := make([]float64, len(m.plan.priors))
		s.ageSlopes(age, 0, 1, slopes)
		sd := math.Sqrt(m.fit.inverse.half(slopes, -1, -1, effect{}).variance())
		out = append(out, AgePoint{Age: age, Share: share, Low: share * math.Exp(-z80*sd), High: math.Min(share*math.Exp(z80*sd), 1)})
	}
	return out
}

// covariance of a linear form of the shared parameters.
func (m *Model) covariance(form map[int]float64) float64 {
	g := make([]float64, len(m.plan.priors))
	for k, v := range form {
		g[k] = v
	}
	return m.fit.inverse.half(g, -1, -1, effect{}).variance()
}

// medianHull is what the median boat of the fit has for its items to
// multiply.
func (m *Model) medianHull(s *state) float64 {
	var hulls []float64
	for i := range m.fit.problem.rows {
		hulls = append(hulls, s.bracket(&m.fit.problem.rows[i]).hull)
	}
	return median(hulls, math.Exp(m.plan.typical.logAsk))
}

// worths tells what each level of one item is worth over its reference level.
func (m *Model) worths(s *state, table int, hull float64) []Worth {
	t, levels := &m.plan.tables[table], &s.tables[table]
	before := m.plan.stateAt(m.fit.problem.priorPoint())
	var out []Worth
	for i, v := range t.item.Levels {
		if v.ID == t.item.Reference || v.ID == knowhow.Absent || v.ID == knowhow.AtExtraCost || v.ID == knowhow.Denied {
			continue
		}
		value, was := levels.value[i], before.tables[table].value[i]
		form, priorVariance := map[int]float64{}, 0.0
		for k := range t.steps {
			if g := levels.grad[i][k]; g != 0 {
				form[t.first+k] = g / value
				sd := m.plan.priors[t.first+k].sd * g / value
				priorVariance += sd * sd
			}
		}
		variance := m.covariance(form)
		low, high := value*math.Exp(-z80*math.Sqrt(variance)), value*math.Exp(z80*math.Sqrt(variance))
		if t.multiplies() {
			toMoney := func(log float64) float64 { return hull * (math.Exp(log) - 1) }
			value, was, low, high = toMoney(value), toMoney(was), toMoney(low), toMoney(high)
		}
		out = append(out, Worth{Item: t.item.ID, Value: v.ID, Amount: m.round(value), Low: m.round(math.Min(low, high)), High: m.round(math.Max(low, high)),
			Listings: m.countLevel(table, i), Prior: m.round(was), Mostly: mostly(variance, priorVariance), Backing: m.backing(form, 1)})
	}
	return out
}

// mostly tells whether the market has settled a figure, which it has where it
// took away more than half of the prior's variance.
func mostly(variance, prior float64) string {
	if variance < prior/2 {
		return "market"
	}
	return "prior"
}

func (m *Model) countLevel(table, level int) int {
	n := 0
	for i := range m.fit.problem.rows {
		if m.fit.problem.rows[i].levels[table] == level {
			n++
		}
	}
	return n
}

func (m *Model) countExtra(i int) int {
	n := 0
	for _, e := range m.fit.problem.rows {
		if e.extras[i] == 1 {
			n++
		}
	}
	return n
}

// Listings gives the listings of the fit.
func (m *Model) Listings() []*boat.Listing { return m.listings }
