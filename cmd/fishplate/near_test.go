package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	list := []string{"meter", "meters", "bell", "big"}
	for word, want := range map[string]string{"metres": "meters", "metr": "meter", "bel": "bell", "bgi": "", "x": "",
		"": "", "meter": "meter"} {
		assert.Equal(t, want, nearest(word, list), word)
	}
	rapid.Check(t, func(t *rapid.T) {
		meant := rapid.SampledFrom(list).Draw(t, "meant")
		word, slips := meant, rapid.IntRange(0, 4).Draw(t, "slips")
		for range slips {
			at := rapid.IntRange(0, len(word)).Draw(t, "at")
			word = word[:at] + rapid.SampledFrom([]string{"x", "y", "z"}).Draw(t, "typed") + word[at:]
		}
		switch n := nearest(word, list); {
		case slips <= 2 && 2*slips < len(meant):
			assert.NotEmpty(t, n, word)
			assert.LessOrEqual(t, len(word)-len(n), 2, word)
		case slips > 3:
			assert.Empty(t, n, word)
		}
	})
}

// No word of the library of flags comes through, whatever is mistyped.
func TestFlagErrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		args := rapid.SliceOfN(rapid.SampledFrom([]string{"--bell", "--bell=7", "--meters", "--meters=x", "--fps",
			"--fps=x",
			"--nothing", "-", "--", "--=x", "-x", "word", "---", "--lamp=-1", "--meter=q", "-meter", "-bell"}), 1,
			4).Draw(t, "args")
		var out, errs bytes.Buffer
		run(append([]string{"hunt", "--plain"}, args...), strings.NewReader("quit\n"), &out, &errs)
		for _, theirs := range []string{"unknown flag", "shorthand", "flag needs", "invalid argument", "bad flag",
			"strconv"} {
			assert.NotContains(t, errs.String(), theirs, strings.Join(args, " "))
		}
	})
}

// What was written with one dash is taken as before; short flags and values
// that begin with a dash are left alone.
func TestOneDash(t *testing.T) {
	root := commands{newWorld(nil, nil, nil)}.root()
	for _, c := range [][2]string{
		{"hunt -plain demo", "hunt --plain demo"},
		{"hunt -meters=beeper", "hunt --meters=beeper"},
		{"card demo -o x.md", "card demo -o x.md"},
		{"records demo 1 --note -plain", "records demo 1 --note -plain"},
		{"records demo 1 -note -plain", "records demo 1 --note -plain"},
		{"hunt -- -plain", "hunt -- -plain"},
		{"-help", "--help"},
		{"-h", "-h"},
		{"-nothing", "-nothing"},
	} {
		assert.Equal(t, strings.Fields(c[1]), longFlags(root, strings.Fields(c[0])), c[0])
	}
}
