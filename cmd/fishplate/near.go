package main

import "github.com/agext/levenshtein"

// nearest is the word of a list that was probably meant, empty when none is
// close: at most two letters off, and fewer than half of them.
func nearest(word string, list []string) string {
	best, at := "", 3
	for _, w := range list {
		if d := levenshtein.Distance(word, w, nil); d < at && 2*d < len(w) {
			best, at = w, d
		}
	}
	return best
}
