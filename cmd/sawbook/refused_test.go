package main

import (
	"bufio"
	"cmp"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var profiles = flag.String("profiles", "", "a folder of cover profiles: table.cov of TestRefusals, the others of all other tests; .ci/refusals makes it")

// unshown lists the places that refuse an input and that no test reaches, a line each: file: text | why. A text is the first
// that stands there.
var unshown = filepath.Join(refusalFolder, "unshown.txt")

// refusing are what builds a refusal: functions by their names, and types. What they do inside is no place of its own.
var refusing = map[string]bool{
	"Fault": true, "FaultAt": true, "fault": true, "faultf": true, "refuse": true, "refusedf": true, "unfit": true, "wrong": true, "damaged": true,
	"fmt.Errorf": true, "errors.New": true, "http.Error": true,
	"Error": true, "SyntaxError": true, "FaultError": true, "NoLayoutError": true, "usageError": true, "refusal": true, "Refusal": true, "Refused": true,
}

// refusedAt is a place that refuses an input.
type refusedAt struct {
	file, text   string
	line, column int
	table        bool // a row of the table comes here
	others       bool // another test does
}

// TestEveryRefusalIsShown finds where the source refuses something, and wants each place shown by a row of the table or by
// another test, or listed with a reason.
func TestEveryRefusalIsShown(t *testing.T) {
	if *profiles == "" {
		t.Skip("bash .ci/refusals runs it, with what the other tests cover")
	}
	all := refusals(t)
	table, err := os.ReadFile(filepath.Join(*profiles, "table.cov"))
	if err != nil {
		t.Fatal(err)
	}
	others := ""
	files, err := filepath.Glob(filepath.Join(*profiles, "*.cov"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if filepath.Base(file) != "table.cov" {
			others += read(t, file)
		}
	}
	mark(t, all, string(table), func(r *refusedAt) { r.table = true })
	mark(t, all, others, func(r *refusedAt) { r.others = true })
	reasons := readUnshown(t)
	needed := map[string]bool{}
	inTable, byOthers, listed := 0, 0, 0
	for _, r := range all {
		key := r.file + ": " + r.text
		switch {
		case r.table:
			inTable++
		case r.others:
			byOthers++
			t.Logf("no row, but another test: %s:%d: %s", r.file, r.line, r.text)
		case reasons[key] != "":
			listed++
			needed[key] = true
		default:
			t.Errorf("%s:%d: no test comes here: %s", r.file, r.line, r.text)
		}
	}
	for key := range reasons {
		if !needed[key] {
			t.Errorf("%s lists what is shown, or gone: %s", unshown, key)
		}
	}
	t.Logf("%d places refuse something: %d are in the table, other tests show %d, and %d are listed with a reason", len(all), inTable, byOthers, listed)
	if len(all) < leastRefusals {
		t.Errorf("only %d places were found: is the test looking in the right place?", len(all))
	}
}

// refusals finds the places in the source, in order.
func refusals(t *testing.T) (all []*refusedAt) {
	t.Helper()
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		name, _ := filepath.Rel(root, path)
		name = filepath.ToSlash(name)
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || strings.Contains(name, "internal/sample/") {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		bodies(file, func(body ast.Node) {
			ast.Inspect(body, func(n ast.Node) bool {
				text, refuses := refusalIn(n)
				if refuses {
					at := set.Position(n.Pos())
					all = append(all, &refusedAt{file: name, line: at.Line, column: at.Column, text: text})
				}
				return !refuses
			})
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// bodies calls do with all that runs: functions, but those that only pass a refusal on, and values that are functions.
func bodies(file *ast.File, do func(body ast.Node)) {
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if !refusing[d.Name.Name] && d.Body != nil {
				do(d.Body)
			}
		case *ast.GenDecl:
			ast.Inspect(d, func(n ast.Node) bool {
				f, ok := n.(*ast.FuncLit)
				if ok {
					do(f.Body)
				}
				return !ok
			})
		}
	}
}

// wording is what a text has beyond verbs and punctuation. One without any only adds a place to another error.
var wording = regexp.MustCompile(`(^|[^%\pL])\pL{2}`)

// refusalIn reports whether a node builds a refusal, and the first text that stands in it.
func refusalIn(n ast.Node) (text string, refuses bool) {
	var called ast.Expr
	switch n := n.(type) {
	case *ast.CallExpr:
		called = n.Fun
	case *ast.CompositeLit:
		if called = n.Type; called == nil || len(n.Elts) == 0 {
			return "", false
		}
	default:
		return "", false
	}
	name := ""
	switch called := called.(type) {
	case *ast.Ident:
		name = called.Name
	case *ast.SelectorExpr:
		if name = called.Sel.Name; !refusing[name] || name == "Error" {
			of, _ := called.X.(*ast.Ident)
			name = fmt.Sprintf("%v.%s", of, name)
		}
	}
	if !refusing[name] {
		return "", false
	}
	ast.Inspect(n, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING && text == "" {
			text, _ = strconv.Unquote(lit.Value)
		}
		return true
	})
	text, _, _ = strings.Cut(text, "\n")
	return cmp.Or(text, "what another error says"), name != "fmt.Errorf" || wording.MatchString(text)
}

// mark marks the places that lie in blocks which a cover profile counts.
func mark(t *testing.T, all []*refusedAt, profile string, reached func(*refusedAt)) {
	t.Helper()
	lines := bufio.NewScanner(strings.NewReader(profile))
	blocks := 0
	for lines.Scan() {
		file, block, ok := strings.Cut(strings.TrimPrefix(lines.Text(), "sawbook/"), ":")
		var from, fromColumn, to, toColumn, statements, count int
		if _, err := fmt.Sscanf(block, "%d.%d,%d.%d %d %d", &from, &fromColumn, &to, &toColumn, &statements, &count); !ok || err != nil {
			continue // the mode
		}
		blocks++
		for _, r := range all {
			begun := from < r.line || from == r.line && fromColumn <= r.column
			if count > 0 && r.file == file && begun && (r.line < to || r.line == to && r.column < toColumn) {
				reached(r)
			}
		}
	}
	if blocks == 0 {
		t.Fatal("a profile counts no block")
	}
}

// readUnshown reads the list of what no test reaches: reasons by file and text.
func readUnshown(t *testing.T) map[string]string {
	t.Helper()
	reasons := map[string]string{}
	for line := range strings.Lines(read(t, unshown)) {
		key, reason, ok := strings.Cut(strings.TrimSuffix(line, "\n"), " | ")
		if ok && !strings.HasPrefix(line, "#") {
			reasons[key] = reason
		}
	}
	return reasons
}
