// Package report tells what an analysis found: as a workbook, as JSON, as CSV
// and on a terminal. It computes no price; it chooses words, order and place.
//
//	view.go       how to show: names of items, what to leave out, width
//	glossary.go   the plain words for columns, steps and codes (glossary.csv)
//	figures.go    rounding to the currency's minor unit
//	listing.go    a listing as JSON; scan.go, price.go, reserve.go: the documents
//	csv.go        the same documents as tables
//	words.go      steps, verdicts and cautions in words
//	book_*.go     the workbooks, one file a sheet or two
//	table_*.go    the terminal
//	explain.go    one listing, every step from its words to its verdict
//	schema/       JSON Schemas of the documents
package report
