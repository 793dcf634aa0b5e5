package main

import (
	"errors"
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/alecthomas/kong"
)

// Exit statuses.
const (
	done   = 0 // at least one listing was read, and what was asked was written
	failed = 1 // nothing usable, or a failed write
	misuse = 2 // wrong usage
)

// commands is the table of commands; each stands in the file of its name.
type commands struct {
	Version kong.VersionFlag `help:"Print the version and stop."`

	Demo    demoCmd    `cmd:"" help:"Run the main job on an invented market and write its exports and the workbook into a folder."`
	Read    readCmd    `cmd:"" help:"Show what was read, with the words behind each finding. Judges nothing."`
	Scan    scanCmd    `cmd:"" help:"For a buyer: read, fit and judge every listing, and write the workbook."`
	Price   priceCmd   `cmd:"" help:"For a seller: an asking price for one boat, what each part adds, the closest comparables."`
	Reserve reserveCmd `cmd:"" help:"For a club: a reserve price for each boat of a fleet."`
	Opinion opinionCmd `cmd:"" help:"One printable page about one boat."`
	Hull    hullCmd    `cmd:"" help:"Decode and check hull identification numbers."`
	Knowhow knowhowCmd `cmd:"" help:"Write the built-in facts of the trade out for editing, or check edited ones."`
}

const description = `Looks twice at the asking prices of second-hand small sailing boats.

It reads pages and lists that you have saved (CSV, XLSX, HTML, MHTML), takes age, condition, fittings, extras and defects
from the words, and says what the market gives for each of them and which asks stand apart.`

// A usageError is a wrong use of the command line.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// misused makes a usageError.
func misused(format string, args ...any) error {
	return usageError{fmt.Errorf(format, args...)}
}

// run carries out one command and gives its exit status.
func run(h *host) int {
	var c commands
	stopped := false
	parser, err := kong.New(&c,
		kong.Name("askance"), kong.Description(description),
		kong.Vars{"version": version()},
		kong.Writers(h.stdout, h.stderr),
		kong.Exit(func(int) { stopped = true }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.ExplicitGroups([]kong.Group{
			{Key: "reading", Title: "What is read, and how:"},
			{Key: "judging", Title: "What is said of it:"},
			{Key: "output", Title: "What is written:"},
		}),
	)
	if err != nil {
		h.tell(err)
		return failed
	}
	ctx, err := parser.Parse(h.args)
	if stopped { // by --help or --version, which have been answered
		return done
	}
	if err != nil {
		h.tell(err)
		h.usage(err)
		return misuse
	}
	err = ctx.Run(h)
	if err == nil {
		return done
	}
	h.tell(err)
	var wrong usageError
	if errors.As(err, &wrong) {
		h.tell(fmt.Errorf("hint: see askance %s --help", ctx.Selected().Path()))
		return misuse
	}
	return failed
}

// usage prints the summary of the command that was used wrongly.
func (h *host) usage(err error) {
	var wrong *kong.ParseError
	if !errors.As(err, &wrong) {
		return
	}
	wrong.Context.Stdout = h.stderr
	if len(h.args) == 0 {
		_ = wrong.Context.PrintUsage(false)
		return
	}
	_ = kong.DefaultShortHelpPrinter(kong.HelpOptions{}, wrong.Context)
}

// tell prints an error on standard error, each line with the program's name.
func (h *host) tell(err error) {
	for line := range strings.Lines(err.Error()) {
		fmt.Fprintf(h.stderr, "askance: %s\n", strings.TrimRight(line, "\n"))
	}
}

// warn prints a warning on standard error.
func (h *host) warn(format string, args ...any) {
	h.tell(fmt.Errorf("warning: "+format, args...))
}

// note prints something worth knowing on standard error.
func (h *host) note(format string, args ...any) {
	h.tell(fmt.Errorf("note: "+format, args...))
}

// progress says what is going on, to a person who waits at a terminal.
func (h *host) progress(format string, args ...any) {
	if h.terminal {
		fmt.Fprintf(h.stderr, format+" …\n", args...)
	}
}

// version names the version that the Go tool has built in.
func version() string {
	v := "devel"
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		v = info.Main.Version
	}
	return "askance " + v
}
