package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
)

// resistor is one of the deck, between nodes.
type resistor struct {
	a, b int
	ohms float64
}

// deck is the circuit of one reading, written link by link for ngspice; it
// shares nothing with package simulate.
type deck struct {
	n     *conductor.Network
	parts []resistor
	cards []string
	nodes int
}

// least stands for a link of no resistance.
const least = 1e-7

// exact answers readings by ngspice, one process a reading.
func exact(f *trial.Field, h *trial.Hidden) (func(simulate.Probe) (float64, error), error) {
	program, err := exec.LookPath("ngspice")
	if err != nil {
		return nil, fmt.Errorf("ngspice is missing: install it (Debian, Ubuntu: apt-get install ngspice), or leave " +
			"-spice away")
	}
	switch h.Fault.Suspect.Mode {
	case track.Open, track.Weak, track.Bridged, track.Swapped, track.Misplaced:
	default:
		return nil, fmt.Errorf("a fault of the kind %q is not written for ngspice", h.Fault.Suspect.Mode)
	}
	return func(p simulate.Probe) (float64, error) {
		d := &deck{n: f.Net, nodes: f.Net.Nodes}
		d.links(h, &p.Setup)
		for _, l := range p.Setup.Loads {
			d.add(f.Net.NodeOf(l.From), f.Net.NodeOf(l.To), l.Ohms)
		}
		if p.Function == simulate.Lamp {
			return d.glow(program, p)
		}
		return d.read(program, p)
	}, nil
}

// glow is the part of its full current that a lamp takes: what a lamp in series loses, or
// what lies on one that is a load makes it take.
func (d *deck) glow(program string, p simulate.Probe) (float64, error) {
	src := p.Setup.Source
	if p.Setup.LightsLoad() {
		v, err := d.read(program, p)
		return simulate.LampPart(v / src.Volts), err
	}
	p.Red, p.Black = src.From, src.To
	v, err := d.read(program, p)
	return 1 - v/src.Volts, err
}

func (d *deck) add(a, b int, ohms float64) {
	if !math.IsInf(ohms, 1) {
		d.parts = append(d.parts, resistor{a, b, math.Max(ohms, least)})
	}
}

// links writes the layout as it is: true resistances, the set-up, the fault.
func (d *deck) links(h *trial.Hidden, s *conductor.Setup) {
	bad := map[int]bool{}
	for _, i := range h.Fault.Suspect.Links {
		bad[i] = true
	}
	cut := d.bridge(h, s)
	for i := range d.n.Links {
		k := &d.n.Links[i]
		if !s.Conducts(k) {
			continue
		}
		a, b, ohms := d.n.NodeOf(k.A), d.n.NodeOf(k.B), h.Ohms[i]
		if bad[i] {
			switch h.Fault.Suspect.Mode {
			case track.Open:
				continue
			case track.Weak:
				ohms += h.Fault.Ohms
			case track.Swapped:
				for o := range bad {
					if o != i {
						b = d.n.NodeOf(d.n.Links[o].B)
					}
				}
			case track.Misplaced:
				for _, m := range h.Fault.Suspect.Moves {
					if m.Link == i {
						b = d.n.NodeOf(m.B)
					}
				}
			}
		}
		if c, ok := cut[i]; ok {
			d.add(a, c.node, ohms*c.share)
			d.add(c.node, b, ohms*(1-c.share))
			continue
		}
		d.add(a, b, ohms)
	}
}

// split is where a link is cut: a new node, this share of it from A.
type split struct {
	node  int
	share float64
}

// bridge adds the bridge of a fault, and says which rails it cuts.
func (d *deck) bridge(h *trial.Hidden, s *conductor.Setup) map[int]split {
	out := map[int]split{}
	if h.Fault.Suspect.Mode != track.Bridged {
		return out
	}
	for _, i := range h.Fault.Suspect.Links {
		k := &d.n.Links[i]
		if !s.Leaves(k) {
			continue
		}
		a, b := d.n.NodeOf(k.A), d.n.NodeOf(k.B)
		if k.Kind == conductor.KindInsulation && k.Piece >= 0 {
			a, b = d.along(k, k.A, h.Fault.Position, out), d.along(k, k.B, h.Fault.Position, out)
		}
		d.add(a, b, h.Fault.Ohms)
	}
	return out
}

// along is the node on one rail of a straight or a curve at a position.
func (d *deck) along(k *conductor.Link, middle int, position float64, cut map[int]split) int {
	kind := d.n.Layout.Pieces[k.Piece].Kind
	if kind != track.Straight && kind != track.Curve || position == 0.5 {
		return d.n.NodeOf(middle)
	}
	end, far := 0, 2*position // from that end, in halves
	if position > 0.5 {
		end, far = 1, 2*(1-position)
	}
	for i := range d.n.Links {
		r := &d.n.Links[i]
		if r.Kind != conductor.KindRail || r.Piece != k.Piece || r.A != middle && r.B != middle {
			continue
		}
		outer, share := r.A, far
		if r.A == middle {
			outer, share = r.B, 1-far
		}
		if d.n.Points[outer].End == end {
			cut[i] = split{d.nodes, share}
			d.nodes++
			return d.nodes - 1
		}
	}
	return d.n.NodeOf(middle)
}

// read runs ngspice and gives the ohms or volts at the meter's terminals.
func (d *deck) read(program string, p simulate.Probe) (float64, error) {
	red, black := d.n.NodeOf(p.Red), d.n.NodeOf(p.Black)
	ohms := p.Function == simulate.Ohms || p.Function == simulate.Beeper
	var joined [][2]int // by ideal sources
	if ohms {
		d.cards = append(d.cards, fmt.Sprintf("Imeter n%d n%d 1", black, red))
	} else {
		for k, src := range p.Setup.Sources() {
			from, to := d.n.NodeOf(src.From), d.n.NodeOf(src.To)
			if src.Kind == conductor.SourceLamp {
				d.add(d.nodes, from, src.Ohms())
				from = d.nodes
				d.nodes++
			}
			joined = append(joined, [2]int{from, to})
			d.cards = append(d.cards, fmt.Sprintf("Vsupply%d n%d n%d %.17g", k, from, to, src.Volts))
		}
		d.add(red, black, simulate.MeterOhms)
	}
	island := d.islands(joined)
	if ohms && island(red) != island(black) {
		return math.Inf(1), nil
	}
	return d.solve(program, red, black, island)
}

// islands joins what resistors and ideal sources join.
func (d *deck) islands(sources [][2]int) func(int) int {
	up := make([]int, d.nodes)
	for i := range up {
		up[i] = i
	}
	var top func(int) int
	top = func(i int) int {
		for up[i] != i {
			up[i] = up[up[i]]
			i = up[i]
		}
		return i
	}
	for _, r := range d.parts {
		up[top(r.a)] = top(r.b)
	}
	for _, s := range sources {
		up[top(s[0])] = top(s[1])
	}
	return top
}

func (d *deck) solve(program string, red, black int, island func(int) int) (float64, error) {
	var b strings.Builder
	b.WriteString("* one reading\n")
	for i, r := range d.parts {
		if r.a != r.b {
			fmt.Fprintf(&b, "R%d n%d n%d %.17g\n", i, r.a, r.b, r.ohms)
		}
	}
	for _, c := range d.cards {
		b.WriteString(c + "\n")
	}
	for i := range d.nodes { // one way to ground an island: nothing flows there
		if island(i) == i {
			fmt.Fprintf(&b, "Rground%d n%d 0 1\n", i, i)
		}
	}
	fmt.Fprintf(&b, ".control\nset numdgt=15\nop\nlet m = v(n%d)-v(n%d)\nprint m\nquit 0\n.endc\n.end\n", red, black)
	dir, err := os.MkdirTemp("", "trials")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "deck.cir")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		return 0, err
	}
	said, err := exec.Command(program, "-b", file).CombinedOutput()
	if err != nil {
		return 0, fmt.Errorf("ngspice: %w: %s", err, said)
	}
	for line := range strings.Lines(string(said)) {
		if name, value, ok := strings.Cut(strings.TrimSpace(line), " = "); ok && name == "m" {
			return strconv.ParseFloat(value, 64)
		}
	}
	return 0, fmt.Errorf("ngspice gave no answer: %s", said)
}
