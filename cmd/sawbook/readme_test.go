package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var root = filepath.Join("..", "..")

// fences are fenced blocks: what follows ``` on their first line, and the
// text in them.
var fences = regexp.MustCompile("(?s)```([a-z]*)\n(.*?)```")

// block returns a text's first fenced block that begins with a line.
func block(t *testing.T, in, begins string) string {
	t.Helper()
	for _, m := range fences.FindAllStringSubmatch(in, -1) {
		if strings.HasPrefix(m[2], begins) {
			return m[2]
		}
	}
	t.Fatalf("there is no block that begins with %q", begins)
	return ""
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// sawbook runs the command in this process and returns what it printed.
func sawbook(t *testing.T, wantCode int, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), args, nil, &out, &errs); code != wantCode {
		t.Fatalf("sawbook %s: exit code %d, want %d\n%s", strings.Join(args, " "), code, wantCode, errs.String())
	}
	return out.String()
}

// TestReadmeShowsWhatCutPrints runs the README's first command and holds its output and
// its diagram against what the README shows.
func TestReadmeShowsWhatCutPrints(t *testing.T) {
	if testing.Short() {
		t.Skip("normal effort")
	}
	path := filepath.Join(root, "README.md")
	readme := read(t, path)
	out := t.TempDir()
	got := sawbook(t, exitDone, "cut", filepath.Join(demo, "batches", "spring.yaml"), "--out", out)
	got = strings.ReplaceAll(got, out+string(filepath.Separator), "out/")
	folder := filepath.Join(out, regexp.MustCompile(`out/(.*)`).FindStringSubmatch(got)[1])
	diagram := read(t, filepath.Join(folder, "diagrams", "A-1.svg"))
	kept := filepath.Join(root, "doc", "pattern.svg")
	shown := block(t, readme, "birch-12: ")
	if *update {
		write(t, kept, diagram)
		write(t, path, strings.Replace(readme, shown, got, 1))
		return
	}
	if shown != got {
		t.Errorf("the README shows\n%s\nand cut prints\n%s", shown, got)
	}
	if read(t, kept) != diagram {
		t.Errorf("%s is not what cut draws", kept)
	}
}

// TestGuideFilesWork copies the files that the guide shows into shops and uses them.
func TestGuideFilesWork(t *testing.T) {
	guide := read(t, filepath.Join(root, "doc", "guide.md"))
	cabinet := block(t, guide, "cabinet: spice-rack")

	own := t.TempDir()
	write(t, filepath.Join(own, "shop.yaml"), block(t, guide, "shop: "))
	write(t, filepath.Join(own, "cabinets", "spice-rack.yaml"), cabinet)
	if got := sawbook(t, exitDone, "check", filepath.Join(own, "cabinets", "spice-rack.yaml")); got != "nothing found\n" {
		t.Errorf("the guide's shop and cabinet: %s", got)
	}

	write(t, filepath.Join(own, "cabinets", "key-board.yaml"), block(t, guide, "cabinet: key-board"))
	if got := sawbook(t, exitDone, "check", filepath.Join(own, "cabinets", "key-board.yaml")); got != "nothing found\n" {
		t.Errorf("the guide's board: %s", got)
	}
	write(t, filepath.Join(own, "shop.yaml"), block(t, guide, "shop: ")+block(t, guide, "quote:"))
	if got := sawbook(t, exitDone, "quote", filepath.Join(own, "cabinets", "spice-rack.yaml"), "--effort", "quick"); !strings.Contains(got, "2026-11-01") {
		t.Errorf("the guide's quote: %s", got)
	}

	write(t, filepath.Join(own, "shop.yaml"), block(t, guide, "shop: Inch"))
	// 500 mm are 19.685 in and 90 mm 3.543 in, to the nearest 1/32 in; a twentieth of one sheet is one more.
	for command, want := range map[string]string{"parts": "  19 11/16  3 17/32  ", "price": "birch, spare  1.00  sheets    1  96 x 48 in  88.00 "} {
		if got := sawbook(t, exitDone, command, filepath.Join(own, "cabinets", "spice-rack.yaml"), "--effort", "quick"); !strings.Contains(got, want) {
			t.Errorf("the guide's shop in inches, %s: %s", command, got)
		}
	}

	full := t.TempDir()
	write(t, filepath.Join(full, "shop.yaml"), read(t, filepath.Join(demo, "shop.yaml")))
	write(t, filepath.Join(full, "cabinets", "spice-rack.yaml"), cabinet)
	layout := block(t, guide, "layout: ")
	write(t, filepath.Join(full, "layouts", "sandpiper.yaml"), layout)
	write(t, filepath.Join(full, "batches", "first-two.yaml"), block(t, guide, "batch: "))
	got := sawbook(t, exitDone, "cut", filepath.Join(full, "batches", "first-two.yaml"), "--effort", "quick", "--out", t.TempDir())
	if !strings.Contains(got, "birch-12: ") {
		t.Errorf("the guide's batch: %s", got)
	}
	for _, option := range []string{"wide-bank", "wide-bank,tall-bank", "open-shelves"} {
		if got := sawbook(t, exitDone, "check", filepath.Join(full, "layouts", "sandpiper.yaml"), "--option", option); got != "nothing found\n" {
			t.Errorf("the guide's layout with its option %s: %s", option, got)
		}
	}
	// The inside as measured, and the releases, are shown apart from the files that they go into.
	write(t, filepath.Join(full, "layouts", "measured.yaml"), layout+block(t, guide, "shell:"))
	if got := sawbook(t, exitDone, "check", filepath.Join(full, "layouts", "measured.yaml")); got != "nothing found\n" {
		t.Errorf("the guide's layout in its shell: %s", got)
	}
	write(t, filepath.Join(full, "batches", "released.yaml"), block(t, guide, "batch: ")+block(t, guide, "releases:"))
	for _, release := range []string{"carcasses", "fronts"} {
		if got := sawbook(t, exitDone, "cut", filepath.Join(full, "batches", "released.yaml"), "--release", release, "--effort", "quick", "--out", t.TempDir()); !strings.Contains(got, "in all: ") {
			t.Errorf("the guide's release %s: %s", release, got)
		}
	}
	// A vehicle that was measured: 100 mm less from the bank to the wheel box. Lips stand between sides of 11.9 mm: 694 - 23.8, down to the step.
	write(t, filepath.Join(full, "layouts", "wren.yaml"), "layout: Wren\ninside: {length: 2600 mm, width: 1800 mm, height: 1800 mm}\n"+block(t, guide, "measures:"))
	write(t, filepath.Join(full, "batches", "measured.yaml"), "batch: measured\nvehicles: [{layout: wren, serials: [33]}, {layout: wren, serials: [34], measured: {inside: {width: 1794 mm}, gap: 600 mm}}]\n")
	if got := sawbook(t, exitDone, "parts", filepath.Join(full, "batches", "measured.yaml"), "--csv"); !strings.Contains(got, ",lip,birch-12,670,") || !strings.Contains(got, ",lip,birch-12,570,") {
		t.Errorf("the guide's measured vehicle: %s", got)
	}
}
