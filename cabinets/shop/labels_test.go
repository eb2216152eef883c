package shop

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// On a roll the paper is the label; on sheets labels lie as close as they are large, unless the
// file says at which pitch.
func TestReadLabels(t *testing.T) {
	roll := Labels{Width: 62 * mm, Height: 29 * mm, Columns: 1, Rows: 1, PaperWidth: 62 * mm, PaperHeight: 29 * mm, PitchX: 62 * mm, PitchY: 29 * mm}
	close := Labels{Width: 70 * mm, Height: 37 * mm, Columns: 3, Rows: 8, PaperWidth: 210 * mm, PaperHeight: 297 * mm, Top: mm / 2, PitchX: 70 * mm, PitchY: 37 * mm}
	apart := close
	apart.Columns, apart.Left, apart.PitchX = 2, 10*mm, 80*mm
	for text, want := range map[string]*Labels{
		"":                             nil,
		"labels: {size: 62 x 29 mm}\n": &roll,
		"labels: {size: 70 x 37 mm, columns: 3, rows: 8, paper: 210 x 297 mm, top: 0.5 mm}\n":                                 &close,
		"labels: {size: 70 x 37 mm, columns: 2, rows: 8, paper: 210 x 297 mm, left: 10 mm, top: 0.5 mm, pitch: 80 x 37 mm}\n": &apart,
	} {
		s, said := read(plain + text)
		if len(said) > 0 {
			t.Errorf("%s is refused: %v", text, said)
		}
		if diff := cmp.Diff(want, s.Labels); diff != "" {
			t.Errorf("%s: %s", text, diff)
		}
	}
}
