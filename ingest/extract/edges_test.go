package extract

import (
	"testing"

	"pgregory.net/rapid"
)

// TestEdgesAreAMap compares the table with a map.
func TestEdgesAreAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		table, want := newEdges(rapid.IntRange(0, 40).Draw(t, "room")), map[[2]int32]int32{}
		number := rapid.OneOf(rapid.Int32Range(0, 6), rapid.Int32Range(0, 1<<30))
		for to := int32(1); to < 100; to++ {
			from, symbol := number.Draw(t, "from"), number.Draw(t, "symbol")
			if got := table.to(from, symbol); got != want[[2]int32{from, symbol}] {
				t.Fatalf("%d on %d leads to %d, want %d", from, symbol, got, want[[2]int32{from, symbol}])
			}
			if want[[2]int32{from, symbol}] == 0 {
				table.add(from, symbol, to)
				want[[2]int32{from, symbol}] = to
			}
		}
		for key, to := range want {
			if got := table.to(key[0], key[1]); got != to {
				t.Fatalf("%d on %d leads to %d, want %d", key[0], key[1], got, to)
			}
		}
	})
}
