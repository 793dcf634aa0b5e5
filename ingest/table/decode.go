package table

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// decoded is a text with what had to be done to get it.
type decoded struct {
	text     string
	controls int // control characters left out, zero bytes aside
	zeros    int // zero bytes left out, the padding at the end aside
	repaired int // bytes of a UTF-8 text that were read as windows-1252
}

// decode turns bytes into characters. The encoding is told by the byte order
// mark, by the pattern of zero bytes that UTF-16 makes of Latin letters, by
// being valid UTF-8, and is windows-1252 otherwise. Control characters except
// tab, line feed and carriage return are left out and counted.
func decode(data []byte) decoded {
	var d decoded
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		d.text, d.repaired = repairUTF8(data[3:])
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		d.text = decodeUTF16(data[2:], unicode.LittleEndian)
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		d.text = decodeUTF16(data[2:], unicode.BigEndian)
	default:
		if order, ok := sniffUTF16(data); ok {
			d.text = decodeUTF16(data, order)
		} else {
			d.text, d.repaired = decodeBytes(data)
		}
	}
	d.dropControls()
	return d
}

// decodeUTF16 reads UTF-16; half a character at the end becomes U+FFFD.
func decodeUTF16(data []byte, order unicode.Endianness) string {
	// The decoder replaces what it cannot read and has no other error.
	text, _ := unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder().Bytes(data)
	return string(text)
}

// sniffUTF16 recognises UTF-16 without a mark: in a text of mostly Latin
// letters one byte of each pair is zero, always the same one.
func sniffUTF16(data []byte) (unicode.Endianness, bool) {
	sample := data[:min(len(data), 4096)&^1]
	var zeros [2]int
	for i, b := range sample {
		if b == 0 {
			zeros[i&1]++
		}
	}
	pairs := len(sample) / 2
	switch {
	case pairs == 0:
	case zeros[1] > pairs/2 && zeros[0] < pairs/10+1:
		return unicode.LittleEndian, true
	case zeros[0] > pairs/2 && zeros[1] < pairs/10+1:
		return unicode.BigEndian, true
	}
	return unicode.LittleEndian, false
}

// decodeBytes reads UTF-8 or windows-1252, and lines of both in one file. A
// line with some broken bytes among more proper characters beyond ASCII is
// UTF-8 all the same, and in a file that has many such characters each counts.
func decodeBytes(data []byte) (text string, repaired int) {
	if utf8.Valid(data) {
		return string(data), 0
	}
	var b strings.Builder
	b.Grow(len(data) + len(data)/16)
	proper, broken := countUTF8(data)
	mixed := 20*proper > broken
	both := mixed
	for len(data) > 0 {
		end := bytes.IndexByte(data, '\n') + 1
		if end == 0 {
			end = len(data)
		}
		proper, broken := countUTF8(data[:end])
		mixed = mixed || proper > broken
		for rest := data[:end]; len(rest) > 0; {
			r, n := utf8.DecodeRune(rest)
			if r == utf8.RuneError && n == 1 || n > 1 && (proper <= broken && !both || !isLikely(r)) {
				r, n = charmap.Windows1252.DecodeByte(rest[0]), 1
				repaired++
			}
			b.WriteRune(r)
			rest = rest[n:]
		}
		data = data[end:]
	}
	if !mixed {
		repaired = 0 // all of it is windows-1252
	}
	return b.String(), repaired
}

// countUTF8 counts the characters beyond ASCII that are proper UTF-8, and the
// bytes that are not.
func countUTF8(data []byte) (proper, broken int) {
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 {
			broken++
		} else if n > 1 && isLikely(r) {
			proper++
		}
		data = data[n:]
	}
	return proper, broken
}

// isLikely tells the characters of Latin, Greek and Cyrillic text, signs and
// pictures from those that are more likely two or three of windows-1252.
func isLikely(r rune) bool {
	return r < 0x530 || r >= 0x1e00 && r < 0x2800 || r >= 0x1f000
}

// repairUTF8 reads each byte that is no UTF-8 as windows-1252.
func repairUTF8(data []byte) (text string, repaired int) {
	if utf8.Valid(data) {
		return string(data), 0
	}
	var b strings.Builder
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 {
			r = charmap.Windows1252.DecodeByte(data[0])
			repaired++
		}
		b.WriteRune(r)
		data = data[n:]
	}
	return b.String(), repaired
}

// dropControls leaves out control characters that no table needs.
func (d *decoded) dropControls() {
	d.text = strings.TrimRight(d.text, "\x00")
	if !hasStrayControl(d.text) {
		return
	}
	d.text = strings.Map(func(r rune) rune {
		switch {
		case r == 0:
			d.zeros++
		case isStrayControl(r):
			d.controls++
		default:
			return r
		}
		return -1
	}, d.text)
}

// hasStrayControl looks at bytes: no part of a longer character is one.
func hasStrayControl(text string) bool {
	for i := range len(text) {
		if isStrayControl(rune(text[i])) {
			return true
		}
	}
	return false
}

func isStrayControl(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0x7f
}

// looksBinary tells text from other data by its share of control characters:
// text has hardly any, but some programs end each cell in a zero byte.
func (d decoded) looksBinary() bool {
	return d.controls > max(8, len(d.text)/50) || d.zeros > max(8, len(d.text)/2)
}
