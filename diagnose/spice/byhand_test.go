package spice_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// byHand is a circuit that someone typed from a description of the track, in
// the states of points and toggles that were drawn. In its file a line
// "*= node = point" names a node as the netlist does, "*? a | b" asks for the
// resistance between two points, "*x a | b" says that nothing joins them, and
// "*== words" begins a state with resistors of its own.
type byHand struct {
	layout string
	points map[string]string
	states []*handState
}

type handState struct {
	words          string
	parts          []resistor
	asked, islands [][2]string
}

// TestCircuitsByHand compares what the program makes of a layout with circuits
// typed by hand from the trade's description of the track: the step from track
// to circuit, which no check against the program's own netlist can see.
func TestCircuitsByHand(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "decks", "*.cir"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 12)
	var b batch
	type pair struct {
		name       string
		hand, ours int
	}
	var pairs []pair
	for _, file := range files {
		deck := readHand(t, file)
		n := read(t, written(t, network(t, deck.layout)))
		for _, s := range deck.states {
			ours := n.inState(s.words)
			hand := &circuit{points: deck.points, parts: append(append([]resistor(nil), deck.states[0].parts...),
				s.parts...)}
			if s == deck.states[0] {
				hand.parts = s.parts
			}
			hand.islands()
			for _, p := range append(append([][2]string(nil), s.asked...), s.islands...) {
				for _, name := range p {
					require.Contains(t, deck.points, name, "%s: a point without a node", file)
					require.Contains(t, n.points, name, "%s: a point that the netlist does not have", file)
				}
			}
			for _, p := range s.islands {
				require.False(t, hand.connected(p[0], p[1]), "%s %s: %s and %s by hand", file, s.words, p[0], p[1])
				require.False(t, ours.connected(p[0], p[1]), "%s %s: %s and %s", file, s.words, p[0], p[1])
			}
			for _, p := range s.asked {
				require.True(t, hand.connected(p[0], p[1]), "%s %s: %s and %s by hand", file, s.words, p[0], p[1])
				require.True(t, ours.connected(p[0], p[1]), "%s %s: %s and %s", file, s.words, p[0], p[1])
				pairs = append(pairs, pair{file + " " + s.words + ": " + p[0] + " to " + p[1], b.ohms(hand, p),
					b.ohms(ours, p)})
			}
		}
	}
	require.GreaterOrEqual(t, len(pairs), 60)
	got := b.run(t)
	for _, p := range pairs {
		// 13.17 ohm/km in the published wire table: half of its last digit is 3.8e-4.
		require.InEpsilon(t, got[p.hand], got[p.ours], 4e-4, p.name)
	}
	t.Logf("%d resistances of %d circuits", len(pairs), len(files))
}

// ohms asks for the resistance between two points: the volts of one ampere.
func (b *batch) ohms(c *circuit, p [2]string) int {
	from, to := c.points[p[0]], c.points[p[1]]
	return b.volts(b.add(c, "Iohms "+to+" "+from+" 1"), from, to)
}

// inState is the netlist with what the words of a state say.
func (n *netlist) inState(words string) *circuit {
	o, list := order{}, *n
	word, rest, _ := strings.Cut(words, " ")
	switch word {
	case "thrown":
		at := strings.LastIndex(rest, " ")
		o.thrown = map[string]string{n.pieceOf(rest[:at]): rest[at+1:]}
	case "off":
		o.off = []string{rest}
	case "unplugged":
		o.unplugged = []string{rest}
	case "train": // wheels of 0.05 ohm
		o.loads = []loadOrder{{rest + " left", rest + " right", 0.05}}
	case "hot":
		list.resistors = nil
		for _, r := range n.resistors {
			if r.kind == "load" {
				r.when = map[string]string{"hot": "cold", "cold": "hot"}[r.when]
			}
			list.resistors = append(list.resistors, r)
		}
	}
	return list.under(o, false)
}

// pieceOf is the piece that a turnout's name stands for.
func (n *netlist) pieceOf(turnout string) string {
	for _, r := range n.resistors {
		if r.turnout != "" && (r.turnout == turnout || r.name == turnout) {
			return r.turnout
		}
	}
	return turnout
}

func readHand(t *testing.T, file string) *byHand {
	layout, err := os.ReadFile(strings.TrimSuffix(file, ".cir") + ".hcl")
	require.NoError(t, err)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	d := &byHand{layout: string(layout), points: map[string]string{}, states: []*handState{{}}}
	two := func(s, by string) [2]string {
		a, b, ok := strings.Cut(s, by)
		require.True(t, ok, "%s: %s", file, s)
		return [2]string{strings.TrimSpace(a), strings.TrimSpace(b)}
	}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		s := d.states[len(d.states)-1]
		switch {
		case strings.HasPrefix(line, "*== "):
			d.states = append(d.states, &handState{words: line[4:]})
		case strings.HasPrefix(line, "*= "):
			p := two(line[3:], " = ")
			d.points[p[1]] = p[0]
		case strings.HasPrefix(line, "*? "):
			s.asked = append(s.asked, two(line[3:], "|"))
		case strings.HasPrefix(line, "*x "):
			s.islands = append(s.islands, two(line[3:], "|"))
		case strings.HasPrefix(line, "R"):
			w := strings.Fields(line)
			require.Len(t, w, 4, "%s: %s", file, line)
			ohms, err := strconv.ParseFloat(w[3], 64)
			require.NoError(t, err, line)
			s.parts = append(s.parts, resistor{id: w[0], a: w[1], b: w[2], ohms: ohms})
		default:
			require.True(t, line == "" || strings.HasPrefix(line, "*"), "%s: %s", file, line)
		}
	}
	return d
}
