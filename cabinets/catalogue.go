package cabinets

import (
	"cmp"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sawbook/cabinets/library"
	"sawbook/cabinets/source"
)

// Catalogue finds cabinets by name: the shop's own first, then the built-in ones. A
// definition is read when it is first asked for.
type Catalogue struct {
	faults  *source.Collector
	files   map[string]cabinetFile
	names   []string
	read    map[string]*Definition
	reading []string // those being read, each used by the one before
}

// cabinetFile is where a definition is to be read from.
type cabinetFile struct {
	in          fs.FS
	name, shown string
}

// NewCatalogue lists the definitions in a shop's folder, which may be missing, and in
// the library. Faults of what is read later go to c.
func NewCatalogue(c *source.Collector, folder string) *Catalogue {
	k := &Catalogue{faults: c, files: map[string]cabinetFile{}, read: map[string]*Definition{}}
	k.add(os.DirFS(folder), func(name string) string { return filepath.Join(folder, name) })
	k.add(library.Files, func(name string) string { return "library/" + name })
	slices.SortFunc(k.names, func(a, b string) int { return cmp.Compare(a, b) })
	return k
}

// add lists a folder's definitions, those known already excepted.
func (k *Catalogue) add(in fs.FS, shown func(name string) string) {
	files, _ := fs.Glob(in, "*.yaml") // the pattern is sound; a folder that is missing holds none
	for _, name := range files {
		cabinet := strings.TrimSuffix(name, ".yaml")
		if _, known := k.files[cabinet]; !known {
			k.files[cabinet] = cabinetFile{in, name, shown(name)}
			k.names = append(k.names, cabinet)
		}
	}
}

// Names lists all cabinets, sorted.
func (k *Catalogue) Names() []string { return slices.Clone(k.names) }

// Text returns a definition as its file has it.
func (k *Catalogue) Text(name string) (string, error) {
	file, known := k.files[name]
	if !known {
		return "", fmt.Errorf("there is no cabinet %q", name)
	}
	text, err := fs.ReadFile(file.in, file.name)
	return string(text), err
}

// Lookup returns the cabinet with a name, nil where there is none.
func (k *Catalogue) Lookup(name string) *Definition {
	if d := k.read[name]; d != nil {
		return d
	}
	file, known := k.files[name]
	if !known {
		return nil
	}
	r, err := file.in.Open(file.name)
	if err != nil {
		k.faults.Add(source.Fault{File: file.shown, Text: "the file cannot be read", Hint: "check its permissions"})
		return nil
	}
	defer r.Close()
	root := source.Read(k.faults, file.shown, r)
	k.reading = append(k.reading, name)
	d := k.Read(root)
	k.reading = k.reading[:len(k.reading)-1]
	if d.Name != name && d.Name != "" {
		d.name.Fault(fmt.Sprintf("the cabinet is called %q, its file %s", d.Name, file.name), "give both the same name")
		d.Name = name
	}
	k.read[name] = d
	return d
}

// Find returns the cabinet that a node names. Where there is none, or it is used within
// itself, that is a fault at the node.
func (k *Catalogue) Find(n source.Node) *Definition {
	name := n.Text()
	if at := slices.Index(k.reading, name); at >= 0 {
		n.Fault("the cabinet is used within itself: "+strings.Join(append(slices.Clone(k.reading[at:]), name), " > "), "a cabinet cannot hold itself")
		return nil
	}
	d := k.Lookup(name)
	if _, known := k.files[name]; !known && n.IsText() {
		unknown(n, "cabinet", name, k.names)
	}
	return d
}

// Read reads a definition that is given as a file of its own.
func (k *Catalogue) Read(root source.Node) *Definition {
	before := k.faults.Count()
	d := ReadDefinition(root, k.Find)
	d.faulty = k.faults.Count() > before
	return d
}
