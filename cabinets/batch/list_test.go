package batch

import (
	"strings"
	"testing"

	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
)

func plainShop() *shop.Shop {
	return &shop.Shop{Materials: []*shop.Material{{ID: "sheet", Sheets: []shop.Sheet{{Length: 2500e6, Width: 1250e6, Stock: -1}}}}}
}

func TestReadList(t *testing.T) {
	var c source.Collector
	list := "part,length,width,count,grain\nshelf,720,300.5,4,length\n\"side, left\",23 1/2 in,1 ft 6 in,1,width\nlid, 500 , 400,2,any\n"
	b := ReadList(&c, "lists/rack.csv", strings.NewReader(list), plainShop())
	if err := c.Err(); err != nil {
		t.Fatal(err)
	}
	if b.Name != "rack" {
		t.Errorf("the batch is called %q, want rack", b.Name)
	}
	var got []string
	for _, p := range b.List {
		got = append(got, strings.Join([]string{p.ID, p.Length.Exact(), p.Width.Exact(), strings.Repeat("#", p.Count), grainWord(grainOf(p))}, "|"))
	}
	want := "shelf|720|300.5|####|length\nside, left|596.9|457.2|#|width\nlid|500|400|##|any"
	if strings.Join(got, "\n") != want {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

// A list that cannot be read as text is refused as a whole.
func TestListRefused(t *testing.T) {
	for content, want := range map[string]string{
		listHeadLine + "side\xff,500,400,1,any\n": "is not UTF-8",
		strings.Repeat("a", mostBytes+1):          "is larger than 64 MiB",
	} {
		var c source.Collector
		if ReadList(&c, "list.csv", strings.NewReader(content), plainShop()); c.Err() == nil || !strings.Contains(c.Err().Error(), want) {
			t.Errorf("%v, want %s", c.Err(), want)
		}
	}
}

const listHeadLine = "part,length,width,count,grain\n"
