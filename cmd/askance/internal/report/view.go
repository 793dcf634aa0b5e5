package report

import (
	"strings"
	"time"

	"askance/analysis"
	"askance/ingest/knowhow"
)

// A View says how to show what was found. The zero value shows everything,
// items by their ids, 80 columns wide.
type View struct {
	Book  *knowhow.Book               // labels of items and values; nil shows their ids
	When  time.Time                   // kept in a workbook as its time of making
	Show  func(*analysis.Judged) bool // which listings to show; nil shows all
	Shown string                      // the same in words, "" for all
	Width int                         // columns of the terminal; 0 is 80
	Bold  bool                        // the terminal can show bold
	All   bool                        // show every row on the terminal, not a choice
}

// item gives the label of an item.
func (v View) item(id string) string {
	if v.Book != nil {
		if it, ok := v.Book.Item(id); ok && it.Label != "" {
			return it.Label
		}
	}
	if header, ok := strings.CutPrefix(id, "extra:"); ok {
		return header
	}
	return spaced(id)
}

// value gives the label of one value of an item.
func (v View) value(item, id string) string {
	if v.Book != nil {
		if it, ok := v.Book.Item(item); ok {
			if val, ok := it.Value(id); ok && val.Label != "" {
				return val.Label
			}
		}
	}
	return spaced(id)
}

// shows tells whether a listing is to be shown.
func (v View) shows(j *analysis.Judged) bool { return v.Show == nil || v.Show(j) }

func (v View) width() int {
	if v.Width <= 0 {
		return 80
	}
	return max(v.Width, 40)
}

func spaced(id string) string { return strings.ReplaceAll(id, "_", " ") }
