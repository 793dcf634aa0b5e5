package report

import (
	"maps"
	"slices"

	"askance/ingest/boat"
)

// howToUse tells the four ways to use a column that is not recognised.
const howToUse = "--column FIELD=HEADER: it is one of the usual fields under another name; --factor: a category that bears on the price, such as a region; --measure: a number that does, such as a sail area; --extra: equipment, yes or no."

// An unusedColumn is a column of an export that nothing was read from, with
// the flag that would use it, ready to be typed.
type unusedColumn struct {
	boat.UnusedColumn
	file, toUse string
}

// unusedColumns lists the unused columns of all files, by the files' names.
func unusedColumns(byFile map[string][]boat.UnusedColumn) []unusedColumn {
	var out []unusedColumn
	for _, file := range slices.Sorted(maps.Keys(byFile)) {
		for _, c := range byFile[file] {
			argument := c.Header
			if c.Use == "--column" {
				argument = "FIELD=" + argument
			}
			out = append(out, unusedColumn{c, file, c.Use + ` "` + argument + `"`})
		}
	}
	return out
}
