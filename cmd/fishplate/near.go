package main

import (
	"os"
	"strings"

	"github.com/agext/levenshtein"
	"github.com/spf13/cobra"
)

// nearest is the word of a list that was probably meant, empty when none is
// close: at most two letters off, and fewer than half of them. Of two that are
// as close, it is the one as long as what was written.
func nearest(word string, list []string) string {
	best, at := "", 3
	for _, w := range list {
		d := levenshtein.Distance(word, w, nil)
		if swapped(word, w) {
			d = 1
		}
		if 2*d < len(w) && (d < at || (d == at && d < 3 && len(w) == len(word) && len(best) != len(word))) {
			best, at = w, d
		}
	}
	return best
}

// swapped says whether two neighbouring letters of a word of four or more have
// changed places.
func swapped(a, b string) bool {
	if len(a) != len(b) || len(a) < 4 {
		return false
	}
	for i := 0; i+1 < len(a); i++ {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}

// meant is the command that was probably meant by the first word of a command
// line, empty where that word is a layout's name.
func meant(root *cobra.Command, word string) string {
	if _, err := os.Stat(word); err == nil || word == demoName || strings.Contains(word, ".") {
		return ""
	}
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
	}
	return nearest(word, names)
}
