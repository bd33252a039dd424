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
	args := []string{"hunt", "--plain", "--save", filepath.Join(t.TempDir(), "hunt.json"),
		filepath.Join("..", "..", "testdata", "layouts", layout+".hcl")}
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
			for _, c := range hunt.Offers(networkOf(t, filepath.Join("..", "..", "testdata", "layouts",
				layout+".hcl")).Layout) {
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

// A place is found by a landmark's words too; what is none is told what there is.
func TestPlaceIsHelped(t *testing.T) {
	out := asked(t, "loop-siding", "4", "help", "main", "main 99", "nowhere", "", "quit")
	for _, want := range []string{"Pieces: main 1 to 32; siding 1 to 8.",
		"main has the pieces 1 to 32: name one, as in main 17.",
		"There is no main 99: the run has 32 pieces.", `There is no piece or joint "nowhere" on this layout.`} {
		assert.Contains(t, out, want)
	}
	var demo, errs bytes.Buffer
	in := strings.NewReader("4\nby the tunnel\nthe south mouth\nquit\n")
	require.Equal(t, exitOK, run([]string{"hunt", "--plain", "--save", filepath.Join(t.TempDir(), "h.json"), "demo"},
		in, &demo, &errs))
	assert.Contains(t, demo.String(), "There is more than one by the tunnel: tunnel, south mouth (main 16/17); "+
		"tunnel, north mouth (main 22/23).")
	assert.Contains(t, demo.String(), "Taken: main 16/17.")
}

// A verdict without a name is of the piece that is surely meant, else it is said how
// one of the list is named; the end counts all that was taken, each by its kind.
func TestVerdictOfIt(t *testing.T) {
	var out, errs bytes.Buffer
	lines := []string{"1", "bright", "found it", "0.14", "-34.7 mV", "-8.7 mV", "-29.3 mV", "2", "found it",
		"OL", "quit"}
	args := []string{"hunt", "--plain", "--battery", "--lamp", "1.75A", "--save", filepath.Join(t.TempDir(), "h.json"),
		"demo"}
	require.Equal(t, exitOK, run(args, strings.NewReader(strings.Join(lines, "\n")+"\n"), &out, &errs), errs.String())
	said := out.String()
	for _, want := range []string{"Without eyes for it: ask someone; or type skip, and volts tell it.",
		"Say which piece, as in: found main 31",
		"Type found 1: main 28 was bad; found 2: main 25 was bad;",
		"the fault was found at main 28\n4 readings, 1 look at the lamp. Pieces",
		"4 readings, 1 look at the lamp, and 1 to prove the repair. Pieces"} {
		assert.Contains(t, said, want)
	}
}

// With trains off the rails nothing asks for one to make a fault show; without the
// volts a lamp is told by its warmth.
func TestMadeToShow(t *testing.T) {
	out := asked(t, "loop", "1 sometimes", "quit")
	assert.Contains(t, out, "take every train and loose car off the rails")
	assert.Contains(t, out, "make the fault show (press along the track with a stick of dry wood, no hand on rails or "+
		"wires) and read")
	assert.Contains(t, out, "or after a minute feel its warmth from a hand's breadth, and never touch it")
	assert.NotContains(t, out, "let a train stand")
}
