package stage

import (
	"fmt"
	"math"

	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
)

// Wire is a stop of the wiring, behind the track: a feeder before it is joined to
// its outlet, or two supplies before their wires meet.
type Wire struct {
	Name     string    `json:"name"` // "F1", "T1 and T2"
	Do       []string  `json:"do"`
	Readings []Reading `json:"readings,omitempty"`
	After    string    `json:"after"`
}

// wiring is all that is read behind the track: feeders one by one, in the order of
// the file, then the supplies.
func (m *maker) wiring() []Wire {
	var out []Wire
	for i := range m.l.Feeders {
		out = append(out, m.feeder(i))
	}
	if len(out) > 0 {
		out = append(out, joining())
	}
	for i := 1; i < len(m.l.Supplies); i++ {
		out = append(out, phase(&m.l.Supplies[0], &m.l.Supplies[i]))
	}
	return out
}

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
	most := math.Ceil(10*(f.OhmsPerWire+c.ClipOhms.Ohms+piece.OverLeads)) / 10
	return Wire{Name: f.Name,
		Do: []string{fmt.Sprintf("Fasten it to the track at %s, both wires still off %s.", m.l.PlaceName(f.At), m.l.OutletName(f.On))},
		Readings: []Reading{
			{Black: hot, Red: at(f.Hot), Want: piece.Beeps, Most: most, Why: "the hot wire is on its rail"},
			{Black: common, Red: at(f.Common), Want: piece.Beeps, Most: most, Why: "the common wire is on its rail"},
			{Black: hot, Red: common, Want: piece.Silent, Why: "it joins nothing, and is not crossed with one before it"},
		},
		After: fmt.Sprintf("Good: tag it for %s, and leave it off until all feeders are good.", m.l.OutletName(f.On))}
}

// joining is to bring good feeders to what they hang on.
func joining() Wire {
	return Wire{Name: "All feeders",
		Do: []string{"Every supply unplugged, and its two wires off its posts: its winding would beep. Lamps, coils and relays off theirs.",
			"Join the feeders one by one to what they are tagged for, and read hot against common there after each: silent."},
		After: "One that is not silent is the one joined last: off again, and look at it."}
}

// Above this a wire is hazardous live, volts AC (IEC 61010-031:2015).
const hazardous = 30

// phase is two supplies before their wires meet. What they add up to: AC of one
// frequency, so the difference of both while in phase, and the sum while not.
func phase(a, b *track.Supply) Wire {
	w := Wire{Name: a.Name + " and " + b.Name}
	if !a.AC || !b.AC {
		w.Do = []string{fmt.Sprintf("Both on, alone, joined to nothing: volts DC at the posts of each, red on hot. Both must show the same sign. "+
			"Never join %s and %s hot to hot.", a.Name, b.Name)}
		w.After = "Mark the hot post of each."
		return w
	}
	w.Do = []string{
		"Two supplies feed each other backwards through the track: while one is on, the plug of the other can be live. Touch no pins, hold no loose plug.",
		fmt.Sprintf("Both plugs out. Join common to common, hot to nothing. Both plugs in, both handles low, the same: volts AC from %s hot to %s hot.", a.Name, b.Name),
		"Nearly nothing: in phase. About the two added: reversed. Then both plugs out, turn one of them round, and read again.",
	}
	if sum := a.Volts + b.Volts; sum > hazardous {
		w.Do = append(w.Do, fmt.Sprintf("Out of phase and full up it would be %.0f V, above the %d V that are hazardous to touch: handles low, fingers off.", sum, hazardous))
	}
	w.After = "Mark both plugs and both sockets, so that they go in as they are. Mains wiring is for licensed electricians, by the local codes."
	return w
}
