package spice_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// batch gathers circuits and readings for one run of ngspice. All circuits
// stand side by side in one deck and share ground alone, so nothing flows
// between them.
type batch struct {
	deck     strings.Builder
	circuits int
	readings []string // expressions
}

// add puts a circuit into the deck and gives the prefix of its nodes. Every
// island gets one resistor to ground: no current can flow in it, since it is
// the only way there, but the matrix is not singular.
func (b *batch) add(c *circuit, more ...string) string {
	prefix := fmt.Sprintf("c%d_", b.circuits)
	b.circuits++
	name := func(node string) string {
		if node == "0" {
			return node
		}
		return prefix + node
	}
	for _, r := range c.parts {
		fmt.Fprintf(&b.deck, "%s%s %s %s %.17g\n", "R"+prefix, r.id, name(r.a), name(r.b), r.ohms)
	}
	for _, card := range append(slices.Clone(c.cards), more...) {
		w := strings.Fields(card)
		fmt.Fprintf(&b.deck, "%c%s%s %s %s %s\n", w[0][0], prefix, w[0], name(w[1]), name(w[2]), w[3])
	}
	var leaders []string
	for node, lead := range c.lead {
		if node == lead && node != "0" {
			leaders = append(leaders, node)
		}
	}
	slices.Sort(leaders)
	for _, node := range leaders {
		fmt.Fprintf(&b.deck, "R%sground_%s %s 0 1\n", prefix, node, name(node))
	}
	return prefix
}

// volts asks for the voltage between two nodes of a circuit, and gives the
// number of the answer.
func (b *batch) volts(prefix, red, black string) int {
	v := func(node string) string {
		if node == "0" {
			return "0"
		}
		return "v(" + prefix + node + ")"
	}
	b.readings = append(b.readings, v(red)+"-"+v(black))
	return len(b.readings) - 1
}

// sourceAmps asks for the current that the circuit's source delivers.
func (b *batch) sourceAmps(prefix string) int {
	b.readings = append(b.readings, "0-i(v"+prefix+"vs)")
	return len(b.readings) - 1
}

// run answers all that was asked, in one process.
func (b *batch) run(t testing.TB) []float64 {
	t.Helper()
	program, err := exec.LookPath("ngspice")
	require.NoError(t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice; macOS: brew "+
		"install ngspice)")
	var text strings.Builder
	text.WriteString("* circuits side by side\n" + b.deck.String() + ".control\nset numdgt=15\nop\n")
	for i, expression := range b.readings {
		fmt.Fprintf(&text, "let m%d = %s\nprint m%d\n", i, expression, i)
	}
	text.WriteString("quit 0\n.endc\n.end\n")
	file := filepath.Join(t.TempDir(), "deck.cir")
	require.NoError(t, os.WriteFile(file, []byte(text.String()), 0o600))
	cmd := exec.Command(program, "-b", file)
	cmd.Dir = filepath.Dir(file)
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", said)
	out := make([]float64, len(b.readings))
	found := 0
	for line := range strings.Lines(string(said)) {
		key, number, ok := strings.Cut(strings.TrimSpace(line), " = ")
		index, isReading := strings.CutPrefix(key, "m")
		i, err := strconv.Atoi(index)
		if !ok || !isReading || err != nil {
			continue
		}
		out[i], err = strconv.ParseFloat(number, 64)
		require.NoError(t, err, line)
		found++
	}
	require.Equal(t, len(b.readings), found, "every reading is answered: %s", said)
	return out
}

// Two resistors and ten volts: the harness itself, by hand.
func TestHarness(t *testing.T) {
	n := read(t, "*: 0 ground\n*: 1 top\n*: 2 tap\n*: 3 alone\nR1 1 2 3 ; kind=rail place=\"x\" rail=left\nR2 2 0 2 "+
		"; kind=rail place=\"x\" rail=left\n")
	c := n.under(order{kind: "volts", from: "top", to: "ground", volts: 10}, false)
	require.True(t, c.connected("top", "ground"))
	require.False(t, c.connected("top", "alone"))
	var b batch
	p := b.add(c)
	tap, drop, amps := b.volts(p, "2", "0"), b.volts(p, "1", "2"), b.sourceAmps(p)
	lamp := b.add(n.under(order{kind: "lamp", from: "top", to: "ground", volts: 10, amps: 2}, false))
	dim, flow := b.volts(lamp, "1", "0"), b.sourceAmps(lamp)
	ohms := b.add(n.under(order{}, false), "Iohms 0 2 1")
	r := b.volts(ohms, "2", "0")
	got := b.run(t)
	require.InDelta(t, 4, got[tap], 1e-12)
	require.InDelta(t, 6, got[drop], 1e-12)
	require.InDelta(t, 2, got[amps], 1e-12)
	require.InDelta(t, 5, got[dim], 1e-12)
	require.InDelta(t, 1, got[flow], 1e-12)
	require.InDelta(t, 2, got[r], 1e-12)
}
