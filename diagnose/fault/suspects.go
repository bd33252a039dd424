// Package fault lists what can be wrong with a layout: for every flaw of
// every construction, each link that can have it, with its odds and the piece
// to lift. It takes the network as given and knows nothing of readings.
package fault

import (
	"math"
	"sort"
	"strconv"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// Suspect is one possible fault.
type Suspect struct {
	ID    string // "bridged main 31 center-left (R12)", stable for one layout
	Links []int  // indices into Network.Links; two for a swapped feeder, and cold and hot for a bulb
	Mode  track.FaultMode
	Part  track.Part
	// Moves says where links go that are wired wrongly: two for a swapped
	// feeder or plug and for a misplaced feeder, none for all other modes.
	Moves []Move
	Odds  float64 // probability among all suspects, sums to 1
	// Piece is what to lift or look at: "main 31", or the name of a feeder,
	// toggle, accessory, insulated rail or supply, or a terminal ("B1 2").
	Piece string
	// PieceIndex is the piece on the layout, -1 for all that is none.
	PieceIndex int
	Feeder     int
	Place      string // "main 31", "main 7/8", "F1"
	Rail       string
	// MinOhms and MaxOhms bound the fault's resistance (log-uniform).
	MinOhms, MaxOhms float64
	What, Look       string
	Solder           bool // of the flaw: it may want a soldering iron
}

// Move is a link that joins other points than it should: A and B instead of
// its own.
type Move struct{ Link, A, B int }

// List gives the suspects of a network in the order of its links.
func List(n *conductor.Network) []Suspect {
	out := make([]Suspect, 0, len(n.Links)*3/2)
	for i := range n.Links {
		out = append(out, ofLink(n, i)...)
	}
	out = append(out, swapped(n)...)
	out = append(out, exchanged(n)...)
	out = append(out, misplaced(n)...)
	out = append(out, plugs(n)...)
	out = append(out, rings(n)...)
	out = append(out, burnt(n)...)
	factor := historyFactors(n.Layout)
	sum := 0.0
	for i := range out {
		if p := n.Links[out[i].Links[0]].Piece; p >= 0 { // a joint is made of two pieces, and has no history
			out[i].Odds *= factor[p]
		}
		out[i].Odds *= counted(n.Layout, out[i].Part, out[i].Mode)
		sum += out[i].Odds
	}
	kept := out[:0]
	for _, s := range out {
		if s.Odds > 0 {
			s.Odds /= sum
			kept = append(kept, s)
		}
	}
	return kept
}

// counted is how much oftener than assumed hunts found a fault.
func counted(l *track.Layout, p track.Part, m track.FaultMode) float64 {
	for i := range l.Counted {
		if c := &l.Counted[i]; c.Part == p && c.Mode == m {
			return c.Times
		}
	}
	return 1
}

func historyFactors(l *track.Layout) []float64 {
	f := make([]float64, len(l.Pieces))
	for i := range f {
		f[i] = 1
	}
	for _, o := range l.Odds {
		f[o.Piece] *= o.Factor
	}
	return f
}

// part says which flaws apply to a link, and how many links of its place
// share the odds of one item.
func part(n *conductor.Network, i int) (track.Part, float64) {
	k := &n.Links[i]
	if p, share, ok := underTable(k); ok {
		return p, share
	}
	switch k.Kind {
	case conductor.KindJoint:
		return track.PartJoint, 1
	case conductor.KindGap:
		return track.PartGap, 1
	case conductor.KindJumper, conductor.KindSwitch:
		return track.PartJumper, 1
	case conductor.KindFeeder, conductor.KindClip:
		return track.PartFeeder, 0.25 // two wires, each with its clip
	case conductor.KindInsulation:
		if k.Feeder >= 0 {
			return track.PartFeeder, 1
		}
		return piecePart(n, k.Piece), 1 / float64(alike(n, i)*n.Mates(k))
	}
	return piecePart(n, k.Piece), 0.5 // a rail is two halves
}

// alike counts the insulation links of one piece between the same two rails
// (a crossing can have one for each of its ways). They stand together.
func alike(n *conductor.Network, i int) int {
	same := func(j int) bool {
		a, b := &n.Links[i], &n.Links[j]
		return a.Kind == b.Kind && a.Piece == b.Piece && a.Rail == b.Rail
	}
	first, last := i, i
	for first > 0 && same(first-1) {
		first--
	}
	for last+1 < len(n.Links) && same(last+1) {
		last++
	}
	return last - first + 1
}

func piecePart(n *conductor.Network, piece int) track.Part {
	switch n.Layout.Pieces[piece].Kind {
	case track.Turnout:
		return track.PartTurnout
	case track.Crossing:
		return track.PartCrossing
	}
	return track.PartPiece
}

func ofLink(n *conductor.Network, i int) []Suspect {
	k := &n.Links[i]
	if k.Kind == conductor.KindToggle && n.Layout.Toggles[k.Toggle].Middle {
		return nil // its contacts stand with its two sides
	}
	if k.Kind == conductor.KindSense {
		return nil // it carries no load: no train feels what is wrong with it
	}
	if k.Kind == conductor.KindLoad {
		return nil // cold and hot burn out together
	}
	p, share := part(n, i)
	var out []Suspect
	for _, f := range flaws(n, k) {
		if f.Part != p || !applies(n, k, &f) {
			continue
		}
		s := Suspect{Links: []int{i}, Mode: f.Mode, Part: p, Odds: f.Odds * share, Place: k.Place, Rail: k.Rail,
			MinOhms: f.MinOhms, MaxOhms: f.MaxOhms, What: f.What, Look: f.Look, Solder: f.Solder, Feeder: -1}
		s.ID = string(f.Mode) + " " + k.Place + " " + k.Rail + " (" + k.ID + ")"
		s.Piece, s.PieceIndex = lift(n, k)
		s.Feeder = k.Feeder
		tidy(&s)
		if fused(n.Layout, k) && s.Mode == track.Open {
			s.Look = "look at its fuse first; " + s.Look
		}
		out = append(out, s)
	}
	return out
}

// tidy gives bounds where a flaw has none.
func tidy(s *Suspect) {
	if s.Mode != track.Bridged && s.Mode != track.Weak {
		s.MinOhms, s.MaxOhms = 0, 0
		return
	}
	if s.MinOhms <= 0 {
		s.MinOhms = 0.005
		if s.Mode == track.Weak {
			s.MinOhms = 0.05
		}
	}
	if s.MaxOhms < s.MinOhms {
		s.MaxOhms = math.Max(s.MinOhms, 1)
	}
}

func flaws(n *conductor.Network, k *conductor.Link) []track.Flaw {
	l := n.Layout
	if _, _, ok := underTable(k); ok {
		return wiring(l)
	}
	switch {
	case k.Piece >= 0:
		return l.Pieces[k.Piece].Construction.Flaws
	case k.Joint >= 0:
		return l.Pieces[l.Joints[k.Joint].A.Piece].Construction.Flaws
	case k.Feeder >= 0:
		return l.Pieces[l.Feeders[k.Feeder].At.Piece].Construction.Flaws
	}
	return nil
}

func applies(n *conductor.Network, k *conductor.Link, f *track.Flaw) bool {
	if f.Mode == track.Swapped || (f.Mode == track.Bridged) != k.NormallyOpen {
		return false
	}
	if len(f.Rails) == 0 {
		return true
	}
	if k.Kind == conductor.KindInsulation && k.Piece >= 0 {
		return len(f.Rails) == 2 && n.Joins(k, f.Rails[0], f.Rails[1])
	}
	for _, r := range f.Rails {
		if k.Rail == string(r) {
			return true
		}
	}
	return false
}

// lift says what is lifted to look at a link. A joint is looked at on the
// piece that stands first in its name.
func lift(n *conductor.Network, k *conductor.Link) (string, int) {
	l := n.Layout
	if _, _, ok := underTable(k); ok {
		return underName(n, k)
	}
	switch {
	case k.Piece >= 0:
		return l.Pieces[k.Piece].ID(), k.Piece
	case k.Joint >= 0:
		p := l.Joints[k.Joint].A.Piece
		return l.Pieces[p].ID(), p
	}
	return l.Feeders[k.Feeder].Name, -1
}

func swapped(n *conductor.Network) []Suspect {
	var out []Suspect
	for i := range n.Layout.Feeders {
		f := &n.Layout.Feeders[i]
		var wires []int
		for k := range n.Links {
			if n.Links[k].Kind == conductor.KindFeeder && n.Links[k].Feeder == i {
				wires = append(wires, k)
			}
		}
		for _, fl := range n.Layout.Pieces[f.At.Piece].Construction.Flaws {
			if fl.Part != track.PartFeeder || fl.Mode != track.Swapped || len(wires) != 2 {
				continue
			}
			out = append(out, Suspect{ID: "swapped " + f.Name, Links: wires, Mode: track.Swapped, Odds: fl.Odds,
				Part: fl.Part, Moves: crossed(n, wires),
				Piece: f.Name, PieceIndex: -1, Feeder: i, Place: f.Name, Rail: "hot-common", What: fl.What,
				Look: fl.Look, Solder: fl.Solder})
		}
	}
	return out
}

// Pieces lists the things to lift in order of first appearance, for decision
// classes.
func Pieces(list []Suspect) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range list {
		if !seen[s.Piece] {
			seen[s.Piece] = true
			out = append(out, s.Piece)
		}
	}
	return out
}

// MostLikely sorts a copy by odds, the likeliest first, ties by ID.
func MostLikely(list []Suspect) []Suspect {
	out := append([]Suspect(nil), list...)
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].Odds != out[j].Odds {
			return out[i].Odds > out[j].Odds
		}
		return out[i].ID < out[j].ID
	})
	return out
}

// Describe says the fault in words: "main 31: insulating strip missing".
func (s *Suspect) Describe() string {
	t := s.Place + " " + s.Rail + " " + string(s.Mode)
	if s.MaxOhms > 0 {
		t += " (" + strconv.FormatFloat(s.MinOhms, 'g', 3, 64) + " to " + strconv.FormatFloat(s.MaxOhms, 'g', 3, 64) +
			" ohm)"
	}
	return t
}
