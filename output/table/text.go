package table

import (
	"bufio"
	"io"
	"strings"

	"github.com/rivo/uniseg"
)

// WriteText writes the table as aligned text: a title, a row of heads, a rule, and the
// rows. Columns aside are left out.
func (t *Table) WriteText(w io.Writer) error {
	var columns []int
	for i, c := range t.Columns {
		if !c.Aside {
			columns = append(columns, i)
		}
	}
	lines := [][]string{make([]string, len(columns))}
	for k, i := range columns {
		lines[0][k] = t.Columns[i].Head
	}
	for row := range t.Rows {
		line := make([]string, len(columns))
		for k, i := range columns {
			line[k] = oneLine(t.Print(row, i))
		}
		lines = append(lines, line)
	}
	widths := widest(lines)
	out := bufio.NewWriter(w)
	out.WriteString(t.Title + "\n\n")
	for n, line := range lines {
		for k, i := range columns {
			lines[n][k] = pad(line[k], widths[k], t.Columns[i].Right())
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
