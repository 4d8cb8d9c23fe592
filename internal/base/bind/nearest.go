package bind

import (
	"fmt"
	"slices"
	"strings"
)

// Nearest returns the name most like word, if one is like enough: at most a
// third of its letters would have to change.
func Nearest(word string, names []string) (string, bool) {
	best, at := "", len(word)/3+2
	for _, name := range slices.Sorted(slices.Values(names)) {
		if d := distance(strings.ToLower(word), strings.ToLower(name)); d < at {
			best, at = name, d
		}
	}
	return best, best != ""
}

func offer(word string, names []string) string {
	if near, ok := Nearest(word, names); ok {
		return fmt.Sprintf("; did you mean %s?", near)
	}
	return "; the keys here are " + strings.Join(names, ", ")
}

// distance is the optimal string alignment distance: letters put in, taken out,
// changed, or two neighbours swapped.
func distance(a, b string) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, rows[i-2][j-2]+1)
			}
			rows[i][j] = d
		}
	}
	return rows[len(a)][len(b)]
}
