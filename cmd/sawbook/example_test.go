package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// exampleNeeds are the lines that have to be typed before a command's examples work: books need
// something to book. The longest beginning counts.
var exampleNeeds = map[string][]string{
	"sawbook stock":          {"sawbook stock receive birch-12 10", `sawbook stock offcut OC-17 birch-12 900x600`},
	"sawbook stock offcut":   {},
	"sawbook stock rebuild":  {"sawbook stock receive birch-12 10", "sawbook stock export backup/2026-11", "rm register.db"},
	"sawbook stock take":     {"sawbook stock receive birch-12 60 --size 2500x1250", "sawbook stock receive birch-12 12 --size 1524x1524", "sawbook cut batches/spring.yaml"},
	"sawbook build":          {"sawbook cut batches/spring.yaml", "sawbook build record batches/spring.yaml"},
	"sawbook build record":   {"sawbook cut batches/spring.yaml"},
	"sawbook saw":            {"sawbook cut batches/spring.yaml"},
	"sawbook page shop":      {"sawbook new shop"},
	"sawbook compare before": {"mkdir -p before", "cp -r shop.yaml cabinets before"},
	"sawbook nest":           {`printf 'part,length,width,count,grain\nside,28,18,4,length\n' > list.csv`},
}

// TestExamplesWork types every line of every command's examples into a shell, in the folder of the demo
// shop, and those of the guide. Plans are looked for quickly: how good they are is not what is tested.
func TestExamplesWork(t *testing.T) {
	if testing.Short() {
		t.Skip("types about sixty commands")
	}
	var lines []string
	for _, cmd := range allCommands(newRoot(&call{})) {
		if strings.TrimSpace(cmd.Example) == "" {
			t.Errorf("%s has no example", cmd.CommandPath())
		}
		for line := range strings.Lines(cmd.Example) {
			line = strings.TrimSpace(line)
			if !strings.HasPrefix(line, cmd.CommandPath()) {
				t.Errorf("an example of %s is %q", cmd.CommandPath(), line)
			}
			lines = append(lines, line)
		}
	}
	// in the guide, what a command does stands behind it
	shown := regexp.MustCompile(`(?m)^    (sawbook .+?)(?:  .*)?$`).FindAllStringSubmatch(read(t, filepath.Join(root, "doc", "guide.md")), -1)
	for _, m := range shown {
		lines = append(lines, m[1])
	}
	if len(lines) < 60 || len(shown) < 10 {
		t.Errorf("%d examples, %d of them in the guide, want 60 and 10", len(lines), len(shown))
	}
	slices.Sort(lines)
	shops := map[string]func() string{} // by what was typed in them
	for _, line := range slices.Compact(lines) {
		before := neededBy(line)
		key := strings.Join(before, "\n")
		if shops[key] == nil {
			folder := t.TempDir()
			shops[key] = sync.OnceValue(func() string {
				copyFolder(t, folder, demo)
				typed(t, folder, before...)
				return folder
			})
		}
		t.Run(line, func(t *testing.T) {
			t.Parallel()
			folder := t.TempDir()
			copyFolder(t, folder, shops[key]())
			typed(t, folder, line)
		})
	}
}

func neededBy(line string) []string {
	longest := ""
	for beginning := range exampleNeeds {
		if strings.HasPrefix(line, beginning) && len(beginning) > len(longest) {
			longest = beginning
		}
	}
	return exampleNeeds[longest]
}

func copyFolder(t *testing.T, to, from string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
}

// digestShown is a folder that an example names; its digest is of the day that it was written.
var digestShown = regexp.MustCompile(`out/spring-[0-9a-f]{8}`)

// typed types lines into a shell, in a folder.
func typed(t *testing.T, folder string, lines ...string) {
	t.Helper()
	for _, line := range lines {
		if digestShown.MatchString(line) {
			there, err := filepath.Glob(filepath.Join(folder, "out", "spring-????????"))
			if err != nil || len(there) != 1 {
				t.Errorf("%d folders of the spring batch, want one: %v", len(there), err)
				return
			}
			line = digestShown.ReplaceAllString(line, "out/"+filepath.Base(there[0]))
		}
		if strings.HasPrefix(line, "sawbook page") {
			served(t, folder, line)
			continue
		}
		if command, ok := strings.CutPrefix(line, "sawbook "); ok {
			line = "sawbook --effort quick " + strings.NewReplacer("--effort normal", "", "--effort thorough", "").Replace(command)
		}
		shell := exec.Command("sh", "-c", line)
		shell.Dir = folder
		if out, err := shell.CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", line, err, out)
		}
	}
}

// served starts the page on a free port, waits until it says where it is, and ends it.
func served(t *testing.T, folder, line string) {
	t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	shell := exec.CommandContext(ctx, "sh", "-c", "exec "+line+" --listen 127.0.0.1:0")
	shell.Dir = folder
	var errs bytes.Buffer
	shell.Stderr = &errs
	out, err := shell.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := shell.Start(); err != nil {
		t.Fatal(err)
	}
	first, err := bufio.NewReader(out).ReadString('\n')
	if err != nil && err != io.EOF || !strings.HasPrefix(first, "http://127.0.0.1:") {
		t.Errorf("%s: prints %q, %v\n%s", line, first, err, errs.String())
	}
	stop()
	_ = shell.Wait() // it was ended
}

// TestChangelogBeginsWithTheRelease keeps what version prints and what is told of it together.
func TestChangelogBeginsWithTheRelease(t *testing.T) {
	first := regexp.MustCompile(`(?m)^## .*$`).FindString(read(t, filepath.Join(root, "CHANGELOG.md")))
	if want := "## " + release + " (" + releaseDate + ")"; first != want {
		t.Errorf("the changelog begins with %q, want %q", first, want)
	}
}
