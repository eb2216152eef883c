// Package migrate brings a shop's files to the form that this tool reads.
package migrate

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"sawbook/cabinets/source"

	"github.com/moby/sys/atomicwriter"
)

// change tells what became of a size of a built-in cabinet. Text between braces stands for the value of
// another size; an empty name means that the size is gone.
type change struct{ cabinet, size, becomes string }

// steps lead from each form to the next, from form 0: that of files that say nothing of their form. A
// step that has been released never changes.
var steps = [source.Form][]change{{
	{"drawer-bank", "lowest", "fronts-1"},
	{"drawer-bank", "highest", "fronts-{drawers}"},
	{"counter", "web", ""}, // what stays beside a cut-out is web, under limits of the shop file
}}

// usual are sizes as they were where a file left them out.
var usual = map[string]string{"drawers": "3"}

// File is a file that has to change.
type File struct {
	Path, Name string // Name is the path below the shop's folder, with slashes
	Old, New   string
	Changes    []string // what changes, for people
}

// Plan returns which files of a shop's folder have to change, and to what; nothing is written. What cannot
// be read, or changed without an editor, goes to c.
func Plan(c *source.Collector, root string) []File {
	var files []File
	for _, pattern := range []string{"shop.yaml", "cabinets/*.yaml", "layouts/*.yaml", "batches/*.yaml"} {
		paths, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern)))
		if err != nil {
			c.Add(source.Fault{File: root, Text: err.Error(), Hint: "name the shop's folder otherwise"})
		}
		for _, path := range paths {
			if f := plan(c, root, path); f.New != f.Old {
				files = append(files, f)
			}
		}
	}
	return files
}

func plan(c *source.Collector, root, path string) File {
	before := c.Count()
	node := source.ReadFile(c, path, path)
	form := node.Form()
	if c.Count() > before || form == source.Form {
		return File{}
	}
	text, err := os.ReadFile(path)
	name, err2 := filepath.Rel(root, path)
	if err := errors.Join(err, err2); err != nil {
		c.Add(source.Fault{File: path, Text: err.Error(), Hint: "check the path and its permissions"})
		return File{}
	}
	f := File{Path: path, Name: filepath.ToSlash(name), Old: string(text), New: string(text)}
	for _, step := range steps[form:] {
		for _, s := range sizesIn(source.Read(c, path, strings.NewReader(f.New))) {
			f.apply(step, s)
		}
	}
	f.New, err = source.Set(f.New, []string{"sawbook"}, strconv.Itoa(source.Form))
	if err != nil {
		node.Fault(err.Error(), "write sawbook: "+strconv.Itoa(source.Form)+" at its head yourself")
	}
	return f
}

// apply makes the changes of a step to the sizes of one cabinet.
func (f *File) apply(step []change, s sizes) {
	for _, e := range s.node.Entries() {
		for _, c := range step {
			if c.cabinet != s.cabinet || c.size != e.Name {
				continue
			}
			path := append(s.path[:len(s.path):len(s.path)], e.Name)
			becomes, err := s.fill(c.becomes)
			said, text := strings.Join(path, ".")+" is now "+becomes, ""
			switch {
			case err != nil:
			case becomes == "":
				said = strings.Join(path, ".") + " is no more"
				text, err = source.Delete(f.New, path)
			default:
				text, err = source.Rename(f.New, path, becomes)
			}
			if err != nil {
				e.Key.Fault(said+", and only an editor can change how it is written", "change it, then migrate again")
				continue
			}
			f.New, f.Changes = text, append(f.Changes, said)
		}
	}
}

// sizes are the sizes that a file gives a cabinet somewhere.
type sizes struct {
	path    []string
	cabinet string
	node    source.Node
	placed  source.Node // those of the cabinet that an option changes, else zero
}

// fill puts the value of a size, a whole number, in place of its name between braces.
func (s sizes) fill(name string) (string, error) {
	before, of, ok := strings.Cut(name, "{")
	if !ok {
		return name, nil
	}
	of, after, _ := strings.Cut(of, "}")
	value := usual[of]
	for _, n := range []source.Node{s.placed, s.node} {
		if given := get(n, of); given.IsText() {
			value = given.Text()
		}
	}
	_, err := strconv.Atoi(value)
	return before + value + after, err
}

// sizesIn finds the sizes that a layout or a cabinet gives to the cabinets in it.
func sizesIn(root source.Node) []sizes {
	var all []sizes
	placed := map[string]sizes{}
	in := func(n source.Node, path ...string) {
		for _, e := range entries(n) {
			s := sizes{path: append(path[:len(path):len(path)], e.Name, "sizes"), cabinet: get(e.Value, "cabinet").Text(), node: get(e.Value, "sizes")}
			all, placed[e.Name] = append(all, s), s
		}
	}
	in(get(root, "uses"), "uses")
	in(get(root, "cabinets"), "cabinets")
	options := entries(get(root, "options"))
	for _, o := range options {
		in(get(o.Value, "add"), "options", o.Name, "add")
		in(get(o.Value, "replace"), "options", o.Name, "replace")
	}
	for _, o := range options {
		for _, e := range entries(get(o.Value, "change")) {
			of := placed[e.Name]
			all = append(all, sizes{path: []string{"options", o.Name, "change", e.Name, "sizes"}, cabinet: of.cabinet, node: get(e.Value, "sizes"), placed: of.node})
		}
	}
	return all
}

// entries returns the entries of a mapping, none of anything else: what a file should be is for its reader
// to say.
func entries(n source.Node) []source.Entry {
	if !n.IsMap() {
		return nil
	}
	return n.Entries()
}

func get(n source.Node, key string) source.Node {
	for _, e := range entries(n) {
		if e.Name == key {
			return e.Value
		}
	}
	return source.Node{}
}

// Write replaces the files, each whole. Where one cannot be, those before it get their old text again. A
// machine that stops in between leaves files of both forms, of which each is whole; migrating again goes on.
func Write(files []File) error {
	for i, f := range files {
		err := f.replace(f.New)
		if err == nil {
			continue
		}
		for _, done := range files[:i] {
			err = errors.Join(err, done.replace(done.Old))
		}
		return fmt.Errorf("no file was changed: %w", err)
	}
	return nil
}

func (f File) replace(text string) error {
	info, err := os.Stat(f.Path)
	if err != nil {
		return err
	}
	return atomicwriter.WriteFile(f.Path, []byte(text), info.Mode().Perm())
}
