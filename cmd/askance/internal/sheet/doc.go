// Package sheet describes a workbook as values and writes it as .xlsx: sheets
// with titles, paragraphs, tables and native charts, set up to print on A4
// landscape. It knows nothing of what the cells are about.
//
//	book.go   a workbook and its sheets
//	cell.go   one cell: kinds of number, marks, formulas, links
//	block.go  what stands on a sheet, from top to bottom
//	chart.go  native charts
//	text.go   texts of strangers made fit for a cell, names, links, wrapping
//	style.go  number formats and the palette
//	write.go  the values as a file, print.go its print set-up, zip.go its bytes
//	fill.go   cells that a reader of the workbook may fill in
package sheet
