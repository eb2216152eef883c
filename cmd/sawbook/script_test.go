package main

import (
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite golden files")

// commands are what the test program is under other names.
var commands = map[string]func(){"sawbook": main}

func TestMain(m *testing.M) {
	testscript.Main(m, commands)
}

// TestScript runs the scripts in testdata/script, each in a folder of its own that holds
// a copy of the demo shop as demo, of a small one as small, and of one from before files told their form as old.
func TestScript(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           filepath.Join("..", "..", "testdata", "script"),
		UpdateScripts: *update,
		Cmds:          map[string]func(*testscript.TestScript, bool, []string){"only": only, "race": race},
		Setup: func(env *testscript.Env) error {
			return errors.Join(
				os.CopyFS(filepath.Join(env.WorkDir, "demo"), os.DirFS(filepath.Join("..", "..", "testdata", "demo"))),
				os.CopyFS(filepath.Join(env.WorkDir, "small"), os.DirFS(filepath.Join(refusalFolder, "shop"))),
				os.CopyFS(filepath.Join(env.WorkDir, "old"), os.DirFS(filepath.Join("..", "..", "testdata", "old", "0"))))
		},
	})
}

// only VARIABLE FOLDER sets a variable to the path of the one thing in a folder, such as what cut wrote: its name carries
// a digest.
func only(ts *testscript.TestScript, _ bool, args []string) {
	inside, err := os.ReadDir(ts.MkAbs(args[1]))
	ts.Check(err)
	if len(inside) != 1 {
		ts.Fatalf("%s holds %d things, want one", args[1], len(inside))
	}
	ts.Setenv(args[0], filepath.Join(args[1], inside[0].Name()))
}

// race ARGUMENTS runs six processes of the command at once, of which one alone may succeed.
func race(ts *testscript.TestScript, _ bool, args []string) {
	self, err := os.Executable()
	ts.Check(err)
	runs := make([]exec.Cmd, 6)
	for i := range runs {
		runs[i] = exec.Cmd{Path: self, Args: append([]string{"sawbook"}, args...), Dir: ts.MkAbs("."), Env: os.Environ()}
		ts.Check(runs[i].Start())
	}
	first := 0
	for i := range runs {
		if runs[i].Wait() == nil {
			first++
		}
	}
	if first != 1 {
		ts.Fatalf("%d of %d succeeded, want one", first, len(runs))
	}
}
