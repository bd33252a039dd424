package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// asked types answers into the plain mode on one of the shared layouts.
func asked(t *testing.T, layout string, lines ...string) string {
	var out, errs bytes.Buffer
	args := []string{"hunt", "--plain", "--save", filepath.Join(t.TempDir(), "hunt.json"), filepath.Join("..", "..", "testdata", "layouts", layout+".hcl")}
	require.Equal(t, exitOK, run(args, strings.NewReader(strings.Join(lines, "\n")+"\n"), &out, &errs), errs.String())
	return out.String()
}

// Accessories and second supplies are asked about where there are any, and
// only there.
func TestChoicesFitTheLayout(t *testing.T) {
	none := networkOf(t, filepath.Join("..", "..", "testdata", "layouts", "loop.hcl")).Layout
	assert.Len(t, hunt.Offers(none), 4)
	out := asked(t, "loop", "5")
	assert.Contains(t, out, "Type a number from 1 to 4.")

	out = asked(t, "rail-tied", "5", "nose", "bell", "quit")
	assert.Contains(t, out, `There is no accessory "nose"`)
	assert.Contains(t, out, "Which accessory? There is bell")
	assert.Contains(t, out, "Reading 1, ")

	out = asked(t, "two-supplies", "phase t2", "quit")
	assert.Contains(t, out, "Reading 1, ")
	for _, k := range hunt.Symptoms() {
		found := false
		for _, layout := range []string{"rail-tied", "two-supplies", "blocks"} {
			for _, c := range hunt.Offers(networkOf(t, filepath.Join("..", "..", "testdata", "layouts", layout+".hcl")).Layout) {
				found = found || c.Kind == k
			}
		}
		assert.True(t, found, "nothing offers %s", k)
	}
}

// A place that holds the word, and the word itself.
func TestSometimes(t *testing.T) {
	out := asked(t, "loop", "weak main 7 sometimes", "quit")
	assert.Contains(t, out, "Reading 1, ")
	out = asked(t, "loop", "weak sometimes", "main 7", "quit")
	assert.Contains(t, out, "Where do they stall?")
	assert.Contains(t, out, "Reading 1, ")
}
