package batch

import (
	"encoding/csv"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"sawbook/cabinets"
	"sawbook/cabinets/source"
)

// FuzzList holds that no part list stops its reader, that every fault has a place in the list and a hint, and that a list
// without faults is read in full: written out again, it reads the same.
func FuzzList(f *testing.F) {
	const head = "part,length,width,count,grain\n"
	for _, seed := range []string{
		"", "\ufeff" + head + "a,1,1,1,any\r\n", head, head + "shelf,720,300.5,4,length\n\"side, left\",23 1/2 in,1 ft 6 in,1,width\n",
		head + "a,1,1,1,any\na,1,1,1,any\n", head + "a,0,-1,0,x\n", head + "a,1,1\n", head + "\"a,1\n", head + "a\"b,1,1,1,any\n",
		head + "\"x\ny\"\"z\",1,1,1,any\nb,1 x,1,1,any\n", head + ",1,1,99999999999999999999,any\n", head + "a,9e99,1e9 in,1000001,any\n",
		head + "\xff,1,1,1,any\n", "part;length\n", head + strings.Repeat("a", 300) + ",1,1,0,any\n", head + "\r\ra,1,1,x,any\n",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var c source.Collector
		b := ReadList(&c, "list.csv", strings.NewReader(text), plainShop())
		lines := strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n")
		if err := c.Err(); err != nil {
			for _, fault := range err.(source.Faults) {
				if fault.Text == "" || fault.Hint == "" || fault.File != "list.csv" {
					t.Fatalf("no place, text or hint: %+v", fault)
				}
				if fault.Line == 0 { // the whole list
					continue
				}
				if fault.Line > len(lines) || fault.Column < 1 || fault.Column > utf8.RuneCountInString(lines[fault.Line-1])+1 {
					t.Fatalf("%d:%d lies outside the list: %v", fault.Line, fault.Column, fault)
				}
			}
			return
		}
		var again source.Collector
		written := writeList(b.List)
		second := ReadList(&again, "list.csv", strings.NewReader(written), plainShop())
		if err := again.Err(); err != nil {
			t.Fatalf("read once, and then refused: %v\n%s", err, written)
		}
		if got := writeList(second.List); got != written || len(b.List) == 0 {
			t.Fatalf("it reads as\n%s\nand then as\n%s", written, got)
		}
	})
}

// writeList writes pieces as a part list, in mm.
func writeList(pieces []*cabinets.Piece) string {
	var text strings.Builder
	out := csv.NewWriter(&text)
	rows := [][]string{listHeader}
	for _, p := range pieces {
		rows = append(rows, []string{p.ID, p.Length.Exact(), p.Width.Exact(), strconv.Itoa(p.Count), grainWord(grainOf(p))})
	}
	if err := out.WriteAll(rows); err != nil {
		panic(err) // a strings.Builder takes everything
	}
	return text.String()
}
