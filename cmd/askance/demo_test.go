package main

import (
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// quiet is a host whose output is thrown away.
func quiet(dir string, args ...string) *host {
	return &host{args: args, stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard,
		env: func(string) string { return "" }, now: func() time.Time { return time.Date(2026, 9, 14, 12, 0, 0, 0, time.UTC) }, dir: dir}
}

// BenchmarkDemo times the whole demo, from the embedded exports to the
// workbook on disk.
func BenchmarkDemo(b *testing.B) {
	dir := b.TempDir()
	for b.Loop() {
		if status := run(quiet(dir, "demo", filepath.Join(dir, "demo"))); status != done {
			b.Fatalf("exit status %d", status)
		}
	}
}
