package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// TestReadmeExamples runs every "$ askance …" block of README.md in order, in
// one folder, and compares what it prints. With -update the blocks are
// rewritten. "…" on a line of its own stands for lines left out.
func TestReadmeExamples(t *testing.T) {
	skipUnderRace(t)
	name := filepath.Join("..", "..", "README.md")
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	boats := filepath.Join(dir, "fixtures", "boats")
	if err := os.CopyFS(boats, os.DirFS(filepath.Join("..", "..", "fixtures", "boats"))); err != nil {
		t.Fatal(err)
	}
	text, examples := string(data), 0
	var out strings.Builder
	for {
		start := strings.Index(text, "\n```console\n")
		if start < 0 {
			break
		}
		start += len("\n```console\n")
		end := start + strings.Index(text[start:], "```")
		out.WriteString(text[:start])
		block := text[start:end]
		got := runBlock(t, dir, block)
		if !*update {
			if diff := cmp.Diff(block, shortenLike(block, got)); diff != "" {
				t.Errorf("README.md is not what askance prints (run with -update to rewrite it; -written +printed):\n%s", diff)
			}
		}
		out.WriteString(shortenLike(block, got))
		text = text[end:]
		examples++
	}
	out.WriteString(text)
	if examples == 0 {
		t.Error("README.md holds no example")
	}
	if *update {
		if err := os.WriteFile(name, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// runBlock runs the commands of a block and gives the block as it would be
// written: each command, then what it prints.
func runBlock(t *testing.T, dir, block string) string {
	t.Helper()
	var out strings.Builder
	for line := range strings.Lines(block) {
		command, ok := strings.CutPrefix(strings.TrimRight(line, "\n"), "$ ")
		if !ok {
			continue
		}
		out.WriteString(line)
		words := splitWords(command)
		if len(words) == 0 || words[0] != "askance" {
			t.Errorf("README.md: %q is not an askance command", command)
			continue
		}
		printed := &bytes.Buffer{}
		run(&host{args: words[1:], stdin: strings.NewReader(""), stdout: printed, stderr: printed,
			env: func(string) string { return "" }, now: func() time.Time { return time.Date(2026, 9, 14, 12, 0, 0, 0, time.UTC) }, dir: dir})
		for line := range strings.Lines(printed.String()) {
			out.WriteString(strings.TrimRight(line, " \n") + "\n")
		}
	}
	return out.String()
}

// splitWords splits a command line at blanks; quotes keep words together.
func splitWords(s string) []string {
	var words []string
	var word strings.Builder
	var quote rune
	in := false
	for _, r := range s {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word.WriteRune(r)
		case r == '"' || r == '\'':
			quote, in = r, true
		case r == ' ':
			if in {
				words = append(words, word.String())
			}
			word.Reset()
			in = false
		default:
			word.WriteRune(r)
			in = true
		}
	}
	if in {
		words = append(words, word.String())
	}
	return words
}

// shortenLike leaves out of what was printed the lines that the written block
// leaves out with a "…" of its own: as many lines stand before and after it
// as in the block.
func shortenLike(block, printed string) string {
	written := strings.SplitAfter(block, "\n")
	gap := -1
	for i, line := range written {
		if strings.TrimSpace(line) == "…" {
			gap = i
		}
	}
	lines := strings.SplitAfter(printed, "\n")
	after := len(written) - gap - 1
	if gap < 0 || gap+after > len(lines) {
		return printed
	}
	return strings.Join(lines[:gap], "") + "…\n" + strings.Join(lines[len(lines)-after:], "")
}
