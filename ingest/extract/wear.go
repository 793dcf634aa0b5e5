package extract

// wear says of each wear part mentioned what its state is.
func (c *clause) wear(now float64) {
	for k := range c.things {
		m := &c.things[k]
		if len(m.items) == 0 || c.off[m.atom] || !c.r.isWear(m.items[0]) || c.scope[m.atom] == sought {
			continue
		}
		if c.scope[m.atom] == negated && !m.dropped {
			continue
		}
		value, weight, by := verdict(m.states, now)
		if value == "" || value == "fresh" && c.costs(m) {
			continue
		}
		from, to := c.atoms[m.atom].from, c.atoms[m.atom].to
		for _, i := range by {
			from, to = min(from, c.atoms[i].from), max(to, c.atoms[i].to)
		}
		for _, id := range m.items {
			c.said = append(c.said, said{item: id, value: value, weight: weight, from: from, to: to})
		}
	}
}

// costs tells that what is said of a thing is what a new one costs.
func (c *clause) costs(m *mention) bool {
	for j := m.atom + 1; j < len(c.atoms) && c.part[j] == c.part[m.atom]; j++ {
		if a := &c.atoms[j]; a.sign == amountSign || a.sign == numberSign && a.value >= leastPrice && c.newBeside(m.atom) && c.closes(j) {
			return true
		}
	}
	return false
}

// leastPrice is the least bare number that is what a wear part costs.
const leastPrice = 100

// newBeside tells that "new" stands right beside atom i.
func (c *clause) newBeside(i int) bool {
	for _, j := range []int{i - 1, i + 1} {
		if j >= 0 && j < len(c.atoms) && c.part[j] == c.part[i] && c.atoms[j].is(quality) && c.atoms[j].as(quality).value == "new" {
			return true
		}
	}
	return false
}

// freshYears is the age up to which a part counts as fresh.
const freshYears = 3

// verdict weighs the words and the year of one thing: to be replaced comes
// first, then a part of at most three years is fresh, then the words count;
// a year alone that is older says nothing.
func verdict(states []stateSaid, now float64) (value string, weight int, by []int) {
	words, year := "", 0.0
	isNew, gone := false, -1
	for _, s := range states {
		by = append(by, s.atom)
		switch {
		case s.year > 0:
			year = max(year, s.year)
		case words == "replace" && s.renewed && s.atom > gone:
			words, isNew = "new", true // "broke in 2022, was replaced"
		case words == "replace" || s.value == "":
		case s.value == "new":
			isNew = true
			if words == "" {
				words = "new"
			}
		case s.value == "usable":
			if words != "worn" && words != "fair" && words != "poor" {
				words = "good" // "worn but in one piece" is worn
			}
		default:
			words = s.value
			if words == "replace" {
				gone = s.atom
			}
		}
	}
	old := year > 0 && now-year > freshYears
	recent := year > 0 && !old
	switch {
	case words == "replace":
		return "replace", stated, by
	case recent:
		if isNew || words != "" {
			return "fresh", stated, by
		}
		return "fresh", byDate, by
	case words == "worn" || words == "poor" || words == "fair":
		return "worn", stated, by
	case words == "good" || words == "very_good":
		if isNew && !old {
			return "fresh", stated, by
		}
		return "good", stated, by
	case words == "fresh":
		return "fresh", stated, by
	case words == "new" && !old:
		return "fresh", stated, by
	}
	return "", 0, nil
}

// extraOnly tells that a mention is of an extra.
func (c *clause) extraOnly(m int) bool {
	return len(c.things[m].items) > 0 && c.r.isExtra(c.things[m].items[0])
}
