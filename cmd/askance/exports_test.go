package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// TestCollect reads a folder with everything that is passed over.
func TestCollect(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"x/b.csv", "x/a/z.TSV", "x/c.html", "x/c_files/frame.html", "x/c-Dateien/frame.html", "x/c-2026/list.csv",
		"x/.git/x.csv", "x/~$b.xlsx", "x/photo.jpg", "other/d.csv"} {
		full := filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o755), os.WriteFile(full, []byte("title,price\n"+name+",EUR 1\n"), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	large := filepath.Join(dir, "x", "large.csv")
	if err := errors.Join(os.WriteFile(large, nil, 0o644), os.Truncate(large, maxExport+1)); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Symlink(filepath.Join(dir, "other"), filepath.Join(dir, "x", "link")), os.Symlink(filepath.Join(dir, "other", "d.csv"), filepath.Join(dir, "x", "linked.csv"))); err != nil {
		t.Fatal(err)
	}
	h := quiet(dir)
	var told bytes.Buffer
	h.stderr = &told
	files, err := h.collect([]string{"x/", "./x/b.csv", "gone.csv"})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range files {
		name := f.Name
		if f.Err != nil {
			name += ": " + f.Err.Error()
		}
		got = append(got, name)
	}
	want := []string{"x/a/z.TSV", "x/b.csv", "x/c-2026/list.csv", "x/c.html", "x/large.csv: larger than 64 MB", "x/linked.csv", "gone.csv: no such file or directory"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("collected (-want +got):\n%s", diff)
	}
	for _, skip := range []string{"x/.git: a hidden file", "x/c_files: the companion folder of c.html", "x/c-Dateien: the companion folder of c.html",
		"x/link: a link to a folder", "x/photo.jpg: not a table or a page", "x/~$b.xlsx: a lock file", "./x/b.csv: named twice"} {
		if !strings.Contains(told.String(), "askance: skipped "+skip) {
			t.Errorf("not told that it skipped %s; told\n%s", skip, told.String())
		}
	}
	if _, err := h.collect([]string{"x/c_files"}); err != nil {
		t.Errorf("a folder that is named by itself: %v", err)
	}
}

// TestSaveLeavesWhatStood makes a write fail and looks that nothing changed.
func TestSaveLeavesWhatStood(t *testing.T) {
	dir := t.TempDir()
	h := quiet(dir)
	if err := h.save("out.xlsx", []byte("first")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "folder"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "folder", "x"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := h.save("folder", []byte("second")); err == nil || !strings.Contains(err.Error(), "folder cannot be written") {
		t.Errorf("a folder was overwritten: %v", err)
	}
	if err := h.save("nowhere/out.xlsx", []byte("second")); err == nil {
		t.Error("a file was written into a folder that is not there")
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 2 {
		t.Errorf("%v, %v: a file was left behind", entries, err)
	}
	if data, _ := os.ReadFile(filepath.Join(dir, "out.xlsx")); string(data) != "first" {
		t.Errorf("out.xlsx holds %q", data)
	}
}

// TestMayReplace tells whose files may be written over.
func TestMayReplace(t *testing.T) {
	dir := t.TempDir()
	h := quiet(dir)
	stdoutOf(t, dir, "demo", "d")
	ours, err := os.ReadFile(filepath.Join(dir, "d", "askance-market.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"scan.xlsx": ours, "foreign.xlsx": []byte("PK not ours"), "empty.xlsx": nil, "filled.xlsx": filledIn(t, ours)} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name, command string
		inputs        []string
		want          string // part of the error, "" for none
	}{
		{"new.xlsx", "scan", nil, ""},
		{"scan.xlsx", "scan", nil, ""},
		{"scan.xlsx", "price", nil, "askance scan wrote it, not askance price"},
		{"scan.xlsx", "scan", []string{"./scan.xlsx"}, "read from"},
		{"filled.xlsx", "scan", nil, "has been filled in by hand"},
		{"foreign.xlsx", "scan", nil, "askance did not write it"},
		{"empty.xlsx", "scan", nil, "askance did not write it"},
		{"d", "scan", nil, "not a file"},
	} {
		err := h.mayReplace(c.name, c.inputs, workbookOf(c.command))
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s by %s: %v, want %q", c.name, c.command, err, c.want)
		}
	}
}

// filledIn writes a note into the first cell of a workbook that a user may
// fill.
func filledIn(t *testing.T, workbook []byte) []byte {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(workbook))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, name := range f.GetDefinedName() {
		if !strings.HasPrefix(name.Name, "fill_in") {
			continue
		}
		sheet, area, _ := strings.Cut(name.RefersTo, "!")
		first, _, _ := strings.Cut(strings.ReplaceAll(area, "$", ""), ":")
		if err := f.SetCellValue(strings.Trim(sheet, "'"), first, "seen on Sunday"); err != nil {
			t.Fatal(err)
		}
		out, err := f.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	t.Fatal("no cell of the workbook may be filled in")
	return nil
}
