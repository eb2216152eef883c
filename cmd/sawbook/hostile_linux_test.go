package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// What refusing may cost: time of the processor, which a busy machine does not lengthen as it does time of the clock, and memory.
const (
	mostRefusing = time.Second
	mostWaiting  = 10 * time.Second // of the clock: what waits, or sleeps, takes no time of the processor
	mostMemory   = 200 << 20        // bytes
)

// hostile is input that would be work without end. In a file of the small shop, the text after old is replaced by new.
type hostile struct {
	name           string
	file, old, new string
	with           string // the command, where it is not the cut of the batch
	say            string // with what the refusal begins
	besides        string // another cabinet
}

// hostiles returns them, with what they would come to. They are no variable, which every process of the test program would hold.
func hostiles() []hostile {
	return []hostile{
		{"ten million parts by a counter", rackFile, "count: shelves", "count: 10000000", "", rackFile + ":", ""},
		{"a thousand million parts by a size", rackFile, "most: 6,", "most: 1000000000, default: 1000000000,", "", rackFile + ":", ""},
		{"a million parts by 1 200 counters", rackFile, "checks:", many(1200, "  p%d: {role: carcass, count: 1000, x: [0, 9], y: [0, 9], z: i * 20, grain: x}\n") + "checks:", "", layoutFile + ":", ""},
		{"40 000 banks of drawers, which are cabinets in it", rackFile, "parts:", "uses:\n" + many(40, "  u%d: {cabinet: drawer-bank, count: 1000, at: {x: 0, y: 0, z: i * 700}, roles: {back: carcass, bottom: carcass, drawer: carcass, front: carcass}}\n") + "parts:", "", layoutFile + ":4:3: rack: there are more than 3000 parts", ""},
		{"a cabinet within itself", rackFile, "parts:", "uses:\n  inner: {cabinet: rack, count: 1000, at: {x: 0, y: 0, z: 0}}\nparts:", "", rackFile + ":", ""},
		{"a layout of 10 000 cabinets", layoutFile, "options:", many(10_000, "  c%d: {cabinet: rack, beside: first}\n") + "options:", "", layoutFile + ":4:3: 10002 cabinets, more than 150", ""},
		{"a layout of 150 cabinets of 3 000 parts each", layoutFile, "{cabinet: rack, at: [0, 0, 0], turn: 0, sizes: {width: 400 mm}}", "{cabinet: rack, at: [0, 0, 0]}\n" + many(148, "  c%d: {cabinet: crowd, beside: first, sizes: {width: 2%03[1]d}}\n"), "", layoutFile + ":8:3: with c3, there are more than 10000 parts", crowd},
		{"ten to the eighteenth vehicles", batchFile, "serials: [1, 2]", "count: 1000000000000000000", "", batchFile + ":", ""},
		{"50 000 vehicles", batchFile, "serials: [1, 2]", "serials: [" + many(50_000, "v%d, ") + "x]", "", batchFile + ":3:148919: more than 20000 vehicles", ""},
		{"a width of 10^9 m", layoutFile, "width: 400 mm", "width: 1000000000 m", "", layoutFile + ":", ""},
		{"a sheet of 10^9 m", shopFile, "2500 x 1250 mm", "1000000000 x 1000000000 m", "", shopFile + ":", ""},
		{"a length of a million digits", shopFile, "kerf: 3.2 mm", "kerf: " + strings.Repeat("9", 400_000) + " mm", "", shopFile + ":", ""},
		{"let lines that double a thousand times", rackFile, "  dado:", "  g0: 1\n" + doubling(1000) + "  dado:", "", rackFile + ":", ""},
		{"let lines in a circle", rackFile, "  dado:", "  ping: pong + 1\n  pong: ping + 1\n  dado:", "", rackFile + ":", ""},
		{"a formula that loops", rackFile, "thick.carcass / 3", "reduce(1..1000000000, # + 1)", "", rackFile + ":", ""},
		{"a power of powers", rackFile, "thick.carcass / 3", "9 ** 9 ** 9", "", rackFile + ":", ""},
		{"a formula of 400 000 characters", rackFile, "thick.carcass / 3", "1" + strings.Repeat("+1", 200_000), "", rackFile + ":", ""},
		{"a formula of 10 000 parentheses", rackFile, "thick.carcass / 3", strings.Repeat("(", 10_000) + "1" + strings.Repeat(")", 10_000), "", rackFile + ":", ""},
		{"lists 9 000 deep", shopFile, "rates: {offcut: 6.00}", "rates: " + strings.Repeat("[", 9000), "", shopFile + ":", ""},
		{"closed lists 9 000 deep", shopFile, "rates: {offcut: 6.00}", "rates: " + strings.Repeat("[", 9000) + strings.Repeat("]", 9000), "", shopFile + ":", ""},
		{"mappings 4 000 deep", shopFile, "rates: {offcut: 6.00}", "rates: " + strings.Repeat("{a: ", 4000), "", shopFile + ":", ""},
		{"aliases that come to ten to the ninth", shopFile, "rates: {offcut: 6.00}", "rates: [&a [x, x, x, x, x, x, x, x, x, x]" + aliases(8) + "]", "", shopFile + ":", ""},
		{"a line of 400 000 characters", shopFile, "Small shop", strings.Repeat("é", 200_000), "", shopFile + ":", ""},
		{"a key of 400 000 characters", shopFile, "unit: mm", strings.Repeat("u", 400_000) + ": mm", "", shopFile + ":", ""},
		{"40 000 unknown keys", shopFile, "unit: mm", "unit: mm\n" + many(40_000, "k%d: 1\n"), "", shopFile + ":", ""},
		{"80 000 broken lines", shopFile, "unit: mm", strings.Repeat("a: [\n", 80_000), "", shopFile + ":", ""},
		{"a file of 4 MB", shopFile, "unit: mm", "unit: mm\n" + strings.Repeat("# nothing\n", 400_000), "", shopFile + ":", ""},
		{"a list of 10^18 copies", "list.csv", "", listHead + "a,500,400,1000000000000000000,any\n", nestList, "list.csv:2:11:", ""},
		{"a list of 10^11 copies in lines", "list.csv", "", listHead + many(100_000, "p%d,500,400,1000000,any\n"), nestList, "list.csv:102:14: with these, there are more than 100000000 copies", ""},
		{"a list of 300 000 faults", "list.csv", "", listHead + strings.Repeat(",x,x,x,x\n", 300_000), nestList, "list.csv:", ""},
		{"a list with a part of 10^9 m", "list.csv", "", listHead + "a,1000000000 m,400,1,any\n", nestList, "list.csv:2:3:", ""},
		{"a list of one line of 8 MB", "list.csv", "", listHead + strings.Repeat("a", 8<<20), nestList, "list.csv:2:1:", ""},
		{"a list of 65 MiB", "list.csv", "", listHead + strings.Repeat("a,1,1,1,any\n", 6<<20), nestList, "list.csv:", ""},
	}
}

const (
	rackFile, layoutFile, batchFile, shopFile = "cabinets/rack.yaml", "layouts/van.yaml", "batches/one.yaml", "shop.yaml"
	listHead                                  = "part,length,width,count,grain\n"
	nestList                                  = "nest list.csv --sheet 2500x1250"
)

// crowd is a cabinet of nearly as many parts as one may have.
const crowd = `cabinet: crowd
sizes: {width: {default: 2000 mm, least: 2000 mm, most: 3000 mm}, depth: {default: 100 mm, least: 100 mm, most: 100 mm}, height: {default: 100 mm, least: 100 mm, most: 100 mm}}
roles: {carcass: all of it}
parts:
  post: {role: carcass, count: 2990, x: (i - 1) * 20, y: [0, depth], z: [0, height], grain: z}
`

// many writes numbered lines.
func many(n int, line string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, line, i)
	}
	return b.String()
}

// doubling lets each name be the sum of the one before it with itself.
func doubling(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "  g%d: g%d + g%d\n", i+1, i, i)
	}
	return b.String()
}

// aliases names ten times the list before it, so many times over.
func aliases(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, ", &%c [%s*%c]", 'b'+i, strings.Repeat(fmt.Sprintf("*%c, ", 'a'+i), 9), 'a'+i)
	}
	return b.String()
}

// measured is the command that tells the most memory it ever had, in the file that the environment names: what the system
// books to a process that has ended counts the one that started it as well.
const measured, measuredFile = "measured-sawbook", "SAWBOOK_PEAK"

func init() { commands[measured] = runMeasured }

func runMeasured() {
	code := run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	status, err := os.ReadFile("/proc/self/status")
	if err == nil {
		err = os.WriteFile(os.Getenv(measuredFile), status, 0o666)
	}
	if err != nil {
		panic(err)
	}
	os.Exit(code)
}

// peak reads the most memory that a process had, in bytes, off what it wrote.
func peak(t *testing.T, file string) int64 {
	t.Helper()
	found := regexp.MustCompile(`VmHWM:\s*(\d+) kB`).FindStringSubmatch(read(t, file))
	if found == nil {
		t.Fatal("the system does not tell of memory")
	}
	kB, err := strconv.ParseInt(found[1], 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return kB << 10
}

// placed is a refusal with a place in a file, or of a file as a whole, and a hint.
var placed = regexp.MustCompile(`(?s)^sawbook: [^ ]+:.*\nhint: \S`)

// TestHostileInput has the command, as a process of its own, refuse what would be work without end: with a place and a hint,
// soon and with little memory.
func TestHostileInput(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts a process for each input")
	}
	factor := 1
	if info, ok := debug.ReadBuildInfo(); ok && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"}) {
		factor = 15
	}
	for _, h := range hostiles() {
		t.Run(h.name, func(t *testing.T) {
			work := copyOf(t, filepath.Join(refusalFolder, "shop"))
			path := filepath.Join(work, h.file)
			text := h.new
			if h.old != "" {
				if text = read(t, path); strings.Count(text, h.old) == 0 {
					t.Fatalf("%s holds no %q", h.file, h.old)
				}
				text = strings.Replace(text, h.old, h.new, 1)
			}
			if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
			if h.besides != "" {
				write(t, filepath.Join(work, "cabinets", "crowd.yaml"), h.besides)
			}
			before := len(readFolder(t, work))
			c := commandAs(t, measured, work, cmp.Or(h.with, "cut batches/one.yaml"))
			tells := filepath.Join(t.TempDir(), "status")
			c.Env = append(os.Environ(), measuredFile+"="+tells)
			var errs strings.Builder
			c.Stderr = &errs
			start := time.Now()
			_ = c.Run() // its code says it
			waited := time.Since(start)
			state := c.ProcessState
			spent, memory := state.UserTime()+state.SystemTime(), peak(t, tells)
			t.Logf("%v of the processor, %v of the clock, %d MB", spent.Round(time.Millisecond), waited.Round(time.Millisecond), memory>>20)
			if said := errs.String(); state.ExitCode() != exitInput || !strings.HasPrefix(said, "sawbook: "+h.say) || !placed.MatchString(said) {
				t.Errorf("exit code %d: %.600s", state.ExitCode(), said)
			}
			if len(errs.String()) > 64<<10 {
				t.Errorf("it says %d bytes", errs.Len())
			}
			if spent > mostRefusing*time.Duration(factor) || memory > mostMemory*int64(factor) {
				t.Errorf("it takes %v and %d MB", spent, memory>>20)
			}
			if waited > mostWaiting*time.Duration(factor) {
				t.Errorf("it takes %v of the clock", waited)
			}
			if after := len(readFolder(t, work)); after != before {
				t.Errorf("there were %d files, and now there are %d", before, after)
			}
		})
	}
}
