package register

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
)

// Kinds of entries about builds.
const (
	Built = "built"
	Noted = "noted"
)

// Record is what the vehicles of a batch were cut from. Its files hold every byte of it; the rest is what is asked of it.
type Record struct {
	Batch    string     `json:"batch"`  // with its release: "spring-fronts"
	Digest   string     `json:"digest"` // of the job
	Tool     string     `json:"tool"`   // the version that wrote it
	Currency string     `json:"currency"`
	Vehicles []Vehicle  `json:"vehicles"`
	Layouts  []Interior `json:"layouts"`
	Pieces   []Piece    `json:"pieces"`
	Lines    []Priced   `json:"lines"`   // of the estimate, all vehicles together
	Files    []File     `json:"files"`   // the folder that was printed
	Sources  []File     `json:"sources"` // the files it was made from, built-in cabinets as library/NAME.yaml
}

// Vehicle is one vehicle as built.
type Vehicle struct {
	Serial string `json:"serial"`
	Layout int    `json:"layout"` // index of its interior
}

// Interior is a layout with its options, as built.
type Interior struct {
	Title    string    `json:"title"`
	Cabinets []Cabinet `json:"cabinets"`
}

// Cabinet is one cabinet as built.
type Cabinet struct {
	Name     string            `json:"name"`
	Cabinet  string            `json:"cabinet"`
	Revision string            `json:"revision"` // digest of its definition and of those that it uses
	At       string            `json:"at"`
	Sizes    map[string]string `json:"sizes"`
	Roles    map[string]string `json:"roles"` // what fills them
	Parts    map[string]string `json:"parts"` // name to number, cut size and material
	Hardware map[string]int    `json:"hardware,omitempty"`
	Contents []Content         `json:"contents,omitempty"`
}

// Content is what is kept in a cabinet.
type Content struct {
	What  string  `json:"what"`
	Mass  float64 `json:"mass"` // kg
	Reach string  `json:"reach,omitempty"`
}

// Piece is a piece as it was cut.
type Piece struct {
	Number string `json:"number"`
	Panel
	Places []string `json:"places"` // "pantry.left-side", every one
}

// Panel is what is sawn: its name, its cut size, and whether it may be turned on a sheet.
type Panel struct {
	Name     string         `json:"name"`
	Material string         `json:"material"`
	Length   measure.Length `json:"length"` // nm
	Width    measure.Length `json:"width"`
	Turns    bool           `json:"turns,omitempty"`
}

// PanelOf returns what is sawn of a piece.
func PanelOf(p *cabinets.Piece) Panel {
	return Panel{p.Name, p.Material.ID, p.Length, p.Width, p.Turns}
}

// Priced is a line of the estimate.
type Priced struct {
	Group string     `json:"group"`
	Item  string     `json:"item"`
	Name  string     `json:"name"`
	Buy   int        `json:"buy"`
	Each  shop.Money `json:"each"`
}

// File is a file by its name, with slashes, and the SHA-256 of its bytes.
type File struct {
	Name   string `json:"name"`
	Digest string `json:"digest"`
}

// note is the body of an entry that says something of a vehicle.
type note struct {
	Serial string `json:"serial"`
	Text   string `json:"text"`
}

// Bytes are the files that a record freezes, by their names.
type Bytes map[string][]byte

// list names the files in order.
func (b Bytes) list() (files []File) {
	for name, content := range b {
		files = append(files, File{name, sumOf(content)})
	}
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
	return files
}

func sumOf(content []byte) string { return fmt.Sprintf("%x", sha256.Sum256(content)) }

// RecordOf returns what a job's vehicles are cut from. revision tells the digest of a cabinet's definition.
func RecordOf(j *batch.Job, tool string, revision func(*cabinets.Definition) (string, error)) (*Record, error) {
	r := &Record{Batch: j.Batch.Name, Digest: j.Digest, Tool: tool, Currency: j.Batch.Shop.Currency}
	interiors, _ := j.Batch.Interiors()
	for _, v := range j.Batch.Vehicles {
		r.Vehicles = append(r.Vehicles, Vehicle{v.Serial, slices.Index(interiors, v.Interior)})
	}
	type place struct {
		interior      *cabinets.Interior
		cabinet, part string
	}
	numbers := map[place]string{}
	for _, p := range j.Pieces {
		piece := Piece{Number: p.ID, Panel: PanelOf(p)}
		for _, g := range p.Goes {
			numbers[place{g.Interior, g.Cabinet, g.Part}] = p.ID
			piece.Places = append(piece.Places, g.Cabinet+"."+g.Part)
		}
		slices.Sort(piece.Places)
		piece.Places = slices.Compact(piece.Places)
		r.Pieces = append(r.Pieces, piece)
	}
	for _, in := range interiors {
		built := Interior{Title: in.Title()}
		for i := range in.Cabinets {
			c, err := cabinetOf(&in.Cabinets[i], revision, func(part string) string { return numbers[place{in, in.Cabinets[i].Name, part}] })
			if err != nil {
				return nil, err
			}
			built.Cabinets = append(built.Cabinets, c)
		}
		r.Layouts = append(r.Layouts, built)
	}
	for _, l := range j.Estimate.Lines {
		r.Lines = append(r.Lines, Priced{l.Group, l.Item, l.Name + ", " + l.Pack, l.Buy, l.Each})
	}
	return r, nil
}

func cabinetOf(p *cabinets.Placed, revision func(*cabinets.Definition) (string, error), number func(part string) string) (Cabinet, error) {
	d := p.Solid.Definition
	c := Cabinet{Name: p.Name, Cabinet: d.Name, Sizes: map[string]string{}, Roles: map[string]string{}, Parts: map[string]string{}, Hardware: map[string]int{}}
	c.At = fmt.Sprintf("%s, %s, %s mm, turned %d", p.At[0].Exact(), p.At[1].Exact(), p.At[2].Exact(), 90*p.Turn)
	for _, s := range p.Solid.Sizes {
		if c.Sizes[s.Name] = s.Value.Exact() + " mm"; s.Whole {
			c.Sizes[s.Name] = fmt.Sprint(int64(s.Value))
		}
	}
	for role, fill := range p.Solid.Fills {
		c.Roles[role] = fmt.Sprintf("%s, %s mm, %s", fill.Material.ID, fill.Material.Thickness.Exact(), fill.Edges)
	}
	for i := range p.Solid.Parts {
		part := &p.Solid.Parts[i]
		c.Parts[part.Name] = fmt.Sprintf("%s, %s x %s mm, %s", number(part.Name), part.Length.Exact(), part.Width.Exact(), part.Material.ID)
	}
	for _, h := range p.Solid.Hardware {
		if h.Item != nil {
			c.Hardware[itemOf(batch.Line{Item: h.Item.ID, Length: h.Length})] += h.Count
		}
	}
	for _, content := range p.Contents {
		c.Contents = append(c.Contents, Content{content.What, content.Mass, content.Reach})
	}
	var err error
	c.Revision, err = revision(d)
	return c, err
}

// Revision returns the digest of a definition: of its text and of the revisions that it uses.
func Revision(d *cabinets.Definition, text func(name string) (string, error)) (string, error) {
	own, err := text(d.Name)
	if err != nil {
		return "", err
	}
	for _, u := range d.Uses {
		if u.Cabinet == nil {
			continue
		}
		used, err := Revision(u.Cabinet, text)
		if err != nil {
			return "", err
		}
		own += "\x00" + used
	}
	return sumOf([]byte(own)), nil
}

// Build freezes what vehicles were cut from, with the folder that was printed and the files that it was made from. A
// vehicle's batch is recorded once.
func (r *Register) Build(by By, record *Record, folder, sources Bytes) (e *Entry, err error) {
	record.Files, record.Sources = folder.list(), sources.list()
	err = r.change(func(tx *sql.Tx) error {
		for _, v := range record.Vehicles {
			var before int64
			err := tx.QueryRow("SELECT seq FROM builds WHERE serial = ? AND batch = ?", v.Serial, record.Batch).Scan(&before)
			if err == nil {
				return fmt.Errorf("vehicle %s of %s is recorded already, by entry %d\nhint: a record stays as it is; sawbook build note adds to it", v.Serial, record.Batch, before)
			} else if !errors.Is(err, sql.ErrNoRows) {
				return err
			}
		}
		for _, all := range []Bytes{folder, sources} {
			for _, f := range all.list() {
				if err := keep(tx, all[f.Name]); err != nil {
					return err
				}
			}
		}
		e, err = add(tx, by, Built, record)
		return err
	})
	return e, err
}

// keep stores the bytes of a file, once however many records have it.
func keep(tx *sql.Tx, content []byte) error {
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.DefaultCompression)
	if err != nil {
		return err
	}
	if _, err := w.Write(content); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	_, err = tx.Exec("INSERT INTO files (digest, bytes) VALUES (?, ?) ON CONFLICT DO NOTHING", sumOf(content), packed.Bytes())
	return err
}

// file returns the bytes of a file, and an error where they are not those that were kept.
func file(tx *sql.Tx, digest string) ([]byte, error) {
	var packed []byte
	if err := tx.QueryRow("SELECT bytes FROM files WHERE digest = ?", digest).Scan(&packed); err != nil {
		return nil, fmt.Errorf("%w: file %s: %w", errDamaged, digest[:12], err)
	}
	content, err := io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	if err != nil || sumOf(content) != digest {
		return nil, fmt.Errorf("%w: file %s is not as it was kept", errDamaged, digest[:12])
	}
	return content, nil
}

// Bytes returns the content of files of a record.
func (r *Register) Bytes(files []File) (all Bytes, err error) {
	all = Bytes{}
	err = r.read(func(tx *sql.Tx) error {
		for _, f := range files {
			if all[f.Name], err = file(tx, f.Digest); err != nil {
				return err
			}
		}
		return nil
	})
	return all, err
}

// build writes what follows from an entry about builds.
func (e *Entry) build(tx *sql.Tx) error {
	if e.Kind == Noted {
		return nil
	}
	var record Record
	if err := json.Unmarshal(e.Body, &record); err != nil {
		return fmt.Errorf("entry %d: %w", e.Sequence, err)
	}
	for _, v := range record.Vehicles {
		if _, err := tx.Exec("INSERT INTO builds (serial, batch, seq) VALUES (?, ?, ?)", v.Serial, record.Batch, e.Sequence); err != nil {
			return err
		}
	}
	for _, f := range slices.Concat(record.Files, record.Sources) {
		if _, err := tx.Exec("INSERT INTO built_files (seq, digest) VALUES (?, ?) ON CONFLICT DO NOTHING", e.Sequence, f.Digest); err != nil {
			return err
		}
	}
	return nil
}

// Build is a vehicle's build: a record, and where the vehicle stands in it.
type Build struct {
	Vehicle
	*Record
	Entry
	Notes []Entry // of the vehicle
}

// Interior returns the vehicle's interior.
func (b *Build) Interior() *Interior { return &b.Layouts[b.Vehicle.Layout] }

// Builds lists all builds in the order in which they were recorded.
func (r *Register) Builds() (all []Build, err error) {
	notes := map[string][]Entry{}
	err = r.read(func(tx *sql.Tx) error {
		return entries(tx, 1, func(e *Entry) error {
			switch e.Kind {
			case Built:
				record := &Record{}
				if err := json.Unmarshal(e.Body, record); err != nil {
					return err
				}
				for _, v := range record.Vehicles {
					all = append(all, Build{Vehicle: v, Record: record, Entry: *e})
				}
			case Noted:
				var n note
				if err := json.Unmarshal(e.Body, &n); err != nil {
					return err
				}
				notes[n.Serial] = append(notes[n.Serial], *e)
			}
			return nil
		})
	})
	for i := range all {
		all[i].Notes = notes[all[i].Serial]
	}
	return all, err
}

// BuildsOf lists the builds of a vehicle, one for each batch or release; none is an error.
func (r *Register) BuildsOf(serial string) ([]Build, error) {
	all, err := r.Builds()
	if err != nil {
		return nil, err
	}
	found := slices.DeleteFunc(all, func(b Build) bool { return b.Serial != serial })
	if len(found) == 0 {
		return nil, fmt.Errorf("no build of vehicle %s is recorded\nhint: sawbook build list shows those that are", serial)
	}
	return found, nil
}

// Note adds a text to what is known of a vehicle.
func (r *Register) Note(by By, serial, text string) (e *Entry, err error) {
	if _, err := r.BuildsOf(serial); err != nil {
		return nil, err
	}
	err = r.change(func(tx *sql.Tx) error {
		e, err = add(tx, by, Noted, note{serial, printable(text)})
		return err
	})
	return e, err
}

// Text returns what a note says, "" of other entries.
func (e *Entry) Text() string {
	var n note
	if e.Kind != Noted || json.Unmarshal(e.Body, &n) != nil {
		return ""
	}
	return n.Text
}

// newestBuild returns the digest of the newest entry about builds up to an entry, "" before the first.
func newestBuild(tx *sql.Tx, after int64) (digest string, err error) {
	err = tx.QueryRow("SELECT digest FROM entries WHERE kind IN (?, ?) AND seq <= ? ORDER BY seq DESC LIMIT 1", Built, Noted, after).Scan(&digest)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return digest, err
}

// Has reports whether an entry has a digest, such as one that stands in a book.
func (r *Register) Has(digest string) (found bool, err error) {
	err = r.read(func(tx *sql.Tx) error {
		return tx.QueryRow("SELECT count(*) > 0 FROM entries WHERE digest = ?", digest).Scan(&found)
	})
	return found, err
}

// kept reports whether every file is as it was kept.
func kept(tx *sql.Tx) error {
	rows, err := tx.Query("SELECT DISTINCT digest FROM built_files ORDER BY digest")
	if err != nil {
		return err
	}
	var digests []string
	for rows.Next() {
		var d string
		if err := rows.Scan(&d); err != nil {
			return errors.Join(err, rows.Close())
		}
		digests = append(digests, d)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	for _, d := range digests {
		if _, err := file(tx, d); err != nil {
			return err
		}
	}
	return nil
}

// Facts lists what a vehicle was built from, one value a name, for comparing.
func (b *Build) Facts() map[string]string {
	facts := map[string]string{"tool": b.Tool, "layout": b.Interior().Title}
	for _, c := range b.Interior().Cabinets {
		of := c.Name + ": "
		facts[of+"definition"] = c.Cabinet + ", revision " + short(c.Revision)
		facts[of+"place"] = c.At
		for kind, values := range map[string]map[string]string{"size ": c.Sizes, "role ": c.Roles, "part ": c.Parts} {
			for name, value := range values {
				facts[of+kind+name] = value
			}
		}
		for item, n := range c.Hardware {
			facts[of+"hardware "+item] = fmt.Sprint(n)
		}
		for _, content := range c.Contents {
			facts[of+"holds "+content.What] = strings.TrimSpace(fmt.Sprintf("%g kg %s", content.Mass, content.Reach))
		}
	}
	for _, l := range b.Lines {
		facts["price of "+l.Name] = fmt.Sprintf("%d.%02d", l.Each/100, l.Each%100)
	}
	for _, f := range b.Sources {
		facts["file "+f.Name] = short(f.Digest)
	}
	return facts
}

// short cuts a digest to what people compare.
func short(digest string) string { return digest[:min(len(digest), 12)] }

// Piece returns the piece that a build calls by a number, or that goes to a place in it: "pantry.left-side". Other vehicles
// of the batch may have other pieces at a place of that name.
func (b *Build) Piece(name string) (*Piece, error) {
	for _, c := range b.Interior().Cabinets {
		for part, fact := range c.Parts {
			number, _, _ := strings.Cut(fact, ",") // "", where another release cuts it
			at := slices.IndexFunc(b.Pieces, func(p Piece) bool { return p.Number == number })
			if at >= 0 && (number == name || c.Name+"."+part == name) {
				return &b.Pieces[at], nil
			}
		}
	}
	return nil, fmt.Errorf("vehicle %s has no part %q in %s\nhint: give its number, such as D-014, or its place, such as pantry.left-side", b.Serial, name, b.Batch)
}
