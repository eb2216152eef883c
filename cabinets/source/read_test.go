package source

import (
	"strings"
	"testing"

	"sawbook/cabinets/measure"
)

func TestRead(t *testing.T) {
	var c Collector
	n := Read(&c, "shop.yaml", strings.NewReader("sheet:\n  length: 2500\n  thickness: 18 mm\n  widht: 3\n  name: \"a\\tb 3/0 in\"\nsheet: 4\n"))
	m := n.Map("sheet").Need("sheet").Map("length", "thickness", "width", "name")
	if got := m.Need("length").Length(measure.Millimetres); got != 2500*measure.Millimetre {
		t.Errorf("length = %d", got)
	}
	m.Need("name").FaultAt(4, "here", "")
	m.Need("width")
	t.Log(c.Err())
}
