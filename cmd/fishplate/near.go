package main

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/agext/levenshtein"
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

// flagError puts the flag package's words into ours, with the flag that was
// probably meant.
func flagError(fs *flag.FlagSet, err error) error {
	said := err.Error()
	if name, ok := strings.CutPrefix(said, "flag provided but not defined: -"); ok {
		name = strings.TrimLeft(name, "-")
		var known []string
		fs.VisitAll(func(f *flag.Flag) { known = append(known, f.Name) })
		switch n := nearest(name, known); {
		case n != "":
			return fmt.Errorf("there is no flag --%s; did you mean --%s?", name, n)
		case len(known) == 0:
			return fmt.Errorf("there is no flag --%s; %s has none", name, fs.Name())
		default:
			return fmt.Errorf("there is no flag --%s; there are --%s", name, strings.Join(known, ", --"))
		}
	}
	if name, ok := strings.CutPrefix(said, "flag needs an argument: -"); ok {
		return fmt.Errorf("--%s needs something behind it", strings.TrimLeft(name, "-"))
	}
	if rest, ok := strings.CutPrefix(said, "invalid value "); ok { // "x" for flag -set: why
		if _, why, ok := strings.Cut(rest, ": "); ok {
			_, name, _ := strings.Cut(rest[:len(rest)-len(why)-2], " for flag -")
			return fmt.Errorf("--%s: %s", name, why)
		}
	}
	if rest, ok := strings.CutPrefix(said, "invalid boolean value "); ok {
		return fmt.Errorf("a switch takes no value: %s", rest)
	}
	return err
}

// meant is the command that was probably meant by the first word of a command
// line, empty where that word is a layout's name.
func meant(word string) string {
	if _, err := os.Stat(word); err == nil || word == demoName || strings.Contains(word, ".") {
		return ""
	}
	var names []string
	for name := range commands {
		names = append(names, name)
	}
	slices.Sort(names)
	return nearest(word, names)
}
