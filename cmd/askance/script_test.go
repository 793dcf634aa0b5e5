package main

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite wanted outputs: the README's blocks and the scripts' cmp files")

// TestMain lets scripts run askance as a command of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"askance": main})
}

// TestScripts runs testdata/script: each is named for the command that it is
// about.
func TestScripts(t *testing.T) {
	skipUnderRace(t)
	module, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	boat := someBoat(t)
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(module, "testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("MARKET", filepath.Join(module, "fixtures", "market"))
			e.Setenv("LIST", filepath.Join(module, "fixtures", "market", "association-list.xlsx"))
			e.Setenv("HOSTILE", filepath.Join(module, "testdata", "hostile"))
			e.Setenv("COLUMNS", "100")
			e.Setenv("BOAT", boat)
			return os.Setenv("TZ", "UTC")
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": statusIs,
			"json":   jsonHolds,
		},
	})
}

// someBoat gives the id of the first boat of the invented market that has a
// price.
func someBoat(t *testing.T) string {
	t.Helper()
	market, err := filepath.Abs(filepath.Join("..", "..", "fixtures", "market", "association-list.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	h := quiet(t.TempDir(), "scan", "--format", "csv", market)
	h.stdout = &out
	if status := run(h); status != done {
		t.Fatalf("exit status %d", status)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%d rows: %v", len(rows), err)
	}
	return rows[1][slices.Index(rows[0], "id")]
}
