package layoutfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// nearest finds the known word that is most likely meant: at most two edits
// away and fewer than half of its letters, case aside. Empty when there is
// none; of equally near words the first in the list.
func nearest(word string, known []string) string {
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

// listed writes words as people list them: "a, b or c".
func listed(words []string, last string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}

// suggest is the fix for an unknown word: the nearest known one, or all.
func suggest(word string, known []string) string {
	if n := nearest(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if len(known) == 0 {
		return ""
	}
	if len(known) > 12 {
		return "known are " + strings.Join(known[:12], ", ") + ", ..."
	}
	return "known are " + listed(known, "and")
}

// mmPer is the length of the units in millimeters (inch: 25.4 mm exactly by
// the international yard and pound agreement of 1959).
var mmPer = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8}

var unitWords = []string{"in", "ft", "mm", "cm", "m"}

// splitNumber cuts "10in" into "10" and "in".
func splitNumber(s string) (number, rest string) {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' || s[i] == ',' || i == 0 && (s[i] == '-' || s[i] == '+')) {
		i++
	}
	return s[:i], s[i:]
}

// number reads a plain decimal number. A comma gets a hint of its own.
func number(s string) (float64, error) {
	if strings.Contains(s, ",") {
		return 0, fmt.Errorf("write %s with a decimal point: %s", s, strings.ReplaceAll(s, ",", "."))
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(s, "xXpPeE_") {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}

// fraction reads "3/8".
func fraction(s string) (float64, bool) {
	a, b, ok := strings.Cut(s, "/")
	if !ok {
		return 0, false
	}
	x, errA := strconv.ParseUint(a, 10, 16)
	y, errB := strconv.ParseUint(b, 10, 16)
	if errA != nil || errB != nil || y == 0 {
		return 0, false
	}
	return float64(x) / float64(y), true
}

// trimNumber writes a number with up to n digits behind the point.
func trimNumber(v float64, n int) string {
	s := strconv.FormatFloat(v, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// isName says whether s can name a run or a piece.
func isName(s string) bool {
	if s == "" || len(s) > maxNameLength {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || !(c >= '0' && c <= '9' || c == '_' || c == '-')) {
			return false
		}
	}
	return true
}

// folded is what a name looks and sounds like: names with equal folds are
// confusable on a screen read from two metres or called across a table.
func folded(s string) string {
	return strings.NewReplacer("-", "", "_", "", "o", "0", "l", "1", "i", "1").Replace(strings.ToLower(s))
}
