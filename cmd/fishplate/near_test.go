package main

import (
	"flag"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	list := []string{"meter", "meters", "bell", "big"}
	for word, want := range map[string]string{"metres": "meters", "metr": "meter", "bel": "bell", "bgi": "", "x": "", "": "", "meter": "meter"} {
		assert.Equal(t, want, nearest(word, list), word)
	}
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[a-z]{0,12}`).Draw(t, "word")
		if n := nearest(word, list); n != "" {
			assert.LessOrEqual(t, len(n)-len(word), 2)
			assert.LessOrEqual(t, len(word)-len(n), 2)
		}
	})
}

// No word of the flag package comes through, whatever is mistyped.
func TestFlagErrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		args := rapid.SliceOfN(rapid.SampledFrom([]string{"--bell", "--bell=7", "--meters", "--meters=x", "--fps", "--fps=x", "--nothing", "-", "--", "--=x", "-x", "word", "---", "--lamp=-1", "--meter=q"}), 1, 4).Draw(t, "args")
		fs := flag.NewFlagSet("fishplate", flag.ContinueOnError)
		kitFlags(fs, newKit())
		lookFlags(fs)
		if _, err := parse(fs, args); err != nil {
			for _, theirs := range []string{"provided but not defined", "flag needs an argument", "invalid value"} {
				assert.NotContains(t, err.Error(), theirs, strings.Join(args, " "))
			}
		}
	})
}
