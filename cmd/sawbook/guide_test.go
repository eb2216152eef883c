package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// readers are the source files that read a shop's files, and the sections of the guide in which their keys
// stand.
var readers = []struct{ files, sections string }{
	{"cabinets/shop/*.go", "The shop file"},
	{"cabinets/read*.go cabinets/moves.go cabinets/runs.go cabinets/carry.go", "A cabinet"},
	{"cabinets/layout*.go cabinets/shell.go cabinets/fixing.go", "A layout"},
	{"cabinets/batch/*.go cabinets/measured.go", "A batch"},
	{"cabinets/holds.go", "A cabinet, A layout"}, // inside of the one, holds of the other
}

// TestGuideHasEveryKey holds the guide against the keys that the readers know: each stands in its section,
// as `key` or, in an example, as key: and its value.
func TestGuideHasEveryKey(t *testing.T) {
	guide := sectionsOf(read(t, filepath.Join(root, "doc", "guide.md")))
	count := 0
	for _, r := range readers {
		text := ""
		for name := range strings.SplitSeq(r.sections, ", ") {
			if guide[name] == "" {
				t.Errorf("the guide has no section %q", name)
			}
			text += guide[name]
		}
		for _, key := range keysRead(t, strings.Fields(r.files)) {
			count++
			if !regexp.MustCompile("(?m)(`|^|[ {])" + regexp.QuoteMeta(key) + "(`|:)").MatchString(text) {
				t.Errorf("%s: the guide lacks the key %q of %s", r.sections, key, r.files)
			}
		}
	}
	if count < 200 {
		t.Errorf("%d keys, want 200 or more: is the test looking in the right place?", count)
	}
}

// TestEveryKeyHasAnExample wants each key that the readers know used in a file that other tests work with: one that the guide
// shows, a built-in cabinet or the demo shop.
func TestEveryKeyHasAnExample(t *testing.T) {
	var examples strings.Builder
	for _, m := range fences.FindAllStringSubmatch(read(t, filepath.Join(root, "doc", "guide.md")), -1) {
		examples.WriteString(m[2])
	}
	for _, pattern := range []string{"cabinets/library/*.yaml", "testdata/demo/*.yaml", "testdata/demo/*/*.yaml"} {
		files, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern)))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %d files, %v", pattern, len(files), err)
		}
		for _, file := range files {
			examples.WriteString("\n" + read(t, file))
		}
	}
	for _, r := range readers {
		for _, key := range keysRead(t, strings.Fields(r.files)) {
			if !regexp.MustCompile("(?m)(^|[ {])" + regexp.QuoteMeta(key) + ":").MatchString(examples.String()) {
				t.Errorf("%s: no example has the key %q", r.sections, key)
			}
		}
	}
}

// seen is a row of the guide's table of a cabinet's keys that names a built-in cabinet.
var seen = regexp.MustCompile("(?m)^\\|[^|]*\\| ([^|]*`)[^|]*\\|.*\\| `([a-z-]+)` \\|$")

// TestGuideNamesCabinetsThatUseAKey looks into the built-in cabinets that the guide names beside keys: their own
// tests show that the keys work.
func TestGuideNamesCabinetsThatUseAKey(t *testing.T) {
	rows := seen.FindAllStringSubmatch(sectionsOf(read(t, filepath.Join(root, "doc", "guide.md")))["A cabinet"], -1)
	for _, row := range rows {
		definition := read(t, filepath.Join(root, "cabinets", "library", row[2]+".yaml"))
		for _, key := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(row[1], -1) {
			if !regexp.MustCompile("(?m)(^|[ {])" + key[1] + ":").MatchString(definition) {
				t.Errorf("%s has no key %s", row[2], key[1])
			}
		}
	}
	if len(rows) < 30 {
		t.Errorf("%d rows, want 30 or more", len(rows))
	}
}

// sectionsOf divides a text by its headings of the second level.
func sectionsOf(text string) map[string]string {
	all := map[string]string{}
	for _, part := range strings.Split("\n"+text, "\n## ")[1:] {
		name, body, _ := strings.Cut(part, "\n")
		all[name] = body
	}
	return all
}

// keysRead returns the keys that source files hand to Map and File of package source.
func keysRead(t *testing.T, patterns []string) []string {
	t.Helper()
	var files []*ast.File
	for _, pattern := range patterns {
		paths, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern)))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
	}
	// Lists of words have a name: of the package, or within one file. A list may be made of others.
	named := map[string][]string{}
	local := make([]map[string][]string, len(files))
	for range 3 {
		for i, f := range files {
			local[i] = map[string][]string{}
			ast.Inspect(f, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.ValueSpec:
					for k, value := range n.Values {
						named[n.Names[k].Name] = words(value, named)
					}
				case *ast.AssignStmt:
					if name, ok := n.Lhs[0].(*ast.Ident); ok && len(n.Lhs) == 1 && name.Name == "keys" || ok && name.Name == "known" {
						local[i][name.Name] = words(n.Rhs[0], named)
					}
				}
				return true
			})
		}
	}
	var keys []string
	for i, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			if of, ok := call.Fun.(*ast.SelectorExpr); ok && (of.Sel.Name == "Map" || of.Sel.Name == "File") {
				if pkg, ok := of.X.(*ast.Ident); ok && pkg.Name == "strings" {
					return true
				}
				for _, arg := range call.Args {
					keys = append(keys, words(arg, named, local[i])...)
				}
			}
			return true
		})
	}
	slices.Sort(keys)
	return slices.Compact(keys)
}

// words returns the texts in an expression, and those of the lists that it names.
func words(e ast.Expr, named ...map[string][]string) []string {
	var all []string
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BasicLit:
			if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING {
				all = append(all, text)
			}
		case *ast.Ident:
			for _, lists := range named {
				all = append(all, lists[n.Name]...)
			}
		}
		return true
	})
	return all
}
