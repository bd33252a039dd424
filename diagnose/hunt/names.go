package hunt

import (
	"fmt"
	"maps"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// SetupOf writes a set-up of a network with names.
func SetupOf(n *conductor.Network, s *conductor.Setup) Setup {
	l := n.Layout
	out := Setup{Source: sourceOf(n, s.Source), Loads: []Load{}, Lifted: jointNames(l, s.Lifted),
		Pulled: feederNames(l, s.Pulled),
		Thrown: nameThrown(l, s), Trains: "off"}
	for _, x := range s.Loads {
		out.Loads = append(out.Loads, Load{From: n.Points[x.From].Name, To: n.Points[x.To].Name, Ohms: x.Ohms})
	}
	for _, x := range s.Also {
		out.Also = append(out.Also, sourceOf(n, x))
	}
	for _, t := range s.Off {
		out.Off = append(out.Off, l.Toggles[t].Name)
	}
	for _, a := range s.Unplugged {
		out.Unplugged = append(out.Unplugged, l.Accessories[a].Name)
	}
	return out
}

func sourceOf(n *conductor.Network, s conductor.Source) Source {
	out := Source{Kind: string(s.Kind)}
	if s.Kind != conductor.SourceNone {
		out.From, out.To, out.Volts, out.Amps = n.Points[s.From].Name, n.Points[s.To].Name, s.Volts, s.Amps
	}
	return out
}

func jointNames(l *track.Layout, joints []int) []string {
	out := []string{}
	for _, j := range joints {
		out = append(out, l.Joints[j].Name)
	}
	return out
}

func feederNames(l *track.Layout, feeders []int) []string {
	out := []string{}
	for _, f := range feeders {
		out = append(out, l.Feeders[f].Name)
	}
	return out
}

// turnoutName is how an ask names a turnout: by its own name where it has one.
func turnoutName(p *track.Piece) string {
	if p.Name != "" {
		return p.Name
	}
	return p.ID()
}

// On is what an ask asks for on a network: of its own hunt's it is known, of another
// its names are looked up. It fails where a name is not on that layout.
func (a *Ask) On(n *conductor.Network) (infer.Question, error) {
	if a.at == nil || a.at.net != n {
		return a.lookUp(n)
	}
	q := a.at.q
	q.Setup = q.Setup.Clone()
	return q, nil
}

// place looks an ask's names up that came from a file, once.
func (a *Ask) place(n *conductor.Network) error {
	q, err := a.On(n)
	if err == nil {
		a.at = &placed{n, q}
	}
	return err
}

// as is an ask of a network's own question, whose names need not be looked up.
func (a *Ask) as(n *conductor.Network, q *infer.Question) *Ask {
	p := *q
	p.Minutes, p.Setup = a.Minutes, q.Setup.Clone()
	maps.DeleteFunc(p.Setup.Thrown, func(_ int, route string) bool { return route == track.EndThrough }) // as it stands
	a.at = &placed{n, p}
	return a
}

// lookUp turns an ask's names back into points of a network.
func (a *Ask) lookUp(n *conductor.Network) (infer.Question, error) {
	r := reader{n: n}
	q := infer.Question{Func: meter.Function(a.Meter), Minutes: a.Minutes, Red: r.point(a.Red), Black: r.point(a.Black)}
	s := &a.Setup
	q.Setup.Source = r.source(s.Source)
	for _, x := range s.Also {
		q.Setup.Also = append(q.Setup.Also, r.source(x))
	}
	for _, x := range s.Loads {
		q.Setup.Loads = append(q.Setup.Loads, conductor.Load{From: r.point(x.From), To: r.point(x.To), Ohms: x.Ohms})
	}
	l := n.Layout
	for _, name := range s.Lifted {
		q.Setup.Lift(r.found("joint", name, l.FindJoint(name)))
	}
	for _, name := range s.Pulled {
		q.Setup.Pull(r.found("feeder", name, slices.IndexFunc(l.Feeders, func(f track.Feeder) bool {
			return f.Name == name
		})))
	}
	for _, name := range s.Off {
		q.Setup.TurnOff(r.found("toggle", name, slices.IndexFunc(l.Toggles, func(t track.Toggle) bool {
			return t.Name == name
		})))
	}
	for _, name := range s.Unplugged {
		q.Setup.Unplug(r.found("accessory", name, slices.IndexFunc(l.Accessories, func(x track.Accessory) bool {
			return x.Name == name
		})))
	}
	for name, route := range s.Thrown {
		if err := n.Throw(&q.Setup, name, route); err != nil {
			return q, err
		}
	}
	maps.DeleteFunc(q.Setup.Thrown, func(_ int, route string) bool { return route == track.EndThrough }) // as it stands
	return q, r.err
}

// reader looks names up and keeps the first that is not there.
type reader struct {
	n   *conductor.Network
	err error
}

func (r *reader) found(what, name string, at int) int {
	if at < 0 && r.err == nil {
		r.err = fmt.Errorf("there is no %s %q on this layout", what, name)
	}
	return at
}

func (r *reader) point(name string) int { return r.found("point", name, r.n.Find(name)) }

func (r *reader) source(s Source) conductor.Source {
	out := conductor.Source{Kind: conductor.SourceKind(s.Kind), Volts: s.Volts, Amps: s.Amps}
	if out.Kind != conductor.SourceNone && out.Kind != "" {
		out.From, out.To = r.point(s.From), r.point(s.To)
	}
	return out
}
