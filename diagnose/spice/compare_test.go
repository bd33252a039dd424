package spice_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/spice"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/require"
)

func network(t testing.TB, text string) *conductor.Network {
	t.Helper()
	f, problems := layoutfile.Read("invented", []byte(text))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return n
}

// with puts true resistances and faults into a copy of a netlist, as a
// stranger would: by the resistor's name that the list of suspects gives.
func (n *netlist) with(t testing.TB, net *conductor.Network, ohms []float64, faults []simulate.Fault) *netlist {
	c := &netlist{points: n.points, resistors: slices.Clone(n.resistors)}
	for i := range c.resistors {
		if c.resistors[i].ohms != spice.OpenOhms {
			c.resistors[i].ohms = ohms[i]
		}
	}
	for _, f := range faults {
		var hit []int
		for _, k := range f.Suspect.Links {
			hit = append(hit, slices.IndexFunc(c.resistors, func(r resistor) bool { return r.id == net.Links[k].ID }))
		}
		r := &c.resistors[hit[0]]
		switch f.Suspect.Mode {
		case track.Open:
			for k := len(hit) - 1; k >= 0; k-- { // a bulb is two, cold and hot
				c.resistors = slices.Delete(c.resistors, hit[k], hit[k]+1)
			}
		case track.Weak:
			r.ohms += f.Ohms
		case track.Bridged:
			r.ohms = f.Ohms
			if f.Position != 0.5 && r.kind == "insulation" {
				c.move(t, hit[0], f.Position)
			}
		case track.Swapped:
			o := &c.resistors[hit[1]]
			r.b, o.b = o.b, r.b
		case track.Misplaced:
			for k, m := range f.Suspect.Moves {
				c.resistors[hit[k]].b = n.points[net.Points[m.B].Name]
			}
		}
	}
	return c
}

// move takes a bridge away from the middle of a piece: the halves of the rails
// that it joins are cut there. In pieces other than straights and curves a rail
// is more than two halves, and the bridge stays in the middle.
func (n *netlist) move(t testing.TB, bridge int, position float64) {
	r := n.resistors[bridge]
	rails := strings.Split(r.rail, "-")
	require.Len(t, rails, 2)
	for side, rail := range rails {
		middle := n.points[r.place+" "+rail]
		var halves []int
		for i, h := range n.resistors {
			if h.kind == "rail" && h.place == r.place && h.rail == rail {
				halves = append(halves, i)
			}
		}
		if len(halves) != 2 || middle == "" { // a crossing that keeps its ways apart has no middle
			return
		}
		require.Equal(t, []string{middle, middle}, []string{n.resistors[halves[0]].b, n.resistors[halves[1]].b})
		half, at := halves[0], 2*position
		if position > 0.5 {
			half, at = halves[1], 2*(1-position)
		}
		node := fmt.Sprintf("cut%d_%d", bridge, side)
		inner := n.resistors[half]
		inner.id, inner.a, inner.ohms = inner.id+"x"+node, node, inner.ohms*(1-at)
		n.resistors[half].b, n.resistors[half].ohms = node, n.resistors[half].ohms*at
		n.resistors = append(n.resistors, inner)
		if side == 0 {
			n.resistors[bridge].a = node
		} else {
			n.resistors[bridge].b = node
		}
	}
}

// drawSetup draws a set-up and says it in words too.
func drawSetup(n *conductor.Network, rng *rand.Rand) (conductor.Setup, order) {
	l := n.Layout
	var s conductor.Setup
	o := order{kind: "none", thrown: map[string]string{}}
	post := rng.IntN(len(n.Posts))
	s.Source = conductor.Source{Kind: conductor.SourceNone, From: n.Posts[post][0], To: n.Posts[post][1]}
	switch rng.IntN(4) {
	case 0:
		s.Source.Kind, s.Source.Volts = conductor.SourceVolts, 18
	case 1, 2:
		s.Source.Kind, s.Source.Volts, s.Source.Amps = conductor.SourceLamp, 12+6*rng.Float64(), .3+3*rng.Float64()
	}
	if rng.IntN(4) == 0 { // clipped onto the track
		s.Source.From, s.Source.To = rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
		if n.NodeOf(s.Source.From) == n.NodeOf(s.Source.To) {
			s.Source.Kind = conductor.SourceNone
		}
	}
	o.kind, o.volts, o.amps = string(s.Source.Kind), s.Source.Volts, s.Source.Amps
	o.from, o.to = n.Points[s.Source.From].Name, n.Points[s.Source.To].Name
	for range rng.IntN(3) {
		k := conductor.Load{From: rng.IntN(len(n.Points)), To: rng.IntN(len(n.Points)),
			Ohms: []float64{.05, 2, 10}[rng.IntN(3)]}
		s.Loads = append(s.Loads, k)
		o.loads = append(o.loads, loadOrder{n.Points[k.From].Name, n.Points[k.To].Name, k.Ohms})
	}
	for range rng.IntN(4) {
		s.Lift(rng.IntN(len(l.Joints)))
	}
	for _, j := range s.Lifted {
		o.lifted = append(o.lifted, l.Joints[j].Name)
	}
	if rng.IntN(3) == 0 {
		s.Pull(rng.IntN(len(l.Feeders)))
	}
	for _, f := range s.Pulled {
		o.pulled = append(o.pulled, l.Feeders[f].Name)
	}
	for i := range l.Pieces {
		if l.Pieces[i].Kind == track.Turnout && rng.IntN(2) == 0 {
			if s.Thrown == nil {
				s.Thrown = map[int]string{}
			}
			s.Thrown[i] = track.EndDiverging
			o.thrown[l.Pieces[i].ID()] = "diverging"
		}
	}
	return s, o
}

// drawFaults draws none to three faults, at most one of a link and of a piece:
// a netlist does not say how two would lie to each other.
func drawFaults(n *conductor.Network, rng *rand.Rand) []simulate.Fault {
	suspects := fault.List(n)
	var out []simulate.Fault
	taken := map[int]bool{}
	for range rng.IntN(4) {
		// Half by their odds, half by kind, so that rare kinds come too.
		f := simulate.DrawFault(suspects, rng)
		if rng.IntN(2) == 0 {
			mode := []track.FaultMode{track.Open, track.Weak, track.Bridged, track.Swapped}[rng.IntN(4)]
			kind := slices.DeleteFunc(slices.Clone(suspects), func(s fault.Suspect) bool { return s.Mode != mode })
			f = simulate.Realise(kind[rng.IntN(len(kind))], rng)
		}
		clash := false
		for _, k := range f.Suspect.Links {
			clash = clash || taken[k]
			taken[k] = true
		}
		if f.Suspect.PieceIndex >= 0 {
			clash = clash || taken[-1-f.Suspect.PieceIndex]
			taken[-1-f.Suspect.PieceIndex] = true
		}
		if !clash {
			out = append(out, f)
		}
	}
	return out
}

// expectation is an answer of ours that waits for the simulator's.
type expectation struct {
	index int
	want  float64
	floor float64 // absolute error allowed: what cancels in the simulator
	about string
}

// comparison collects what is compared over all layouts.
type comparison struct {
	batch
	waiting           []expectation
	open, live, worst float64
	modes             map[track.FaultMode]int
}

// The simulator subtracts in its elimination. Beside rails of 1e3 siemens its
// voltages carry about 1e-11 of the source where a part hangs on 10 ohm (and
// 1e-5 where it hangs on 1e7), so no load here is larger, and differences below
// 1e-10 of the source (2 nV) are not held against it.
const cancels = 1e-10

func (c *comparison) settle(t *testing.T) {
	got := c.run(t)
	for _, e := range c.waiting {
		require.InDelta(t, e.want, got[e.index], 1e-6*math.Abs(e.want)+e.floor, e.about)
		if math.Abs(e.want) > 1e4*e.floor {
			c.live++
			c.worst = max(c.worst, math.Abs(got[e.index]/e.want-1))
		}
	}
	c.batch, c.waiting = batch{}, nil
}

func (c *comparison) compareVolts(t *testing.T, b *simulate.Bench, s conductor.Setup, cir *circuit, rng *rand.Rand,
	about string) {
	t.Helper()
	n := b.Network()
	p := c.add(cir)
	floor := cancels * max(1, s.Source.Volts)
	for range 10 {
		red, black := rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
		names := n.Points[red].Name + " to " + n.Points[black].Name + "; " + about
		v, joined := b.Volts(s, red, black)
		require.Equal(t, cir.connected(n.Points[red].Name, n.Points[black].Name), joined, names)
		if !joined {
			c.open++
			continue
		}
		c.waiting = append(c.waiting, expectation{c.volts(p, cir.points[n.Points[red].Name],
			cir.points[n.Points[black].Name]), v, floor, names})
	}
	if s.Source.Kind != conductor.SourceNone {
		c.waiting = append(c.waiting, expectation{c.sourceAmps(p), b.Amps(s), floor, "current of the source; " + about})
	}
}

func (c *comparison) compareOhms(t *testing.T, b *simulate.Bench, s conductor.Setup, list *netlist, o order,
	rng *rand.Rand, about string) {
	n := b.Network()
	o.kind, o.also = "none", nil
	cir := list.under(o, false)
	for range 2 {
		red, black := rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
		from, to := n.Points[red].Name, n.Points[black].Name
		ohms := b.Ohms(s, red, black)
		require.Equal(t, cir.connected(from, to), !math.IsInf(ohms, 1), "%s to %s; %s", from, to, about)
		if math.IsInf(ohms, 1) {
			c.open++
			continue
		}
		if cir.points[from] == cir.points[to] {
			require.Zero(t, ohms)
			continue
		}
		p := c.add(cir, fmt.Sprintf("Iohms %s %s 1", cir.points[to], cir.points[from]))
		c.waiting = append(c.waiting, expectation{c.volts(p, cir.points[from], cir.points[to]), ohms,
			cancels * max(1, ohms), "ohms " + from + " to " + to + "; " + about})
	}
}

// Random layouts of every topology and construction, random resistances,
// faults and set-ups: voltages, currents and resistances of our solver against
// ngspice, a circuit simulator that we did not write, to 1e-6. Normally open
// links are left out on both sides; TestNetlistAsWritten has them in.
func TestAgainstNgspice(t *testing.T) {
	c := &comparison{modes: map[track.FaultMode]int{}}
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 3))
		text := invent.Random(rng)
		n := network(t, text)
		list := read(t, written(t, n))
		for trial := range 3 {
			ohms := simulate.DrawOhms(n, rng, simulate.DrawLevel(rng, .5), simulate.DrawLevel(rng, .5))
			faults := drawFaults(n, rng)
			about := fmt.Sprintf("layout %d, trial %d", seed, trial)
			for _, f := range faults {
				c.modes[f.Suspect.Mode]++
				about += fmt.Sprintf(", %s %.3g ohm at %.2f", f.Suspect.ID, f.Ohms, f.Position)
			}
			b := simulate.NewBench(n, ohms, faults)
			faulty := list.with(t, n, ohms, faults)
			for range 2 {
				s, o := drawSetup(n, rng)
				c.compareVolts(t, b, s, faulty.under(o, false), rng, fmt.Sprintf("%s; %+v", about, o))
				c.compareOhms(t, b, s, faulty, o, rng, about)
			}
		}
		c.settle(t)
	}
	t.Logf("%.0f readings compared, worst relative difference %.2g; %.0f pairs of points not joined; faults %v", c.live,
		c.worst, c.open, c.modes)
	require.Greater(t, c.live, 800.)
	require.Greater(t, c.open, 100.)
	for _, m := range []track.FaultMode{track.Open, track.Weak, track.Bridged, track.Swapped} {
		require.Greater(t, c.modes[m], 10, m)
	}
}

// The netlist exactly as it is written, 1e9 ohm for every normally open link
// and medians for the rest, against the same circuit of ours. Points that hang
// together by such a link alone are left out: ngspice itself is off there (3 mV
// where 0.9 nV is right), as elimination with subtraction must be.
func TestNetlistAsWritten(t *testing.T) {
	for _, construction := range invent.Constructions {
		n := network(t, invent.Oval(construction, false)+"insulated \"main 9/10\" { rails = [\"left\"] }\n")
		list := read(t, written(t, n))
		require.Len(t, list.resistors, len(n.Links))
		var leaks []simulate.Fault
		for i, k := range n.Links {
			if k.NormallyOpen {
				leaks = append(leaks, simulate.Fault{Suspect: fault.Suspect{Mode: track.Bridged, Links: []int{i}},
					Ohms: spice.OpenOhms, Position: .5})
			}
		}
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0],
			To: n.Posts[0][1], Volts: 18, Amps: 1}}
		s.Loads = []conductor.Load{{From: n.Find("mill 2 center"), To: n.Find("mill 2 left"), Ohms: 10}}
		o := order{kind: "lamp", from: "T1 hot", to: "T1 common", volts: 18, amps: 1,
			loads: []loadOrder{{"mill 2 center", "mill 2 left", 10}}}
		if n.Find("mill 2 center") < 0 {
			s.Loads[0].From, o.loads[0].from = n.Find("mill 2 right"), "mill 2 right"
		}
		bench, sound := simulate.NewBench(n, nil, leaks), list.under(o, false)
		cir := list.under(o, true)
		c := &comparison{}
		p := c.add(cir)
		for red := range n.Points {
			black := (red*7 + 3) % len(n.Points)
			from, to := n.Points[red].Name, n.Points[black].Name
			v, joined := bench.Volts(s, red, black)
			require.True(t, joined, "1e9 ohm joins what nothing else does")
			if sound.connected(from, to) {
				c.waiting = append(c.waiting, expectation{c.volts(p, cir.points[from], cir.points[to]), v, 1e-9,
					from + " to " + to + "; " + construction})
			}
		}
		c.settle(t)
		t.Logf("%s: %.0f readings, worst relative difference %.2g", construction, c.live, c.worst)
		require.Greater(t, c.live, 40.)
	}
}

// The derivative of a reading by a resistance: the current in it times the
// current in it for one ampere through the probes, against central
// differences by ngspice.
func TestSensitivitiesAgainstNgspice(t *testing.T) {
	compared := 0
	for seed := range uint64(10) {
		rng := rand.New(rand.NewPCG(seed, 9))
		n := network(t, invent.Random(rng))
		list := read(t, written(t, n))
		ohms := simulate.DrawOhms(n, rng, 1, 1)
		suspects := fault.List(n)
		bridges := slices.DeleteFunc(suspects, func(s fault.Suspect) bool {
			return s.Mode != track.Bridged || s.PieceIndex < 0
		})
		f := simulate.Realise(bridges[rng.IntN(len(bridges))], rng)
		faults := []simulate.Fault{f}
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0],
			To: n.Posts[0][1], Volts: 18, Amps: 1}}
		o := order{kind: "lamp", from: "T1 hot", to: "T1 common", volts: 18, amps: 1}
		if seed%3 == 0 { // an ideal source, through a joint that limits the current
			s.Source.Kind, o.kind = conductor.SourceVolts, "volts"
			faults[0].Ohms = 20
		}
		bench := simulate.NewBench(n, ohms, faults)
		c, err := bench.Circuit(s)
		require.NoError(t, err)
		k := n.Links[f.Suspect.Links[0]]
		slopes := c.Sensitivities(k.A, k.B)
		require.NotNil(t, slopes)
		var links []int
		for i := range n.Links {
			// The simulator's last digits (up to 1e-11 V of 18 V) stand against
			// a change by two thousandths of this: hence 1e-8 V below.
			if math.Abs(slopes[i])*ohms[i] > 1e-4 {
				links = append(links, i)
			}
		}
		for len(links) > 25 {
			links = slices.Delete(links, rng.IntN(len(links)), len(links))
		}
		got := differences(t, list, n, ohms, faults, o, n.Points[k.A].Name, n.Points[k.B].Name, links)
		for j, i := range links {
			want := slopes[i] * ohms[i]
			require.InDelta(t, want, got[j]*ohms[i], 2e-5*math.Abs(want)+1e-8, "layout %d, %s %s %s", seed,
				n.Links[i].ID, n.Links[i].Place, n.Links[i].Rail)
			compared++
		}
	}
	t.Logf("%d derivatives compared", compared)
	require.Greater(t, compared, 20)
}

// differences is the derivative of the voltage between two points by the
// resistance of some links, in one run: each a thousandth up and down.
func differences(t *testing.T, list *netlist, n *conductor.Network, ohms []float64, faults []simulate.Fault, o order,
	red, black string, links []int) []float64 {
	const step = 1e-3
	var b batch
	at := func(link int, factor float64) int {
		changed := slices.Clone(ohms)
		changed[link] *= factor
		c := list.with(t, n, changed, faults).under(o, false)
		return b.volts(b.add(c), c.points[red], c.points[black])
	}
	var up, down []int
	for _, i := range links {
		up, down = append(up, at(i, 1+step)), append(down, at(i, 1-step))
	}
	got := b.run(t)
	out := make([]float64, len(links))
	for j, i := range links {
		out[j] = (got[up[j]] - got[down[j]]) / (2 * step * ohms[i])
	}
	return out
}
