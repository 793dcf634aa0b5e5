package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"time"

	"askance/analysis"
	"askance/cmd/askance/internal/report"
	"askance/cmd/askance/internal/sheet"
	"askance/ingest"
	"askance/ingest/boat"
	"askance/ingest/knowhow"
	"askance/ingest/record"
)

// shownProblems is how many problems are told on standard error; a workbook
// and the JSON hold them all.
const shownProblems = 5

// A setting is what a command that reads a market works with.
type setting struct {
	book    *knowhow.Book
	options ingest.Options
	files   []ingest.File
	market  *boat.Market
}

// prepare loads the knowhow and what the flags name, before any export is
// read.
func (h *host) prepare(in intakeFlags) (*setting, error) {
	book, err := h.loadKnowhow(in.Knowhow)
	if err != nil {
		return nil, err
	}
	o, err := in.options(h, book)
	if err != nil {
		return nil, err
	}
	return &setting{book: book, options: o}, nil
}

// marketOf reads a market from exports, and makes sure first that the
// workbook may be written: over none of the files that are read, others
// among them.
func (h *host) marketOf(exports []string, in intakeFlags, judge judgeFlags, workbook, command string, others ...string) (*setting, error) {
	s, err := h.prepare(in)
	if err != nil {
		return nil, err
	}
	if err := judge.check(s.book); err != nil {
		return nil, err
	}
	h.progress("reading")
	if s.files, err = h.collect(exports); err != nil {
		return nil, err
	}
	if workbook != "" {
		if err := h.mayReplace(workbook, append(names(s.files), others...), workbookOf(command)); err != nil {
			return nil, err
		}
	}
	s.market, err = ingest.Read(s.files, s.book, s.options)
	if err != nil {
		return nil, err
	}
	h.tellMarket(s.market)
	return s, nil
}

// tellMarket tells on standard error what could not be used as it stands.
func (h *host) tellMarket(m *boat.Market) {
	for _, l := range m.LeftOut {
		if l.Code == boat.Unreadable {
			h.warn("%s could not be read: %s", l.Source.At.File, l.Reason)
		}
	}
	problems := slices.Clone(m.Problems)
	for _, l := range m.Listings {
		problems = append(problems, l.Problems...)
	}
	h.tellProblems(problems)
	for _, n := range m.Notes {
		h.note("%s", n)
	}
}

func (h *host) tellProblems(problems []record.Problem) {
	for i, p := range problems {
		if i == shownProblems {
			h.warn("and %d more such problems", len(problems)-i)
			return
		}
		h.warn("%s", p)
	}
}

// survey fits and judges a market for a workbook, or for none ("").
func (h *host) survey(s *setting, judge judgeFlags, workbook string) (*analysis.Survey, error) {
	h.progress("judging %d boats", len(s.market.Listings))
	return analysis.Run(s.market, s.book, judge.analysis(workbook))
}

// analysis gives the options of a survey. Only a workbook shows what other
// priors would make of the figures; without one they are not worked out.
func (f judgeFlags) analysis(workbook string) analysis.Options {
	return analysis.Options{Range: f.Range, Purpose: f.Purpose, Once: workbook == ""}
}

// view says how this host shows things; when is kept in workbooks as the time
// of making.
func (h *host) view(book *knowhow.Book, when time.Time) report.View {
	width, err := strconv.Atoi(h.env("COLUMNS"))
	if err != nil || width < 60 {
		width = 100
	}
	return report.View{Book: book, When: when, Width: width, Bold: h.bold && h.env("NO_COLOR") == ""}
}

// An output is what a command can write, in each form.
type output struct {
	book             func() *sheet.Book
	table, json, csv func(io.Writer) error
}

// publish writes the workbook, if there is to be one, then standard output.
func (h *host) publish(workbook, format string, o output) error {
	if workbook != "" {
		h.progress("writing %s", workbook)
		var data bytes.Buffer
		if err := o.book().Write(&data); err != nil {
			return fmt.Errorf("%s cannot be made: %w", workbook, err)
		}
		if err := h.save(workbook, data.Bytes()); err != nil {
			return err
		}
	}
	write := map[string]func(io.Writer) error{"table": o.table, "json": o.json, "csv": o.csv}[format]
	if err := write(h.stdout); err != nil {
		return fmt.Errorf("standard output: %w", err)
	}
	if workbook != "" {
		fmt.Fprintf(h.stderr, "askance: wrote %s\n", workbook)
	}
	return nil
}

// workbook is the file to write: the one named, else the default, but none by
// default where standard output is for a program.
func (f formatFlag) workbook(named, standard string) string {
	if named == "" && f.Format == "table" {
		return standard
	}
	return named
}

func names(files []ingest.File) []string {
	var out []string
	for _, f := range files {
		if f.Name != "-" {
			out = append(out, f.Name)
		}
	}
	return out
}

// readFile reads one file of the user's that is no export.
func (h *host) readFile(name, what string) ([]byte, error) {
	in, err := os.Open(h.at(name))
	if err != nil {
		return nil, fmt.Errorf("%s: no %s to read: %w", name, what, reason(err))
	}
	defer in.Close()
	data, err := readLimited(in)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return data, nil
}
