package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"time"

	"askance/cmd/askance/internal/report"
	"askance/cmd/askance/internal/sheet"
	"askance/fixtures"
	"askance/ingest"
)

// demoDay is the day at which the invented market stands: the demo's output
// does not depend on when it runs.
var demoDay = time.Date(2026, time.September, 14, 0, 0, 0, 0, time.UTC)

// demoWorkbook is the workbook's name in the demo's folder.
const demoWorkbook = "askance-market.xlsx"

type demoCmd struct {
	Dir string `arg:"" optional:"" default:"askance-demo" help:"Folder to write into; it may hold nothing but what the demo wrote itself."`
	intakeFlags
	judgeFlags
	Workbook string `group:"output" placeholder:"FILE.xlsx" help:"Workbook to write. Default: askance-market.xlsx in the folder, none with --format json or csv."`
	formatFlag
}

func (demoCmd) Help() string {
	return `Example:

	askance demo
	askance demo --purpose race my-demo`
}

// Run writes the invented exports into the folder, scans them there and
// writes the workbook beside them.
func (c demoCmd) Run(h *host) error {
	if err := c.allow("demo", "table", "json", "csv"); err != nil {
		return err
	}
	if c.AsOf == "" {
		c.AsOf = demoDay.Format(time.DateOnly)
	}
	s, err := h.prepare(c.intakeFlags)
	if err != nil {
		return err
	}
	if err := c.judgeFlags.check(s.book); err != nil {
		return err
	}
	workbook := c.workbook(c.Workbook, path.Join(c.Dir, demoWorkbook))
	market := fixtures.Market()
	if err := h.mayFill(c.Dir, market); err != nil {
		return err
	}
	if workbook != "" {
		if err := h.mayReplace(workbook, nil, workbookOf("scan")); err != nil {
			return err
		}
	}
	if err := h.unpack(market, c.Dir, func(string) {}); err != nil {
		return err
	}
	if s.files, err = demoFiles(market, c.Dir); err != nil {
		return err
	}
	if s.market, err = ingest.Read(s.files, s.book, s.options); err != nil {
		return err
	}
	h.tellMarket(s.market)
	survey, err := h.survey(s, c.judgeFlags, workbook)
	if err != nil {
		return err
	}
	view := h.view(s.book, s.market.AsOf)
	err = h.publish(workbook, c.Format, output{
		book:  func() *sheet.Book { return report.ScanWorkbook(survey, view) },
		table: func(w io.Writer) error { return report.ScanTable(w, survey, view) },
		json:  func(w io.Writer) error { return report.ScanJSON(w, survey, view) },
		csv:   func(w io.Writer) error { return report.ScanCSV(w, survey, view) },
	})
	if err != nil {
		return err
	}
	if c.Format == "table" {
		fmt.Fprintf(h.stdout, "\nThe exports and the workbook are in the folder %s: open %s in a spreadsheet program.\n", c.Dir, workbook)
	}
	return nil
}

// mayFill makes sure that the folder holds nothing but what the demo wrote.
func (h *host) mayFill(dir string, market fs.FS) error {
	return fs.WalkDir(os.DirFS(h.at(dir)), ".", func(name string, e fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && name == "." {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s cannot be written: %w", dir, reason(err))
		}
		if e.IsDir() || name == demoWorkbook {
			return nil
		}
		want, err := fs.ReadFile(market, name)
		if err == nil {
			err = h.mayReplace(path.Join(dir, name), nil, sameAs(want))
		}
		if err != nil {
			return fmt.Errorf("%s holds other files, such as %s\nhint: name a new folder: askance demo FOLDER", dir, name)
		}
		return nil
	})
}

// demoFiles reads the invented exports in name order, under the names that
// they have on disk.
func demoFiles(market fs.FS, dir string) ([]ingest.File, error) {
	var files []ingest.File
	err := fs.WalkDir(market, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(market, name)
		files = append(files, ingest.File{Name: path.Join(dir, name), Data: data, Modified: demoDay})
		return err
	})
	return files, err
}
