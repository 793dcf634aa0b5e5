// Command askance looks twice at the asking prices of second-hand small
// sailing boats: it reads saved pages and lists, says what the market gives
// for age, condition, fittings and extras, and judges each ask.
package main

import (
	"io"
	"os"
	"time"
)

func main() { os.Exit(run(thisMachine())) }

// A host is all of the outside world that a command may touch.
type host struct {
	args           []string // without the program's name
	stdin          io.Reader
	stdout, stderr io.Writer
	env            func(name string) string
	now            func() time.Time
	dir            string // working folder: relative paths start here
	terminal       bool   // standard error is a terminal
	bold           bool   // standard output is one
}

// thisMachine is the host of a real run.
func thisMachine() *host {
	dir, err := os.Getwd()
	if err != nil {
		dir = "."
	}
	return &host{
		args: os.Args[1:], stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr,
		env: os.Getenv, now: time.Now, dir: dir,
		terminal: isTerminal(os.Stderr), bold: isTerminal(os.Stdout),
	}
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
