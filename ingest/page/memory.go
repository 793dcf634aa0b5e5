package page

import "askance/ingest/money"

// remembered are the options with their functions asked once for each text:
// pages repeat themselves.
func remembered(o Options) Options {
	type labelled struct {
		field, unit string
		ok          bool
	}
	type priced struct {
		amount money.Amount
		quote  string
		ok     bool
	}
	type dated struct {
		quote string
		ok    bool
	}
	label := remember(func(s string) (l labelled) { l.field, l.unit, l.ok = o.Labels(s); return l })
	price := remember(func(s string) (p priced) { p.amount, p.quote, p.ok = moneyIn(s, o.Price); return p })
	date := remember(func(s string) (d dated) { d.quote, d.ok = o.Date(s); return d })
	r := o
	r.Labels = func(s string) (string, string, bool) { l := label(s); return l.field, l.unit, l.ok }
	r.Price = func(s string) (money.Amount, string, bool) { p := price(s); return p.amount, p.quote, p.ok }
	r.Date = func(s string) (string, bool) { d := date(s); return d.quote, d.ok }
	return r
}

const (
	rememberedTexts = 100_000 // of one function
	rememberedBytes = 200     // of one text
)

func remember[T any](ask func(string) T) func(string) T {
	known := map[string]T{}
	return func(s string) T {
		if len(s) > rememberedBytes {
			return ask(s)
		}
		v, ok := known[s]
		if !ok {
			v = ask(s)
			if len(known) < rememberedTexts {
				known[s] = v
			}
		}
		return v
	}
}
