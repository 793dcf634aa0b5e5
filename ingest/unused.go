package ingest

import (
	"slices"
	"strings"

	"askance/ingest/boat"
	"askance/ingest/extract"
	"askance/ingest/record"
)

// unused lists the columns of a table that fill no field and that the user
// did not name, in file order, each with the flag that its values suggest.
func (in *intake) unused(batch record.Batch) []boat.UnusedColumn {
	named := map[string]bool{}
	for _, h := range slices.Concat(in.options.Factors, in.options.Measures, sortedKeys(in.options.Extras)) {
		named[fold(h)] = true
	}
	values := map[string][]string{}
	for _, row := range batch.Rows {
		for _, c := range row.Cells {
			if text := strings.TrimSpace(c.Text); c.Field == "" && text != "" {
				values[c.Header] = append(values[c.Header], text)
			}
		}
	}
	var out []boat.UnusedColumn
	for _, h := range batch.Unused {
		if named[fold(h)] {
			continue
		}
		c := boat.UnusedColumn{Header: h, Use: in.useOf(values[h])}
		if len(values[h]) > 0 {
			c.Example = extract.Mask(values[h][0])
		}
		out = append(out, c)
	}
	return out
}

// sameValue is how many rows a value must have on average for a column to be
// taken as one of categories.
const sameValue = 3

// useOf tells which flag fits the values of a column: marks are equipment,
// numbers a measure, a few words again and again categories; anything else
// may be one of the fields under another name.
func (in *intake) useOf(values []string) string {
	distinct := map[string]bool{}
	marks, numbers := 0, 0
	for _, v := range values {
		distinct[fold(v)] = true
		if in.listing.IsMark(v) {
			marks++
		}
		if n, err := extract.PlainNumber(v); err == nil && n > 0 {
			numbers++
		}
	}
	switch {
	case len(values) == 0:
		return "--column"
	case marks == len(values):
		return "--extra"
	case numbers*10 >= len(values)*9:
		return "--measure"
	case len(distinct) > 1 && len(distinct)*sameValue <= len(values):
		return "--factor"
	}
	return "--column"
}
