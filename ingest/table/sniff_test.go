package table

import (
	"archive/zip"
	"bytes"
	"strings"
	"testing"

	"golang.org/x/text/encoding/unicode"
)

// packed makes a zip of parts, given as name and text in turn.
func packed(t testing.TB, parts ...string) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for i := 0; i < len(parts); i += 2 {
		w, err := z.Create(parts[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(parts[i+1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestForeignFiles(t *testing.T) {
	const container = "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
	locked := written(t, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "EncryptedPackage")
	noise := make([]byte, 5000)
	for i, x := 0, uint32(1); i < len(noise); i++ {
		x = x*1664525 + 1013904223
		noise[i] = byte(x >> 24)
	}
	for _, test := range []struct{ name, data, want string }{
		{"nothing", "", "the file is empty"},
		{"white space", " \r\n\t ", "the file is empty"},
		{"a mark alone", "\xef\xbb\xbf", "the file is empty"},
		{"zero bytes", "\x00\x00\x00\x00", "the file is empty"},
		{"PDF", "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n", "found a PDF document (hint: export the list as CSV or .xlsx)"},
		{"PNG", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "found an image"},
		{"JPEG", "\xff\xd8\xff\xe0\x00\x10JFIF", "found an image"},
		{"gzip", "\x1f\x8b\x08\x00\x00", "found a packed file (gzip) (hint: unpack it first)"},
		{"old workbook", container + strings.Repeat("\x00", 600), "found an old binary workbook or document (hint: open it and save it as .xlsx or CSV)"},
		{"locked workbook", container + locked, "found a workbook locked by a password"},
		{"page", "\n\n<!DOCTYPE  HTML>\n<html><body>", "found a web page (hint: give it a name that ends in .html"},
		{"page in UTF-16", "\xff\xfe" + written(t, unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), "<html>"), "found a web page"},
		{"saved page", "From: <Saved by a browser>\nMIME-Version: 1.0\n", "found a saved page (MHTML)"},
		{"XML", "<?xml version=\"1.0\"?><a/>", "found an XML document"},
		{"JSON", "[\n  {\"a\": 1}]", "found a JSON document"},
		{"noise", string(noise), "found binary data"},
		{"zip", string(packed(t, "a.csv", "a,b")), "found a packed file (zip) (hint: unpack it first)"},
		{"OpenDocument", string(packed(t, "mimetype", "application/vnd.oasis.opendocument.spreadsheet")), "found a document in the OpenDocument format"},
		{"binary workbook", string(packed(t, "xl/workbook.bin", "x")), "found a binary workbook (.xlsb)"},
		{"text document", string(packed(t, "word/document.xml", "x")), "found a text document"},
		{"cut-off zip", string(packed(t, "xl/workbook.xml", "x")[:60]), "found a cut-off or damaged one"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read("x.csv", []byte(test.data), known)
			if err == nil || !strings.HasPrefix(err.Error(), "x.csv: ") || !strings.Contains(err.Error(), test.want) {
				t.Errorf("err = %v, want %q", err, test.want)
			}
			if _, err := Sniff([]byte(test.data)); err == nil {
				t.Error("Sniff finds nothing wrong")
			}
		})
	}
}

func TestSniff(t *testing.T) {
	for data, want := range map[string]Format{
		"a,b\n1,2\n":              Text,
		"x":                       Text,
		"\xff\xfea\x00,\x00b\x00": Text,
		string(packed(t, "xl/workbook.xml", "<x/>")):   Workbook,
		string(packed(t, "XL\\Workbook.xml", "<x/>")):  Workbook,
		"<b>Title</b>,Price\nCat,1\n":                  Text,
		"tab\x00,b\x00\nc\x00,d\x00\n":                 Text,
		strings.Repeat("bell\x07 rings once\n", 1):     Text,
		"PDF notes,2\n%PDF-like,3\n":                   Text,
		"\"<html> in a cell\",2\nnext,3\n":             Text,
		"{braces},2\n[brackets],3\n":                   Text,
		"Ünïcödé,ß\n\u4e2d\u6587,\u65e5\u672c\u8a9e\n": Text,
	} {
		if got, err := Sniff([]byte(data)); got != want || err != nil {
			t.Errorf("Sniff(%.30q) = %v, %v", data, got, err)
		}
	}
}
