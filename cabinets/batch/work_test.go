package batch

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"sawbook/cabinets/measure"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/nest"
)

// listShop is a shop with one material on sheets of 2500 x 1250 mm, for plain lists.
func listShop(stock int) *shop.Shop {
	s := plainShop()
	s.Currency = "EUR"
	s.Materials[0].Sheets[0].Stock = stock
	s.Materials[0].Sheets[0].Price = 7400
	s.Saw = shop.Saw{Kerf: 3200 * measure.Micrometre, Left: 10e6, Right: 10e6, Bottom: 10e6, Top: 10e6, LeastLength: 60e6, LeastWidth: 30e6}
	return s
}

func workList(t *testing.T, ctx context.Context, s *shop.Shop, list string) *Job {
	t.Helper()
	j, err := tryList(ctx, s, list)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func tryList(ctx context.Context, s *shop.Shop, list string) (*Job, error) {
	var c source.Collector
	b := ReadList(&c, "list.csv", strings.NewReader("part,length,width,count,grain\n"+list), s)
	if err := c.Err(); err != nil {
		return nil, err
	}
	return Work(ctx, b, Options{Effort: nest.Quick})
}

func TestFindingsOfAPlan(t *testing.T) {
	stopped, stop := context.WithCancel(context.Background())
	stop()
	for _, test := range []struct {
		name, list string
		ctx        context.Context
		stock      int
		want       string
	}{
		{"all is well", "shelf,720,300,4,length\n", context.Background(), -1, ""},
		{"too long and too wide", "post,2600,1240.5,1,length\n", context.Background(), -1,
			"error sheet: post: the part (2600 x 1240.5 mm) fits no sheet: 2500 x 1250 mm comes nearest, short of 120 mm along its length and 10.5 mm across it once trimmed"},
		{"too long across", "post,1300,200,1,width\n", context.Background(), -1,
			"error sheet: post: the part (1300 x 200 mm) fits no sheet: 2500 x 1250 mm comes nearest, short of 70 mm across it once trimmed"},
		{"stock runs out", "lid,2400,1200,3,length\n", context.Background(), 2,
			"error sheet: lid: 1 of 3 lid found no sheet: stock has run out"},
		{"small", "stop,59.5,40,1,length\n", context.Background(), -1,
			"warning sheet: stop: stop is 59.5 x 40 mm, below the saw's smallest part of 60 x 30 mm: it comes from blank A-B1"},
		{"stopped", "shelf,720,310,14,length\nside,1111,333,31,length\nlid,777,555,23,length\nback,640,410,37,any\ndoor,905,287,19,length\n", stopped, -1,
			"warning sheet: the search was stopped early: this is the best plan until then"},
	} {
		t.Run(test.name, func(t *testing.T) {
			j := workList(t, test.ctx, listShop(test.stock), test.list)
			var got []string
			for _, f := range j.Findings {
				got = append(got, fmt.Sprintf("%s %s: %s", f.Level, f.Where, f.Text))
			}
			if text := strings.Join(got, "\n"); text != test.want {
				t.Errorf("got\n%s\nwant\n%s", text, test.want)
			}
		})
	}
}

// TestEstimateOfAList: 8 shelves of 1200 x 600 mm go two by two onto trimmed sheets of
// 2480 x 1230, so four a sheet: 2 x 600 + 3.2 is below 1230, 2 x 1200 + 3.2 below 2480.
func TestEstimateOfAList(t *testing.T) {
	j := workList(t, context.Background(), listShop(-1), "shelf,1200,600,8,length\n")
	e := j.Estimate
	if len(e.Lines) != 1 || e.Lines[0].Buy != 2 || e.Total != 14800 {
		t.Fatalf("lines %+v, total %d, want 2 sheets for 14800", e.Lines, e.Total)
	}
	use := e.Sheets[0]
	if use.Sheets != 2 || use.Bound != 2 || fmt.Sprintf("%.4f %.4f %.4f", use.Area, use.Parts, use.Waste()) != "6.2500 5.7600 0.0784" {
		t.Errorf("use of sheets %+v, waste %g", use, use.Waste())
	}
}

// TestVerifierStopsAWrongPlan moves a part after the plan was made.
func TestVerifierStopsAWrongPlan(t *testing.T) {
	j := workList(t, context.Background(), listShop(-1), "shelf,720,300,4,length\n")
	j.Materials[0].Patterns[0].Parts[0].X += measure.Millimetre
	var err error
	if j.Written, err = j.write(Options{}); err != nil {
		t.Fatal(err)
	}
	if err := j.verify(); err == nil || !strings.Contains(err.Error(), "the plan does not stand up to its check: sheet, pattern 1: part shelf") {
		t.Errorf("error %v", err)
	}
}
