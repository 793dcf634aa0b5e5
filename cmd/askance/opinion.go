package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"askance/cmd/askance/internal/onepage"
)

type opinionCmd struct {
	Exports []string `arg:"" name:"export" sep:"none" help:"Saved pages and lists: files, folders, or - for standard input."`
	Boat    string   `required:"" placeholder:"ID" help:"The listing that the page is about; its id is in the outputs of scan and read."`
	intakeFlags
	judgeFlags
	Language string `group:"output" default:"en" placeholder:"en|de|fr" help:"Language of the page."`
	Out      string `group:"output" placeholder:"FILE.html" help:"File to write. Default: standard output."`
}

func (opinionCmd) Help() string {
	return `Example:

	askance opinion --boat 9f2c03ab71de --language de --out opinion.html exports`
}

// Run writes the page about one boat.
func (c opinionCmd) Run(h *host) error {
	if !slices.Contains(onepage.Languages(), c.Language) {
		return misused("--language: wanted one of %s, found %q", strings.Join(onepage.Languages(), ", "), c.Language)
	}
	s, err := h.marketOf(c.Exports, c.intakeFlags, c.judgeFlags, "", "opinion")
	if err != nil {
		return err
	}
	if c.Out != "" {
		if err := h.mayReplace(c.Out, names(s.files), onepage.IsOwn); err != nil {
			return err
		}
	}
	survey, err := h.survey(s, c.judgeFlags, "")
	if err != nil {
		return err
	}
	j, err := find(survey, c.Boat)
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := onepage.Write(&page, survey, j, s.book, c.Language); err != nil {
		return err
	}
	if c.Out == "" {
		_, err := h.stdout.Write(page.Bytes())
		return err
	}
	if err := h.save(c.Out, page.Bytes()); err != nil {
		return err
	}
	fmt.Fprintf(h.stderr, "askance: wrote %s\n", c.Out)
	return nil
}
