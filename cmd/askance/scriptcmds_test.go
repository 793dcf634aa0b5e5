package main

import (
	"encoding/json"
	"fmt"
	"os/exec"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// statusIs runs a command and wants just that exit status: "status 2 askance
// scan". What it printed is there for stdout and stderr afterwards.
func statusIs(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command [argument...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		exit, ok := err.(*exec.ExitError)
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if want := args[0]; strconv.Itoa(got) != want {
		ts.Fatalf("exit status %d, want %s", got, want)
	}
}

// jsonHolds wants a value in the JSON on standard output, by its path:
// "json stdout market.used 5", "json stdout listings.0.verdict near". The
// value "*" is any, a number stands for itself, "list:N" is a list of N. With one
// line a document, lines are counted from 0 first: "json lines 0.title …".
func jsonHolds(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: json stdout|lines PATH VALUE")
	}
	text := ts.ReadFile("stdout")
	if args[0] == "lines" {
		text = "[" + strings.Join(strings.Split(strings.TrimSpace(text), "\n"), ",") + "]"
	}
	var doc any
	if err := json.Unmarshal([]byte(text), &doc); err != nil {
		ts.Fatalf("not JSON: %v", err)
	}
	got, found := walk(doc, args[1])
	holds := found && (args[2] == "*" || printed(got) == args[2])
	if holds == neg {
		ts.Fatalf("%s is %s (there: %v), want it to be %s: %v", args[1], printed(got), found, args[2], !neg)
	}
}

func walk(doc any, path string) (any, bool) {
	for _, step := range strings.Split(path, ".") {
		switch d := doc.(type) {
		case map[string]any:
			v, ok := d[step]
			if !ok {
				return nil, false
			}
			doc = v
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(d) {
				return nil, false
			}
			doc = d[i]
		default:
			return nil, false
		}
	}
	return doc, true
}

func printed(v any) string {
	switch v := v.(type) {
	case []any:
		return fmt.Sprintf("list:%d", len(v))
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}
