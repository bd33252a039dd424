package unit

import (
	"fmt"
	"strings"
)

// And joins words: "a", "a and b", "a, b and c".
func And(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Count says how many: "1 piece", "4 pieces", "2 supplies".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	if y, ok := strings.CutSuffix(what, "y"); ok {
		what = y + "ie"
	}
	return fmt.Sprintf("%d %ss", n, what)
}
