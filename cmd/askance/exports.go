package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"askance/ingest"
	"askance/ingest/table"
)

// maxExport is the most that one export may hold, in bytes; anything larger
// is not read at all.
const maxExport = 64 << 20

// suffixes of the files that are read from a folder. A file named by itself is
// read whatever its suffix, and its content decides what it is.
var (
	pageSuffixes  = []string{".html", ".htm", ".mhtml", ".mht"}
	tableSuffixes = []string{".csv", ".tsv", ".txt", ".xlsx"}
)

// collect reads the files of EXPORT arguments: files, folders (recursively in
// name order) and "-" for standard input. A file that cannot be read is in the
// result with its error. What is passed over is told on standard error.
func (h *host) collect(exports []string) ([]ingest.File, error) {
	c := collector{host: h, seen: map[string]bool{}}
	for _, arg := range exports {
		if arg == "-" {
			c.standardInput()
			continue
		}
		name := filepath.ToSlash(arg)
		info, err := os.Stat(h.at(arg))
		switch {
		case err != nil:
			c.files = append(c.files, ingest.File{Name: name, Err: reason(err)})
		case info.IsDir():
			c.folder(strings.TrimSuffix(name, "/"))
		default:
			c.file(name, true)
		}
	}
	if len(c.files) == 0 {
		return nil, fmt.Errorf("nothing to read in %s: wanted %s", strings.Join(exports, ", "),
			strings.Join(append(slices.Clone(tableSuffixes), pageSuffixes...), ", "))
	}
	return c.files, nil
}

type collector struct {
	*host
	files []ingest.File
	seen  map[string]bool // absolute paths
}

// skip tells that something was passed over.
func (c *collector) skip(name, why string) {
	fmt.Fprintf(c.stderr, "askance: skipped %s: %s\n", name, why)
}

func (c *collector) standardInput() {
	data, err := readLimited(c.stdin)
	c.files = append(c.files, ingest.File{Name: "-", Data: data, Err: err, Modified: c.now()})
}

// folder reads what a folder holds, in name order.
func (c *collector) folder(name string) {
	entries, err := os.ReadDir(c.at(name))
	if err != nil {
		c.files = append(c.files, ingest.File{Name: name, Err: reason(err)})
		return
	}
	for _, e := range entries {
		full := path.Join(name, e.Name())
		if name == "." || strings.HasPrefix(name, "./") {
			full = name + "/" + e.Name()
		}
		switch {
		case strings.HasPrefix(e.Name(), "."):
			c.skip(full, "a hidden file")
		case strings.HasPrefix(e.Name(), "~$"):
			c.skip(full, "a lock file of a spreadsheet program")
		case isFolder(c.at(full), e):
			if page := companionOf(e.Name(), entries); page != "" {
				c.skip(full, "the companion folder of "+page)
			} else if e.Type()&fs.ModeSymlink != 0 {
				c.skip(full, "a link to a folder")
			} else {
				c.folder(full)
			}
		case !isExport(e.Name()):
			c.skip(full, "not a table or a page")
		default:
			c.file(full, false)
		}
	}
}

// file reads one file.
func (c *collector) file(name string, asked bool) {
	if abs, err := filepath.Abs(c.at(name)); err == nil {
		if c.seen[abs] {
			c.skip(name, "named twice")
			return
		}
		c.seen[abs] = true
	}
	f := ingest.File{Name: name}
	in, err := os.Open(c.at(name))
	if err != nil {
		f.Err = reason(err)
		c.files = append(c.files, f)
		return
	}
	defer in.Close()
	info, err := in.Stat()
	switch {
	case err != nil:
		f.Err = reason(err)
	case !asked && !info.Mode().IsRegular():
		c.skip(name, "not a regular file")
		return
	case info.Size() > maxExport:
		f.Err = tooLarge()
	default:
		f.Modified = info.ModTime()
		f.Data, f.Err = readLimited(in)
	}
	if command, own := table.IsOwnWorkbook(f.Data); own {
		c.skip(name, "a workbook that askance "+command+" wrote")
		return
	}
	c.files = append(c.files, f)
}

// at gives the path on disk of a path as given.
func (h *host) at(name string) string {
	name = filepath.FromSlash(name)
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(h.dir, name)
}

// readLimited reads everything, up to maxExport bytes.
func readLimited(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxExport+1))
	if err != nil {
		return nil, reason(err)
	}
	if len(data) > maxExport {
		return nil, tooLarge()
	}
	return data, nil
}

func tooLarge() error { return fmt.Errorf("larger than %d MB", maxExport>>20) }

// reason gives what went wrong without the path, which is told beside it.
func reason(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

func isFolder(full string, e fs.DirEntry) bool {
	if e.Type()&fs.ModeSymlink == 0 {
		return e.IsDir()
	}
	info, err := os.Stat(full)
	return err == nil && info.IsDir()
}

func isExport(name string) bool {
	suffix := strings.ToLower(path.Ext(name))
	return slices.Contains(pageSuffixes, suffix) || slices.Contains(tableSuffixes, suffix)
}

// companionOf names the page whose companion folder this is: a browser saves
// the pictures and scripts of "club.html" beside it in "club_files", a German
// one in "club-Dateien", and so on: the page's stem, a joint, and one word.
func companionOf(folder string, siblings []fs.DirEntry) string {
	for _, s := range siblings {
		suffix := path.Ext(s.Name())
		if s.IsDir() || !slices.Contains(pageSuffixes, strings.ToLower(suffix)) {
			continue
		}
		word, ok := strings.CutPrefix(folder, strings.TrimSuffix(s.Name(), suffix))
		if ok && len(word) > 1 && strings.ContainsAny(word[:1], "_-. ") &&
			strings.IndexFunc(word[1:], func(r rune) bool { return !unicode.IsLetter(r) }) < 0 {
			return s.Name()
		}
	}
	return ""
}
