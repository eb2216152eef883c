package table

import (
	"bufio"
	"io"
	"strings"

	"github.com/rivo/uniseg"
)

// WriteText writes the table as aligned text: a title, a row of heads, a rule, and the
// rows.
func (t *Table) WriteText(w io.Writer) error {
	t = t.For(Plain)
	lines := [][]string{make([]string, len(t.Columns))}
	for i, c := range t.Columns {
		lines[0][i] = c.Head
	}
	for row := range t.Rows {
		line := make([]string, len(t.Columns))
		for i := range t.Columns {
			line[i] = oneLine(t.Print(row, i))
		}
		lines = append(lines, line)
	}
	widths := widest(lines)
	out := bufio.NewWriter(w)
	out.WriteString(t.Title + "\n\n")
	for n, line := range lines {
		for i, c := range t.Columns {
			line[i] = pad(line[i], widths[i], c.Right())
		}
		out.WriteString(strings.TrimRight(strings.Join(line, "  "), " ") + "\n")
		if n == 0 {
			out.WriteString(rule(widths) + "\n")
		}
	}
	return out.Flush()
}

// oneLine keeps a cell from breaking its row.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// widest returns the width of each column in terminal cells.
func widest(lines [][]string) []int {
	widths := make([]int, len(lines[0]))
	for _, line := range lines {
		for k, cell := range line {
			widths[k] = max(widths[k], uniseg.StringWidth(cell))
		}
	}
	return widths
}

func pad(s string, width int, right bool) string {
	spaces := strings.Repeat(" ", width-uniseg.StringWidth(s))
	if right {
		return spaces + s
	}
	return s + spaces
}

func rule(widths []int) string {
	lines := make([]string, len(widths))
	for i, w := range widths {
		lines[i] = strings.Repeat("-", w)
	}
	return strings.Join(lines, "  ")
}
