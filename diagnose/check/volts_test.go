package check_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
)

// A dead-end run of ten straights of 10 in, tied outer rails, one feeder in the
// middle of the first: by hand. Rail 0.0123 ohm/m * 0.254 m = 3.1242 mohm a
// piece, joint 1.5 mohm, clip 3 mohm, 16 AWG 13.1744 mohm/m * 1.2192 m =
// 16.062 mohm a wire (0.127 mm * 92^(20/39), copper 0.017241 ohm mm2/m).
// To the middle of the tenth piece: 9 pieces and 9 joints of the center rail,
// and the two outer rails side by side for the way back: half of that, since
// the ties join them in every middle.
func TestDeadEndByHand(t *testing.T) {
	l := read(t, head("metal-tie")+straights(10)+ac+feeder("F1", "main 1", "T1"))
	d := 0.127 * math.Pow(92, 20.0/39)
	wire := 0.017241 / (math.Pi / 4 * d * d) * 1.2192
	require.InDelta(t, 0.016062, wire, 1e-6)
	track := 9 * (0.0123*0.254 + 0.0015)
	ohms := 2*(wire+0.003) + 1.5*track
	require.InDelta(t, 0.10055, ohms, 1e-5)
	r := run(t, l, check.Options{TrainAmps: 5})
	require.Len(t, r.Volts, 1)
	v := r.Volts[0]
	require.Equal(t, "main 10", v.Worst)
	require.InDelta(t, 18-5*ohms, v.Volts, 1e-9) // 17.497 V
	require.InDelta(t, 18/ohms, v.ShortAmps, 1e-6)
	// Poor rails and contacts, clips too: one log-sd of the levels, 0.4 and 0.5.
	poor := 2*(wire+0.003*math.Exp(0.5)) + 1.5*9*(0.0123*0.254*math.Exp(0.4)+0.0015*math.Exp(0.5))
	require.InDelta(t, 18-5*poor, v.WornVolts, 1e-9)
}

// On a closed loop of n equal pieces the way there is k(n-k)/n pieces, so the
// worst piece of 24 is the 13th from the feeder's, with 6 pieces' worth.
func TestLoopByHand(t *testing.T) {
	l := read(t, invent.Loop("metal-tie", 24))
	f := &l.Feeders[0]
	f.At = track.Place{Piece: 0, End: -1}
	v := run(t, l, check.Options{TrainAmps: 2}).Volts[0]
	require.Equal(t, "main 13", v.Worst)
	ohms := 2*(f.OhmsPerWire+0.003) + 1.5*6*(0.0123*0.254+0.0015)
	require.InDelta(t, 18-2*ohms, v.Volts, 1e-9)
}

// Three separate rails, common on both outer rails: the wheels join them, so
// the way back is half of one rail also where no tie does.
func TestWheelsJoinTheOuterRails(t *testing.T) {
	one := head("roadbed") + straights(10) + ac + feeder("F1", "main 1", "T1")
	v := run(t, read(t, one+feeder("F2", "main 1", "T1", `common = "left"`)), check.Options{TrainAmps: 1}).Volts[0]
	l := read(t, one)
	wire, way := l.Feeders[0].OhmsPerWire+0.003, 9*(0.0123*0.254+0.0015)
	// Hot: two wires side by side, one rail. Common: a wire and a rail each.
	require.InDelta(t, 18-(wire/2+way+(wire+way)/2), v.Volts, 1e-9)
	alone := run(t, l, check.Options{TrainAmps: 1}).Volts[0]
	require.InDelta(t, 18-2*(wire+way), alone.Volts, 1e-9)
}

// deck writes the network as ngspice reads it, from the links and nothing of
// the package under test: every supply a source, the train a current source at
// one piece, its wheels a source of 0 V between the outer rails.
func deck(n *conductor.Network, route string, piece int, amps float64) (cards, reading string) {
	var b strings.Builder
	setup := conductor.Setup{Thrown: map[int]string{}}
	for i := range n.Layout.Pieces {
		setup.Thrown[i] = route // a slip has points too
	}
	node := func(p int) string { return "n" + strconv.Itoa(n.NodeOf(p)) }
	for i := range n.Links {
		k := &n.Links[i]
		if k.Kind != conductor.KindLoad && setup.Conducts(k) && n.NodeOf(k.A) != n.NodeOf(k.B) {
			fmt.Fprintf(&b, "R%d %s %s %.17g\n", i, node(k.A), node(k.B), k.Ohms)
		}
	}
	for s, p := range n.Posts {
		fmt.Fprintf(&b, "Vs%d %s %s %g\n", s, node(p[0]), node(p[1]), n.Layout.Supplies[s].Volts)
	}
	for i := range n.Nodes { // a way to ground that carries nothing
		fmt.Fprintf(&b, "Rg%d n%d 0 1e12\n", i, i)
	}
	c := n.Layout.Pieces[piece].Construction
	a, z := n.Middle(piece, c.Hot), n.Middle(piece, c.Common)
	fmt.Fprintf(&b, "Iload %s %s %g\n", node(a), node(z), amps)
	for _, r := range c.Rails {
		if r != c.Hot && r != c.Common && n.NodeOf(n.Middle(piece, r)) != n.NodeOf(z) {
			fmt.Fprintf(&b, "Vwheels %s %s 0\n", node(n.Middle(piece, r)), node(z))
		}
	}
	return b.String(), fmt.Sprintf("v(%s)-v(%s)", node(a), node(z))
}

// spice runs one deck and gives the reading.
func spice(t *testing.T, cards, reading string) float64 {
	t.Helper()
	program, err := exec.LookPath("ngspice")
	require.NoError(t, err, "ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice)")
	file := filepath.Join(t.TempDir(), "deck.cir")
	text := "* volts at a train\n" + cards + ".control\nset numdgt=15\nop\nlet m = " + reading +
		"\nprint m\nquit 0\n.endc\n.end\n"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	cmd := exec.Command(program, "-b", file)
	cmd.Dir = filepath.Dir(file)
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", said)
	for line := range strings.Lines(string(said)) {
		if number, ok := strings.CutPrefix(strings.TrimSpace(line), "m = "); ok {
			x, err := strconv.ParseFloat(number, 64)
			require.NoError(t, err)
			return x
		}
	}
	require.Fail(t, "no answer", "%s", said)
	return 0
}

// Volts piece by piece against a circuit simulator that we did not write. With
// power-routing turnouts the package gives the worse of the two ways of
// throwing them all.
func TestVoltsAgainstSpice(t *testing.T) {
	texts := []string{invent.Oval("metal-tie", false), invent.Oval("roadbed", true), invent.Oval("two-rail", false),
		invent.Figure("solid-rail")}
	texts = append(texts, head("roadbed")+oval+ac+feeder("F1", "main 2", "T1")+feeder("F2", "main 9", "T1",
		`common = "left"`),
		head("two-rail-routing")+`run "main" {
  pieces = ["3 x straight 10", "turnout left diameter 31 angle 45 as W1", "4 x straight 10"]
}
run "spur" {
  from   = "W1 diverging"
  pieces = ["3 x straight 10"]
}
`+dc+feeder("F1", "main 1", "P1"))
	for _, name := range []string{"check-sound", "blocks", "two-supplies", "rail-separate", "slip-yard",
		"wye-two-rail"} {
		text, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
		require.NoError(t, err)
		texts = append(texts, string(text))
	}
	for i, text := range texts {
		l := read(t, text)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		r := run(t, l, check.Options{TrainAmps: 1.5})
		require.Empty(t, r.Unsolved, "layout %d", i)
		require.NotEmpty(t, r.Volts, "layout %d", i)
		for s, v := range r.Volts {
			for j, p := range v.Places {
				piece := &l.Pieces[l.FindPiece(p.Piece)]
				if j%7 == i%7 && (piece.Kind == track.Straight || piece.Kind == track.Curve) {
					require.InDelta(t, spiceVolts(t, n, l.FindPiece(p.Piece), 1.5), p.Volts, 1e-6,
						"layout %d, supply %d, %s", i, s, p.Piece)
				}
			}
		}
	}
}

// spiceVolts is the least volts that a train has on a piece with all turnouts
// thrown through and with all thrown diverging.
func spiceVolts(t *testing.T, n *conductor.Network, piece int, amps float64) float64 {
	least := math.Inf(1)
	for _, route := range []string{track.EndThrough, track.EndDiverging} {
		cards, reading := deck(n, route, piece, amps)
		v := spice(t, cards, reading)
		if v < -10 && v > -100 { // hot is on the other rail here: turn the train round
			cards, reading = deck(n, route, piece, -amps)
			v = -spice(t, cards, reading)
		}
		if v > 0 { // else dead: the current source pulls it far down
			least = min(least, v)
		}
	}
	return least
}

// pairsAt are the feeders that can be put on a piece: hot to the rail that has
// it, common to each rail that has it. It walks the links by itself.
func pairsAt(n *conductor.Network, like track.Feeder, p int) []track.Feeder {
	has := func(side, node int) bool {
		post := n.Posts[like.Supply][side]
		return reach(n, post, track.EndThrough)[node] && reach(n, post, track.EndDiverging)[node]
	}
	var out []track.Feeder
	rails := n.Layout.Pieces[p].Construction.Rails
	for _, h := range rails {
		for _, c := range rails {
			if has(0, n.NodeOf(n.Middle(p, h))) && has(1, n.NodeOf(n.Middle(p, c))) {
				f := like
				f.Name, f.At, f.On, f.Hot, f.Common = "more", track.Place{Piece: p, End: -1},
					track.Outlet{Index: like.Supply}, h, c
				out = append(out, f)
			}
		}
	}
	return out
}

// One more feeder: the place is the best of all by trying each for real, with a
// feeder like the longest, and so are its volts.
func TestOneMoreFeederAgainstTryingAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	helped := 0
	for i := range 16 {
		l := read(t, invent.Random(rng))
		r := run(t, l, check.Options{TrainAmps: 10})
		if len(r.Unsolved) > 0 || len(r.Volts) != 1 || r.Volts[0].More == nil {
			continue
		}
		v := r.Volts[0]
		like := l.Feeders[0]
		for _, f := range l.Feeders {
			if f.OhmsPerWire > like.OhmsPerWire {
				like = f
			}
		}
		best := math.Inf(-1)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		for p := range l.Pieces {
			if k := l.Pieces[p].Kind; k != track.Straight && k != track.Curve {
				continue
			}
			for _, f := range pairsAt(n, like, p) {
				more := *l
				more.Feeders = append(append([]track.Feeder(nil), l.Feeders...), f)
				best = max(best, run(t, &more, check.Options{TrainAmps: 10}).Volts[0].Volts)
			}
		}
		require.InDelta(t, best, v.More.Volts, 1e-9, "layout %d: %s", i, v.More.At)
		helped++
	}
	require.Greater(t, helped, 3)
}
