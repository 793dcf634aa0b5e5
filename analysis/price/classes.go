package price

import (
	"math"
	"slices"

	"askance/analysis/robust"
	"askance/ingest/boat"
)

// A class is mostly one maker's, and its level is drawn towards its maker's.
// On a large market a name may be several makers': a type of boat, or a number
// that each gives to a model. Then each maker's boats of that name are a class
// of their own, and the name has a level, a rate of ageing and a power of the
// length that they share.

const (
	large      = 300  // listings from which on a market can show finer drivers
	ownShare   = 0.8  // share of a class's listings that its first maker must have for it to be his
	manyOfKind = 30   // listings of a name from which on it has a level of its own
	mostKinds  = 60   // such names, the most frequent ones
	kindSpread = 0.25 // spread in log price that their levels are drawn towards
	kindRate   = 0.2  // and in the log of the rate of ageing
)

// nameClasses gives the market's classes and makers their places. A single
// maker in the whole market tells nothing and leaves the plan.
func (p *plan) nameClasses(listings []*boat.Listing) {
	named, said := map[string]map[string]int{}, map[string]string{}
	for _, l := range listings {
		if l.Maker.Known {
			addName(&p.makers, p.makerIndex, l.Maker.Value)
		}
		if l.Class.Known {
			c := fold(l.Class.Value)
			if named[c] == nil {
				named[c], said[c] = map[string]int{}, l.Class.Value
			}
			if l.Maker.Known {
				named[c][fold(l.Maker.Value)]++
			}
		}
	}
	if len(p.makers) < 2 {
		p.makers, p.makerIndex = nil, map[string]int{}
	}
	p.nameKinds(named, said, len(listings))
	for _, l := range listings {
		if !l.Class.Known {
			continue
		}
		key := fold(l.Class.Value)
		kind, split := p.split[key]
		switch {
		case !split:
			p.addClass(key, l.Class.Value, p.firstMaker(named[key]), -1)
		case l.Maker.Known:
			maker := fold(l.Maker.Value)
			p.addClass(key+"\x00"+maker, l.Maker.Value+" "+l.Class.Value, p.makerIndex[maker], kind)
		default:
			p.addClass(key+"\x00", l.Class.Value, -1, kind)
		}
	}
	p.measureClasses(listings)
}

// nameKinds finds the names that several makers use; the frequent ones among
// them share a level.
func (p *plan) nameKinds(named map[string]map[string]int, said map[string]string, listings int) {
	if listings < large || len(p.makers) == 0 {
		return
	}
	total := map[string]int{}
	var frequent []string
	for _, key := range sortedKeys(named) {
		if !ofSeveral(named[key]) {
			continue
		}
		p.split[key] = -1
		for _, n := range named[key] {
			total[key] += n
		}
		if total[key] >= manyOfKind {
			frequent = append(frequent, key)
		}
	}
	slices.SortStableFunc(frequent, func(a, b string) int { return total[b] - total[a] })
	p.kinds = frequent[:min(len(frequent), mostKinds)]
	for i, key := range p.kinds {
		p.split[key] = i
		p.addClass(key+"\x00", said[key], -1, i) // for a maker that the market does not have
	}
}

// ofSeveral tells a name that several makers use, by how often each does.
func ofSeveral(makers map[string]int) bool {
	all, most := 0, 0
	for _, n := range makers {
		all, most = all+n, max(most, n)
	}
	return all-most >= 3 && float64(most) < ownShare*float64(all)
}

// firstMaker is the maker that most listings of a class name, -1 for none.
func (p *plan) firstMaker(makers map[string]int) int {
	first, most := -1, 0
	for _, name := range sortedKeys(makers) {
		if i, known := p.makerIndex[name]; known && makers[name] > most {
			first, most = i, makers[name]
		}
	}
	return first
}

// addClass gives a class its place at the first meeting.
func (p *plan) addClass(key, name string, maker, kind int) {
	if _, known := p.classIndex[key]; !known {
		p.classIndex[key] = len(p.classes)
		p.classes, p.makerOf, p.kindOf = append(p.classes, name), append(p.makerOf, maker), append(p.kindOf, kind)
	}
}

// classOf finds the class of a name, and of a maker where it matters; -1 for
// one that the market does not have.
func (p *plan) classOf(class, maker boat.Fact[string]) int {
	if !class.Known {
		return -1
	}
	key := fold(class.Value)
	if _, split := p.split[key]; !split {
		return lookup(p.classIndex, key)
	}
	key += "\x00"
	if i := lookup(p.classIndex, key+fold(maker.Value)); maker.Known && i >= 0 {
		return i
	}
	return lookup(p.classIndex, key)
}

// setClass makes a boat one of a class of the market, and of what comes with
// it.
func (p *plan) setClass(e *encoded, class int) {
	e.class, e.kind, e.maker = class, p.kindOf[class], p.makerOf[class]
}

// measureClasses finds the length of each class; one that tells none has that
// of its name.
func (p *plan) measureClasses(listings []*boat.Listing) {
	told, ofKind := make([][]float64, len(p.classes)), make([][]float64, len(p.kinds))
	for _, l := range listings {
		if c := p.classOf(l.Class, l.Maker); c >= 0 && l.Length.Known {
			told[c] = append(told[c], l.Length.Value)
			if k := p.kindOf[c]; k >= 0 {
				ofKind[k] = append(ofKind[k], l.Length.Value)
			}
		}
	}
	for c, lengths := range told {
		if k := p.kindOf[c]; k >= 0 && len(lengths) == 0 {
			lengths = ofKind[k]
		}
		p.classLength = append(p.classLength, median(lengths, 0))
	}
	p.kindPower = make([]int, len(p.kinds))
	for k, lengths := range ofKind {
		p.kindPower[k] = -1
		for i, v := range lengths {
			lengths[i] = math.Log(v)
		}
		if robust.MAD(lengths, robust.MADNormal) > lengthsApart {
			p.kindPower[k] = 0 // until it has a parameter
		}
	}
}

const (
	lengthsApart = 0.1  // spread of a name's log lengths from which on it may have a power of its own
	powerSpread  = 0.25 // spread that such powers are drawn towards
)

// layOutKinds gives the names that several makers use their parameters.
func (p *plan) layOutKinds(add func(mean, sd float64) int) {
	p.at.kinds = p.addPool(add, len(p.kinds), kindSpread)
	if p.hasAge {
		p.at.kindRates = p.addPool(add, len(p.kinds), kindRate)
	}
	with := 0
	if p.hasLength {
		with = len(p.kinds) - count(p.kindPower, -1)
	}
	at := p.addPool(add, with, powerSpread)
	for k := range p.kindPower {
		if p.kindPower[k] == 0 && p.hasLength {
			p.kindPower[k] = at
			at++
		} else {
			p.kindPower[k] = -1
		}
	}
}

func count(x []int, value int) int {
	return len(x) - len(slices.DeleteFunc(slices.Clone(x), func(v int) bool { return v == value }))
}
