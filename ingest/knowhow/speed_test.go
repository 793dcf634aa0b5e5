package knowhow

import (
	"io/fs"
	"path"
	"testing"
)

// wordTexts gives the built-in words files.
func wordTexts(b *testing.B) (texts []string, size int64) {
	names := wordFiles([]layer{{tree: Builtin()}})
	for _, name := range names {
		data, err := fs.ReadFile(Builtin(), path.Clean(name))
		if err != nil {
			b.Fatal(err)
		}
		texts, size = append(texts, string(data)), size+int64(len(data))
	}
	return texts, size
}

// BenchmarkLoad measures the reading and checking of all built-in facts.
func BenchmarkLoad(b *testing.B) {
	_, size := wordTexts(b)
	b.SetBytes(size)
	for b.Loop() {
		if _, err := load(layer{tree: Builtin(), prefix: "knowhow/"}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCSV is the floor for BenchmarkLoad: encoding/csv over the same
// words, and nothing made of them.
func BenchmarkCSV(b *testing.B) {
	texts, size := wordTexts(b)
	b.SetBytes(size)
	for b.Loop() {
		for _, text := range texts {
			if _, err := newReader(text, ',').ReadAll(); err != nil {
				b.Fatal(err)
			}
		}
	}
}
