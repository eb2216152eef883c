package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// refusalFolder holds a small shop, and the table of edits that make it refused.
var refusalFolder = filepath.Join("..", "..", "testdata", "refusals")

// refusal is one row of the table: in a file of the shop, old becomes new, and cutting
// the batch must then say exactly that.
type refusal struct{ file, old, new, say string }

func TestRefusals(t *testing.T) {
	table := filepath.Join(refusalFolder, "table.txt")
	text, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	shop, err := filepath.Abs(filepath.Join(refusalFolder, "shop"))
	if err != nil {
		t.Fatal(err)
	}
	rows := readRefusals(t, string(text))
	seen := map[string]bool{}
	for i := range rows {
		r := &rows[i]
		t.Run(r.file+": "+r.new, func(t *testing.T) {
			got := refuse(t, shop, r)
			if *update {
				r.say = got
			}
			if got != r.say {
				t.Errorf("got\n%s\nwant\n%s", got, r.say)
			}
		})
		if seen[r.say] {
			t.Errorf("%s: another row says the same", r.new)
		}
		seen[r.say] = true
	}
	if len(seen) < 40 {
		t.Errorf("%d refusals, want 40 or more", len(seen))
	}
	if *update {
		if err := os.WriteFile(table, writeRefusals(string(text), rows), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// refuse makes the edit in a copy of the shop, cuts its batch and returns what is said.
func refuse(t *testing.T, shop string, r *refusal) string {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.CopyFS(".", os.DirFS(shop)); err != nil {
		t.Fatal(err)
	}
	r.edit(t)
	var out, errs bytes.Buffer
	code := run(context.Background(), []string{"cut", filepath.Join("batches", "one.yaml")}, nil, &out, &errs)
	if code != exitInput || out.Len() > 0 {
		t.Errorf("exit code %d, want %d; output %q", code, exitInput, out.String())
	}
	if _, err := os.Stat("out"); err == nil {
		t.Error("a refused batch left a folder")
	}
	return strings.TrimRight(errs.String(), "\n")
}

func (r *refusal) edit(t *testing.T) {
	t.Helper()
	text, err := os.ReadFile(r.file)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(text), r.old); n != 1 {
		t.Fatalf("%s holds %q %d times, want once", r.file, r.old, n)
	}
	if err := os.WriteFile(r.file, []byte(strings.Replace(string(text), r.old, r.new, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestRefusalsStartFromAGoodShop shows that it is the edit that is refused.
func TestRefusalsStartFromAGoodShop(t *testing.T) {
	var text, errs bytes.Buffer
	batch := filepath.Join(refusalFolder, "shop", "batches", "one.yaml")
	if code := run(context.Background(), []string{"cut", batch, "--out", t.TempDir()}, nil, &text, &errs); code != exitDone {
		t.Errorf("exit code %d, want %d: %s", code, exitDone, errs.String())
	}
}

// readRefusals reads the table: a line is a key of four letters, a bar and text; one
// with a blank key carries the text on.
func readRefusals(t *testing.T, table string) (rows []refusal) {
	t.Helper()
	var field *string
	for i, line := range strings.Split(table, "\n") {
		key, text, ok := strings.Cut(line, "|")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		if key == "file" {
			rows = append(rows, refusal{file: text})
			continue
		}
		r := &rows[len(rows)-1]
		switch key {
		case "old ":
			field = &r.old
		case "new ":
			field = &r.new
		case "say ":
			field = &r.say
		case "    ":
			text = "\n" + text
		default:
			t.Fatalf("line %d of the table has the key %q", i+1, key)
		}
		*field += text
	}
	return rows
}

// writeRefusals writes the table again, with what each row says now.
func writeRefusals(table string, rows []refusal) []byte {
	var b bytes.Buffer
	row, said := -1, false
	for line := range strings.Lines(table) {
		key, _, _ := strings.Cut(line, "|")
		if key == "file" {
			row++
		}
		said = key == "say " || said && key == "    "
		switch {
		case key == "say ":
			b.WriteString("say |" + strings.ReplaceAll(rows[row].say, "\n", "\n    |") + "\n")
		case !said:
			b.WriteString(line)
		}
	}
	return b.Bytes()
}
