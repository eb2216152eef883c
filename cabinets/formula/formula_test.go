package formula

import "testing"

func TestNumber(t *testing.T) {
	scope := Scope{"width": true, "slide.length": true, "n": true}
	values := Values{"width": 600, "slide.length": 450, "n": 3}
	for text, want := range map[string]float64{
		"width - 2 * 12.5":                    575,
		"(width - 2) / 4":                     149.5,
		"slide.length + 5":                    455,
		"min(width, slide.length, n)":         3,
		"floor(0.3 / 0.1)":                    3,
		"ceil(2.1) + round(-2.5) + abs(-3)":   3,
		"width > 500 and not (n < 2) ? 1 : 2": 1,
		"7":                                   7,
	} {
		f, err := Number(text, scope)
		if err != nil {
			t.Errorf("Number(%q): %v", text, err)
			continue
		}
		got, err := f.Number(values)
		if err != nil || got != want {
			t.Errorf("%q = %v, %v; want %v", text, got, err, want)
		}
	}
}
