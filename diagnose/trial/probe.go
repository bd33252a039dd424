// Package trial runs hunts against hidden faults: it takes a layout, a fault,
// a meter and a person who may slip, lets a hunter ask, and says what the hunt
// cost and where the truth stood in the list of pieces to look at. Readings
// come from package simulate, which shares nothing with the predictions that
// the hunt rests on. It has no clock and no files; all randomness comes from
// seeds that the caller hands over.
package trial

import (
	"fmt"
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
)

// ProbeOf turns an ask, which names points, joints and feeders, into what a
// bench can read. It fails where a name is not on this layout.
func ProbeOf(n *conductor.Network, a *hunt.Ask) (simulate.Probe, error) {
	r := names{n: n}
	p := simulate.Probe{Function: simulate.Function(a.Meter), Red: r.point(a.Red), Black: r.point(a.Black)}
	s := &a.Setup
	p.Setup.TrainsOn = s.Trains == "on"
	p.Setup.Source = conductor.Source{Kind: conductor.SourceKind(s.Source.Kind), Volts: s.Source.Volts, Amps: s.Source.Amps}
	if k := p.Setup.Source.Kind; k != conductor.SourceNone && k != "" {
		p.Setup.Source.From, p.Setup.Source.To = r.point(s.Source.From), r.point(s.Source.To)
	}
	for _, l := range s.Loads {
		p.Setup.Loads = append(p.Setup.Loads, conductor.Load{From: r.point(l.From), To: r.point(l.To), Ohms: l.Ohms})
	}
	for _, name := range s.Lifted {
		if j := n.Layout.FindJoint(name); j >= 0 {
			p.Setup.Lift(j)
		} else {
			r.miss("joint", name)
		}
	}
	for _, name := range s.Pulled {
		p.Setup.Pull(r.feeder(name)...)
	}
	for _, t := range sortedKeys(s.Thrown) {
		piece := n.Layout.FindPiece(t)
		if piece < 0 {
			r.miss("turnout", t)
			continue
		}
		if p.Setup.Thrown == nil {
			p.Setup.Thrown = map[int]string{}
		}
		p.Setup.Thrown[piece] = s.Thrown[t]
	}
	return p, r.err
}

// names looks names up and keeps the first that is not there.
type names struct {
	n   *conductor.Network
	err error
}

func (r *names) miss(what, name string) {
	if r.err == nil {
		r.err = fmt.Errorf("there is no %s %q on this layout", what, name)
	}
}

func (r *names) point(name string) int {
	p := r.n.Find(name)
	if p < 0 {
		r.miss("point", name)
	}
	return p
}

func (r *names) feeder(name string) []int {
	for i := range r.n.Layout.Feeders {
		if r.n.Layout.Feeders[i].Name == name {
			return []int{i}
		}
	}
	r.miss("feeder", name)
	return nil
}

func sortedKeys(m map[string]string) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
