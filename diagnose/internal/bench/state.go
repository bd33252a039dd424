package bench

import (
	"slices"

	"fishplate/diagnose/track"
)

// State is the table in names, for whoever compares it with what was meant.
type State struct {
	// Source is "none", "volts" (a supply bare), or "lamp" (a supply or the
	// battery through the lamp), for the first supply that is on; StandIn says that
	// it is the battery, Supply which supply it is or stands in for.
	Source, Supply                 string
	StandIn                        bool
	On                             []string // every supply of the layout that is live, by name
	Lifted, Pulled, Off, Unplugged []string
	Out                            []string          // pieces that were looked at and lie beside the track
	Thrown                         map[string]string // turnouts that do not stand to their through leg
	Laid                           []Strap
	Trains                         bool
	// Full says that the handle of every supply that is on is full up.
	Full bool
	// Apart says that no supply's wires are on its posts.
	Apart bool
}

// Strap is what lies across two places.
type Strap struct {
	From, To string
	Lamp     bool
}

// State is the table now.
func (b *Bench) State() State {
	s := State{Source: "none", Thrown: map[string]string{}, Trains: b.trains, Apart: true, Full: true}
	for i := range b.supplies {
		p := &b.supplies[i]
		name := b.Layout.Supplies[i].Name
		s.Apart = s.Apart && !p.hot && !p.common
		through := b.lamp.wires == i && !b.lamp.battery
		if p.live() && (p.hot || through) && p.common {
			s.feeds(name, through && !p.hot, false)
			s.Full = s.Full && p.handle == b.Handle
		}
	}
	if c := b.battery; c.clip && !c.blown && c.minus >= 0 && b.lamp.battery && b.lamp.wires == c.minus {
		s.feeds(b.Layout.Supplies[c.minus].Name, true, true)
	}
	if c := b.battery; c.clip && !c.blown && c.minus >= 0 && c.plus == c.minus {
		s.feeds(b.Layout.Supplies[c.minus].Name, false, true)
	}
	s.Lifted = b.lifted.names(func(j int) string { return b.Layout.Joints[j].Name })
	s.Pulled = b.pulled.names(func(f int) string { return b.Layout.Feeders[f].Name })
	s.Off = b.off.names(func(t int) string { return b.Layout.Toggles[t].Name })
	s.Unplugged = b.unplugged.names(func(a int) string { return b.Layout.Accessories[a].Name })
	s.Out = b.out.names(func(p int) string { return b.Layout.Pieces[p].ID() })
	for p, route := range b.thrown {
		if route != track.EndThrough {
			s.Thrown[b.Layout.Pieces[p].ID()] = route
		}
	}
	for _, x := range b.laid {
		s.Laid = append(s.Laid, Strap{x.from, x.to, !x.lead()})
	}
	return s
}

func (s *State) feeds(name string, lamp, standIn bool) {
	s.On = append(s.On, name)
	if len(s.On) > 1 {
		return
	}
	s.Source, s.Supply, s.StandIn = "volts", name, standIn
	if lamp {
		s.Source = "lamp"
	}
}

func (x set) names(name func(int) string) []string {
	var out []string
	for i, in := range x {
		if in {
			out = append(out, name(i))
		}
	}
	slices.Sort(out)
	return out
}
