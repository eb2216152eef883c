package shop

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// finished is full with finishes; its carcass gets one.
var finished = strings.Replace(full, "edges: oak}", "edges: oak, finish: paint, edge-finish: oil}", 1) + `
finishes:
  paint: {name: Furniture paint, coats: 3, covers: 9, tin: 2.5, price: 48}
  oil: {covers: 24, tin: 0.75, price: 31.50}
`

func TestFinishes(t *testing.T) {
	s, faults := read(finished)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	paint := &Finish{Coating{"paint", "Furniture paint", 9, 2.5, 4800}, 3}
	oil := &Finish{Coating{"oil", "oil", 24, 0.75, 3150}, 1}
	if diff := cmp.Diff([]*Finish{paint, oil}, s.Finishes); diff != "" {
		t.Error(diff)
	}
	if litres := paint.Litres(6); math.Abs(litres-2) > 1e-12 { // 6 m2, three coats, 9 m2 a litre
		t.Errorf("6 m2 take %g l", litres)
	}
	carcass := s.Roles["carcass"]
	if carcass.Finish != s.Finish("paint") || carcass.EdgeFinish != s.Finish("oil") {
		t.Errorf("the carcass gets %v and %v", carcass.Finish, carcass.EdgeFinish)
	}
	bare := Refill(s.Roles, Refills{"carcass": {Finish: unfinished}})["carcass"]
	if bare.Finish != nil || bare.EdgeFinish != s.Finish("oil") {
		t.Errorf("without its finish the carcass gets %v and %v", bare.Finish, bare.EdgeFinish)
	}
}
