package page

import (
	"bytes"
	"encoding/base64"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestMHTMLDecoding compares the page inside an MHTML file with the same page
// as Python's e-mail parser decodes it. The file was constructed by RFC 2557
// (March 1999), sections 5 to 8, in the form that browsers write.
func TestMHTMLDecoding(t *testing.T) {
	data, err := os.ReadFile("testdata/saved-list.mhtml")
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile("testdata/saved-list.decoded")
	if err != nil {
		t.Fatal(err)
	}
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	for name, data := range map[string][]byte{"LF": data, "CRLF": bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n"))} {
		src, err := unpack("saved-list.mhtml", data, Limits{}.withDefaults())
		if err != nil {
			t.Fatal(name, err)
		}
		if diff := cmp.Diff(strings.TrimSpace(string(want)), strings.TrimSpace(string(src.html))); diff != "" {
			t.Errorf("%s: -want +got\n%s", name, diff)
		}
	}
}

const list = `<html><body><ul><li><a href="b/1">Zwirbel 16</a> <b>1.900 €</b></li><li><a href="b/2">Pluvo 18</a> <b>4.100 €</b></li></ul></body></html>`

// message writes an MHTML file with the given parameters and parts.
func message(params string, parts ...string) string {
	s := "From: <Saved by Browser>\r\nSnapshot-Content-Location: https://m.example/dir/list.html\r\nDate: Sat, 12 Sep 2026 18:24:07 +0200\r\nMIME-Version: 1.0\r\nContent-Type: multipart/related;\r\n\ttype=\"text/html\";\r\n\tboundary=\"--XX\"" + params + "\r\n\r\n"
	for _, p := range parts {
		s += "----XX\r\n" + p + "\r\n"
	}
	return s + "----XX--\r\n"
}

func TestMHTMLForms(t *testing.T) {
	b64 := base64.StdEncoding.EncodeToString([]byte(list))
	image := "Content-Type: image/png\r\nContent-Transfer-Encoding: base64\r\nContent-Location: cid:img@x\r\n\r\niVBORw0KGgo="
	latin := "Content-Type: text/html; charset=iso-8859-1\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n<html><body><ul><li><a href=3D\"b/1\">Z=FCrbel</a> <b>EUR 1900</b></li><li><a href=3D\"b/2\">Pl=\r\nuvo</a> <b>EUR 4100</b></li></ul></body></html>"
	for name, c := range map[string]struct{ file, want string }{
		"base64":                 {message("", "Content-Type: text/html\r\nContent-Transfer-Encoding: base64\r\n\r\n"+b64[:76]+"\r\n"+b64[76:]), "Zwirbel 16 https://m.example/dir/b/1, Pluvo 18 https://m.example/dir/b/2"},
		"8bit, image first":      {message("", image, "Content-Type: text/html\r\nContent-Transfer-Encoding: 8bit\r\n\r\n"+list), "Zwirbel 16 https://m.example/dir/b/1, Pluvo 18 https://m.example/dir/b/2"},
		"charset of the part":    {message("", latin), "Zürbel https://m.example/dir/b/1, Pluvo https://m.example/dir/b/2"},
		"start names the part":   {message(";\r\n\tstart=\"<two@x>\"", "Content-Type: text/html\r\nContent-ID: <one@x>\r\n\r\n<html><body>frame</body></html>", "Content-Type: text/html\r\nContent-ID: <two@x>\r\n\r\n"+list), "Zwirbel 16 https://m.example/dir/b/1, Pluvo 18 https://m.example/dir/b/2"},
		"location of the part":   {message("", "Content-Type: text/html\r\nContent-Location: https://other.example/x/\r\n\r\n"+list), "Zwirbel 16 https://other.example/x/b/1, Pluvo 18 https://other.example/x/b/2"},
		"relative location":      {message("", "Content-Type: text/html\r\nContent-Location: sub/p.html\r\n\r\n"+list), "Zwirbel 16 https://m.example/dir/sub/b/1, Pluvo 18 https://m.example/dir/sub/b/2"},
		"location is a cid":      {message("", "Content-Type: text/html\r\nContent-Location: cid:frame@x\r\n\r\n"+list), "Zwirbel 16 https://m.example/dir/b/1, Pluvo 18 https://m.example/dir/b/2"},
		"not multipart":          {"MIME-Version: 1.0\r\nContent-Location: https://m.example/p\r\nContent-Type: text/html; charset=utf-8\r\n\r\n" + list, "Zwirbel 16 https://m.example/b/1, Pluvo 18 https://m.example/b/2"},
		"byte order mark before": {"\xef\xbb\xbf" + message("", "Content-Type: text/html\r\n\r\n"+list), "Zwirbel 16 https://m.example/dir/b/1, Pluvo 18 https://m.example/dir/b/2"},
	} {
		t.Run(name, func(t *testing.T) {
			batch, err := Read("p.mhtml", []byte(c.file), testOptions())
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, row := range batch.Rows {
				got = append(got, row.Text("title")+" "+row.Text("url"))
			}
			if s := strings.Join(got, ", "); s != c.want {
				t.Errorf("wanted %s\n   got %s", c.want, s)
			}
			if len(batch.Problems) > 0 {
				t.Errorf("wanted no problem, got %v", batch.Problems)
			}
		})
	}
}

func TestMHTMLFaults(t *testing.T) {
	whole := message("", "Content-Type: text/html\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n"+strings.ReplaceAll(list, "=", "=3D"))
	for name, c := range map[string]struct{ file, want string }{
		"no boundary":    {strings.Replace(whole, "boundary=\"--XX\"", "x=y", 1), "wanted a boundary in the content type, found none"},
		"other boundary": {strings.Replace(whole, "boundary=\"--XX\"", "boundary=YY", 1), `wanted a part after the boundary "YY", found none`},
		"header only":    {whole[:strings.Index(whole, "----XX")], "wanted a part after the boundary"},
		"no HTML":        {message("", "Content-Type: text/css\r\n\r\nx{}"), "wanted a part of type text/html, found none in 1 parts"},
		"other type":     {"MIME-Version: 1.0\nContent-Type: text/plain\n\nhello", `wanted a content type multipart/related, found "text/plain"`},
		"empty":          {"", "found an empty file"},
		"a PDF":          {"%PDF-1.4\n%\xe2\xe3 <html>", "wanted an HTML or MHTML page, found application/pdf"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read("p.mhtml", []byte(c.file), testOptions())
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "p.mhtml: ") {
				t.Errorf("wanted an error with %q, got %v", c.want, err)
			}
		})
	}
}

// TestMHTMLCutOff uses what is there of a file that ends early and says so.
func TestMHTMLCutOff(t *testing.T) {
	whole := message("", "Content-Type: text/html\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n"+strings.ReplaceAll(list, "=", "=3D"))
	batch, err := Read("p.mhtml", []byte(whole[:strings.Index(whole, "</b></li></ul>")]), testOptions())
	if err != nil {
		t.Fatal(err)
	}
	if len(batch.Rows) != 2 {
		t.Errorf("wanted both listings, got %d", len(batch.Rows))
	}
	if len(batch.Problems) != 1 || !strings.Contains(batch.Problems[0].String(), "cut off") {
		t.Errorf("wanted a problem that tells of the cut, got %v", batch.Problems)
	}
}
