package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"askance/cmd/askance/internal/sheet"
	"askance/ingest/table"
)

// save writes a file whole or not at all: to a new file beside it first, which
// then takes the name. Where a write fails, what stood there still stands.
func (h *host) save(name string, data []byte) error {
	target := h.at(name)
	tmp, err := os.CreateTemp(filepath.Dir(target), ".askance-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, reason(err))
	}
	_, err = tmp.Write(data)
	err = errors.Join(err, tmp.Chmod(0o644), tmp.Close())
	if err == nil {
		err = os.Rename(tmp.Name(), target)
	}
	if err != nil {
		err = errors.Join(fmt.Errorf("%s cannot be written: %w", name, reason(err)), os.Remove(tmp.Name()))
	}
	return err
}

// mayReplace tells whether a file may be written under that name. What stands
// there already is replaced only if isOurs says that askance wrote it and that
// nothing of the user's is in it; inputs are the files that are read.
func (h *host) mayReplace(name string, inputs []string, isOurs func(data []byte) error) error {
	info, err := os.Stat(h.at(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, reason(err))
	}
	for _, in := range inputs {
		if other, err := os.Stat(h.at(in)); err == nil && os.SameFile(info, other) {
			return fmt.Errorf("%s is read from and cannot be written to\nhint: name another file", name)
		}
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s is not a file that can be replaced\nhint: name another file", name)
	}
	data, err := os.ReadFile(h.at(name))
	if err != nil {
		return fmt.Errorf("%s cannot be looked into before it is replaced: %w", name, reason(err))
	}
	if err := isOurs(data); err != nil {
		return fmt.Errorf("%s stands already and is left as it is: %w\nhint: name another file, or move this one away", name, err)
	}
	return nil
}

// sameAs accepts only a file with the very same content.
func sameAs(want []byte) func([]byte) error {
	return func(have []byte) error {
		if !bytes.Equal(have, want) {
			return errors.New("its content differs")
		}
		return nil
	}
}

// workbookOf accepts only a workbook that the same command wrote and that the
// user has written nothing into.
func workbookOf(command string) func([]byte) error {
	return func(data []byte) error {
		wrote, own := table.IsOwnWorkbook(data)
		if !own {
			return errors.New("askance did not write it")
		}
		if wrote != command {
			return fmt.Errorf("askance %s wrote it, not askance %s", wrote, command)
		}
		cell, filled, err := sheet.Filled(data)
		if err != nil {
			return err
		}
		if filled {
			return fmt.Errorf("%s has been filled in by hand", cell)
		}
		return nil
	}
}
