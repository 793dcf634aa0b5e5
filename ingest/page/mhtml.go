package page

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"net/textproto"
	"strings"
	"time"

	"askance/ingest/record"
)

// A source is the HTML of a page with what its wrapper tells of it.
type source struct {
	html     []byte
	charset  string // by a header of the wrapper, "" if none
	location string // by Content-Location or Snapshot-Content-Location
	date     time.Time
	problems []record.Problem
}

// looksLikeMHTML says whether the header of a message with a multipart body
// stands at the beginning.
func looksLikeMHTML(data []byte) bool {
	head := bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n")
	head = head[:min(len(head), 8<<10)]
	if len(head) == 0 || head[0] == '<' {
		return false
	}
	first, _, _ := bytes.Cut(head, []byte("\n"))
	name, _, ok := bytes.Cut(first, []byte(":"))
	if !ok || bytes.ContainsAny(name, " \t<>,;\"") {
		return false
	}
	lower := bytes.ToLower(head)
	return bytes.Contains(lower, []byte("mime-version:")) || bytes.Contains(lower, []byte("content-type: multipart/"))
}

// unpack takes the page out of an MHTML file (RFC 2557: multipart/related,
// the part that the start parameter names, else the first that is HTML); other
// data is the page itself. Of a file that was cut off, what is there is used
// and a problem tells it.
func unpack(name string, data []byte, limits Limits) (source, error) {
	if !looksLikeMHTML(data) {
		if !looksLikeHTML(data) {
			return source{}, fmt.Errorf("%s: wanted an HTML or MHTML page, found %s", name, firstBytes(data))
		}
		return source{html: data}, nil
	}
	data = bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n")
	msg, err := mail.ReadMessage(bytes.NewReader(data))
	if err != nil {
		return source{}, fmt.Errorf("%s: wanted the header of an MHTML page, found %v", name, err)
	}
	src := source{location: firstOf(msg.Header.Get("Snapshot-Content-Location"), msg.Header.Get("Content-Location"))}
	src.date, _ = msg.Header.Date()
	mediaType, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	if err != nil && mediaType == "" {
		return source{}, fmt.Errorf("%s: wanted a content type multipart/related, found %q", name, msg.Header.Get("Content-Type"))
	}
	if mediaType == "text/html" {
		body, err := decodeBody(msg.Body, msg.Header.Get("Content-Transfer-Encoding"))
		src.html, src.charset = body, params["charset"]
		src.noteCut(name, err)
		return src, nil
	}
	if !strings.HasPrefix(mediaType, "multipart/") {
		return source{}, fmt.Errorf("%s: wanted a content type multipart/related, found %q", name, mediaType)
	}
	if params["boundary"] == "" {
		return source{}, fmt.Errorf("%s: wanted a boundary in the content type, found none (hint: save the page again)", name)
	}
	if err := src.readParts(name, msg.Body, params, limits); err != nil {
		return source{}, err
	}
	return src, nil
}

// readParts finds the part that holds the page.
func (s *source) readParts(name string, body io.Reader, params map[string]string, limits Limits) error {
	start := strings.Trim(params["start"], "<> ")
	parts := multipart.NewReader(body, params["boundary"])
	var fallback *source
	for seen := 0; ; seen++ {
		part, err := parts.NextRawPart()
		if err != nil {
			if seen == 0 {
				return fmt.Errorf("%s: wanted a part after the boundary %q, found none (hint: the file is cut off or its boundary was changed; save the page again)", name, params["boundary"])
			}
			if fallback != nil {
				s.html, s.charset, s.location, s.problems = fallback.html, fallback.charset, fallback.location, fallback.problems
				return nil
			}
			return fmt.Errorf("%s: wanted a part of type text/html, found none in %d parts", name, seen)
		}
		if seen >= limits.Parts {
			return fmt.Errorf("%s: wanted at most %d parts, found more", name, limits.Parts)
		}
		mediaType, partParams, _ := mime.ParseMediaType(part.Header.Get("Content-Type"))
		if mediaType != "text/html" && mediaType != "application/xhtml+xml" {
			continue
		}
		named := start != "" && strings.Trim(part.Header.Get("Content-ID"), "<> ") == start
		if fallback != nil && !named {
			continue
		}
		got := source{charset: partParams["charset"], location: s.partLocation(part.Header)}
		got.html, err = decodeBody(part, part.Header.Get("Content-Transfer-Encoding"))
		got.noteCut(name, err)
		if named || start == "" {
			s.html, s.charset, s.location, s.problems = got.html, got.charset, got.location, got.problems
			return nil
		}
		fallback = &got
	}
}

// partLocation is where the page came from: the part's Content-Location,
// relative to that of the whole, unless it is a cid.
func (s *source) partLocation(h textproto.MIMEHeader) string {
	loc := strings.TrimSpace(h.Get("Content-Location"))
	if loc == "" || strings.HasPrefix(strings.ToLower(loc), "cid:") {
		return s.location
	}
	if base := parseLink(s.location); base != nil {
		if u := resolve(base, loc); u != "" {
			return u
		}
		return s.location
	}
	return loc
}

func (s *source) noteCut(name string, err error) {
	if err == nil {
		return
	}
	s.problems = append(s.problems, record.Problem{
		At: record.Pos{File: name}, Wanted: "a whole MHTML page", Got: err.Error(),
		Hint: "the file is cut off; what is there was used; save the page again",
	})
}

// decodeBody undoes a transfer encoding. With an error it gives what could be
// read before it.
func decodeBody(body io.Reader, encoding string) ([]byte, error) {
	switch strings.ToLower(strings.TrimSpace(encoding)) {
	case "quoted-printable":
		body = quotedprintable.NewReader(body)
	case "base64":
		raw, cut := io.ReadAll(body)
		clean := bytes.Join(bytes.Fields(raw), nil)
		clean = bytes.TrimRight(clean, "=")
		out := make([]byte, base64.RawStdEncoding.DecodedLen(len(clean)))
		n, err := base64.RawStdEncoding.Decode(out, clean)
		return out[:n], errors.Join(cut, err)
	}
	return io.ReadAll(body)
}

func firstOf(texts ...string) string {
	for _, s := range texts {
		if s = strings.TrimSpace(s); s != "" {
			return s
		}
	}
	return ""
}
