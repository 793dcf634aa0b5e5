package extract

// otherPrice tells that words beside an amount make it another price than the
// one asked: "new price 9800", "was 3000", "99 a month".
func (c *clause) otherPrice(i int) bool {
	if c.newOne(i) {
		return true
	}
	for j := range c.atoms {
		e := c.atoms[j].as(newPrice)
		if e == nil {
			continue
		}
		switch {
		case j < i && e.value == "number":
			if c.gap(j, i) <= 2 && !c.amountBetween(j, i) {
				return true
			}
		case e.value == "spent" && c.spentBefore(j):
			if j > i && c.part[j] == c.part[i] && c.gap(i, j) <= 5 && !c.amountBetween(i, j) {
				return true
			}
		case j < i && c.gap(j, i) <= 5 && c.part[j] >= c.part[i]-1 && !c.amountBetween(j, i) && !c.cueBetween(j, i) && !(c.part[j] < c.part[i] && c.amountTouches(j)):
			return true
		case j > i && c.gap(i, j) <= 1 && c.part[j] == c.part[i] && !onTop(e) && !c.amountSoon(j):
			return true
		}
	}
	return false
}

// newOne tells that an amount behind a smaller one is that of a new boat, by a
// "new" right before it that speaks of no thing: "2100 € (new 11,000 €)".
func (c *clause) newOne(i int) bool {
	if i < 2 || c.atoms[i].sign != amountSign || c.gap(i-1, i) > 0 || !c.atoms[i-1].is(quality) || c.atoms[i-1].as(quality).value != "new" {
		return false
	}
	for j := i - 2; j >= 0; j-- {
		if c.atoms[j].sign == amountSign {
			return c.sum(j) < c.sum(i)
		}
		if c.at[j] >= 0 {
			return false
		}
	}
	return false
}

// spentBefore tells that a word such as "spent" speaks of an amount before it
// in its part: "800 € put into shrouds".
func (c *clause) spentBefore(j int) bool {
	for k := j - 1; k >= 0 && c.part[k] == c.part[j] && c.gap(k, j) <= 5; k-- {
		if c.atoms[k].sign == amountSign {
			return true
		}
	}
	return false
}

// amountTouches tells that an amount stands right before an atom in its part:
// "3700 € paid; now 2850".
func (c *clause) amountTouches(j int) bool {
	return j > 0 && c.part[j-1] == c.part[j] && c.gap(j-1, j) == 0 && (c.atoms[j-1].sign == amountSign || c.atoms[j-1].sign == numberSign && c.sum(j-1) >= leastBare)
}

func (c *clause) amountBetween(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if c.atoms[k].sign == amountSign || c.atoms[k].sign == numberSign && c.sum(k) >= leastBare {
			return true
		}
	}
	return false
}

// cueBetween tells that a word for the price stands between two atoms; one
// that touches the first is part of it: "new price".
func (c *clause) cueBetween(from, to int) bool {
	for k := from + 1; k < to; k++ {
		if c.atoms[k].is(priceCue) && (k-1 > from || c.gap(k-1, k) > 0) {
			return true
		}
	}
	return false
}

// amountSoon tells that an amount follows close behind an atom, which is then
// what it speaks of.
func (c *clause) amountSoon(j int) bool {
	for k := j + 1; k < len(c.atoms) && c.part[k] == c.part[j] && c.gap(j, k) <= 3; k++ {
		if c.atoms[k].sign == amountSign {
			return true
		}
	}
	return false
}

// onTop tells that a word behind an amount speaks of what comes on top of it:
// delivery, or tax.
func onTop(e *entry) bool { return e.value == "delivery" || e.value == "net" }

// deliveredBehind tells that words on delivery or tax follow an amount.
func (c *clause) deliveredBehind(i int) bool {
	for j := i + 1; j < len(c.atoms) && c.part[j] == c.part[i] && c.gap(i, j) <= 1; j++ {
		if e := c.atoms[j].as(newPrice); e != nil && onTop(e) {
			return true
		}
	}
	return false
}
