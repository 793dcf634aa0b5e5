package ingest

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"askance/ingest/record"
)

// fewLengths is how many bare numbers a column of lengths needs before they
// say which unit they are in.
const fewLengths = 5

// giveUnit gives a file's lengths that are bare numbers, under a header that
// names no unit, the unit that they look to be in, and notes it.
func (in *intake) giveUnit(f File, batch record.Batch) {
	var bare []*record.Cell
	var lengths []float64
	whole := 0
	for i := range batch.Rows {
		for k := range batch.Rows[i].Cells {
			c := &batch.Rows[i].Cells[k]
			if c.Field != "length" || c.Unit != "" {
				continue
			}
			number := strings.Replace(strings.TrimSpace(c.Text), ",", ".", 1)
			v, err := strconv.ParseFloat(number, 64)
			if err != nil || !(v > 0) || math.IsInf(v, 0) {
				continue
			}
			bare, lengths = append(bare, c), append(lengths, v)
			if _, decimals, _ := strings.Cut(number, "."); len(decimals) <= 1 && v == math.Round(2*v)/2 {
				whole++
			}
		}
	}
	if len(lengths) < fewLengths {
		return
	}
	slices.Sort(lengths)
	unit, name, why := unitOf(lengths[len(lengths)/2], float64(whole)/float64(len(lengths)))
	for _, c := range bare {
		c.Unit = unit
	}
	in.reading.Notes = append(in.reading.Notes, fmt.Sprintf("%s no unit in %s; taken to be in %s, since %s", countOf(len(bare), "length names", "lengths name"), f.Name, name, why))
}

// unitOf tells the unit of a column of lengths by the middle one and by the
// share of whole and half numbers: sailors count feet in whole ones and metres
// in hundredths. Common practice, no source.
func unitOf(middle, whole float64) (unit, name, why string) {
	switch {
	case middle >= 180:
		return "cm", "centimetres", fmt.Sprintf("the middle one is %.0f", middle)
	case middle > 25:
		return "ft", "feet", fmt.Sprintf("the middle one is %.0f", middle)
	case middle > 8 && whole > 0.7:
		return "ft", "feet", "most are whole numbers"
	case middle > 8:
		return "m", "metres", "most have decimals"
	}
	return "m", "metres", fmt.Sprintf("the middle one is %.1f", middle)
}
