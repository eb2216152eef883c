package diagram

import (
	"cmp"
	"slices"
	"strings"

	"sawbook/output/draw"
)

// Heights of capitals in mm. Numbers are read at arm's length, dimensions are never
// under 3.5.
const (
	numberSize    = 5.0
	dimensionSize = 3.5
	keySize       = 3.5
	noteSize      = 2.5
	padding       = 0.5 // between a text and the line round its box
	rowGap        = 0.9
	runGap        = 2.5
)

// Least heights to which texts other than dimensions shrink.
var (
	nameSizes   = []float64{3, 2.5, 2}
	numberSizes = []float64{numberSize, 4.5, 4} // of a number with its size
	shrunkSizes = []float64{4.5, 4, 3.5, 3, 2.5, 2}
	letterSizes = []float64{3.5, 3, 2.5, 2, 1.6}
)

// run is a text of one size within a row.
type run struct {
	text string
	size float64
	bold bool
}

func (r run) width() float64 { return draw.TextWidth(r.text, r.size, r.bold) }

// block is rows of runs, centred on one another.
type block struct {
	rows          [][]run
	width, height float64
	// lacks says what a part's label leaves to the key.
	lacks lack
}

// lack is how much of its label a part goes without.
type lack int

const (
	lacksNothing lack = iota
	lacksName
	lacksSize   // and the name
	lacksHeight // that, and the number is smaller than it should be
	lacksNumber // a letter stands for it
	lacksAll
)

func newBlock(lacks lack, rows ...[]run) block {
	b := block{rows: rows, lacks: lacks}
	for i, row := range rows {
		width, above, below := rowExtent(row)
		b.width = max(b.width, width)
		b.height += above + below
		if i > 0 {
			b.height += rowGap
		}
	}
	return b
}

// rowExtent returns a row's width and its reach above and below the base line.
func rowExtent(row []run) (width, above, below float64) {
	for i, r := range row {
		t := boxOf(draw.Text{Size: r.size, Text: r.text, Bold: r.bold})
		above, below = max(above, -t.y1), max(below, t.y2)
		width += t.width()
		if i > 0 {
			width += runGap
		}
	}
	return width, above, below
}

// fits reports whether the block fits into b, turned or not.
func (k block) fits(b box, turned bool) bool {
	w, h := k.width, k.height
	if turned {
		w, h = h, w
	}
	return w <= b.width() && h <= b.height()
}

// texts sets the block in the middle of b.
func (k block) texts(b box, turned bool) []draw.Text {
	midX, midY := (b.x1+b.x2)/2, (b.y1+b.y2)/2
	var texts []draw.Text
	across := -k.height / 2 // from the middle, down the rows
	for _, row := range k.rows {
		width, above, below := rowExtent(row)
		across += above
		along := -width / 2
		for _, r := range row {
			t := draw.Text{X: midX + along, Y: midY + across, Size: r.size, Bold: r.bold, Text: r.text, Turned: turned}
			if turned {
				t.X, t.Y = midX+across, midY-along
			}
			texts = append(texts, t)
			along += r.width() + runGap
		}
		across += below + rowGap
	}
	return texts
}

// fit returns the first block that fits one of the boxes, upright before turned, and
// where; ok is false where none does.
func fit(blocks []block, boxes []box) (k block, at box, turned, ok bool) {
	for _, k := range blocks {
		for _, turned := range []bool{false, true} {
			for _, b := range boxes {
				if k.fits(b, turned) {
					return k, b, turned, true
				}
			}
		}
	}
	return block{}, box{}, false, false
}

// partBlocks returns the ways to label a part, the best first: with all, its name
// smaller or on two rows; without its name, its number a little smaller; with its number
// alone, and that smaller. A name that says no more than the number is left out.
func partBlocks(number, name, size string) []block {
	var blocks []block
	withoutName := lacksName
	if name == "" || name == number {
		withoutName = lacksNothing
	} else {
		blocks = namedBlocks(number, name, size)
	}
	d := run{size, dimensionSize, false}
	for _, height := range numberSizes {
		n := run{number, height, true}
		blocks = append(blocks,
			newBlock(withoutName, []run{n}, []run{d}),
			newBlock(withoutName, []run{n, d}),
			newBlock(withoutName, slices.Concat([][]run{{n}}, sizeRows(size))...),
			newBlock(withoutName, slices.Concat(stacked(n), sizeRows(size))...))
	}
	for _, height := range slices.Concat([]float64{numberSize}, shrunkSizes) {
		lacks := lacksSize
		if height < numberSize {
			lacks = lacksHeight
		}
		n := run{number, height, true}
		blocks = append(blocks, newBlock(lacks, []run{n}), newBlock(lacks, stacked(n)...))
	}
	return blocks
}

// namedBlocks returns the ways that lack nothing.
func namedBlocks(number, name, size string) []block {
	n, d := run{number, numberSize, true}, run{size, dimensionSize, false}
	var blocks []block
	for _, height := range nameSizes {
		m := run{name, height, false}
		blocks = append(blocks,
			newBlock(lacksNothing, []run{n}, []run{m}, []run{d}),
			newBlock(lacksNothing, []run{n, d}, []run{m}),
			newBlock(lacksNothing, []run{n}, []run{d, m}),
			newBlock(lacksNothing, []run{n, d, m}))
		if rows := stacked(m); len(rows) > 1 {
			blocks = append(blocks, newBlock(lacksNothing, slices.Concat([][]run{{n}}, rows, [][]run{{d}})...))
		}
	}
	return blocks
}

// stacked sets a text on two rows, broken at the space or after the hyphen nearest to its
// middle; on one where it has neither.
func stacked(r run) [][]run {
	best := -1
	for i, letter := range r.text {
		if (letter == ' ' || letter == '-') && i+1 < len(r.text) && (best < 0 || abs(2*i-len(r.text)) < abs(2*best-len(r.text))) {
			best = i
		}
	}
	if best < 0 {
		return [][]run{{r}}
	}
	first, second := r, r
	first.text, second.text = strings.TrimSpace(r.text[:best+1]), strings.TrimSpace(r.text[best+1:])
	return [][]run{{first}, {second}}
}

// sizeRows sets a length over a width.
func sizeRows(size string) [][]run {
	length, width, _ := strings.Cut(size, " × ")
	return [][]run{{{length + " ×", dimensionSize, false}}, {{width, dimensionSize, false}}}
}

func abs(n int) int { return max(n, -n) }

// offcutBlocks returns the ways to label an offcut that is kept.
func offcutBlocks(label, size string) []block {
	k, l, d := run{"keep", numberSize, false}, run{label, numberSize, true}, run{size, dimensionSize, false}
	small := run{"keep " + label, dimensionSize, true}
	return []block{
		newBlock(lacksNothing, []run{k, l}, []run{d}),
		newBlock(lacksNothing, []run{k}, []run{l}, []run{d}),
		newBlock(lacksNothing, []run{k, l, d}),
		newBlock(lacksNothing, []run{small}, []run{d}),
		newBlock(lacksNothing, []run{small, d}),
		newBlock(lacksNothing, slices.Concat([][]run{{k, l}}, sizeRows(size))...),
		newBlock(lacksNothing, slices.Concat([][]run{{small}}, sizeRows(size))...),
		newBlock(lacksSize, []run{k, l}),
		newBlock(lacksHeight, []run{{"keep " + label, noteSize, true}}),
	}
}

// letterBlocks returns the ways to put a key letter where nothing else fits.
func letterBlocks(letter string) []block {
	var blocks []block
	for _, height := range letterSizes {
		blocks = append(blocks, newBlock(lacksNumber, []run{{letter, height, true}}))
	}
	return blocks
}

// letters returns the n-th key letter: a to z, then aa, ab and so on.
func letters(n int) string {
	text := ""
	for n++; n > 0; n = (n - 1) / 26 {
		text = string(rune('a'+(n-1)%26)) + text
	}
	return text
}

// sortBySpace puts the box of the largest area first, and equal ones in one order.
func sortBySpace(boxes []box) {
	slices.SortFunc(boxes, func(a, b box) int {
		return cmp.Or(
			cmp.Compare(b.width()*b.height(), a.width()*a.height()),
			cmp.Compare(a.y1, b.y1), cmp.Compare(a.x1, b.x1))
	})
}
