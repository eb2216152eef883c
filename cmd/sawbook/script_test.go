package main

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite golden files")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"sawbook": main})
}

// TestScript runs the scripts in testdata/script, each in a folder of its own that holds
// a copy of the demo shop as demo.
func TestScript(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join("..", "..", "testdata", "script"),
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			return os.CopyFS(filepath.Join(env.WorkDir, "demo"), os.DirFS(filepath.Join("..", "..", "testdata", "demo")))
		},
	})
}
