package page

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html/charset"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// looksLikeHTML says whether a tag, comment or doctype begins near the start,
// in UTF-8 or UTF-16, and the text is not binary.
func looksLikeHTML(data []byte) bool {
	head := data[:min(len(data), 4<<10)]
	if bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")) {
		return bytes.Contains(bytes.ReplaceAll(head, []byte{0}, nil), []byte("<"))
	}
	if bytes.HasPrefix(head, []byte("%PDF")) || bytes.HasPrefix(head, []byte("PK\x03\x04")) {
		return false
	}
	for i := 0; i+1 < len(head); i++ {
		if c := head[i+1]; head[i] == '<' && (c == '!' || c == '?' || 'a' <= c|0x20 && c|0x20 <= 'z') {
			return bytes.Count(head, []byte{0}) < 8
		}
	}
	return false
}

// firstBytes names data that is no page for a message.
func firstBytes(data []byte) string {
	if len(bytes.TrimSpace(data)) == 0 {
		return "an empty file"
	}
	return fmt.Sprintf("%s beginning with %q", http.DetectContentType(data), data[:min(len(data), 16)])
}

// decode gives the page in UTF-8. The charset is told by a byte order mark,
// else by the wrapper, else by a meta tag, else it is tried out. What is
// valid UTF-8 is read so whatever is declared, since a browser that saves a
// page may re-encode it; what is declared UTF-8 without one valid sequence is
// read as windows-1252.
func decode(src source) string {
	data := src.html
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		out, _, _ := transform.Bytes(unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder(), data)
		return string(out)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if utf8.Valid(data) && (hasMultibyte(data) || !bytes.ContainsRune(data, 0x1b)) {
		return string(data)
	}
	contentType := ""
	if src.charset != "" {
		contentType = "text/html; charset=" + src.charset
	}
	enc, name, _ := charset.DetermineEncoding(data, contentType)
	if name == "utf-8" {
		if hasMultibyte(data) {
			return strings.ToValidUTF8(string(data), "\uFFFD")
		}
		enc = charmap.Windows1252
	}
	out, _, err := transform.Bytes(enc.NewDecoder(), data)
	if err != nil {
		return strings.ToValidUTF8(string(data), "\uFFFD")
	}
	return string(out)
}

// hasMultibyte says whether any valid UTF-8 sequence of several bytes occurs.
func hasMultibyte(data []byte) bool {
	for i := 0; i < len(data); i++ {
		if data[i] >= utf8.RuneSelf {
			if r, n := utf8.DecodeRune(data[i:]); r != utf8.RuneError && n > 1 {
				return true
			}
		}
	}
	return false
}
