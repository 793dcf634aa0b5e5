package extract

// An edges table holds where each state leads on each symbol, in one array
// with open addressing (Knuth, The Art of Computer Programming 3, 6.4).
type edges struct {
	slots []arc // their number is a power of two
	taken int
}

type arc struct{ from, symbol, to int32 } // to is 0 where the slot is free

// newEdges makes room for so many edges.
func newEdges(n int) edges {
	size := 16
	for size < 2*n {
		size *= 2
	}
	return edges{slots: make([]arc, size)}
}

// slot gives the place of an edge, or the one that it would take.
func (e *edges) slot(from, symbol int32) *arc {
	last := uint64(len(e.slots) - 1)
	key := uint64(from)<<32 | uint64(uint32(symbol))
	for i := key * 0x9E3779B97F4A7C15 >> 32; ; i++ {
		s := &e.slots[i&last]
		if s.to == 0 || s.from == from && s.symbol == symbol {
			return s
		}
	}
}

// to gives where a state leads on a symbol, 0 if nowhere.
func (e *edges) to(from, symbol int32) int32 { return e.slot(from, symbol).to }

// add adds an edge that is not there yet.
func (e *edges) add(from, symbol, to int32) {
	if 4*e.taken >= 3*len(e.slots) {
		old := e.slots
		e.slots = make([]arc, 2*len(old))
		for _, s := range old {
			if s.to != 0 {
				*e.slot(s.from, s.symbol) = s
			}
		}
	}
	e.taken++
	*e.slot(from, symbol) = arc{from, symbol, to}
}
