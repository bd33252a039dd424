package fault

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// unchecked multiplies the odds that a plug is the wrong way round where the
// layout does not say that the phase was checked (assumed).
const unchecked = 5

// wiring is the table of flaws under the table.
func wiring(l *track.Layout) []track.Flaw {
	if l.Flaws != nil {
		return l.Flaws
	}
	return standard
}

var standard = track.WiringFlaws()

// underTable gives the part of a link that belongs to no piece, joint or
// feeder, and the share of the odds of one item that falls on it.
func underTable(k *conductor.Link) (track.Part, float64, bool) {
	switch {
	case k.Kind == conductor.KindCommon:
		return track.PartCommon, 1, true
	case k.Kind == conductor.KindTap:
		return track.PartTap, 1, true
	case k.Kind == conductor.KindInsulation && k.InsulatedRail >= 0:
		return track.PartRail, 1, true
	case k.Bus >= 0 && k.NormallyOpen:
		return track.PartBus, 1, true
	case k.Bus >= 0:
		return track.PartBus, 0.5, true // two wires
	case k.Toggle >= 0:
		return track.PartToggle, 1, true
	case k.Kind == conductor.KindLead && k.Accessory >= 0:
		return track.PartLead, 0.5, true // two wires
	case k.Accessory >= 0:
		return track.PartLoad, 1, true
	case k.Supply >= 0:
		return track.PartSupply, 1, true
	}
	return "", 0, false
}

// fused says whether a hot wire has a fuse in it.
func fused(l *track.Layout, k *conductor.Link) bool {
	switch {
	case k.Rail != "hot":
		return false
	case k.Kind == conductor.KindFeeder:
		return l.Feeders[k.Feeder].Fuse > 0
	case k.Kind == conductor.KindBus:
		u := &l.Buses[k.Bus]
		return u.Fuse > 0 && k.Place == u.Name+" 1" // where it begins
	case k.Kind == conductor.KindLead && k.Accessory >= 0:
		return l.Accessories[k.Accessory].Fuse > 0
	}
	return false
}

// underName is what is looked at for such a link: the terminal, the toggle,
// the accessory, the insulated rail or the supply.
func underName(n *conductor.Network, k *conductor.Link) (string, int) {
	if k.Piece >= 0 {
		return n.Layout.Pieces[k.Piece].ID(), k.Piece
	}
	if k.Toggle >= 0 {
		return n.Layout.Toggles[k.Toggle].Part(), -1
	}
	return k.Place, -1
}

// plugs lists the supplies that may be out of phase with the first one.
func plugs(n *conductor.Network) []Suspect {
	leads := map[int][]int{}
	var order []int
	for i := range n.Links {
		k := &n.Links[i]
		if k.Supply < 0 || k.Kind != conductor.KindLead {
			continue
		}
		if leads[k.Supply] == nil {
			order = append(order, k.Supply)
		}
		leads[k.Supply] = append(leads[k.Supply], i)
	}
	var out []Suspect
	for _, p := range order {
		s := &n.Layout.Supplies[p]
		for _, f := range wiring(n.Layout) {
			if f.Part != track.PartSupply || len(leads[p]) != 2 {
				continue
			}
			odds := f.Odds
			if s.Phase == track.PhaseUnknown {
				odds *= unchecked
			}
			out = append(out, Suspect{ID: "swapped " + s.Name, Links: leads[p], Mode: track.Swapped, Odds: odds,
				Part: f.Part, Moves: crossed(n, leads[p]),
				Piece: s.Name, PieceIndex: -1, Feeder: -1, Place: s.Name, Rail: "hot-common", What: f.What,
				Look: f.Look, Solder: f.Solder})
		}
	}
	return out
}

// rings lists the buses that close to a ring: the pair that comes home may be
// crossed.
func rings(n *conductor.Network) []Suspect {
	home := make([][]int, len(n.Layout.Buses))
	for i := range n.Links {
		if k := &n.Links[i]; k.Kind == conductor.KindBus && k.Bus >= 0 &&
			k.Place == conductor.RingName(&n.Layout.Buses[k.Bus]) {
			home[k.Bus] = append(home[k.Bus], i)
		}
	}
	var out []Suspect
	for i, wires := range home {
		for _, f := range wiring(n.Layout) {
			if f.Part != track.PartBus || f.Mode != track.Swapped || len(wires) != 2 {
				continue
			}
			name := conductor.RingName(&n.Layout.Buses[i])
			out = append(out, Suspect{ID: "swapped " + name, Links: wires, Mode: track.Swapped, Odds: f.Odds,
				Part: f.Part, Moves: crossed(n, wires),
				Piece: name, PieceIndex: -1, Feeder: -1, Place: name, Rail: "hot-common", What: f.What, Look: f.Look,
				Solder: f.Solder})
		}
	}
	return out
}

// burnt lists the accessories that may be burnt out: nothing passes them, cold or
// hot, and their wires are as good as ever.
func burnt(n *conductor.Network) []Suspect {
	inside := make([][]int, len(n.Layout.Accessories))
	for i := range n.Links {
		if k := &n.Links[i]; k.Kind == conductor.KindLoad {
			inside[k.Accessory] = append(inside[k.Accessory], i)
		}
	}
	var out []Suspect
	for i, links := range inside {
		for _, f := range wiring(n.Layout) {
			if f.Part != track.PartLoad || f.Mode != track.Open || len(links) == 0 {
				continue
			}
			name := n.Layout.Accessories[i].Name
			out = append(out, Suspect{ID: "open " + name + " inside", Links: links, Mode: track.Open, Odds: f.Odds,
				Part:  f.Part,
				Piece: name, PieceIndex: -1, Feeder: -1, Place: name, Rail: "hot-common", What: f.What, Look: f.Look,
				Solder: f.Solder})
		}
	}
	return out
}

// Burnt says whether a suspect is an accessory that is burnt out: whatever volts
// it has, it does not work.
func (s *Suspect) Burnt(n *conductor.Network, accessory int) bool {
	return s.Mode == track.Open && s.Part == track.PartLoad && n.Links[s.Links[0]].Accessory == accessory
}

// crossed are the moves of two wires whose far ends change places.
func crossed(n *conductor.Network, wires []int) []Move {
	a, b := &n.Links[wires[0]], &n.Links[wires[1]]
	return []Move{{wires[0], a.A, b.B}, {wires[1], b.A, a.B}}
}

// farthest is how far apart in the file two feeders may stand whose wires are
// taken to have changed places (assumed).
const farthest = 6

// exchanged lists pairs of feeders of different toggles or supplies whose hot
// wires may have changed places: neighbours in the file half as often as the
// two wires of one feeder, others the more seldom the farther apart.
func exchanged(n *conductor.Network) []Suspect {
	l := n.Layout
	hot := make([]int, len(l.Feeders))
	for i := range n.Links {
		if k := &n.Links[i]; k.Kind == conductor.KindFeeder && k.Rail == "hot" {
			hot[k.Feeder] = i
		}
	}
	var out []Suspect
	for i := range l.Feeders {
		for j := i + 1; j < len(l.Feeders) && j <= i+farthest; j++ {
			if !together(&l.Feeders[i], &l.Feeders[j]) {
				out = append(out, changedPlaces(n, i, j, []int{hot[i], hot[j]})...)
			}
		}
	}
	return out
}

// together says whether the hot wires of two feeders hang on one thing anyway.
func together(a, b *track.Feeder) bool {
	toggles := (a.On.Kind == track.OnToggle || b.On.Kind == track.OnToggle) && a.On != b.On
	return !toggles && a.Supply == b.Supply
}

func changedPlaces(n *conductor.Network, i, j int, wires []int) []Suspect {
	a, b := &n.Layout.Feeders[i], &n.Layout.Feeders[j]
	var out []Suspect
	for _, f := range n.Layout.Pieces[a.At.Piece].Construction.Flaws {
		if f.Part == track.PartFeeder && f.Mode == track.Swapped {
			out = append(out, Suspect{ID: "swapped " + a.Name + " hot with " + b.Name, Links: wires,
				Mode: track.Swapped, Odds: f.Odds / 2 / float64(j-i), Part: f.Part,
				Moves: crossed(n, wires), Piece: a.Name, PieceIndex: -1, Feeder: i, Place: a.Name, Rail: "hot",
				What: "the hot wires of " + a.Name + " and " + b.Name + " have changed places",
				Look: "switch one off and see which part of the track goes dead; compare the wires' marks at both " +
					"ends"})
		}
	}
	return out
}

// misplaced lists the feeders that may stand on the wrong side of an insulated
// joint: both clips then lie on the other piece.
func misplaced(n *conductor.Network) []Suspect {
	l := n.Layout
	var out []Suspect
	for i := range l.Feeders {
		f := &l.Feeders[i]
		if f.At.End < 0 {
			continue
		}
		here := track.EndRef{Piece: f.At.Piece, End: f.At.End}
		j := l.Pieces[here.Piece].Ends[here.End].Joint
		if j < 0 || len(l.Joints[j].Insulated) == 0 {
			continue
		}
		for _, fl := range l.Pieces[f.At.Piece].Construction.Flaws {
			if fl.Part != track.PartFeeder || fl.Mode != track.Swapped {
				continue // as often as wires that change places
			}
			s := Suspect{ID: "misplaced " + f.Name, Mode: track.Misplaced, Odds: fl.Odds, Part: fl.Part, Piece: f.Name,
				PieceIndex: -1, Feeder: i,
				Place: f.Name, Rail: "hot-common", What: "the feeder is on the wrong side of the insulated joint " +
					l.Joints[j].Name,
				Look: "see on which side of the gap its wires meet the rails, and move them to the side that it is " +
					"meant to feed"}
			if s.Moves = acrossGap(n, i, here, j); len(s.Moves) == 2 {
				s.Links = []int{s.Moves[0].Link, s.Moves[1].Link}
				out = append(out, s)
			}
		}
	}
	return out
}

// acrossGap moves the clips of a feeder to the other side of a joint.
func acrossGap(n *conductor.Network, feeder int, here track.EndRef, j int) []Move {
	l := n.Layout
	var out []Move
	for k := range n.Links {
		link := &n.Links[k]
		if link.Kind != conductor.KindClip || link.Feeder != feeder {
			continue
		}
		rail, there := n.Points[link.B].Rail, l.Joints[j].B
		if here == l.Joints[j].A {
			rail = l.AcrossJoint(j, rail)
		} else {
			there = l.Joints[j].A
			for _, r := range l.Pieces[there.Piece].Construction.Rails {
				if l.AcrossJoint(j, r) == n.Points[link.B].Rail {
					rail = r
					break
				}
			}
		}
		if to := n.At(there, rail); to >= 0 {
			out = append(out, Move{k, link.A, to})
		}
	}
	return out
}
