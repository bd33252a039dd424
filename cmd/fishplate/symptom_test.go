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

// How points stood is asked where they switch current, on one line or on the
// next; Enter leaves it open.
func TestPointsWhenItTripped(t *testing.T) {
	const question = "How did the turnouts stand when it tripped?"
	out := asked(t, "shelf-two-rail", "1 W2 diverging", "quit")
	assert.NotContains(t, out, question)
	assert.Contains(t, out, "throw W2 to diverging")

	out = asked(t, "shelf-two-rail", "1", "W3 diverging", "W2 sideways", "w2 divergin", "quit")
	assert.Contains(t, out, question)
	assert.Contains(t, out, `No turnout "W3" switches current on this layout. There is W2.`)
	assert.Contains(t, out, `Say how "W2 sideways" stood`)
	assert.Contains(t, out, "throw W2 to diverging")

	out = asked(t, "shelf-two-rail", "1", "", "quit")
	assert.Contains(t, out, "Reading 1, ")
	out = asked(t, "shelf-two-rail", "1", "quit")
	assert.NotContains(t, out, "Reading 1, ")
	assert.NotContains(t, asked(t, "loop", "1", "quit"), question)
}

// The JSON door takes it with the symptom, and every ask names it.
func TestThrownOverJSON(t *testing.T) {
	file := filepath.Join("..", "..", "testdata", "layouts", "shelf-two-rail.hcl")
	say := func(line string) string {
		var out, errs bytes.Buffer
		run([]string{"hunt", "--json", file}, strings.NewReader(line+"\n"), &out, &errs)
		return out.String() + errs.String()
	}
	assert.Contains(t, say(`{"symptom":"short","thrown":{"W2":"diverging"}}`), `"thrown":{"W2":"diverging"}`)
	assert.Contains(t, say(`{"symptom":"dead","at":"main 3"}`), `"thrown":{"W2":"through"}`)
	for line, want := range map[string]string{
		`{"symptom":"short","thrown":{"W7":"diverging"}}`: `W7`,
		`{"symptom":"short","thrown":["W2"]}`:             "thrown is how turnouts stood",
		`{"reading":"3","thrown":{"W2":"diverging"}}`:     "thrown goes with symptom only",
	} {
		assert.Contains(t, say(line), want)
	}
}
