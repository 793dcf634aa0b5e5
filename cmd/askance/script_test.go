package main

import (
	"flag"
	"os"
	"path/filepath"
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
	module, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(module, "testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("MARKET", filepath.Join(module, "fixtures", "market"))
			e.Setenv("HOSTILE", filepath.Join(module, "testdata", "hostile"))
			e.Setenv("COLUMNS", "100")
			return os.Setenv("TZ", "UTC")
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": statusIs,
			"json":   jsonHolds,
		},
	})
}
