//go:build validity

package analysis

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// markets is how many simulated markets a figure rests on: seeds 1 to markets,
// none left out.
const markets = 200

// fewMarkets is the same for figures that are only printed.
const fewMarkets = 50

// scores runs the simulator for seeds 1 to n.
func (s simulator) scores(t *testing.T, n int) []score {
	out := make([]score, n)
	errs := make([]error, n)
	var group sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for k := range out {
		group.Add(1)
		slots <- struct{}{}
		go func() {
			defer func() { <-slots; group.Done() }()
			out[k], errs[k] = s.run(uint64(k + 1)).score()
		}()
	}
	group.Wait()
	for k, err := range errs {
		if err != nil {
			t.Fatalf("seed %d: %v", k+1, err)
		}
	}
	return out
}

// mean of a figure over markets, with its Monte-Carlo standard error; NaN
// entries are not counted.
func mean(scores []score, figure func(score) float64) (m, se float64) {
	var x []float64
	for _, s := range scores {
		if v := figure(s); !math.IsNaN(v) {
			x = append(x, v)
		}
	}
	m, sd := stat.MeanStdDev(x, nil)
	return m, sd / math.Sqrt(float64(len(x)))
}

func foundShare(scores []score) (share, se float64) {
	found, planted := 0.0, 0.0
	for _, s := range scores {
		found, planted = found+s.found, planted+s.planted
	}
	share = found / planted
	return share, math.Sqrt(share * (1 - share) / planted)
}

// goal is what one size of market must reach.
type goal struct {
	listings          int
	covLow, covHigh   float64
	found, wrong, err float64
}

func goals() []goal {
	return []goal{
		{30, 0.76, 0.88, 0.80, 0.08, 0.062}, {60, 0.76, 0.87, 0.90, 0.08, 0.045},
		{120, 0.77, 0.86, 0.95, 0.08, 0.032}, {300, 0.78, 0.85, 0.96, 0.08, 0.022},
	}
}

// knownMisses lists the figures that this version is known to miss. Each must
// go on missing: one that is reached is to be struck from the list.
//
// The knowhow of these markets is off by a log-normal of 0.35 in its money and
// in the floor and the rate of ageing alike. With floor and rate as they are,
// the median errors are some 0.001 smaller and reach their goals.
func knownMisses() []string {
	return []string{"found at 60", "found at 120", "median error at 120", "median error at 300"}
}

// TestSimulatedMarkets prints and holds the figures of the model on markets
// whose truth is known.
func TestSimulatedMarkets(t *testing.T) {
	var missed []string
	check := func(name string, value, low, high float64) {
		if value < low || value > high {
			missed = append(missed, name)
			t.Logf("missed: %s is %.4f, wanted %.3f to %.3f", name, value, low, high)
		}
	}
	for _, g := range goals() {
		sim := simulator{listings: g.listings, plantedPart: 0.09, plant: [2]float64{1.8, 2.5}}
		scores := sim.scores(t, markets)
		coverage, coverageSE := mean(scores, func(s score) float64 { return s.coverage })
		found, foundSE := foundShare(scores)
		wrong, wrongSE := mean(scores, func(s score) float64 { return s.falseShare })
		off, offSE := mean(scores, func(s score) float64 { return s.error })
		t.Logf("%3d listings: coverage %.3f (%.3f), found %.3f (%.3f), false %.3f (%.3f), median error %.4f (%.4f)",
			g.listings, coverage, coverageSE, found, foundSE, wrong, wrongSE, off, offSE)
		name := func(what string) string { return fmt.Sprintf("%s at %d", what, g.listings) }
		check(name("coverage"), coverage, g.covLow, g.covHigh)
		check(name("found"), found, g.found, 1)
		check(name("false share"), wrong, 0, g.wrong)
		check(name("median error"), off, 0, g.err)
		if g.listings >= 120 {
			for third, c := range byThirdAndClass(t, scores) {
				check(fmt.Sprintf("coverage in third %d of age at %d", third+1, g.listings), c, 0.72, 0.88)
			}
		}
	}
	if !slices.Equal(missed, knownMisses()) {
		t.Errorf("missed %q, known to be missed %q", missed, knownMisses())
	}
}

// byThirdAndClass prints the coverage of each third of age and of each class,
// and gives the former.
func byThirdAndClass(t *testing.T, scores []score) (thirds [3]float64) {
	for k := range 3 {
		third, se := mean(scores, func(s score) float64 { return s.byThird[k] })
		class, classSE := mean(scores, func(s score) float64 { return s.byClass[k] })
		t.Logf("              coverage in third %d of age %.3f (%.3f), in class %d %.3f (%.3f)", k+1, third, se, k+1, class, classSE)
		thirds[k] = third
	}
	return thirds
}

// TestSimulatedBeside prints, without a goal, what is found of smaller
// mispricings, and the whole table with noise of heavy tails.
func TestSimulatedBeside(t *testing.T) {
	for _, g := range goals() {
		line := fmt.Sprintf("%3d listings:", g.listings)
		for _, plant := range [][2]float64{{1.3, 1.5}, {1.5, 1.8}} {
			found, se := foundShare(simulator{listings: g.listings, plantedPart: 0.09, plant: plant}.scores(t, fewMarkets))
			line += fmt.Sprintf(" found of %.1f-%.1f %.3f (%.3f);", plant[0], plant[1], found, se)
		}
		scores := simulator{listings: g.listings, plantedPart: 0.09, plant: [2]float64{1.8, 2.5}, tails: 4}.scores(t, fewMarkets)
		coverage, _ := mean(scores, func(s score) float64 { return s.coverage })
		found, _ := foundShare(scores)
		wrong, _ := mean(scores, func(s score) float64 { return s.falseShare })
		off, _ := mean(scores, func(s score) float64 { return s.error })
		t.Logf("%s with t(4) noise: coverage %.3f, found %.3f, false %.3f, median error %.4f", line, coverage, found, wrong, off)
		if g.listings >= 120 {
			byThirdAndClass(t, scores)
		}
	}
}

// TestBreakdown plants 20 and 30 % of asks 2.2 to 3.3 times too dear, all one
// way, and again too cheap, and holds the error of the fitted price.
func TestBreakdown(t *testing.T) {
	for _, n := range []int{60, 120} {
		for _, part := range []struct{ planted, most float64 }{{0.20, 0.05}, {0.30, 0.055}} {
			for _, direction := range []int{1, -1} {
				scores := simulator{listings: n, plantedPart: part.planted, plant: [2]float64{2.2, 3.3}, direction: direction}.scores(t, markets)
				off, se := mean(scores, func(s score) float64 { return s.fittedError })
				way := map[int]string{1: "too dear", -1: "too cheap"}[direction]
				t.Logf("%3d listings, %2.0f %% planted %s: median error of the fitted price %.4f (%.4f)", n, 100*part.planted, way, off, se)
				if off > part.most {
					t.Errorf("%d listings, %.0f %% %s: median error %.4f, wanted at most %.3f", n, 100*part.planted, way, off, part.most)
				}
			}
		}
	}
}
