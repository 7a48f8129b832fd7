package main

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the program prints into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"castwright": main})
}

// The scripts drive the built program; each shows one behaviour.
func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{Dir: "testdata/script", UpdateScripts: *update, RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", filepath.Join(root, "sheets", "examples"))
			return os.MkdirAll(filepath.Join(e.WorkDir, "empty"), 0o755)
		}})
}
