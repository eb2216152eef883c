package sawbook_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// layers are the packages from the bottom up; a package may import those of its own
// layer and of the layers below it, and nothing above.
var layers = [][]string{
	{"cabinets/measure", "nest"},
	{"cabinets/source", "cabinets/formula"},
	{"cabinets/shop"},
	{"cabinets"},
	{"cabinets/batch"},
	{"cabinets/register"},
	{"output"},
	{"cmd"},
}

// layerOf returns the index of the layer that a folder belongs to: that of the longest
// entry that it lies in.
func layerOf(folder string) int {
	found, length := -1, -1
	for i, layer := range layers {
		for _, entry := range layer {
			if (folder == entry || strings.HasPrefix(folder, entry+"/")) && len(entry) > length {
				found, length = i, len(entry)
			}
		}
	}
	return found
}

func TestImportsRunOneWay(t *testing.T) {
	arrows := 0
	for file, imports := range importsOf(t) {
		from := path.Dir(file)
		for _, to := range imports {
			arrows++
			switch {
			case layerOf(from) < 0:
				t.Errorf("%s: folder %s belongs to no layer", file, from)
			case layerOf(to) > layerOf(from):
				t.Errorf("%s imports %s, which stands above it", file, to)
			case strings.HasPrefix(to, "nest") && strings.HasPrefix(from, "nest/verify"):
				t.Errorf("%s imports %s: the verifier knows nothing of the solver", file, to)
			case strings.HasPrefix(from, "nest") && !strings.HasPrefix(to, "nest"):
				t.Errorf("%s imports %s: nesting is pure computation", file, to)
			}
		}
	}
	if arrows < 20 {
		t.Errorf("only %d imports were found: is the test looking in the right place?", arrows)
	}
}

// TestLibrariesStayInTheirPlace holds each library that is to be kept behind one folder
// to that folder.
func TestLibrariesStayInTheirPlace(t *testing.T) {
	homes := map[string]string{
		"gopkg.in/yaml.v3":               "cabinets/source",
		"github.com/expr-lang/expr":      "cabinets/formula",
		"github.com/ajstarks/svgo/float": "output/draw",
		"codeberg.org/go-pdf/fpdf":       "output/draw",
		"modernc.org/sqlite":             "cabinets/register",
		"github.com/spf13/cobra":         "cmd/sawbook",
	}
	seen := map[string]bool{}
	walkSource(t, func(file string, imports []string) {
		for _, i := range imports {
			for library, home := range homes {
				if i != library && !strings.HasPrefix(i, library+"/") {
					continue
				}
				seen[library] = true
				if path.Dir(file) != home {
					t.Errorf("%s imports %s, which belongs to %s alone", file, i, home)
				}
			}
		}
	})
	for library := range homes {
		if !seen[library] {
			t.Errorf("nothing imports %s any more: take it off this list", library)
		}
	}
}

// importsOf returns the folders of the project that each source file imports.
func importsOf(t *testing.T) map[string][]string {
	out := map[string][]string{}
	walkSource(t, func(file string, imports []string) {
		for _, i := range imports {
			if own, ok := strings.CutPrefix(i, "sawbook/"); ok {
				out[file] = append(out[file], own)
			}
		}
	})
	return out
}

// walkSource calls visit with every Go file but tests, and its imports.
func walkSource(t *testing.T, visit func(file string, imports []string)) {
	t.Helper()
	err := filepath.WalkDir(".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		var imports []string
		for _, i := range parsed.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			imports = append(imports, name)
		}
		visit(filepath.ToSlash(file), imports)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
