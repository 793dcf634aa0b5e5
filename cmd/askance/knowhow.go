package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"askance/ingest/knowhow"
	"askance/ingest/record"
)

type knowhowCmd struct {
	Export knowhowExportCmd `cmd:"" help:"Write the built-in facts into a folder, for editing."`
	Check  knowhowCheckCmd  `cmd:"" help:"Check edited facts, with file and line for each fault."`
}

type knowhowExportCmd struct {
	Dir string `arg:"" help:"Folder to write into; it must be empty or not there yet."`
}

func (knowhowExportCmd) Help() string {
	return `Keep only the rows that you change: a row with the same id replaces the built-in one, a new id adds to them.

Example:

	askance knowhow export my-facts
	askance scan --knowhow my-facts exports`
}

// Run writes every built-in facts file below the folder.
func (c knowhowExportCmd) Run(h *host) error {
	entries, err := os.ReadDir(h.at(c.Dir))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s cannot be written: %w", c.Dir, reason(err))
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s holds files already and is left as it is\nhint: name an empty folder", c.Dir)
	}
	files := 0
	err = h.unpack(knowhow.Builtin(), c.Dir, func(string) { files++ })
	if err != nil {
		return err
	}
	fmt.Fprintf(h.stdout, "wrote %d files of facts into %s\n", files, c.Dir)
	return nil
}

// unpack writes the files of a tree into a folder.
func (h *host) unpack(tree fs.FS, dir string, wrote func(name string)) error {
	return fs.WalkDir(tree, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		target := filepath.ToSlash(filepath.Join(dir, filepath.FromSlash(name)))
		if e.IsDir() {
			if err := os.MkdirAll(h.at(target), 0o755); err != nil {
				return fmt.Errorf("%s cannot be made: %w", target, reason(err))
			}
			return nil
		}
		data, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		if err := h.save(target, data); err != nil {
			return err
		}
		wrote(target)
		return nil
	})
}

type knowhowCheckCmd struct {
	Dir string `arg:"" help:"Folder with edited facts."`
}

func (knowhowCheckCmd) Help() string {
	return `The exit status is 1 if there is a fault.

Example:

	askance knowhow check my-facts`
}

// Run loads the edited facts over the built-in ones and tells what is wrong.
func (c knowhowCheckCmd) Run(h *host) error {
	book, err := h.loadKnowhow(c.Dir)
	if err != nil {
		return err
	}
	known := false
	_ = fs.WalkDir(knowhow.Builtin(), ".", func(name string, e fs.DirEntry, err error) error {
		if _, err := os.Stat(h.at(filepath.Join(c.Dir, filepath.FromSlash(name)))); err == nil && name != "." {
			known = known || !e.IsDir()
		}
		return nil
	})
	if !known {
		h.warn("%s holds none of the facts files, so nothing of it is used (hint: see askance knowhow export)", c.Dir)
	}
	fmt.Fprintf(h.stdout, "no fault in %s: %d items, %d classes, %d phrases with the built-in ones\n", c.Dir, len(book.Items), len(book.Classes), len(book.AllPhrases()))
	return nil
}

// knowhowFaults turns the faults of a user's facts into one error, a line
// each, with the folder before their file names.
func (h *host) knowhowFaults(dir string, err error) error {
	var faults knowhow.Faults
	if !errors.As(err, &faults) {
		return err
	}
	lines := make([]error, 0, len(faults)+1)
	for _, f := range faults {
		if _, statErr := os.Stat(h.at(filepath.Join(dir, filepath.FromSlash(f.At.File)))); statErr == nil {
			f.At.File = filepath.ToSlash(filepath.Join(dir, f.At.File))
		}
		lines = append(lines, errors.New(record.Problem(f).String()))
	}
	return errors.Join(append(lines, fmt.Errorf("%s: %d faults, so nothing is read with it", dir, len(faults)))...)
}
