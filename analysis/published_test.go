//go:build published

package analysis

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"askance/analysis/robust"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/money"
	"askance/ingest/record"
)

// The data sets stand in R packages of Debian; .ci/published writes them as
// CSV into the folder that PUBLISHED names. They are not kept here.

// published reads one of them, by column name.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(os.Getenv("PUBLISHED"), name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, h := range rows[0] {
			m[h] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func figure(t *testing.T, row map[string]string, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		t.Fatalf("%s: %v", column, err)
	}
	return v
}

// leastSquares fits y on an intercept and the columns that x gives.
func leastSquares(t *testing.T, rows []map[string]string, y func(map[string]string) float64, x func(map[string]string) []float64) *robust.Fit {
	t.Helper()
	var design [][]float64
	var target []float64
	for _, r := range rows {
		design = append(design, append([]float64{1}, x(r)...))
		target = append(target, y(r))
	}
	m, err := robust.Rows(design)
	if err != nil {
		t.Fatal(err)
	}
	fit, err := robust.LeastSquares(m, target, robust.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return fit
}

func hold(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	t.Logf("%s: %.6g, published %.6g", what, got, want)
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: %.6g, published %.6g", what, got, want)
	}
}

// sale is a listing of a market that is no market of boats: everything that
// drives the price stands in columns of the user's own.
func sale(i int, price float64, currency string) boat.Listing {
	asOf := time.Date(2005, time.June, 1, 0, 0, 0, 0, time.UTC)
	at := record.Pos{File: "published.csv", Kind: record.Line, Line: i + 2}
	return boat.Listing{ID: fmt.Sprint(i), Kind: boat.ForSale, AsOf: asOf, Source: boat.Source{At: at}, Price: boat.Price{Amount: money.Of(price, currency), Known: true, At: at},
		Factors: map[string]string{}, Measures: map[string]float64{}}
}

func (l *listingOf) extra(header string, yes bool) {
	value := knowhow.Absent
	if yes {
		value = knowhow.Included
	}
	l.Findings = append(l.Findings, boat.Finding{Item: "extra:" + header, Value: value})
}

type listingOf struct{ boat.Listing }

// leftOutError is the median of |left-out price / price - 1|.
func leftOutError(t *testing.T, listings []boat.Listing, currency string) (full, withoutComparables float64) {
	t.Helper()
	book, err := knowhow.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Run(&boat.Market{Currency: currency, Listings: listings, Read: len(listings)}, book, Options{Once: true})
	if err != nil {
		t.Fatal(err)
	}
	var a, b []float64
	for _, j := range s.Boats {
		ask := j.Listing.Price.Major()
		a = append(a, math.Abs(j.Valuation.Expected/ask-1))
		plain := j.Valuation.Expected
		for _, p := range j.Valuation.Parts {
			if p.What == "comparables" {
				plain *= j.Valuation.Fitted / (j.Valuation.Fitted + p.Amount)
			}
		}
		b = append(b, math.Abs(plain/ask-1))
	}
	return robust.Median(a), robust.Median(b)
}

// Used cars of 2005: Kuiper (2008), J. Stat. Educ. 16(3),
// doi:10.1080/10691898.2008.11889579, 804 cars, in R package caret as cars.
// The published R squared of 2.0 and 44.6 per cent are from memory.
func TestUsedCars(t *testing.T) {
	rows := published(t, "cars.csv")
	price := func(r map[string]string) float64 { return figure(t, r, "Price") }
	columns := func(names ...string) func(map[string]string) []float64 {
		return func(r map[string]string) []float64 {
			var x []float64
			for _, n := range names {
				x = append(x, figure(t, r, n))
			}
			return x
		}
	}
	hold(t, "R squared of price on mileage", leastSquares(t, rows, price, columns("Mileage")).R2, 0.020, 0.0005)
	hold(t, "R squared of price on six columns", leastSquares(t, rows, price, columns("Mileage", "Cylinder", "Doors", "Cruise", "Sound", "Leather")).R2, 0.446, 0.0005)
	var listings []boat.Listing
	for i, r := range rows {
		l := listingOf{sale(i, price(r), "USD")}
		l.Measures["Mileage"] = figure(t, r, "Mileage")
		for factor, levels := range map[string][]string{"Make": {"Buick", "Cadillac", "Chevy", "Pontiac", "Saab", "Saturn"}, "Body": {"convertible", "coupe", "hatchback", "sedan", "wagon"}} {
			for _, level := range levels {
				if r[level] == "1" {
					l.Factors[factor] = level
				}
			}
		}
		l.Factors["Cylinder"] = r["Cylinder"]
		for _, h := range []string{"Cruise", "Sound", "Leather"} {
			l.extra(h, r[h] == "1")
		}
		listings = append(listings, l.Listing)
	}
	full, plain := leftOutError(t, listings, "USD")
	t.Logf("804 used cars: left-out median error %.4f, without comparables %.4f", full, plain)
	if full > 0.09 {
		t.Errorf("left-out median error %.4f", full)
	}
}

// Houses of Windsor, 1987: Anglin and Gencay (1996), J. Appl. Econom. 11,
// 633-648, in R package AER as HousePrices. The published fit of table 3.1 of
// Verbeek, A Guide to Modern Econometrics (2004), is from memory: 7.094,
// 0.400, 0.078, 0.216, 0.212, s 0.2456, R squared 0.5674.
func TestWindsorHouses(t *testing.T) {
	rows := published(t, "houses.csv")
	yes := func(r map[string]string, column string) float64 {
		if r[column] == "yes" {
			return 1
		}
		return 0
	}
	fit := leastSquares(t, rows, func(r map[string]string) float64 { return math.Log(figure(t, r, "price")) }, func(r map[string]string) []float64 {
		return []float64{math.Log(figure(t, r, "lotsize")), figure(t, r, "bedrooms"), figure(t, r, "bathrooms"), yes(r, "aircon")}
	})
	for i, want := range []float64{7.094, 0.400, 0.078, 0.216, 0.212} {
		hold(t, fmt.Sprintf("coefficient %d of table 3.1", i), fit.Coefficients[i], want, 0.0005)
	}
	hold(t, "R squared of table 3.1", fit.R2, 0.5674, 0.00005)
	var listings []boat.Listing
	for i, r := range rows {
		l := listingOf{sale(i, figure(t, r, "price"), "CAD")}
		l.Measures["lotsize"] = figure(t, r, "lotsize")
		for _, h := range []string{"bedrooms", "bathrooms", "stories", "garage"} {
			l.Factors[h] = r[h]
		}
		for _, h := range []string{"driveway", "recreation", "fullbase", "gasheat", "aircon", "prefer"} {
			l.extra(h, r[h] == "yes")
		}
		listings = append(listings, l.Listing)
	}
	full, plain := leftOutError(t, listings, "CAD")
	t.Logf("546 houses: left-out median error %.4f, without comparables %.4f", full, plain)
	if full > 0.16 {
		t.Errorf("left-out median error %.4f", full)
	}
}
