package register

import (
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/nest"
)

// Kinds of entries about what is cut at the saw.
const (
	Started = "started"
	Ticked  = "ticked"
	Recut   = "recut"
)

// CutPlan is one revision of what is cut at the saw: revision 0 is the plan that was printed. It holds all that is needed to
// plan the rest again, whatever becomes of the shop's files.
type CutPlan struct {
	Cutting string `json:"cutting"`      // the batch or release with its digest: "spring-fc5d5975"
	ID      string `json:"id,omitempty"` // of the request, of a recut
	Why     string `json:"why,omitempty"`

	// Of revision 0.
	Shop   string                  `json:"shop,omitempty"` // the text of the shop file
	Style  measure.Style           `json:"style,omitzero"`
	Effort nest.Effort             `json:"effort,omitempty"`
	Seed   uint64                  `json:"seed,omitempty"`
	Stock  map[string][]shop.Sheet `json:"stock,omitempty"` // by material, what it was planned from
	Needs  []Nested                `json:"needs,omitempty"`
	// BySetting reports that the shop works setting by setting.
	BySetting bool `json:"by_setting,omitempty"`

	// Of later ones: the sheets of revisions before that stay, and, since the beginning, the sheets that were bad and the
	// parts that were spoiled.
	Kept    []string `json:"kept,omitempty"`
	Bad     []string `json:"bad,omitempty"`
	Spoiled []string `json:"spoiled,omitempty"`

	Patterns []SawPattern    `json:"patterns"`
	Visits   json.RawMessage `json:"visits,omitempty"` // the run by setting, for a screen

	Entry int64 `json:"-"` // that booked it
}

// Nested is a piece that lies on sheets: a part, or the blank for some.
type Nested struct {
	ID string `json:"id"`
	Panel
	Across bool `json:"across,omitempty"`
	Count  int  `json:"count"`
}

// SawPattern is a pattern as it is ticked off. A sheet cut by it is called by its revision, pattern and copy, "0/A1/2"; what is
// ticked by that and a cut or a part: "0/A1/2/c4", "0/A1/2/p1".
type SawPattern struct {
	Name     string     `json:"name"` // "A1", or the blank's: "D-B1"
	Material string     `json:"material"`
	Times    int        `json:"times"`
	Sheet    shop.Sheet `json:"sheet"`
	// Takes are the pieces from sheets that a blank is, or is pressed from; nil where a sheet is cut.
	Takes   []string        `json:"takes,omitempty"`
	Cuts    []string        `json:"cuts"`  // "c0" is the trim
	Parts   []string        `json:"parts"` // their numbers; the first is "p1"
	Offcuts []SawOffcut     `json:"offcuts,omitempty"`
	View    json.RawMessage `json:"view,omitempty"` // what a screen shows of it
}

// SawOffcut is an offcut worth keeping.
type SawOffcut struct {
	Label  string         `json:"label"`
	Length measure.Length `json:"length"` // nm
	Width  measure.Length `json:"width"`
}

// Tick says that cuts are made and parts off the saw, or that they are not after all.
type Tick struct {
	ID      string   `json:"id"` // of the request: it is done once, however often it arrives
	Cutting string   `json:"cutting"`
	Items   []string `json:"items"`
	Ticked  bool     `json:"ticked"`
}

// Cutting is a batch at the saw, as it stands.
type Cutting struct {
	Name    string
	Plans   []CutPlan       // by revision
	Ticked  map[string]bool // items
	Version int64           // the newest entry about it
}

// SawSheet is one sheet, or blank, at the saw.
type SawSheet struct {
	Key            string
	Revision, Copy int
	*SawPattern
}

// Refused is what cannot be done at the saw as things stand.
type Refused struct{ Text string }

func (r *Refused) Error() string { return r.Text }

func refusedf(format string, args ...any) error { return &Refused{fmt.Sprintf(format, args...)} }

// now is the newest revision.
func (c *Cutting) now() *CutPlan { return &c.Plans[len(c.Plans)-1] }

// copies lists the sheets of a revision.
func (c *Cutting) copies(revision int) (all []SawSheet) {
	for i := range c.Plans[revision].Patterns {
		p := &c.Plans[revision].Patterns[i]
		for n := range p.Times {
			all = append(all, SawSheet{fmt.Sprintf("%d/%s/%d", revision, p.Name, n+1), revision, n + 1, p})
		}
	}
	return all
}

// Sheets lists what is cut, or is to be: what stays of earlier revisions, then what the newest planned.
func (c *Cutting) Sheets() (all []SawSheet) {
	now := len(c.Plans) - 1
	for _, s := range c.everything() {
		if s.Revision == now || slices.Contains(c.now().Kept, s.Key) {
			all = append(all, s)
		}
	}
	return all
}

// everything lists the sheets of all revisions, those that were planned anew among them.
func (c *Cutting) everything() (all []SawSheet) {
	for revision := range c.Plans {
		all = append(all, c.copies(revision)...)
	}
	return all
}

// CutItem returns what a cut of the sheet is called, PartItem what its i-th part is, from 0.
func (s *SawSheet) CutItem(cut string) string { return s.Key + "/" + cut }
func (s *SawSheet) PartItem(i int) string     { return s.Key + "/p" + strconv.Itoa(i+1) }

// Items lists all that can be ticked on a sheet: its cuts, then its parts.
func (s *SawSheet) Items() (all []string) {
	for _, cut := range s.Cuts {
		all = append(all, s.CutItem(cut))
	}
	for i := range s.Parts {
		all = append(all, s.PartItem(i))
	}
	return all
}

// Begun reports whether anything of a sheet is ticked, Done whether all of its cuts are.
func (c *Cutting) Begun(s *SawSheet) bool {
	return slices.ContainsFunc(s.Items(), func(item string) bool { return c.Ticked[item] })
}
func (c *Cutting) Done(s *SawSheet) bool {
	return !slices.ContainsFunc(s.Cuts, func(cut string) bool { return !c.Ticked[s.CutItem(cut)] })
}

// check reports why items cannot be ticked, nil where they can.
func (c *Cutting) check(items []string) error {
	known, now := map[string]bool{}, map[string]bool{}
	for _, s := range c.Sheets() {
		now[s.Key] = true
		for _, item := range s.Items() {
			known[item] = true
		}
	}
	for _, item := range items {
		if known[item] {
			continue
		}
		sheet := item[:max(strings.LastIndex(item, "/"), 0)]
		for _, s := range c.everything() {
			if s.Key == sheet && !now[sheet] {
				return refusedf("sheet %s was planned anew, or is bad: lay it back, and go by the newest plan", s.Title())
			}
		}
		return refusedf("%q is nothing that is cut in %s", item, c.Name)
	}
	return nil
}

// Title says which sheet it is: "A1, 2 of 3", and, where it is not as printed, from which recut.
func (s *SawSheet) Title() string {
	title := s.SawPattern.Name
	if s.Times > 1 {
		title = fmt.Sprintf("%s, %d of %d", title, s.Copy, s.Times)
	}
	if s.Revision > 0 {
		title += fmt.Sprintf(" (recut %d)", s.Revision)
	}
	return title
}

// Start puts a batch that was cut to paper on the saw, once.
func (r *Register) Start(by By, p *CutPlan) (e *Entry, err error) {
	err = r.change(func(tx *sql.Tx) error {
		c, err := cutting(tx, p.Cutting)
		if err != nil {
			return err
		}
		if len(c.Plans) > 0 {
			return fmt.Errorf("%s is on the saw already\nhint: open the page's saw view; what is ticked there is kept", p.Cutting)
		}
		e, err = add(tx, by, Started, p)
		return err
	})
	return e, err
}

// Tick books ticks, once however often it is asked to, and returns how the cutting stands.
func (r *Register) Tick(by By, t Tick) (c *Cutting, err error) {
	err = r.once(t.ID, t.Cutting, func(tx *sql.Tx, now *Cutting) error {
		if err := now.check(t.Items); err != nil {
			return err
		}
		_, err := add(tx, by, Ticked, t)
		return err
	}, &c)
	return c, err
}

// Recut books a new revision, once; base is the cutting that it was planned from. It returns how the cutting stands, and
// ErrMoved where what was planned anew has been begun meanwhile.
func (r *Register) Recut(by By, base *Cutting, p *CutPlan) (c *Cutting, err error) {
	err = r.once(p.ID, p.Cutting, func(tx *sql.Tx, now *Cutting) error {
		if len(now.Plans) != len(base.Plans) {
			return ErrMoved
		}
		for _, s := range now.Sheets() {
			if !slices.Contains(p.Kept, s.Key) && (now.Begun(&s) != base.Begun(&s) || slices.ContainsFunc(s.Items(), func(item string) bool { return now.Ticked[item] != base.Ticked[item] })) {
				return ErrMoved
			}
		}
		_, err := add(tx, by, Recut, p)
		return err
	}, &c)
	return c, err
}

// ErrMoved means that another tablet has begun what was just planned anew.
var ErrMoved = errors.New("another tablet has begun a sheet meanwhile")

// once does what a request asks for, unless that was done before, and reads how the cutting stands then.
func (r *Register) once(id, name string, do func(*sql.Tx, *Cutting) error, into **Cutting) error {
	return r.change(func(tx *sql.Tx) error {
		c, err := cutting(tx, name)
		if err != nil {
			return err
		}
		if len(c.Plans) == 0 {
			return refusedf("%s is not on the saw", name)
		}
		var before int64
		switch err := tx.QueryRow("SELECT seq FROM asked WHERE id = ?", id).Scan(&before); {
		case err == nil:
			*into = c
			return nil
		case !errors.Is(err, sql.ErrNoRows):
			return err
		}
		if err := do(tx, c); err != nil {
			return err
		}
		*into, err = cutting(tx, name)
		return err
	})
}

// Cutting returns what is cut under a name, an error where that is not on the saw.
func (r *Register) Cutting(name string) (c *Cutting, err error) {
	err = r.read(func(tx *sql.Tx) error {
		if c, err = cutting(tx, name); err == nil && len(c.Plans) == 0 {
			err = refusedf("%s is not on the saw", name)
		}
		return err
	})
	return c, err
}

// Cuttings lists the names of what is on the saw, the newest first.
func (r *Register) Cuttings() (names []string, err error) {
	err = r.read(func(tx *sql.Tx) error {
		rows, err := tx.Query("SELECT cutting FROM cuttings WHERE revision = 0 ORDER BY seq DESC")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var name string
			if err := rows.Scan(&name); err != nil {
				return err
			}
			names = append(names, name)
		}
		return rows.Err()
	})
	return names, err
}

// cutting reads what is cut under a name; it has no plans where there is nothing.
func cutting(tx *sql.Tx, name string) (*Cutting, error) {
	c := &Cutting{Name: name, Ticked: map[string]bool{}}
	plans, err := tx.Query("SELECT entries.seq, body FROM cuttings JOIN entries USING (seq) WHERE cutting = ? ORDER BY revision", name)
	if err != nil {
		return nil, err
	}
	defer plans.Close()
	for plans.Next() {
		var body string
		if err := plans.Scan(&c.Version, &body); err != nil {
			return nil, err
		}
		var p CutPlan
		if err := json.Unmarshal([]byte(body), &p); err != nil {
			return nil, fmt.Errorf("%w: a plan of %s cannot be read: %w", errDamaged, name, err)
		}
		p.Entry = c.Version
		c.Plans = append(c.Plans, p)
	}
	if err := plans.Err(); err != nil {
		return nil, err
	}
	ticks, err := tx.Query("SELECT item, ticked, seq FROM ticks WHERE cutting = ?", name)
	if err != nil {
		return nil, err
	}
	defer ticks.Close()
	for ticks.Next() {
		var item string
		var ticked bool
		var seq int64
		if err := ticks.Scan(&item, &ticked, &seq); err != nil {
			return nil, err
		}
		if c.Version = max(c.Version, seq); ticked {
			c.Ticked[item] = true
		}
	}
	return c, ticks.Err()
}

// saw writes what follows from an entry about the saw.
func (e *Entry) saw(tx *sql.Tx) error {
	if e.Kind == Ticked {
		var t Tick
		if err := json.Unmarshal(e.Body, &t); err != nil {
			return fmt.Errorf("entry %d: %w", e.Sequence, err)
		}
		for _, item := range t.Items {
			if _, err := tx.Exec("INSERT INTO ticks (cutting, item, ticked, seq) VALUES (?, ?, ?, ?) ON CONFLICT DO UPDATE SET ticked = excluded.ticked, seq = excluded.seq",
				t.Cutting, item, t.Ticked, e.Sequence); err != nil {
				return err
			}
		}
		return e.asked(tx, t.ID)
	}
	var p CutPlan
	if err := json.Unmarshal(e.Body, &p); err != nil {
		return fmt.Errorf("entry %d: %w", e.Sequence, err)
	}
	if _, err := tx.Exec("INSERT INTO cuttings (cutting, revision, seq) SELECT ?1, count(*), ?2 FROM cuttings WHERE cutting = ?1", p.Cutting, e.Sequence); err != nil {
		return err
	}
	if e.Kind == Started {
		return nil
	}
	return e.asked(tx, p.ID)
}

func (e *Entry) asked(tx *sql.Tx, id string) error {
	_, err := tx.Exec("INSERT INTO asked (id, seq) VALUES (?, ?)", id, e.Sequence)
	return err
}

// ticksSettled reports whether the ticks are what the entries come to.
func ticksSettled(tx *sql.Tx) error {
	want := map[[2]string]bool{}
	if err := entries(tx, 1, func(e *Entry) error {
		if e.Kind != Ticked {
			return nil
		}
		var t Tick
		if err := json.Unmarshal(e.Body, &t); err != nil {
			return err
		}
		for _, item := range t.Items {
			want[[2]string{t.Cutting, item}] = t.Ticked
		}
		return nil
	}); err != nil {
		return err
	}
	rows, err := tx.Query("SELECT cutting, item, ticked FROM ticks")
	if err != nil {
		return err
	}
	defer rows.Close()
	count := 0
	for ; rows.Next(); count++ {
		var key [2]string
		var ticked bool
		if err := rows.Scan(&key[0], &key[1], &ticked); err != nil {
			return err
		}
		if is, known := want[key]; !known || is != ticked {
			return fmt.Errorf("%w: what is ticked of %s is not what its entries say", errDamaged, key[0])
		}
	}
	if err := rows.Err(); err == nil && count != len(want) {
		return fmt.Errorf("%w: a tick is missing", errDamaged)
	}
	return rows.Err()
}

// aboutSaw says in a few words what an entry about the saw is about.
func aboutSaw(e Entry) string {
	var p struct {
		Cutting, Why string
		Items        []string
		Ticked       bool
	}
	if json.Unmarshal(e.Body, &p) != nil {
		return ""
	}
	switch {
	case e.Kind == Recut:
		return p.Cutting + ": " + p.Why
	case len(p.Items) == 0:
		return p.Cutting
	}
	about := p.Cutting + ": " + p.Items[0]
	if len(p.Items) > 1 {
		about += fmt.Sprintf(" and %d more", len(p.Items)-1)
	}
	if !p.Ticked {
		about += ", not after all"
	}
	return about
}
