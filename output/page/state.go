package page

import (
	"crypto/sha256"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
)

// state is what is chosen on the page, as its address holds it:
//
//	layout=curlew&option=no-pantry&cabinet=bank-1&field=width
//	size.bank-1.width=640&role.bank-1.front.material=birch-15&role.bank-1.front.edges=bare
type state struct {
	layout, cabinet string
	field           string // the size in hand
	options         []string
	changes         []change // by cabinet and what is changed
	width           float64  // of drawings, in mm
	inView          []int    // patterns that the browser shows
	pictureAway     bool     // it shows these, and no picture
}

// How wide drawings are, in mm, unless the browser has told how wide its screen is.
const (
	leastWidth, mostWidth = 100.0, 200.0
)

// change is one size or role of a cabinet that differs from the file.
type change struct {
	cabinet string
	size    string // "" where it is a role
	role    string
	of      string // material or edges, of a role
	text    string // as typed
}

// mostChanges bounds what one address may change.
const mostChanges = 200

// mostInView bounds the patterns that a browser has drawn first.
const mostInView = 50

// readState reads an address.
func readState(q url.Values) (*state, error) {
	s := &state{layout: q.Get("layout"), cabinet: q.Get("cabinet"), field: q.Get("field"), options: slices.Clone(q["option"])}
	slices.Sort(s.options)
	s.width = mostWidth
	if w, err := strconv.ParseFloat(q.Get("width"), 64); err == nil {
		s.width = min(max(w, leastWidth), mostWidth)
	}
	s.pictureAway = q.Get("view") != ""
	for text := range strings.SplitSeq(q.Get("view"), ",") {
		if text == "picture" {
			s.pictureAway = false
		}
		if at, err := strconv.Atoi(text); err == nil && len(s.inView) < mostInView {
			s.inView = append(s.inView, at)
		}
	}
	for key := range q {
		parts := strings.Split(key, ".")
		c := change{text: strings.TrimSpace(q.Get(key))}
		switch {
		case parts[0] == "size" && len(parts) == 3:
			c.cabinet, c.size = parts[1], parts[2]
		case parts[0] == "role" && len(parts) == 4 && (parts[3] == "material" || parts[3] == "edges"):
			c.cabinet, c.role, c.of = parts[1], parts[2], parts[3]
		default:
			continue
		}
		s.changes = append(s.changes, c)
	}
	if len(s.changes) > mostChanges {
		return nil, &refusal{http.StatusRequestURITooLong, fmt.Sprintf("%d changes, more than %d", len(s.changes), mostChanges)}
	}
	slices.SortFunc(s.changes, func(a, b change) int { return strings.Compare(a.key(), b.key()) })
	return s, nil
}

func (c change) key() string {
	if c.size != "" {
		return "size." + c.cabinet + "." + c.size
	}
	return "role." + c.cabinet + "." + c.role + "." + c.of
}

// opened is a layout as its file has it, with options.
type opened struct {
	stamp  string // of all files that it depends on
	digest string // of the layout's own file
	path   string
	folder *batch.Folder
	batch  *batch.Batch

	mu   sync.Mutex
	jobs []worked // the last asked for at the end
}

// worked is what a layout comes to with some changes, at some effort.
type worked struct {
	key string
	job *batch.Job
}

// kept remembers the last layouts opened.
type kept struct {
	mu   sync.Mutex
	last []*opened
	keys []string
}

// How many layouts are remembered, and how many jobs of each.
const (
	mostKept = 8
	mostJobs = 8
)

// layouts lists the shop's layouts by their files' names.
func (s *Server) layouts() ([]string, error) {
	files, err := filepath.Glob(filepath.Join(s.root, "layouts", "*.yaml"))
	if err != nil {
		return nil, err
	}
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = strings.TrimSuffix(filepath.Base(f), ".yaml")
	}
	return names, nil
}

// open reads the layout of a state, if its files have changed since the last time.
func (s *Server) open(layout string, options []string) (*opened, error) {
	names, err := s.layouts()
	if err != nil {
		return nil, err
	}
	if !slices.Contains(names, layout) {
		return nil, &refusal{http.StatusNotFound, fmt.Sprintf("there is no layout %q", layout)}
	}
	path := filepath.Join(s.root, "layouts", layout+".yaml")
	stamp, digest, err := s.stamp(path)
	if err != nil {
		return nil, err
	}
	key := strings.Join(append([]string{layout}, options...), "\x00")
	s.kept.mu.Lock()
	defer s.kept.mu.Unlock()
	at := slices.Index(s.kept.keys, key)
	if at >= 0 && s.kept.last[at].stamp == stamp {
		return s.kept.last[at], nil
	}
	faults := &source.Collector{}
	o := &opened{stamp: stamp, digest: digest, path: path, folder: batch.OpenFolder(faults, s.root)}
	if faults.Err() == nil {
		if o.folder.Shop.Style.Denominator == 0 {
			o.folder.Shop.Style.Denominator = 32
		}
		o.batch = o.folder.Load(path, options)
	}
	if err := faults.Err(); err != nil {
		return nil, &refusal{http.StatusUnprocessableEntity, err.Error()}
	}
	if at >= 0 {
		s.kept.last[at] = o
		return o, nil
	}
	s.kept.last, s.kept.keys = append(s.kept.last, o), append(s.kept.keys, key)
	if len(s.kept.last) > mostKept {
		s.kept.last, s.kept.keys = s.kept.last[1:], s.kept.keys[1:]
	}
	return o, nil
}

// stamp returns a digest of all files that a layout may depend on, and one of its own.
func (s *Server) stamp(path string) (all, own string, err error) {
	cabinetFiles, err := filepath.Glob(filepath.Join(s.root, "cabinets", "*.yaml"))
	if err != nil {
		return "", "", err
	}
	h := sha256.New()
	for _, f := range append([]string{path, filepath.Join(s.root, "shop.yaml")}, cabinetFiles...) {
		data, err := s.read(f)
		if err != nil {
			return "", "", err
		}
		fmt.Fprintf(h, "%q %d\n", f, len(data))
		h.Write(data)
		if f == path {
			own = digestOf(data)
		}
	}
	return fmt.Sprintf("%x", h.Sum(nil)), own, nil
}

func digestOf(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data))[:16] }

// fault is what is wrong with a value of the form.
type fault struct {
	Field string `json:"field"` // the key of its change
	Text  string `json:"text"`
}

// changed returns the batch of a state, or what is wrong with it.
func (o *opened) changed(s *state) (*batch.Batch, []fault) {
	if len(s.changes) == 0 {
		return o.batch, nil
	}
	var changes []cabinets.NamedChange
	var faults []fault
	for _, c := range s.changes {
		p := o.placed(c.cabinet)
		if p == nil {
			continue // it belongs to another option
		}
		named := cabinets.NamedChange{Name: c.cabinet}
		err := o.read(c, p, &named.Change)
		if err != nil {
			faults = append(faults, fault{c.key(), err.Error()})
			continue
		}
		changes = append(changes, named)
	}
	if len(faults) > 0 {
		return nil, faults
	}
	b, err := o.batch.Changed(changes...)
	if err != nil {
		return nil, []fault{{"size." + s.cabinet + "." + s.field, err.Error()}}
	}
	return b, nil
}

// placed returns a cabinet of the layout as the file has it, nil where there is none.
func (o *opened) placed(name string) *cabinets.Placed {
	all := o.batch.Vehicles[0].Interior.Cabinets
	if i := slices.IndexFunc(all, func(p cabinets.Placed) bool { return p.Name == name }); i >= 0 {
		return &all[i]
	}
	return nil
}

// read reads a change of a cabinet.
func (o *opened) read(c change, p *cabinets.Placed, into *cabinets.Change) error {
	d, shop := p.Solid.Definition, o.folder.Shop
	if c.size != "" {
		i := slices.IndexFunc(d.Sizes, func(s cabinets.Size) bool { return s.Name == c.size })
		if i < 0 {
			return fmt.Errorf("%s has no size %q", d.Name, c.size)
		}
		value, err := d.Sizes[i].Parse(c.text, shop.Style)
		into.Sizes = map[string]measure.Length{c.size: value}
		return err
	}
	if !slices.ContainsFunc(d.Roles, func(r cabinets.Named) bool { return r.Name == c.role }) {
		return fmt.Errorf("%s has no role %q", d.Name, c.role)
	}
	refills, err := shop.ParseRefill(c.role, c.of, c.text)
	into.Roles = refills
	return err
}
