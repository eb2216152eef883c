package main

import (
	"bytes"
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"sawbook/output/page"
)

// refusalFolder holds a small shop, and the table of edits that make it refused.
var refusalFolder = filepath.Join("..", "..", "testdata", "refusals")

// refusal is one row of the table: what is wrong in it, and what is said to that, exactly.
type refusal struct {
	kind, what string // file: an edited file; list: the text of a part list; call: a command line; send: a request
	old, new   string // of a file
	made       string // commands that come before, a line each
	with       string // the command that meets the file or list, where it is not the usual one
	say        string
}

// leastRefusals is how many places that refuse an input the table shows at least.
const leastRefusals = 380

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
		t.Run(r.kind+" "+r.what+": "+r.new+r.with, func(t *testing.T) {
			got := refuse(t, shop, r)
			if *update {
				r.say = got
			}
			if got != r.say {
				t.Errorf("got\n%s\nwant\n%s", got, r.say)
			}
		})
		if seen[r.say] {
			t.Errorf("%s: another row says the same", r.what+r.new)
		}
		seen[r.say] = true
	}
	if len(seen) < leastRefusals {
		t.Errorf("%d refusals, want %d or more", len(seen), leastRefusals)
	}
	if *update {
		if err := os.WriteFile(table, writeRefusals(string(text), rows), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// refuse does what a row says in a copy of the shop, and returns what is said to it. Nothing may change by it.
func refuse(t *testing.T, shop string, r *refusal) string {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("SAWBOOK_USER", "Ada")
	if err := os.CopyFS(".", os.DirFS(shop)); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(r.made) {
		if strings.HasPrefix(line, "POST ") {
			answerTo(t, strings.TrimSpace(line))
			continue
		}
		sawbook(t, exitDone, strings.Fields(named(t, line))...)
	}
	usual := ""
	switch r.kind {
	case "file":
		r.edit(t)
		usual = "cut batches/one.yaml"
	case "list":
		write(t, "list.csv", expand(r.what))
		usual = "nest list.csv --sheet 2500x1250"
	case "call":
		usual = r.what
	case "send":
		answer := answerTo(t, r.what)
		if answer < "400" {
			t.Errorf("the answer is %s", answer)
		}
		return answer
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Minute) // a row that is not refused may serve for ever
	defer stop()
	before := fileNames(t)
	var out, errs bytes.Buffer
	code := run(ctx, split(named(t, cmp.Or(r.with, usual))), strings.NewReader(""), &out, &errs)
	if code != exitInput && code != exitUsage || out.Len() > 0 {
		t.Errorf("exit code %d, want %d or %d; output %q", code, exitInput, exitUsage, out.String())
	}
	if after := fileNames(t); !slices.Equal(before, after) {
		t.Errorf("there were the files %v, and now there are %v", before, after)
	}
	return unnamed(t, cmp.Or(r.with, usual), strings.TrimRight(errs.String(), "\n"))
}

// split divides a command line at its spaces; ” is an argument that is empty.
func split(line string) []string {
	args := strings.Fields(line)
	for i, a := range args {
		args[i] = strings.ReplaceAll(a, "''", "")
	}
	return args
}

// fileNames lists the files of the shop, but for those that come and go beside an open register.
func fileNames(t *testing.T) (names []string) {
	t.Helper()
	for name := range readFolder(t, ".") {
		if !strings.HasPrefix(name, "register.db-") {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// repeated is a text written once for many: {v x 17000}.
var repeated = regexp.MustCompile(`\{([^{}]+) x (\d+)\}`)

// spelled is a character that a table cannot hold: {U+0007}.
var spelled = regexp.MustCompile(`\{U\+([0-9A-F]{4})\}`)

// expand writes out what a row abbreviates.
func expand(text string) string {
	text = repeated.ReplaceAllStringFunc(text, func(r string) string {
		found := repeated.FindStringSubmatch(r)
		times, _ := strconv.Atoi(found[2])
		return strings.Repeat(found[1], times)
	})
	return spelled.ReplaceAllStringFunc(text, func(r string) string {
		code, _ := strconv.ParseInt(spelled.FindStringSubmatch(r)[1], 16, 32)
		return string(rune(code))
	})
}

// newest is how a row writes the name of the folder that the last cut has written, which holds a digest.
const newest = "{cut}"

// named replaces newest in what a row asks for.
func named(t *testing.T, text string) string {
	t.Helper()
	if !strings.Contains(text, newest) {
		return text
	}
	return strings.ReplaceAll(text, newest, lastCut(t))
}

// unnamed is the other way round, where the row before it asked by newest.
func unnamed(t *testing.T, asked, text string) string {
	t.Helper()
	if !strings.Contains(asked, newest) {
		return text
	}
	return strings.ReplaceAll(text, lastCut(t), newest)
}

func lastCut(t *testing.T) string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join("out", "*"))
	if err != nil || len(found) != 1 {
		t.Fatalf("%d folders in out, want one: %v", len(found), err)
	}
	return filepath.Base(found[0])
}

// answerTo sends a request to the page, METHOD, address and form, and returns its code and text.
func answerTo(t *testing.T, request string) string {
	t.Helper()
	const address = "127.0.0.1:8017"
	method, target, _ := strings.Cut(named(t, expand(request)), " ")
	target, form, _ := strings.Cut(target, " ")
	req := httptest.NewRequest(method, "http://"+address+target, strings.NewReader(form))
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Origin", "http://"+address)
	rec := httptest.NewRecorder()
	page.New(".", address, "").Handler().ServeHTTP(rec, req)
	return unnamed(t, request, fmt.Sprintf("%d %s", rec.Code, strings.TrimSpace(rec.Body.String())))
}

func (r *refusal) edit(t *testing.T) {
	t.Helper()
	file := named(t, r.what)
	text := read(t, file)
	if n := strings.Count(text, r.old); n != 1 {
		t.Fatalf("%s holds %q %d times, want once", r.what, r.old, n)
	}
	write(t, file, strings.Replace(text, r.old, expand(r.new), 1))
}

// TestAlteredRecord shows what is said where somebody has taken the shop file out of a record: no edit of a text does that.
func TestAlteredRecord(t *testing.T) {
	shop, err := filepath.Abs(filepath.Join(refusalFolder, "shop"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.CopyFS(".", os.DirFS(shop)); err != nil {
		t.Fatal(err)
	}
	sawbook(t, exitDone, "cut", "batches/one.yaml")
	sawbook(t, exitDone, "build", "record", "batches/one.yaml")
	db, err := sql.Open("sqlite", "register.db")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(`UPDATE entries SET body = replace(body, '"shop.yaml"', '"shop.old"')`); err != nil {
		t.Fatal(err)
	}
	for command, want := range map[string]string{
		"build remake 1 A-002": "sawbook: the record of one holds no shop file\nhint: sawbook build verify finds what was altered\n",
		"build verify": "sawbook: register.db: is no register, or a damaged one (damaged: entry 1 is not as it was written, or one before it is missing)\n" +
			"hint: move it away with what stands beside it under its name, and run sawbook stock rebuild FOLDER with the newest export; nothing was changed\n",
	} {
		var out, errs bytes.Buffer
		if code := run(t.Context(), strings.Fields(command), nil, &out, &errs); code != exitInput || errs.String() != want {
			t.Errorf("%s: exit code %d, %q, want %d, %q", command, code, errs.String(), exitInput, want)
		}
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
// with a blank key carries the text on. A row begins with its kind.
func readRefusals(t *testing.T, table string) (rows []refusal) {
	t.Helper()
	var field *string
	for i, line := range strings.Split(table, "\n") {
		key, text, ok := strings.Cut(line, "|")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		switch key {
		case "file", "list", "call", "send":
			rows = append(rows, refusal{kind: key, what: text})
			field = &rows[len(rows)-1].what
			continue
		}
		r := &rows[len(rows)-1]
		switch key {
		case "made":
			field = &r.made
		case "with":
			field = &r.with
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
		switch key {
		case "file", "list", "call", "send":
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
