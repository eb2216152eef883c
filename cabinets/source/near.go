package source

import (
	"strings"
	"unicode/utf8"
)

const longestWord = 60 // characters; nobody mistypes a longer one for a known word

// Nearest returns the known word nearest to word, or "" where none is near (edit
// distance with transpositions, at most a third of the length). Case does not count.
// Of words equally near the first is returned.
func Nearest(word string, known []string) string {
	if len(word) > longestWord*utf8.UTFMax {
		return ""
	}
	nearest, least := "", longestWord
	w := []rune(strings.ToLower(word))
	for _, k := range known {
		r := []rune(strings.ToLower(k))
		most := max(len(w), len(r)) / 3
		if len(w) > longestWord || len(r)-len(w) > most || len(w)-len(r) > most {
			continue
		}
		if d := distance(w, r); d <= most && d < least {
			nearest, least = k, d
		}
	}
	return nearest
}

// distance is the optimal string alignment distance: the least number of insertions,
// deletions, replacements and swaps of neighbours, no place being edited twice.
func distance(a, b []rune) int {
	var before []int // the row before the last
	last := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		row := make([]int, len(b)+1)
		row[0] = i + 1
		for j := range b {
			replace := last[j]
			if a[i] != b[j] {
				replace++
			}
			row[j+1] = min(replace, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
