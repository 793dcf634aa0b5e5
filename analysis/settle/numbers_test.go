package settle

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"askance/analysis/price"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
)

func loaded(t *testing.T) *knowhow.Book {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	return book
}

func TestPaidOverAskedNeedsTen(t *testing.T) {
	book := loaded(t)
	var listings []boat.Listing
	for i := range 10 {
		l := boat.Listing{Price: boat.Price{Amount: money.Of(1000, "EUR"), Known: true}, Paid: boat.Price{Amount: money.Of(850+10*float64(i), "EUR"), Known: true}}
		listings = append(listings, l)
	}
	if got := PaidOverAsked(listings[:9], book); !got.Assumed || got.Ratio != book.Number("paid_over_asked").Value {
		t.Errorf("nine listings: %+v", got)
	}
	got := PaidOverAsked(listings, book)
	if got.Assumed || math.Abs(got.Ratio-math.Sqrt(0.89*0.90)) > 1e-9 || got.Listings != 10 {
		t.Errorf("ten listings: %+v", got)
	}
}

func TestAskingIsARoundFigureNearTheMiddle(t *testing.T) {
	for _, c := range []struct{ expected, asking float64 }{{343, 340}, {3462, 3450}, {12340, 12300}, {999, 1000}} {
		asking, place := Asking(price.Valuation{Expected: c.expected, LogSD: 0.15, DF: math.Inf(1)})
		if asking != c.asking || (place < 0.5) != (c.asking < c.expected) || math.Abs(place-0.5) > 0.05 {
			t.Errorf("expected %g: asking %g at %.3f, wanted %g", c.expected, asking, place, c.asking)
		}
	}
}

// Four of five buyers' prices lie over a reserve at a chance of 0.8.
func TestReserveIsTheQuantile(t *testing.T) {
	v := price.Valuation{Expected: 4000, LogSD: 0.16, DF: math.Inf(1)}
	paid := PaidRatio{Ratio: 0.92, Spread: 0.06}
	random := rand.New(rand.NewPCG(1, 2))
	var bids []float64
	for range 40000 {
		bids = append(bids, 4000*0.92*math.Exp(0.16*random.NormFloat64()+0.06*random.NormFloat64()))
	}
	slices.Sort(bids)
	for _, chance := range []float64{0.5, 0.8, 0.95} {
		got := ReserveAt(v, paid, chance)
		want := bids[int((1-chance)*float64(len(bids)))]
		if math.Abs(got.Reserve/want-1) > 0.01 {
			t.Errorf("chance %g: reserve %g, simulated %g", chance, got.Reserve, want)
		}
		sum := 0.0
		for _, b := range got.Because {
			sum += b.Amount
		}
		if math.Abs(sum-got.Reserve) > 1e-9 {
			t.Errorf("chance %g: the reasons add up to %g, the reserve is %g", chance, sum, got.Reserve)
		}
	}
}

func TestHighestOffer(t *testing.T) {
	v := price.Valuation{Expected: 4000}
	asked := &boat.Listing{Price: boat.Price{Amount: money.Of(5000, "EUR"), Known: true}}
	cheap := &boat.Listing{Price: boat.Price{Amount: money.Of(2500, "EUR"), Known: true}}
	assumed, known := PaidRatio{Ratio: 0.92, Assumed: true}, PaidRatio{Ratio: 0.9}
	ready := &Ready{4600, 900}
	wreck := &Ready{1000, 1900}
	for _, c := range []struct {
		name string
		l    *boat.Listing
		o    *Ready
		paid PaidRatio
		want float64
	}{
		{"the expected price", asked, nil, assumed, 4000},
		{"less the step to paid where the market tells it", asked, nil, known, 3600},
		{"the price once ready less the cost", asked, ready, assumed, 3700},
		{"both", asked, ready, known, 3330},
		{"never more than is asked", cheap, nil, assumed, 2500},
		{"never less than nothing", asked, wreck, assumed, 0},
	} {
		got := HighestOffer(c.l, v, c.o, c.paid)
		sum := 0.0
		for _, b := range got.Because {
			sum += b.Amount
		}
		if math.Abs(got.Highest-c.want) > 1e-9 || math.Abs(sum-got.Highest) > 1e-9 {
			t.Errorf("%s: %g from reasons that add up to %g, wanted %g", c.name, got.Highest, sum, c.want)
		}
	}
}
