package page

import (
	"errors"
	"fmt"
	"net/http"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/source"
	"sawbook/output/folder"
)

// saved says what a file is called that was written, and its digest.
type saved struct {
	File   string `json:"file"`
	Digest string `json:"digest"`
}

// save writes what is changed back to the layout's file, unless that has changed since.
func (s *Server) save(w http.ResponseWriter, r *http.Request) {
	done, err := s.saveLayout(w, r)
	reply(w, done, err)
}

func (s *Server) saveLayout(w http.ResponseWriter, r *http.Request) (*saved, error) {
	st, err := posted(r)
	if err != nil {
		return nil, err
	}
	s.saving.Lock()
	defer s.saving.Unlock()
	o, b, err := s.openBuildable(st)
	if err != nil {
		return nil, err
	}
	text, err := s.read(o.path)
	if err != nil {
		return nil, err
	}
	if digest := r.PostForm.Get("digest"); digest != digestOf(text) {
		return nil, &refusal{http.StatusConflict, filepath.Base(o.path) + " was changed by somebody else since it was read: load the page anew, and your changes go onto theirs"}
	}
	changed := string(text)
	for _, c := range st.changes {
		p := o.placed(c.cabinet)
		if p == nil {
			continue
		}
		if changed, err = source.Set(changed, o.pathOf(c), written(c, p, o)); err != nil {
			return nil, &refusal{http.StatusUnprocessableEntity, "not saved: " + err.Error()}
		}
	}
	if err := o.same(changed, b); err != nil {
		return nil, err
	}
	if err := folder.Replace(o.path, changed); err != nil {
		return nil, err
	}
	return &saved{filepath.Base(o.path), digestOf([]byte(changed))}, nil
}

// openBuildable opens the layout that a state is of, and applies its changes, which must be buildable.
func (s *Server) openBuildable(st *state) (*opened, *batch.Batch, error) {
	o, err := s.open(st.layout, st.options)
	if err != nil {
		return nil, nil, err
	}
	b, err := o.buildable(st)
	return o, b, err
}

// posted reads the state that a request brings.
func posted(r *http.Request) (*state, error) {
	if err := r.ParseForm(); err != nil {
		code := http.StatusBadRequest
		if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
			code = http.StatusRequestEntityTooLarge
		}
		return nil, &refusal{code, "the form that was sent cannot be read: " + err.Error()}
	}
	st, err := readState(r.PostForm)
	if err == nil && len(st.changes) == 0 {
		err = &refusal{http.StatusUnprocessableEntity, "nothing is changed"}
	}
	return st, err
}

// buildable returns the batch of a state that has no faults.
func (o *opened) buildable(st *state) (*batch.Batch, error) {
	b, faults := o.changed(st)
	if len(faults) > 0 {
		return nil, &refusal{http.StatusUnprocessableEntity, faults[0].Text}
	}
	return b, nil
}

// pathOf returns where the layout's file has what is changed: under the last chosen option that changes it, or that brings its
// cabinet, or where its cabinet stands.
func (o *opened) pathOf(c change) []string {
	base := []string{"cabinets", c.cabinet}
	in := o.batch.Vehicles[0].Interior
	chosen := slices.DeleteFunc(slices.Clone(in.Layout.Options), func(op cabinets.Option) bool { return !slices.Contains(in.Options, op.Name) })
	brings := func(all []cabinets.Placement) bool {
		return slices.ContainsFunc(all, func(p cabinets.Placement) bool { return p.Name == c.cabinet })
	}
	for _, op := range chosen {
		switch {
		case brings(op.Add):
			base = []string{"options", op.Name, "add", c.cabinet}
		case brings(op.Replace):
			base = []string{"options", op.Name, "replace", c.cabinet}
		}
	}
	for _, op := range chosen { // whatever brings a cabinet, changes come after it
		for _, n := range op.Change {
			if n.Name == c.cabinet && (hasSize(n.Change, c.size) || hasRole(n.Change, c.role)) {
				base = []string{"options", op.Name, "change", c.cabinet}
			}
		}
	}
	if c.size != "" {
		return append(base, "sizes", c.size)
	}
	return append(base, "roles", c.role, c.of)
}

func hasSize(c cabinets.Change, size string) bool { _, has := c.Sizes[size]; return has }
func hasRole(c cabinets.Change, role string) bool { _, has := c.Roles[role]; return has }

// written returns a change as a file has it: lengths with their unit.
func written(c change, p *cabinets.Placed, o *opened) string {
	sizes := p.Solid.Definition.Sizes
	for i := range sizes {
		if z := &sizes[i]; z.Name == c.size {
			value, _ := z.Parse(c.text, o.folder.Shop.Style) // it was read before
			return lengthText(z, value, o.folder.Shop.Style)
		}
	}
	return c.text
}

// lengthText writes a value exactly: in the shop's unit where that can be.
func lengthText(z *cabinets.Size, value measure.Length, style measure.Style) string {
	switch text := style.WithUnit(value); {
	case z.Whole:
		return z.Print(value, style)
	case !strings.HasPrefix(text, "~"):
		if back, err := measure.Parse(text, style.Unit); err == nil && back == value {
			return text
		}
	}
	return value.Exact() + " mm"
}

// same makes sure that a changed file says what is on the page.
func (o *opened) same(text string, b *batch.Batch) error {
	faults := &source.Collector{}
	l := cabinets.ReadLayout(source.Read(faults, o.path, strings.NewReader(text)), o.folder.Shop, o.folder.Catalogue, nil)
	if faults.Err() == nil {
		want := b.Vehicles[0].Interior
		in := l.Interior(faults, o.folder.Shop, source.Node{}, want.Options)
		again := *b
		again.Vehicles = []batch.Vehicle{{Interior: in}}
		if faults.Err() == nil && len(batch.CompareJobs(batch.List(b), batch.List(&again)).Parts) > 0 {
			faults.Add(source.Fault{File: filepath.Base(o.path), Text: "other lines of the file overrule the change", Hint: "change it in an editor"})
		}
	}
	if err := faults.Err(); err != nil {
		return &refusal{http.StatusUnprocessableEntity, "not saved: " + err.Error()}
	}
	return nil
}

var cabinetName = regexp.MustCompile(`^[a-z][a-z0-9-]{0,39}$`)

// saveCabinet writes the cabinet in hand as a definition of its own, its present sizes as
// defaults.
func (s *Server) saveCabinet(w http.ResponseWriter, r *http.Request) {
	done, err := s.saveDefinition(w, r)
	reply(w, done, err)
}

func (s *Server) saveDefinition(w http.ResponseWriter, r *http.Request) (*saved, error) {
	st, err := posted(r)
	if err != nil {
		return nil, err
	}
	name := r.PostForm.Get("name")
	if !cabinetName.MatchString(name) {
		return nil, &refusal{http.StatusUnprocessableEntity, fmt.Sprintf("%q cannot name a cabinet: write small letters, digits and hyphens, a letter first", name)}
	}
	s.saving.Lock()
	defer s.saving.Unlock()
	o, b, err := s.openBuildable(st)
	if err != nil {
		return nil, err
	}
	path := filepath.Join(s.root, "cabinets", name+".yaml")
	free, err := s.free(path)
	if err != nil {
		return nil, err
	}
	if !free || o.folder.Catalogue.Lookup(name) != nil {
		return nil, &refusal{http.StatusConflict, fmt.Sprintf("there is a cabinet %s already: choose another name", name)}
	}
	text, err := o.definition(b, st.cabinet, name)
	if err != nil {
		return nil, err
	}
	if err := folder.Replace(path, text); err != nil {
		return nil, err
	}
	return &saved{name + ".yaml", digestOf([]byte(text))}, nil
}

// definition returns the text of a cabinet's definition under another name, with the sizes it has in a batch.
func (o *opened) definition(b *batch.Batch, cabinet, name string) (string, error) {
	all := b.Vehicles[0].Interior.Cabinets
	for i := range all {
		p := &all[i]
		if p.Name != cabinet {
			continue
		}
		d := p.Solid.Definition
		text, err := o.folder.Catalogue.Text(d.Name)
		if err == nil {
			text, err = source.Set(text, []string{"cabinet"}, name)
		}
		for k := range d.Sizes {
			if z, value := &d.Sizes[k], p.Solid.Sizes[k].Value; err == nil && value != z.Default {
				text, err = source.Set(text, []string{"sizes", z.Name, "default"}, lengthText(z, value, o.folder.Shop.Style))
			}
		}
		if err != nil {
			return "", &refusal{http.StatusUnprocessableEntity, "not saved: " + err.Error()}
		}
		return text, nil
	}
	return "", &refusal{http.StatusNotFound, fmt.Sprintf("there is no cabinet %q in the layout", cabinet)}
}
