package spice_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/require"
)

// demos are the layouts of testdata and the one that comes with the program.
func demos(t testing.TB) map[string]string {
	t.Helper()
	name, src := layoutfile.Demo()
	out := map[string]string{name: string(src)}
	files, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	for _, path := range files {
		src, err := os.ReadFile(path)
		require.NoError(t, err)
		out[filepath.Base(path)] = string(src)
	}
	require.Greater(t, len(out), 15)
	return out
}

func names(of map[string]string) []string {
	var out []string
	for name := range of {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

// kindOf says what sort of fault a suspect is: its mode, its part, the kind of
// its link.
func kindOf(n *conductor.Network, s *fault.Suspect) string {
	return fmt.Sprintf("%s %s %s", s.Mode, s.Part, n.Links[s.Links[0]].Kind)
}

// oneOfEach picks a suspect of every kind.
func oneOfEach(n *conductor.Network, rng *rand.Rand) []fault.Suspect {
	list := fault.List(n)
	by := map[string][]int{}
	var order []string
	for i := range list {
		k := kindOf(n, &list[i])
		if by[k] == nil {
			order = append(order, k)
		}
		by[k] = append(by[k], i)
	}
	var out []fault.Suspect
	for _, k := range order {
		out = append(out, list[by[k][rng.IntN(len(by[k]))]])
	}
	return out
}

// drawWhole draws a set-up with everything that a layout has: toggles, loads,
// trains, a second supply.
func drawWhole(n *conductor.Network, rng *rand.Rand) (conductor.Setup, order) {
	l := n.Layout
	s, o := drawSetup(n, rng)
	for i := range l.Pieces {
		if l.Pieces[i].Form == track.FormSlip && rng.IntN(2) == 0 {
			_ = n.Throw(&s, l.Pieces[i].ID(), track.EndDiverging)
			o.thrown[l.Pieces[i].ID()] = "diverging"
		}
	}
	for i := range l.Toggles {
		if rng.IntN(3) == 0 {
			s.TurnOff(i)
			o.off = append(o.off, l.Toggles[i].Name)
		}
	}
	for i := range l.Accessories {
		if rng.IntN(4) == 0 {
			s.Unplug(i)
			o.unplugged = append(o.unplugged, l.Accessories[i].Name)
		}
	}
	if rng.IntN(2) == 0 {
		drawTrain(n, rng, &s, &o)
	}
	if len(l.Supplies) > 1 && rng.IntN(2) == 0 {
		s.Source = conductor.Source{Kind: conductor.SourceVolts, From: n.Windings[0][0], To: n.Windings[0][1],
			Volts: 18}
		s.Also = []conductor.Source{{Kind: conductor.SourceVolts, From: n.Windings[1][0], To: n.Windings[1][1],
			Volts: 14}}
		o.kind, o.from, o.to, o.volts = "volts", "T1 hot", "T1 common", 18
		o.also = []sourceOrder{{"T2 winding hot", "T2 winding common", 14}}
	}
	return s, o
}

// drawTrain stands a train somewhere, and says in resistors what that is, from
// the words of the netlist's header.
func drawTrain(n *conductor.Network, rng *rand.Rand, s *conductor.Setup, o *order) {
	l := n.Layout
	first := rng.IntN(len(l.Pieces))
	train := conductor.TrainAt{Pieces: []int{first}, Wheels: 0.03 + 0.1*rng.Float64()}
	if rng.IntN(2) == 0 {
		train.Motor = 4 + 10*rng.Float64()
	}
	for range rng.IntN(3) {
		last := &l.Pieces[train.Pieces[len(train.Pieces)-1]]
		j := last.Ends[len(last.Ends)-1].Joint
		if j < 0 {
			break
		}
		next := l.Joints[j].A.Piece + l.Joints[j].B.Piece - train.Pieces[len(train.Pieces)-1]
		if slices.Contains(train.Pieces, next) {
			break
		}
		train.Pieces = append(train.Pieces, next)
	}
	s.Trains = []conductor.TrainAt{train}
	at := func(p int, rail string) string {
		name := l.Pieces[p].ID() + " " + rail
		if n.Find(name) < 0 { // a piece without a middle there
			name = l.SideName(track.EndRef{Piece: p, End: 0}) + " " + rail
		}
		return name
	}
	add := func(a, b string, ohms float64) {
		if n.NodeOf(n.Find(a)) != n.NodeOf(n.Find(b)) {
			o.loads = append(o.loads, loadOrder{a, b, ohms})
		}
	}
	for i, p := range train.Pieces {
		three := len(l.Pieces[p].Construction.Rails) == 3
		if three {
			add(at(p, "left"), at(p, "right"), train.Wheels)
		}
		for _, j := range l.Joints {
			if i == 0 || !(j.A.Piece == p && j.B.Piece == train.Pieces[i-1] || j.B.Piece == p &&
				j.A.Piece == train.Pieces[i-1]) {
				continue
			}
			for _, k := range n.Links {
				if (k.Kind == conductor.KindJoint || k.Kind == conductor.KindGap) && k.Place == j.Name &&
					(train.Motor > 0 || three && k.Rail != "center") {
					add(n.Points[k.A].Name, n.Points[k.B].Name, train.Wheels)
				}
			}
		}
	}
	if train.Motor > 0 {
		c := l.Pieces[first].Construction
		add(at(first, string(c.Hot)), at(first, string(c.Common)), train.Motor)
	}
}

// Every layout that comes with the program or its tests, with a fault of every
// kind that it can have, in set-ups that use all it has: our solver against
// ngspice, to 1e-6.
func TestEveryLayoutAndEveryKindOfFaultAgainstNgspice(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run goes to ngspice with TestAgainstNgspice alone")
	}
	layouts := demos(t)
	kinds := map[string]int{}
	c := &comparison{modes: map[track.FaultMode]int{}}
	for k, name := range names(layouts) {
		rng := rand.New(rand.NewPCG(uint64(k), 17))
		n := network(t, layouts[name])
		list := read(t, written(t, n))
		for _, s := range oneOfEach(n, rng) {
			kinds[kindOf(n, &s)]++
			f := simulate.Realise(s, rng)
			ohms := simulate.DrawOhms(n, rng, simulate.DrawLevel(rng, .4), simulate.DrawLevel(rng, .4))
			b := simulate.NewBench(n, ohms, []simulate.Fault{f})
			faulty := list.with(t, n, ohms, []simulate.Fault{f})
			about := fmt.Sprintf("%s, %s %.3g ohm at %.2f", name, s.ID, f.Ohms, f.Position)
			for range 2 {
				set, o := drawWhole(n, rng)
				c.compareVolts(t, b, set, faulty.under(o, false), rng, fmt.Sprintf("%s; %+v", about, o))
				c.compareOhms(t, b, set, faulty, o, rng, about)
			}
			c.settle(t) // small decks: ngspice takes far longer for one large one
		}
	}
	t.Logf("%d layouts, %d kinds of fault, %.0f readings compared, worst relative difference %.2g; %.0f pairs not "+
		"joined", len(layouts), len(kinds), c.live, c.worst, c.open)
	for _, want := range []string{"open bus bus", "weak bus bus", "swapped bus bus", "bridged bus insulation",
		"misplaced feeder clip", "open toggle toggle", "weak toggle toggle",
		"bridged toggle insulation", "bridged gap gap", "open lead lead", "weak lead lead", "bridged load insulation",
		"open tap tap", "weak tap tap",
		"bridged rail insulation", "open jumper jumper", "weak jumper jumper", "open jumper switch",
		"swapped supply lead", "open common common", "weak common common", "swapped feeder feeder",
		"bridged piece insulation", "open joint joint", "open feeder clip", "bridged turnout insulation",
		"bridged crossing insulation"} {
		require.Greater(t, kinds[want], 0, "%s; there are %v", want, kinds)
	}
	require.Greater(t, c.live, 2000.)
}

// The same on random layouts with everything under the table, two faults at
// once at times.
func TestRandomWiringAgainstNgspice(t *testing.T) {
	c := &comparison{modes: map[track.FaultMode]int{}}
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 19))
		n := network(t, invent.Wired(rng))
		list := read(t, written(t, n))
		for trial := range 5 {
			ohms := simulate.DrawOhms(n, rng, 1, 1)
			faults := drawFaults(n, rng)
			about := fmt.Sprintf("layout %d, trial %d", seed, trial)
			for _, f := range faults {
				c.modes[f.Suspect.Mode]++
				about += fmt.Sprintf(", %s %.3g ohm at %.2f", f.Suspect.ID, f.Ohms, f.Position)
			}
			b := simulate.NewBench(n, ohms, faults)
			faulty := list.with(t, n, ohms, faults)
			for range 2 {
				s, o := drawWhole(n, rng)
				c.compareVolts(t, b, s, faulty.under(o, false), rng, fmt.Sprintf("%s; %+v", about, o))
				c.compareOhms(t, b, s, faulty, o, rng, about)
			}
			c.settle(t)
		}
	}
	t.Logf("%.0f readings compared, worst relative difference %.2g; %.0f pairs not joined; faults %v", c.live, c.worst,
		c.open, c.modes)
	require.Greater(t, c.live, 300.)
}
