package main

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"askance/ingest/hull"
)

type hullCmd struct {
	Numbers []string `arg:"" name:"number" sep:"none" help:"Hull identification numbers, as stamped on the boat or written in an advertisement."`
	Format  string   `group:"output" default:"table" placeholder:"table|json" help:"What standard output carries; json is one object a number."`
}

func (hullCmd) Help() string {
	return `The exit status is 0 if all numbers are valid, else 1.

Example:

	askance hull ABC12345D404
	askance hull --format json "US-ABC12345D404"`
}

// Run decodes the numbers and prints them in their order.
func (c hullCmd) Run(h *host) error {
	if err := (formatFlag{c.Format}).allow("hull", "table", "json"); err != nil {
		return err
	}
	numbers := make([]hull.Number, len(c.Numbers))
	invalid := 0
	for i, s := range c.Numbers {
		numbers[i] = hull.Decode(s)
		if !numbers[i].Valid {
			invalid++
		}
	}
	if err := h.printHulls(c.Format, numbers); err != nil {
		return err
	}
	if invalid > 0 {
		return fmt.Errorf("%d of %d hull numbers not valid", invalid, len(numbers))
	}
	return nil
}

func (h *host) printHulls(format string, numbers []hull.Number) error {
	if format == "json" {
		enc := json.NewEncoder(h.stdout)
		enc.SetEscapeHTML(false)
		for _, n := range numbers {
			if err := enc.Encode(n); err != nil {
				return err
			}
		}
		return nil
	}
	w := tabwriter.NewWriter(h.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "number\tvalid\tmaker\tserial\tbuilt\tmodel year\tlayout")
	for _, n := range numbers {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", n.Number, yesNo(n.Valid), n.Maker, n.Serial, monthOf(n.Month, n.Year), orDash(n.ModelYear), n.Format)
	}
	for _, n := range numbers {
		for _, p := range n.Problems {
			fmt.Fprintf(w, "%s: %s\n", n.Number, p)
		}
	}
	return w.Flush()
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func orDash(year int) string {
	if year == 0 {
		return "-"
	}
	return strconv.Itoa(year)
}

// monthOf prints the month of production: "Oct 2004", "2004" or "-".
func monthOf(month, year int) string {
	if month == 0 || year == 0 {
		return orDash(year)
	}
	return strings.TrimSpace(time.Month(month).String()[:3] + " " + strconv.Itoa(year))
}
