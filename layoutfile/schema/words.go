package schema

import (
	"fmt"
	"strings"
)

// Nearest finds the known word that is most likely meant: at most two edits
// away and fewer than half of its letters, case aside. Empty when there is
// none; of equally near words the first in the list.
func Nearest(word string, known []string) string {
	if len(word) > 40 {
		return ""
	}
	best, bestAt := "", 3
	w := strings.ToLower(word)
	for _, k := range known {
		if k == word || len(k) > 40 {
			continue
		}
		d := edits(w, strings.ToLower(k))
		if d < bestAt && 2*d < max(len(k), len(word)) {
			best, bestAt = k, d
		}
	}
	return best
}

// edits counts the letters to add, drop, change or swap with their neighbour
// to make one word of another (optimal string alignment, as in the textbook
// treatment of Damerau's distance, CACM 7(3), 1964).
func edits(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			best := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				best = min(best, rows[i-2][j-2]+1)
			}
			rows[i][j] = best
		}
	}
	return rows[len(x)][len(y)]
}

// Listed writes words as people list them: "a, b or c".
func Listed(words []string, last string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}

// Suggest is the fix for an unknown word: the Nearest known one, or all.
func Suggest(word string, known []string) string {
	if n := Nearest(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if len(known) == 0 {
		return ""
	}
	if len(known) > 12 {
		return "known are " + strings.Join(known[:12], ", ") + ", ..."
	}
	return "known are " + Listed(known, "and")
}
