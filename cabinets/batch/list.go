package batch

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"sawbook/cabinets"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

// listHeader is the first line of a plain part list.
var listHeader = []string{"part", "length", "width", "count", "grain"}

// How many copies of one part a list may ask for, and of all.
const (
	mostCopies    = 1_000_000
	mostCopiesAll = 100_000_000
)

// ReadList reads a plain part list, called name in faults, as CSV (RFC 4180) with the
// header part,length,width,count,grain, into a batch of the shop's only material. Bare
// numbers are in the shop's unit. All faults go to c.
func ReadList(c *source.Collector, name string, r io.Reader, s *shop.Shop) *Batch {
	l := listReader{faults: c, name: name, shop: s, seen: map[string]int{}}
	if text, ok := l.text(r); ok {
		l.lines = strings.Split(text, "\n")
		l.read(text)
	}
	if len(l.pieces) == 0 && c.Err() == nil {
		l.fault(1, 1, "the list holds no part", "add a line such as shelf,720,300,4,length")
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
	lines  []string
	pieces []*cabinets.Piece
	seen   map[string]int // part to the line it first stood in
	copies int            // of all parts
}

// mostBytes bounds a list: a line for each of a million parts.
const mostBytes = 64 << 20

// text reads the whole list, for lines to be shown beside their faults.
func (l *listReader) text(r io.Reader) (text string, ok bool) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		l.refuse("cannot be read: "+err.Error(), "name a CSV file")
	case len(data) > mostBytes:
		l.refuse("is larger than 64 MiB", "cut the list into several")
	case !utf8.Valid(data):
		l.refuse("is not UTF-8", "save it as CSV in UTF-8")
	default:
		return strings.TrimPrefix(string(data), "\ufeff"), true // spreadsheets write one
	}
	return "", false
}

// refuse reports a fault of the whole list.
func (l *listReader) refuse(text, hint string) {
	l.faults.Add(source.Fault{File: l.name, Text: text, Hint: hint})
}

// fault reports a fault at a line and a byte of it, both from 1.
func (l *listReader) fault(line, column int, text, hint string) {
	shown := strings.TrimSuffix(l.lines[line-1], "\r")
	l.faults.Add(source.At(l.name, line, shown, column-1, text, hint))
}

func (l *listReader) read(text string) {
	rows := csv.NewReader(strings.NewReader(text))
	rows.FieldsPerRecord = -1
	switch header, err := rows.Read(); {
	case err == io.EOF:
		l.fault(1, 1, "the list is empty", "start it with the line "+strings.Join(listHeader, ","))
		return
	case err != nil:
		l.syntax(err)
		return
	case !slices.Equal(header, listHeader):
		l.fault(1, 1, "the first line is not the header", "start the list with the line "+strings.Join(listHeader, ","))
		return
	}
	for {
		record, err := rows.Read()
		if err == io.EOF || l.faults.Full() {
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
		l.fault(min(at.Line, len(l.lines)), at.Column, "this is no CSV: "+at.Err.Error(), "put double quotes round a field that holds a comma or a quote, and double the quotes in it")
	}
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
	r.fault(line, column+offset, what, hint)
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
	case strings.ContainsFunc(p.ID, unicode.IsControl):
		r.wrong(0, strings.IndexFunc(r.record[0], unicode.IsControl), fmt.Sprintf("the part name %q holds a control character", p.ID), "write the name anew, on one line")
	case twice:
		r.wrong(0, 0, fmt.Sprintf("part %s stands in line %d already", p.ID, first), "give every part a name of its own, or add the counts up")
	default:
		r.seen[p.ID] = line
	}
	p.Length, p.Width = r.length(1), r.length(2)
	p.Count = r.count()
	if r.copies += p.Count; r.copies > mostCopiesAll && r.copies-p.Count <= mostCopiesAll {
		r.wrong(3, 0, fmt.Sprintf("with these, there are more than %d copies in all", mostCopiesAll), "cut the list into several")
	}
	p.Turns, p.Across = r.grain()
	if r.bad {
		return
	}
	p.Mass = p.Material.SheetMass(Area{Length: p.Length, Width: p.Width}.M2())
	r.pieces = append(r.pieces, p)
}

func (r *listRow) length(field int) measure.Length {
	l, err := measure.Parse(r.record[field], r.shop.Unit)
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
		return 0
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
		r.wrong(4, 0, fmt.Sprintf("the grain %q is none of length, width and any", word), "length: the part's length lies along the sheet's; width: across it; any: it may be turned")
	}
	return turns, across
}
