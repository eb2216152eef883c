package batch

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// listHeader is the first line of a plain part list.
var listHeader = []string{"part", "length", "width", "count", "grain"}

// mostCopies bounds the count of one part of a list.
const mostCopies = 1_000_000

// ReadList reads a plain part list, called name in faults, as CSV (RFC 4180) with the
// header part,length,width,count,grain, into a batch of the shop's only material. Bare
// numbers are in the shop's unit. All faults go to c.
func ReadList(c *source.Collector, name string, r io.Reader, s *shop.Shop) *Batch {
	l := listReader{faults: c, name: name, shop: s, seen: map[string]int{}}
	l.read(r)
	if len(l.pieces) == 0 && c.Err() == nil {
		l.fault(1, 1, "", "the list holds no part", "add a line such as shelf,720,300,4,length")
	}
	return &Batch{Name: listName(name), Shop: s, List: l.pieces}
}

// listName names a list's folder after its file.
func listName(file string) string {
	file = file[strings.LastIndexAny(file, `/\`)+1:]
	if name, _, _ := strings.Cut(file, "."); name != "" && name != "-" {
		return name
	}
	return "list"
}

type listReader struct {
	faults *source.Collector
	name   string
	shop   *shop.Shop
	pieces []*cabinets.Piece
	seen   map[string]int // part to the line it first stood in
}

func (l *listReader) fault(line, column int, text, what, hint string) {
	l.faults.Add(source.Fault{File: l.name, Line: line, Column: column, Line0: text, Text: what, Hint: hint})
}

func (l *listReader) read(r io.Reader) {
	rows := csv.NewReader(r)
	rows.FieldsPerRecord = -1
	header, err := rows.Read()
	if err == io.EOF {
		l.fault(1, 1, "", "the list is empty", "start it with the line "+strings.Join(listHeader, ","))
		return
	}
	if err != nil {
		l.syntax(err)
		return
	}
	header[0] = strings.TrimPrefix(header[0], "\ufeff") // spreadsheets write one
	if !slices.Equal(header, listHeader) {
		l.fault(1, 1, strings.Join(header, ","), "the first line is not the header", "start the list with the line "+strings.Join(listHeader, ","))
		return
	}
	for {
		record, err := rows.Read()
		if err == io.EOF {
			return
		}
		if err != nil {
			l.syntax(err)
			return
		}
		row := listRow{listReader: l, rows: rows, record: record}
		row.read()
	}
}

// syntax reports what is no CSV; nothing after it can be read.
func (l *listReader) syntax(err error) {
	var at *csv.ParseError
	if errors.As(err, &at) {
		l.fault(at.Line, at.Column, "", "this is no CSV: "+at.Err.Error(), "put double quotes round a field that holds a comma or a quote, and double the quotes in it")
		return
	}
	l.fault(0, 0, "", err.Error(), "")
}

// listRow is one line of a list.
type listRow struct {
	*listReader
	rows   *csv.Reader
	record []string
	bad    bool
}

func (r *listRow) wrong(field, offset int, what, hint string) {
	line, column := r.rows.FieldPos(field)
	r.fault(line, column+offset, strings.Join(r.record, ","), what, hint)
	r.bad = true
}

func (r *listRow) read() {
	if len(r.record) != len(listHeader) {
		r.wrong(0, 0, fmt.Sprintf("%d fields where %d are needed", len(r.record), len(listHeader)), "a line is "+strings.Join(listHeader, ","))
		return
	}
	p := &cabinets.Piece{ID: strings.TrimSpace(r.record[0]), Material: r.shop.Materials[0]}
	p.Name = p.ID
	line, _ := r.rows.FieldPos(0)
	switch first, twice := r.seen[p.ID]; {
	case p.ID == "":
		r.wrong(0, 0, "the part has no name", "give every part a name of its own")
	case twice:
		r.wrong(0, 0, fmt.Sprintf("part %s stands in line %d already", p.ID, first), "give every part a name of its own, or add the counts up")
	default:
		r.seen[p.ID] = line
	}
	p.Length, p.Width = r.length(1), r.length(2)
	count := r.count()
	p.Turns, p.Across = r.grain()
	if r.bad {
		return
	}
	p.Mass = p.Material.SheetMass(Area{Length: p.Length, Width: p.Width}.M2())
	p.Places = make([]cabinets.Place, count)
	r.pieces = append(r.pieces, p)
}

func (r *listRow) length(field int) measure.Length {
	l, err := measure.Parse(r.record[field], r.shop.Style.Unit)
	var bad *measure.SyntaxError
	switch {
	case errors.As(err, &bad):
		r.wrong(field, bad.Offset, bad.Text, bad.Hint)
	case l <= 0:
		r.wrong(field, 0, fmt.Sprintf("the %s %s is not above 0", listHeader[field], r.record[field]), "a part has a size")
	}
	return l
}

func (r *listRow) count() int {
	n, err := strconv.Atoi(strings.TrimSpace(r.record[3]))
	if err != nil || n < 1 || n > mostCopies {
		r.wrong(3, 0, fmt.Sprintf("the count %q is no whole number from 1 to %d", r.record[3], mostCopies), "how many of the part are to be cut")
	}
	return n
}

func (r *listRow) grain() (turns, across bool) {
	switch word := strings.TrimSpace(r.record[4]); word {
	case "length":
	case "width":
		across = true
	case "any":
		turns = true
	default:
		hint := "length: the part's length lies along the sheet's; width: across it; any: it may be turned"
		if near := source.Nearest(word, []string{"length", "width", "any"}); near != "" {
			hint = "did you mean " + near + "? " + hint
		}
		r.wrong(4, 0, fmt.Sprintf("the grain %q is none of length, width and any", word), hint)
	}
	return turns, across
}
