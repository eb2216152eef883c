package measure

import "testing"

func TestSize(t *testing.T) {
	if got, want := (Style{}).Size(2500*Millimetre, 11*Millimetre+900*Micrometre), "2500 x 11.9 mm"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got, want := (Style{Unit: Inches, Denominator: 32}).Size(96*Inch, Inch/2), "96 x 1/2 in"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
