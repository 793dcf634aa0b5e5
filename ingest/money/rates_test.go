package money_test

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"askance/ingest/money"

	"pgregory.net/rapid"
)

// readSample reads published rates; the first lines of each name the source.
func readSample(t testing.TB, name string) money.Rates {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	r, err := money.ReadRates(data)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

const (
	oneDay  = "eurofxref_2024-09-26.csv"
	days    = "eurofxref-hist_2025-05_excerpt.csv"
	oldDays = "eurofxref-hist_2014-08_excerpt.csv"
	asXML   = "eurofxref-daily_2022-07-08.xml"
)

func date(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

func TestConvert(t *testing.T) {
	tests := []struct {
		file   string
		amount money.Amount
		to, on string
		want   money.Amount
		used   string
	}{
		{oneDay, money.Of(1000, "EUR"), "USD", "2024-09-26", money.Of(1115.50, "USD"), "2024-09-26"},
		{oneDay, money.Of(1115.50, "USD"), "EUR", "2024-09-26", money.Of(1000, "EUR"), "2024-09-26"},
		{oneDay, money.Of(834.28, "GBP"), "SEK", "2024-12-01", money.Of(11300, "SEK"), "2024-09-26"},
		{oneDay, money.Of(1000, "EUR"), "ISK", "2024-09-27", money.Of(150500, "ISK"), "2024-09-26"},
		{oneDay, money.Of(1000, "EUR"), "ZAR", "2024-09-27", money.Of(19238, "ZAR"), "2024-09-26"},
		{days, money.Of(1000, "EUR"), "GBP", "2025-05-08", money.Of(847.60, "GBP"), "2025-05-08"},
		{days, money.Of(1000, "EUR"), "GBP", "2025-05-01", money.Of(851.80, "GBP"), "2025-04-30"}, // a holiday
		{days, money.Of(1000, "EUR"), "GBP", "2025-05-07", money.Of(853.30, "GBP"), "2025-05-02"},
		{days, money.Of(1000, "EUR"), "GBP", "2026-01-01", money.Of(847.70, "GBP"), "2025-05-09"},
		{days, money.Of(1000, "EUR"), "GBP", "2020-01-01", money.Of(851.80, "GBP"), "2025-04-30"}, // before the oldest
		{oldDays, money.Of(763.08, "HRK"), "EUR", "2014-08-25", money.Of(100, "EUR"), "2014-08-25"},
		{oldDays, money.Of(100, "EUR"), "ILS", "2014-08-25", money.Of(467.22, "ILS"), "2014-08-25"},
		{asXML, money.Of(1000, "EUR"), "DKK", "2022-07-10", money.Of(7442.40, "DKK"), "2022-07-08"},
		{asXML, money.Of(1000, "EUR"), "GBP", "2022-07-08", money.Of(845.85, "GBP"), "2022-07-08"},
	}
	for _, tt := range tests {
		got, used, err := readSample(t, tt.file).Convert(tt.amount, tt.to, date(tt.on))
		if err != nil || got != tt.want || used.Format(time.DateOnly) != tt.used {
			t.Errorf("%s: %v to %s on %s: wanted %v of %s, found %v of %v, %v", tt.file, tt.amount, tt.to, tt.on, tt.want, tt.used, got, used, err)
		}
	}
}

func TestConvertWithoutRates(t *testing.T) {
	tests := []struct {
		amount money.Amount
		to     string
		want   string
	}{
		{money.Of(1, "UAH"), "EUR", "wanted an exchange rate for UAH, found none in the rates of 2025-04-30 to 2025-05-09"},
		{money.Of(1, "EUR"), "HRK", "wanted an exchange rate for HRK"}, // N/A throughout
		{money.Of(1, ""), "EUR", "wanted two currencies"},
	}
	r := readSample(t, days)
	for _, tt := range tests {
		_, _, err := r.Convert(tt.amount, tt.to, date("2025-05-08"))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%v to %s: wanted the error %q, found %v", tt.amount, tt.to, tt.want, err)
		}
	}
	if got, used, err := (money.Rates{}).Convert(money.Of(5, "UAH"), "UAH", date("2025-05-08")); err != nil || got != money.Of(5, "UAH") || !used.IsZero() {
		t.Errorf("the same currency needs no rate: found %v %v %v", got, used, err)
	}
	if _, _, err := (money.Rates{}).Convert(money.Of(5, "USD"), "EUR", date("2025-05-08")); err == nil {
		t.Error("wanted an error without any rates")
	}
}

func TestConvertThereAndBack(t *testing.T) {
	r := readSample(t, days)
	codes := []string{"EUR", "USD", "GBP", "SEK", "CHF", "ISK", "JPY", "PLN"}
	rapid.Check(t, func(t *rapid.T) {
		from, to := rapid.SampledFrom(codes).Draw(t, "from"), rapid.SampledFrom(codes).Draw(t, "to")
		on := date("2025-04-01").AddDate(0, 0, rapid.IntRange(0, 60).Draw(t, "day"))
		a := money.Of(float64(rapid.IntRange(1, 100_000).Draw(t, "amount")), from)
		b, used, err := r.Convert(a, to, on)
		if err != nil {
			t.Fatal(err)
		}
		back, again, err := r.Convert(b, from, on)
		// half a minor unit of either currency is lost to rounding
		loss := 0.5/math.Pow10(money.MinorDigits(to))*a.Major()/math.Max(b.Major(), 1e-9) + 0.5/math.Pow10(money.MinorDigits(from))
		if err != nil || !used.Equal(again) || math.Abs(back.Major()-a.Major()) > loss*1.001 {
			t.Fatalf("%v is %v is %v (%v)", a, b, back, err)
		}
	})
}

func TestReadRatesTellsWhere(t *testing.T) {
	tests := []struct{ data, want string }{
		{"", "line 1, column 1: wanted exchange rates, found nothing"},
		{"PK\x03\x04...", "zip archive (hint: unpack it first)"},
		{"Day,USD\n", `line 1, column 1: wanted "Date" as the first header, found "Day"`},
		{"Date,USD,usd,\n", `line 1, column 10: wanted a currency code of three capitals, found "usd"`},
		{"Date,USD,USD,\n", "line 1, column 10: wanted each currency once"},
		{"Date,USD,\n", "wanted at least one day"},
		{"Date,USD,\n2025-05-09,1.1,\n09.05.2025,1.1,\n", `line 3, column 1: wanted a date such as "2024-09-26" or "26 September 2024", found "09.05.2025"`},
		{"Date, USD, GBP, \n26 September 2024, 1.1155, 0,8, \n", `line 2, column 28: wanted a rate above 0, or N/A, found "0"`},
		{"Date,USD,\n2025-05-09,-1,\n", "wanted a rate above 0"},
		{"Date,USD,\n2025-05-09,NaN,\n", "wanted a rate above 0"},
		{"Date,USD\n2025-05-09,1.1,5\n", "line 2, column 16: wanted no more fields than headers"},
		{"Date,USD\n2025-05-09,1.1\n2025-05-09,1.2\n", "wanted each day once, found 2025-05-09 twice"},
		{"Date,USD\n2025-05-09,\"1.1\n", "wanted comma-separated text"},
		{"<Cube><Cube time='2022-07-08'>\n<Cube currency='USD' rate='x'/></Cube></Cube>", `line 2, column 1: wanted a rate above 0, found "x"`},
		{"<Cube><Cube currency='USD' rate='1'/></Cube>", "wanted a day before its rates"},
		{"<Cube>\n<Cube", "line 2"},
	}
	for _, tt := range tests {
		_, err := money.ReadRates([]byte(tt.data))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%q: wanted the error %q, found %v", tt.data, tt.want, err)
		}
	}
}

func FuzzReadRates(f *testing.F) {
	for _, name := range []string{oneDay, days, oldDays, asXML} {
		data, err := os.ReadFile("../../testdata/reference/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("Date,USD,\n2025-05-09,1e308,\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := money.ReadRates(data)
		if err != nil {
			return
		}
		if _, used, err := r.Convert(money.Of(100, "EUR"), "USD", date("2025-05-09")); err == nil && used.IsZero() {
			t.Error("a conversion without a day")
		}
	})
}
