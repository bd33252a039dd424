package stage

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// Wire is a stop of the wiring, behind the track: a feeder before it is joined to
// its outlet, all of them as they are joined, or two supplies before their wires meet.
type Wire struct {
	Wires    string    `json:"name"` // "F1", "T1 and T2"
	Do       []string  `json:"do"`
	Readings []Reading `json:"readings,omitempty"`
	After    string    `json:"after"`
	// Caution is what can hurt here, and Mend what to look at where a reading is bad.
	Caution string `json:"caution"`
	Mend    string `json:"mend"`

	Piece int  `json:"-"`               // where it meets the track, -1 nowhere
	Board bool `json:"board,omitempty"` // it is no wires, but a board of a portable layout
}

// Name is the wires in words.
func (w *Wire) Name() string { return w.Wires }

// Head is the stop in words.
func (w *Wire) Head() string {
	if w.Board {
		return "The board: " + w.Wires
	}
	return "The wires: " + w.Wires
}

// Asks are the readings of the stop.
func (w *Wire) Asks() []Reading { return w.Readings }

// Care is what can hurt here.
func (w *Wire) Care() string { return w.Caution }

// Tail is what is done when all readings were good.
func (w *Wire) Tail() string { return w.After }

// Failed says what a bad reading comes to.
func (w *Wire) Failed(*track.Layout) string { return w.Mend }

// Volts that must be, instead of a beep or none: of a supply alone, which is on, or whose
// hot post is plus, and of two joined at their commons, hot against hot.
const (
	Live     piece.Kind = "live"
	Positive piece.Kind = "positive"
	InPhase  piece.Kind = "in phase"
)

// wiring is all that is read behind the track: feeders one by one, in the order of
// the file, then as they are joined, then the supplies.
func (m *maker) wiring() []Wire {
	var out []Wire
	for i := range m.l.Feeders {
		out = append(out, m.feeder(i))
	}
	if len(out) > 1 || len(out) > 0 && !m.portable { // one plug alone is in already
		out = append(out, m.joining())
	}
	for i := 1; i < len(m.l.Supplies); i++ {
		out = append(out, phase(&m.l.Supplies[0], &m.l.Supplies[i]))
	}
	return out
}

// noPower is the caution of all that is read on wires with a beeper.
const noPower = "Every supply unplugged, both wires off its posts; lamps, coils and relays off theirs: they would " +
	"beep as a short does, and a live wire ruins the meter."

// leaveOff is said when feeders are joined.
const leaveOff = "The supplies' wires stay off their posts until all is read."

// feeder is one pair of wires: each to its own rail, and to no other.
func (m *maker) feeder(i int) Wire {
	f := &m.l.Feeders[i]
	c := m.l.Pieces[f.At.Piece].Construction
	at := func(r track.Rail) string {
		if f.At.End < 0 {
			return m.l.Pieces[f.At.Piece].ID() + " " + string(r)
		}
		return m.l.SideName(track.EndRef{Piece: f.At.Piece, End: f.At.End}) + " " + string(r)
	}
	hot, common := f.Name+" hot wire, its free end", f.Name+" common wire, its free end"
	do := fmt.Sprintf("Fasten %s to the track at %s, both wires still off %s.", f.Name, m.l.PlaceName(f.At),
		m.l.OutletName(f.On))
	after := fmt.Sprintf("Tag it for %s, and leave it off until all feeders are good.", m.l.OutletName(f.On))
	touches := Reading{Black: hot, Red: common, Want: piece.Silent,
		Why: "it joins nothing, and is not crossed with one before it"}
	if m.portable { // through plug and socket: each alone, since track carries past a wire that is missing
		on := m.n.Outlet(f.On)
		hot, common = m.n.Points[on[0]].Name, m.n.Points[on[1]].Name
		do = fmt.Sprintf("Push the plug of %s into %s, every other plug out.", f.Name, m.l.OutletName(f.On))
		touches = Reading{Black: hot, Red: common, Want: piece.Silent, Why: "its wires touch nowhere"}
		if after = leaveOff; len(m.l.Feeders) > 1 {
			after = fmt.Sprintf("Pull the plug of %s out again, until each was read alone.", f.Name)
		}
	}
	most := math.Ceil(10*(f.OhmsPerWire+c.ClipOhms.Ohms+piece.OverLeads)) / 10
	return Wire{Wires: f.Name, Caution: noPower, Piece: f.At.Piece,
		Do: []string{do},
		Readings: []Reading{
			{Black: hot, Red: at(f.Hot), Want: piece.Beeps, Most: most, Why: "the hot wire is on its rail"},
			{Black: common, Red: at(f.Common), Want: piece.Beeps, Most: most, Why: "the common wire is on its rail"},
			touches,
		},
		After: after,
		Mend:  m.feederMend(f)}
}

// feederMend is what to look at where a feeder is not read as it must be.
func (m *maker) feederMend(f *track.Feeder) string {
	s := fmt.Sprintf("Look at %s: no beep where one must be is a clip that is not seated, a broken strand, or the "+
		"wrong wire or rail", f.Name)
	if m.portable {
		return s + ", a pin or socket that has lost its wire, or a plug that is crossed. A beep between its wires: " +
			"plug out. If it is gone, look along the wires and at the clips; if not, at the socket and the wires to it."
	}
	return s + ". A beep between its wires: both off the track. If they still beep, they touch each other on the " +
		"way; if not, look at the clips, and for metal across the rails."
}

// joining is to bring good feeders to what they hang on. It is read where the layout
// itself, all sound, is silent.
func (m *maker) joining() Wire {
	w := Wire{Wires: "all feeders", Caution: noPower, Piece: -1,
		Do:    []string{"Join the feeders one by one to what they are tagged for, and read there after each."},
		After: leaveOff,
		Mend:  "The feeder joined last is crossed, or its wires touch: off again, and look at it and at its terminals."}
	joins := "Join %s to %s, hot to hot and common to common."
	if m.portable {
		joins = "Push the plug of %s into %s."
		w.Do = []string{"Push the plugs in one by one, and read there after each."}
		w.Mend = "The plug pushed in last is crossed, or its wires touch: out again, and look at it and at its socket."
	}
	sound := make([]float64, len(m.n.Links))
	for i := range sound {
		sound[i] = m.n.Links[i].Ohms
	}
	bench := simulate.NewBench(m.n, sound, nil)
	set := conductor.Bare(m.l)
	for i := range m.l.Feeders {
		set.Pull(i)
	}
	for i := range m.l.Feeders {
		set.Pulled = set.Pulled[1:]
		on := m.n.Outlet(m.l.Feeders[i].On)
		if !math.IsInf(bench.Ohms(set, on[0], on[1]), 1) {
			continue
		}
		w.Readings = append(w.Readings, Reading{Red: m.n.Points[on[0]].Name, Black: m.n.Points[on[1]].Name,
			Want: piece.Silent,
			Do:   fmt.Sprintf(joins, m.l.Feeders[i].Name, m.l.OutletName(m.l.Feeders[i].On)),
			Why:  "nothing joins hot and common with " + m.l.Feeders[i].Name + " on"})
	}
	return w
}

// Above this a wire is hazardous live, volts AC (IEC 61010-031:2015).
const hazardous = 30

// Two supplies are set to leastVolts or more each, and as near to each other as they go:
// then they show mostApart at most between their hot posts while in phase, and the two
// added while not (assumed: handles come within that).
const (
	leastVolts = 6
	mostApart  = 4
)

// phase is two supplies before their wires meet. What they add up to: AC of one
// frequency, so the difference of both while in phase, and the sum while not.
func phase(a, b *track.Supply) Wire {
	w := Wire{Wires: a.Name + " and " + b.Name, Piece: -1}
	post := func(s *track.Supply, side string) string { return s.Name + " " + side + " post" }
	if !a.AC || !b.AC {
		w.Caution = fmt.Sprintf("Never join %s and %s hot to hot. Each alone, joined to nothing.", a.Name, b.Name)
		w.Do = []string{"Both supplies on, each alone, joined to nothing."}
		for _, s := range []*track.Supply{a, b} {
			if !s.AC {
				w.Readings = append(w.Readings, Reading{Red: post(s, "hot"), Black: post(s, "common"), Want: Positive,
					Why: "its hot post is plus"})
			}
		}
		w.After = "Both off. Mark the hot post of each."
		w.Mend = "Its posts are the other way round than the file has them: supply off, and mark the other post as hot."
		return w
	}
	w.Caution = "Two supplies feed each other backwards through the track: while one is on, the plug of the other " +
		"can be live. Touch no pins, hold no loose plug."
	w.Do = []string{"Both plugs out. Join common post to common post, hot to nothing. Then both plugs in.",
		fmt.Sprintf("Set both handles low, to the same volts AC at their own posts: %d V or little more.", leastVolts)}
	for _, s := range []*track.Supply{a, b} {
		w.Readings = append(w.Readings, Reading{Red: post(s, "hot"), Black: post(s, "common"), Want: Live,
			Why: s.Name + " is on; the other is set to the same"})
	}
	w.Readings = append(w.Readings, Reading{Red: post(a, "hot"), Black: post(b, "hot"), Want: InPhase, Most: mostApart,
		Why: "in phase they show nearly nothing, reversed the two added"})
	if sum := a.Volts + b.Volts; sum > hazardous {
		w.Do = append(w.Do, fmt.Sprintf(
			"Out of phase and full up it would be %.0f V, above the %d V that are hazardous to touch: handles low, "+
				"fingers off.", sum, hazardous))
	}
	w.After = "Both plugs out. Mark both plugs and both sockets, so that they go in as they are. Mains wiring is for " +
		"licensed electricians, by the local codes."
	w.Mend = "Reversed: both plugs out, touch no pins, turn one of them round in its socket, both in again, and read " +
		"again. One that does not turn is a matter for a licensed electrician."
	return w
}
