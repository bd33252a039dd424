package layoutfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/agext/levenshtein"
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
		d := levenshtein.Distance(w, strings.ToLower(k), nil)
		if d < bestAt && 2*d < max(len(k), len(word)) {
			best, bestAt = k, d
		}
	}
	return best
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
