package batch

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// Folder is a shop's folder: its shop file, cabinets and layouts, read on demand.
type Folder struct {
	Root      string // as typed, so that faults name files as the user does
	Shop      *shop.Shop
	Catalogue *cabinets.Catalogue
	faults    *source.Collector
	layouts   map[string]*cabinets.Layout
	interiors map[string]*cabinets.Interior
}

// ErrNoShop means that no folder above a file holds a shop.yaml.
var ErrNoShop = errors.New("no shop.yaml in the folder or in any above it")

// shopFile is the name of a shop file in its folder.
const shopFile = "shop.yaml"

// FindFolder returns the nearest folder at or above path that holds a shop file.
func FindFolder(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	for up := path; ; {
		if _, err := os.Stat(filepath.Join(up, shopFile)); err == nil {
			return up, nil
		}
		parent := filepath.Dir(abs)
		if parent == abs {
			return "", fmt.Errorf("%s: %w", path, ErrNoShop)
		}
		abs, up = parent, filepath.Join(up, "..")
	}
}

// OpenFolder reads the shop file of a folder and finds its cabinets.
func OpenFolder(c *source.Collector, root string) *Folder {
	path := filepath.Join(root, shopFile)
	f := &Folder{Root: root, faults: c, layouts: map[string]*cabinets.Layout{}, interiors: map[string]*cabinets.Interior{}}
	f.Shop = shop.Read(c, source.ReadFile(c, path, path))
	f.Catalogue = cabinets.NewCatalogue(c, filepath.Join(root, "cabinets"))
	return f
}

// Err returns all faults met so far, as source.Faults, or nil.
func (f *Folder) Err() error { return f.faults.Err() }

// Load reads what a command is given: a batch, a layout or a cabinet, told apart by the
// file's first key, or the name of a cabinet. A layout or cabinet becomes a batch of one
// vehicle without a serial; options are chosen for it, and are not for a batch.
func (f *Folder) Load(what string, options []string) *Batch {
	if d := f.Catalogue.Lookup(what); d != nil {
		return f.one(what, f.cabinetLayout(d), source.Node{}, options)
	}
	if filepath.Ext(what) == "" && filepath.Base(what) == what {
		f.faults.Add(source.Fault{File: what, Text: "there is no such cabinet", Hint: f.hint(what)})
		return &Batch{Shop: f.Shop}
	}
	root := source.ReadFile(f.faults, what, what)
	switch kind(root) {
	case "batch":
		if len(options) > 0 {
			root.Fault("a batch chooses the options of each vehicle itself", "write options: ["+strings.Join(options, ", ")+"] beside the vehicles, or name a layout")
		}
		return f.batch(root)
	case "layout":
		l := cabinets.ReadLayout(root, f.Shop, f.Catalogue, nil)
		return f.one(l.Name, l, root, options)
	case "cabinet":
		d := f.Catalogue.Read(root)
		return f.one(d.Name, f.cabinetLayout(d), root, options)
	case "":
		root.Fault("this is no batch, layout or cabinet", "its first key says what a file is: batch, layout or cabinet")
	}
	return &Batch{Shop: f.Shop}
}

// hint says what may be meant by a name that is no cabinet's: a layout or batch is given by its file.
func (f *Folder) hint(name string) string {
	for _, folder := range []string{"layouts", "batches"} {
		path := filepath.Join(f.Root, folder, name+".yaml")
		if _, err := os.Stat(path); err == nil {
			return "write " + path
		}
	}
	return source.Suggest(name, f.Catalogue.Names())
}

// kind returns the key that says what a file is.
func kind(root source.Node) string {
	if root.IsZero() {
		return "none"
	}
	for _, e := range root.Entries() {
		switch e.Name {
		case "batch", "layout", "cabinet":
			return e.Name
		}
	}
	return ""
}

// one returns a batch of one vehicle.
func (f *Folder) one(name string, l *cabinets.Layout, at source.Node, options []string) *Batch {
	in := l.Interior(f.faults, f.Shop, at, options)
	return &Batch{Name: name, About: l.About, Shop: f.Shop, Vehicles: []Vehicle{{Interior: in}}}
}

// cabinetLayout stands a cabinet alone in an interior of its own size.
func (f *Folder) cabinetLayout(d *cabinets.Definition) *cabinets.Layout {
	return &cabinets.Layout{Name: d.Name, About: d.About, Cabinets: []cabinets.Placement{{Name: d.Name, Definition: d}}}
}

// mostVehicles bounds a batch: a hundred times what a shop builds in years.
const mostVehicles = 20_000

// batch reads a batch file.
func (f *Folder) batch(root source.Node) *Batch {
	m := root.File("batch", "about", "vehicles", "releases")
	b := &Batch{Name: fileName(m.Need("batch")), About: m.Get("about").Text(), Shop: f.Shop}
	list := m.Need("vehicles")
	if items := list.Items(); len(items) == 0 {
		list.Fault("a batch needs vehicles", "list at least one: - {layout: NAME, serials: [1]}")
	}
	seen := map[string]bool{}
	for _, n := range list.Items() {
		b.Vehicles = append(b.Vehicles, f.vehicles(n, seen)...)
	}
	b.Releases = f.releases(m.Get("releases"), b)
	return b
}

// fileName reads a name that a folder may be called by.
func fileName(n source.Node) string {
	name := n.Text()
	if strings.ContainsAny(name, `/\:*?"<>|`) || strings.HasPrefix(name, ".") {
		n.Fault(strconv.Quote(name)+" cannot name a folder", `leave out / \ : * ? " < > | and a leading dot`)
		return ""
	}
	return name
}

func (f *Folder) vehicles(n source.Node, seen map[string]bool) []Vehicle {
	m := n.Map("layout", "serials", "options", "measured")
	serials := m.Need("serials")
	in := f.interior(m.Need("layout"), m.Get("options"), m.Get("measured"), serials)
	if serials.IsList() && len(serials.Items()) == 0 {
		serials.Fault("no serials", "give each vehicle its serial: [31, 32]")
	}
	var vs []Vehicle
	for _, s := range serials.Items() {
		if len(seen) == mostVehicles {
			s.Fault(fmt.Sprintf("more than %d vehicles in one batch", mostVehicles), "make it several batches")
			break
		}
		serial := s.Text()
		if seen[serial] {
			s.Fault("serial "+serial+" stands twice in this batch", "each vehicle has a serial of its own")
			continue
		}
		seen[serial] = true
		if in != nil {
			vs = append(vs, Vehicle{Serial: serial, Interior: in})
		}
	}
	return vs
}

// interior returns a layout with its options chosen; vehicles of the same layout and
// options share one, if they have no measures of their own.
func (f *Folder) interior(layout, options, measured, serials source.Node) *cabinets.Interior {
	name := layout.Text()
	chosen := []string{}
	for _, o := range options.Items() {
		chosen = append(chosen, o.Text())
	}
	if !measured.IsZero() {
		if l := f.measuredLayout(layout, measured, serials); l != nil {
			return l.Interior(f.faults, f.Shop, options, chosen)
		}
		return nil
	}
	key := strings.Join(append([]string{name}, slices.Sorted(slices.Values(chosen))...), "\x00")
	if in, ok := f.interiors[key]; ok {
		return in
	}
	var in *cabinets.Interior
	if l := f.Layout(layout); l != nil {
		in = l.Interior(f.faults, f.Shop, options, chosen)
	}
	f.interiors[key] = in
	return in
}

// measuredLayout reads a layout as it is in vehicles with measures of their own.
func (f *Folder) measuredLayout(layout, measured, serials source.Node) *cabinets.Layout {
	l := f.Layout(layout)
	if l == nil {
		return nil
	}
	var who []string
	for _, s := range serials.Items() {
		who = append(who, s.Text())
	}
	before := f.faults.Count()
	own := l.ReadMeasured(measured, f.Shop.Unit, strings.Join(who, ", "))
	if f.faults.Count() > before {
		return nil
	}
	path := filepath.Join(f.Root, "layouts", layout.Text()+".yaml")
	return cabinets.ReadLayout(source.ReadFile(f.faults, path, path), f.Shop, f.Catalogue, own)
}

// Layout reads the layout that a node names, once.
func (f *Folder) Layout(n source.Node) *cabinets.Layout {
	name := n.Text()
	if name == "" {
		return nil
	}
	if l, ok := f.layouts[name]; ok {
		return l
	}
	path := filepath.Join(f.Root, "layouts", name+".yaml")
	var l *cabinets.Layout
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) || name != filepath.Base(name) {
		n.Fault("there is no layout "+strconv.Quote(name), f.layoutHint(name))
	} else {
		l = cabinets.ReadLayout(source.ReadFile(f.faults, path, path), f.Shop, f.Catalogue, nil)
	}
	f.layouts[name] = l
	return l
}

func (f *Folder) layoutHint(name string) string {
	files, _ := filepath.Glob(filepath.Join(f.Root, "layouts", "*.yaml"))
	var known []string
	for _, path := range files {
		known = append(known, strings.TrimSuffix(filepath.Base(path), ".yaml"))
	}
	return source.Suggest(name, known)
}
