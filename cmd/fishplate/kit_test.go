package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
)

// A program says what is written on the lamp, and the whole hunt is played with
// a lamp that takes a tenth more than that.
func TestHuntJSONWithKit(t *testing.T) {
	for seed := uint64(1); seed <= 3; seed++ {
		path := filepath.Join("..", "..", "testdata", "layouts", "loop.hcl")
		b := hidden(t, networkOf(t, path), rand.New(rand.NewPCG(seed, 7)))
		two := gear.Bulb(2)
		b.lamp = 1.1 * two.Current(b.n.Layout.Supplies[0].Volts, math.Inf(1))
		s := startProgram(t, path)
		said := s.send("kit", map[string]any{"lamp_watts": two.Watts, "lamp_volts": two.Volts, "lamps_in_series": 2,
			"lead_metres": 0.9})
		require.Equal(t, "kit", said.Type, said.Message)
		require.Contains(t, s.out.Text(), fmt.Sprintf(`"lamp_watts":%v,"lamp_volts":%v,"lamps_in_series":2`, two.Watts,
			two.Volts))
		s.play(b)
	}
}

// The same in plain mode: the kit is asked for, and the hunt goes on to "proven"
// with it.
func TestHuntPlainWithKit(t *testing.T) {
	path := filepath.Join("..", "..", "testdata", "layouts", "loop.hcl")
	n := networkOf(t, path)
	b := hidden(t, n, rand.New(rand.NewPCG(2, 7)))
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, LeadMetres: 0.9}
	two := gear.Bulb(2)
	two.Into(&kit)
	b.lamp = two.Current(n.Layout.Supplies[0].Volts, math.Inf(1)) / 1.1
	in := []string{"kit", "no", "both", "", "2 x 21W 12V", "transformer", "90 cm", "", ""}
	for _, e := range livedWith(t, b, kit) {
		in = append(in, plainLine(e))
	}
	var out, errs bytes.Buffer
	code := run([]string{"hunt", "--plain", "--save", filepath.Join(t.TempDir(), "hunt.json"), path},
		strings.NewReader(strings.Join(in, "\n")+"\n"), &out, &errs)
	require.Equal(t, exitOK, code, errs.String())
	assert.Contains(t, out.String(), "You have "+gear.Says(&kit, n.Layout)+".")
	assert.Contains(t, out.String(), "Lamp: the way round is hot post of the transformer")
	assert.Contains(t, out.String(), "\nProof 1, about ", "no reading of the list")
	assert.Contains(t, out.String(), "The repair is proven.")
	assert.NotContains(t, out.String(), "is not understood")
}

// Enter at the lamp keeps the one that was told, and says which; nobody knows it where
// that is said.
func TestPlainKitKeepsTheLamp(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	for answer, want := range map[string]string{"": "a lamp (12 V 21 W: 1.75 A at 12 V)",
		"unknown": "a lamp (nobody knows", "nobody knows": "a lamp (nobody knows", "no": "no lamp"} {
		var out, errs bytes.Buffer
		code := run([]string{"hunt", "--plain", "--lamp", "P21W", "demo"},
			strings.NewReader("kit\nyes\n"+answer+"\n\nquit\n"), &out, &errs)
		require.Equal(t, exitOK, code, errs.String())
		assert.Contains(t, out.String(), "Enter: 12 V 21 W;", answer)
		assert.Contains(t, out.String()[strings.Index(out.String(), "You have"):], want, answer)
	}
}

// A card is made for what the user owns, as a hunt is: the same flags.
func TestCardTakesTheKit(t *testing.T) {
	path := filepath.Join("..", "..", "testdata", "layouts", "dead-end.hcl")
	var out, errs bytes.Buffer
	code := run([]string{"card", path, "--symptom", "short", "--depth", "1", "--battery", "--lamp", "P21W", "--leads",
		"60 cm"}, strings.NewReader(""), &out, &errs)
	require.Equal(t, exitOK, code, errs.String())
	for _, want := range []string{" Battery 12 V\n", "fuse 3 A", "Dial:  DC millivolts",
		"1.3 to under 4.1 V: about 2 ohm"} {
		assert.Contains(t, strings.ReplaceAll(out.String(), "\n  ", " "), want)
	}
}

// Giant letters and the bell are of readings: commands that neither are a hunt nor lead to
// one know no such flag.
func TestFlagsOfReadings(t *testing.T) {
	for command, has := range map[string]bool{"hunt": true, "build": true, "health": true, "panel": true, "walk": true,
		"drill": false, "piece": false} {
		var out, errs bytes.Buffer
		run([]string{command, "--help"}, strings.NewReader(""), &out, &errs)
		assert.Equal(t, has, strings.Contains(out.String(), "--big") && strings.Contains(out.String(), "--bell"),
			command)
	}
}
