package ingest

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"askance/ingest/page"
)

// longPage is a list of many cards as sites write them.
func longPage(cards int) []byte {
	var b strings.Builder
	b.WriteString("<!DOCTYPE html><html lang=de><body><nav><a href=/>Start</a></nav><main><ul class=list>")
	for i := range cards {
		fmt.Fprintf(&b, `<li class="item"><article><a href="/ad/%d"><h2>Zephrin 16 Nummer %d</h2></a><div class="meta"><span>2345%d Ostholm</span> <span>Heute, 08:30</span></div><p>Verkaufe wegen Umstieg. Segel von 2019, Trampolin neu, Trailer vorhanden, Ruder überholt.</p><div class="price">%d.%03d € VB</div><span class="tag">Nur Abholung</span><button>Merken</button></article></li>`, i, i, i%10, 1+i%9, i%1000)
	}
	b.WriteString("</ul></main><footer>Impressum</footer></body></html>")
	return []byte(b.String())
}

// BenchmarkPage reads a saved list into rows with the words that are shipped.
func BenchmarkPage(b *testing.B) {
	data := longPage(2000)
	in := newIntake(builtin(b), Options{})
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if batch, err := page.Read("x.html", data, in.pageOptions()); err != nil || len(batch.Rows) != 2000 {
			b.Fatal(len(batch.Rows), err)
		}
	}
}

// BenchmarkPageFloor is the parser alone.
func BenchmarkPageFloor(b *testing.B) {
	data := longPage(2000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := html.Parse(bytes.NewReader(data)); err != nil {
			b.Fatal(err)
		}
	}
}
