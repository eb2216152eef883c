package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sawbook/cabinets/register"

	"github.com/google/go-cmp/cmp"
)

// calls are what changes a disk or brings a change onto it; those with a question mark are not there on every kind of
// machine. A process that is killed as it enters one of them has made all calls before it and none after: kills at all of
// them leave every state that a kill can leave.
const calls = "write,pwrite64,fsync,fdatasync,ftruncate,mkdirat,linkat,renameat,renameat2,unlinkat,?mkdir,?link,?rename,?unlink,?rmdir"

// said is what a command prints once what it did is there to stay.
var said = regexp.MustCompile(`(?m)^(entry \d+: |written to )`)

// change is a command that changes a disk.
type change struct {
	name    string
	start   string // what makes ready what is there before
	args    string
	repeats bool // run again, it does the same again
}

var changes = []change{
	{"cut", "", "cut shop/batches/one.yaml --effort quick --out out", false},
	{"first-entry", "", "stock receive birch-12 4 --shop shop", true},
	{"stock-take", "stock receive birch-12 4 --shop shop", "stock take shop/batches/one.yaml --effort quick --out out", false},
	{"build-record", "stock receive birch-6 4 --shop shop", "build record shop/batches/one.yaml --effort quick --out out", false},
}

// TestKilled kills commands as they enter calls that write, flush or rename, 220 times at seeded places, with the signal
// that no process can catch. What is left is as it was before or as it is afterwards, nothing between; what the command
// said was done is done; and the next run makes it whole, once.
func TestKilled(t *testing.T) {
	interrupted(t, 55, func(t *testing.T, work string, i interruption) (hit bool) {
		run := i.run(t, work, "signal=KILL")
		left := stateOf(t, work)
		i.isWhole(t, left)
		isDone := cmp.Equal(left, i.after)
		if said.MatchString(run.printed) && !isDone {
			t.Errorf("%s: said %q, and it is not there", i, run.printed)
		}
		if i.repeats && isDone {
			return run.killed
		}
		if code, errs := runOnce(t, work, i.args); code != exitDone && !isDone {
			t.Errorf("%s: the next run ends with %d: %s", i, code, errs)
		}
		if again := stateOf(t, work); !cmp.Equal(again, i.after) {
			t.Errorf("%s: the next run leaves %s", i, cmp.Diff(i.after, again))
		}
		return run.killed
	})
}

// TestDiskRefuses has calls that write, flush or rename fail, as on a full disk, a broken one, or in a folder that is
// read-only. All is as before or as afterwards, the error says why, and nothing half made stays behind.
func TestDiskRefuses(t *testing.T) {
	reasons := map[string]string{
		"write": "ENOSPC", "pwrite64": "ENOSPC", "ftruncate": "ENOSPC", "fsync": "EIO", "fdatasync": "EIO",
		"mkdirat": "EROFS", "mkdir": "EROFS", "linkat": "EROFS", "link": "EROFS", "renameat": "EROFS", "rename": "EROFS",
	}
	texts := map[string]string{"ENOSPC": "no space left on device", "EIO": "input/output error", "EROFS": "read-only file system"}
	interrupted(t, 20, func(t *testing.T, work string, i interruption) (hit bool) {
		reason := reasons[i.call]
		if reason == "" {
			return false // a leftover that cannot be removed hurts nobody
		}
		run := i.run(t, work, "error="+reason)
		left := stateOf(t, work)
		i.isWhole(t, left)
		if run.code == exitDone {
			if !cmp.Equal(left, i.after) {
				t.Errorf("%s: ends well, and leaves %s", i, cmp.Diff(i.after, left))
			}
			return run.injected
		}
		// The register's library tells of a full disk in words of its own.
		if !strings.Contains(run.errs, texts[reason]) && !strings.Contains(run.errs, "database or disk is full") && !strings.Contains(run.errs, "disk I/O error") {
			t.Errorf("%s: %s is told as %q", i, reason, run.errs)
		}
		for _, folder := range []string{"out", "shop"} {
			half, err := filepath.Glob(filepath.Join(work, folder, ".*partial*"))
			if err != nil || len(half) > 0 {
				t.Errorf("%s: left behind: %v %v", i, half, err)
			}
		}
		return run.injected
	})
}

// TestReadOnlyFolders has every command work on folders that take nothing new.
func TestReadOnlyFolders(t *testing.T) {
	needTracer(t)
	for _, c := range changes {
		t.Run(c.name, func(t *testing.T) {
			work := c.ready(t)
			before := stateOf(t, work)
			how := []string{"-e", "inject=mkdirat,?mkdir:error=EROFS"} // nothing is there yet, so a folder is made first
			if c.start != "" {
				how = []string{"-P", filepath.Join(work, "shop", register.FileName), "-e", "inject=openat,?open:error=EROFS"}
			}
			run := traced(t, work, c.args, how...)
			if !run.injected || run.code != exitInput || !strings.Contains(run.errs, "read-only file system") && !strings.Contains(run.errs, "cannot be written or opened") {
				t.Errorf("exit code %d, injected %v: %s", run.code, run.injected, run.errs)
			}
			if left := stateOf(t, work); !cmp.Equal(left, before) {
				t.Errorf("it leaves %s", cmp.Diff(before, left))
			}
		})
	}
}

// interruption is a command and the place at which something happens to it.
type interruption struct {
	place
	args          string
	repeats       bool
	before, after map[string]string // states without the command and with it
}

// isWhole checks that all of a change is there or nothing.
func (i interruption) isWhole(t *testing.T, left map[string]string) {
	t.Helper()
	if !cmp.Equal(left, i.before) && !cmp.Equal(left, i.after) {
		t.Errorf("%s: neither as before nor whole: %s", i, cmp.Diff(i.after, left))
	}
}

// interrupted interrupts every command so many times, each in a fresh folder, at seeded places: by turns any, and one of
// the last thirty, where what was done becomes what is there. hit reports whether the command came to the place: calls are
// counted by thread, and not every run has the same threads.
func interrupted(t *testing.T, times int, interrupt func(t *testing.T, work string, i interruption) (hit bool)) {
	needTracer(t)
	if testing.Short() {
		times /= 8
	}
	for _, c := range changes {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			ready := c.ready(t)
			whole := copyOf(t, ready)
			places := placesOf(t, whole, c.args)
			i := interruption{args: c.args, repeats: c.repeats, before: stateOf(t, ready), after: stateOf(t, whole)}
			if cmp.Equal(i.before, i.after) {
				t.Fatalf("%s changes nothing", c.args)
			}
			random := rand.New(rand.NewPCG(1, 2))
			hits := 0
			for try := 0; hits < times; try++ {
				if try > 10*times {
					t.Fatalf("of %d runs only %d were interrupted", try, hits)
				}
				from := 0
				if try%2 == 1 {
					from = max(0, len(places)-30)
				}
				i.place = places[from+random.IntN(len(places)-from)]
				work := copyOf(t, ready)
				if interrupt(t, work, i) {
					hits++
				}
				if err := os.RemoveAll(work); err != nil {
					t.Fatal(err)
				}
			}
			t.Logf("%d hits at %d places", hits, len(places))
		})
	}
}

// place is a call at which a thread of a process dies: its n-th of that name.
type place struct {
	call string
	n    int
}

func (p place) String() string { return fmt.Sprintf("%s %d", p.call, p.n) }

// needTracer skips a test where processes cannot be watched.
func needTracer(t *testing.T) {
	t.Helper()
	if out, err := exec.Command("strace", "-f", "-o", os.DevNull, "true").CombinedOutput(); err != nil {
		t.Skipf("strace does not run here: %v %s", err, out)
	}
}

// ready makes a folder with a small shop, a batch of one vehicle, and what a command starts from.
func (c change) ready(t *testing.T) (work string) {
	t.Helper()
	work = t.TempDir()
	succeed(t, work, "new shop")
	if err := os.WriteFile(filepath.Join(work, "shop", "batches", "one.yaml"), []byte("batch: one\nvehicles: [{layout: van, serials: [1]}]\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if c.start != "" {
		succeed(t, work, c.start)
		succeed(t, work, "cut shop/batches/one.yaml --effort quick --out out")
	}
	return work
}

// stateOf tells what a folder holds that counts: what its register says, which must be sound, and all files that were
// written out, but for folders that were being made when their process died: these have names that begin with a dot.
func stateOf(t *testing.T, work string) map[string]string {
	t.Helper()
	state := map[string]string{}
	if _, err := os.Stat(filepath.Join(work, "shop", register.FileName)); err == nil {
		r, err := register.Open(filepath.Join(work, "shop"))
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		if _, err := r.Verify(); err != nil {
			t.Fatal(err)
		}
		entries, err := r.Entries()
		if err != nil {
			t.Fatal(err)
		}
		state["register"] = "" // an empty one may be left, or none
		for _, e := range entries {
			state["register"] += fmt.Sprintln(e.Sequence, e.Kind, string(e.Body))
		}
	}
	for name, text := range readFolder(t, work) {
		if strings.HasPrefix(name, "out/") && !strings.HasPrefix(name, "out/.") {
			state[name] = string(text)
		}
	}
	if state["register"] == "" {
		delete(state, "register")
	}
	return state
}

func copyOf(t *testing.T, ready string) (work string) {
	t.Helper()
	work = t.TempDir()
	if err := os.CopyFS(work, os.DirFS(ready)); err != nil {
		t.Fatal(err)
	}
	return work
}

// command makes the call of sawbook in a folder, under another program where one is given.
func command(t *testing.T, work, args string, under ...string) *exec.Cmd {
	t.Helper()
	return commandAs(t, "sawbook", work, args, under...)
}

// commandAs makes the call of a command that the test program is under some name.
func commandAs(t *testing.T, name, work, args string, under ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(t.TempDir(), name) // the name under which the test program is the command
	if err := os.Symlink(self, link); err != nil {
		t.Fatal(err)
	}
	line := slices.Concat(under, []string{link}, strings.Fields(args))
	c := exec.Command(line[0], line[1:]...)
	c.Dir = work
	return c
}

func runOnce(t *testing.T, work, args string) (code int, errs string) {
	t.Helper()
	c := command(t, work, args)
	var text bytes.Buffer
	c.Stderr = &text
	_ = c.Run() // its code says it
	return c.ProcessState.ExitCode(), text.String()
}

func succeed(t *testing.T, work, args string) {
	t.Helper()
	if code, errs := runOnce(t, work, args); code != exitDone {
		t.Fatalf("%s: exit code %d: %s", args, code, errs)
	}
}

// placesOf runs a command to its end and returns the calls that it makes, in their order.
func placesOf(t *testing.T, work, args string) (places []place) {
	t.Helper()
	log := filepath.Join(t.TempDir(), "log")
	if out, err := command(t, work, args, "strace", "-f", "-o", log, "-e", "trace="+calls).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return placesIn(read(t, log), 0)
}

// placesIn reads the calls off a log, from those on that begin at an offset in it.
func placesIn(log string, from int) (places []place) {
	made := map[[2]string]int{} // by thread and call
	seen := map[place]bool{}
	for _, found := range regexp.MustCompile(`(?m)^(\d+) +(\w+)\(`).FindAllStringSubmatchIndex(log, -1) {
		by := [2]string{log[found[2]:found[3]], log[found[4]:found[5]]}
		made[by]++
		if at := (place{by[1], made[by]}); found[0] >= from && !seen[at] {
			seen[at] = true
			places = append(places, at)
		}
	}
	return places
}

// outcome is how an interrupted run ended.
type outcome struct {
	printed, errs    string
	code             int
	killed, injected bool
}

// run runs the command in a folder and has something happen to it at its place.
func (i interruption) run(t *testing.T, work, what string) outcome {
	t.Helper()
	return traced(t, work, i.args, "-e", "trace="+i.call, "-e", fmt.Sprintf("inject=%s:%s:when=%d", i.call, what, i.n))
}

// traced runs a command while calls of it are watched and changed.
func traced(t *testing.T, work, args string, how ...string) outcome {
	t.Helper()
	log := filepath.Join(t.TempDir(), "log")
	c := command(t, work, args, slices.Concat([]string{"strace", "-f", "-o", log}, how)...)
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	_ = c.Run() // how it ended is what it returns
	seen := read(t, log)
	return outcome{out.String(), errs.String(), c.ProcessState.ExitCode(),
		strings.Contains(seen, "+++ killed by SIGKILL +++"), strings.Contains(seen, "(INJECTED)")}
}
