package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"strings"
)

// A Format is a form of table that Read understands.
type Format int

const (
	Text     Format = iota // delimited text
	Workbook               // an .xlsx workbook
)

// Sniff tells by the content which form of table data is. The error says what
// it is instead: "wanted delimited text or an .xlsx workbook, found a PDF
// document (hint: …)", or "the file is empty".
func Sniff(data []byte) (Format, error) {
	content, err := inspect(data)
	return content.format, err
}

// A content is a file whose form is known; a text is decoded already.
type content struct {
	format Format
	decoded
}

// foreign is a form that is no table, with what to do about it.
type foreign struct{ start, what, hint string }

func (f foreign) err() error {
	return fmt.Errorf("wanted delimited text or an .xlsx workbook, found %s (hint: %s)", f.what, f.hint)
}

const (
	asTable = "export the list as CSV or .xlsx"
	asPage  = "give it a name that ends in .html or .mhtml to have it read as a page"
	unpack  = "unpack it first"
)

// binaries are told by their first bytes.
var binaries = []foreign{
	{"%PDF-", "a PDF document", asTable},
	{"\x89PNG\r\n\x1a\n", "an image", asTable},
	{"\xff\xd8\xff", "an image", asTable},
	{"GIF8", "an image", asTable},
	{"RIFF", "an image or a sound", asTable},
	{"II*\x00", "an image", asTable},
	{"MM\x00*", "an image", asTable},
	{"\x1f\x8b", "a packed file (gzip)", unpack},
	{"7z\xbc\xaf\x27\x1c", "a packed file (7z)", unpack},
	{"Rar!\x1a", "a packed file (rar)", unpack},
	{"BZh91AY&SY", "a packed file (bzip2)", unpack},
	{"\xfd7zXZ\x00", "a packed file (xz)", unpack},
	{"\x28\xb5\x2f\xfd", "a packed file (zstd)", unpack},
	{"SQLite format 3\x00", "a database", asTable},
	{"PAR1", "a column store", asTable},
	{"\x7fELF", "a program", asTable},
}

// texts are told by how a decoded text starts, white space and case aside.
var texts = []foreign{
	{"<!doctype html", "a web page", asPage},
	{"<html", "a web page", asPage},
	{"<head", "a web page", asPage},
	{"<body", "a web page", asPage},
	{"<table", "a web page", asPage},
	{"<div", "a web page", asPage},
	{"<!--", "a web page", asPage},
	{"<?xml", "an XML document", asTable},
	{"<svg", "an image", asTable},
	{"from: <saved by", "a saved page (MHTML)", asPage},
	{"mime-version:", "a saved page (MHTML)", asPage},
	{`{\rtf`, "a formatted document (RTF)", asTable},
	{`{"`, "a JSON document", asTable},
	{`[{`, "a JSON document", asTable},
}

// inspect finds the form of data and decodes a text on the way.
func inspect(data []byte) (content, error) {
	if len(bytes.Trim(data, "\x00")) == 0 {
		return content{}, errors.New("the file is empty")
	}
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) || bytes.HasPrefix(data, []byte("PK\x05\x06")) {
		return content{format: Workbook}, checkZip(data)
	}
	if bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")) {
		return content{}, oldBinary(data).err()
	}
	for _, f := range binaries {
		if bytes.HasPrefix(data, []byte(f.start)) {
			return content{}, f.err()
		}
	}
	d := decode(data)
	start := strings.ToLower(firstRunes(trim(d.text), 40))
	if start == "" {
		return content{}, errors.New("the file is empty")
	}
	for _, f := range texts {
		if strings.HasPrefix(squeeze(start), squeeze(f.start)) {
			return content{}, f.err()
		}
	}
	if d.looksBinary() {
		return content{}, foreign{what: "binary data", hint: asTable}.err()
	}
	return content{Text, d}, nil
}

// squeeze drops white space, so that "[ {" starts like "[{".
func squeeze(s string) string { return strings.Join(strings.Fields(s), "") }

// firstRunes returns at most n characters.
func firstRunes(s string, n int) string {
	for i := range s {
		if n == 0 {
			return s[:i]
		}
		n--
	}
	return s
}

// oldBinary tells a workbook with a password from an old binary one: both
// come in the same container.
func oldBinary(data []byte) foreign {
	locked := []byte(strings.Join(strings.Split("EncryptedPackage", ""), "\x00"))
	if bytes.Contains(data, locked) {
		return foreign{what: "a workbook locked by a password", hint: "save a copy without the password"}
	}
	return foreign{what: "an old binary workbook or document", hint: "open it and save it as .xlsx or CSV"}
}

// checkZip tells an .xlsx workbook from other files packed the same way.
func checkZip(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return fmt.Errorf("wanted an .xlsx workbook, found a cut-off or damaged one: %w (hint: save it again)", err)
	}
	f := foreign{what: "a packed file (zip)", hint: unpack}
	for _, part := range z.File {
		switch name := partName(part); {
		case name == "xl/workbook.xml":
			return nil
		case name == "xl/workbook.bin":
			f = foreign{what: "a binary workbook (.xlsb)", hint: "save it as .xlsx or CSV"}
		case name == "mimetype":
			f = foreign{what: "a document in the OpenDocument format", hint: "save it as .xlsx or CSV"}
		case strings.HasPrefix(name, "word/"), strings.HasPrefix(name, "ppt/"):
			f = foreign{what: "a text document or slides", hint: asTable}
		}
	}
	return f.err()
}
