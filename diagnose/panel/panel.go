// Package panel is where to solder thin wires under the table, and to bring them to
// one labelled block, so that readings at the block alone say most of what is wrong:
// shorts, dead places, weak ones. Terminals that the layout has already count as free
// test points, and, for who has them at the block too, the places where feeders meet
// the track: from the outlet alone they cannot be read, for a feeder's wire has a drop
// of its own.
//
// # How it is reckoned
//
// An evening is something wrong, seen: a short, or a place where trains stand or
// slow. For each, faults are drawn on drawn layouts (package simulate: rails, joints
// and their levels; lamp and meter as a hunt takes them), and what a meter shows at
// every place that a wire could come from is worked out. The volts are taken through
// asinh(v / small), so that what all of a layout shares, its level and the lamp's
// current, moves all readings alike; there each fault is a Gaussian, with its own
// means and the spread that it has together with its neighbours. How many pieces
// hold 90 % of the belief after the readings is then counted on other draws.
//
// Wires are chosen greedily: the pair that leaves the fewest pieces, then the next;
// after each, those before it are moved to where they are best beside the others.
// The gain of a set of sensors that are independent given what they sense is
// submodular, and a greedy choice is then within 1 - 1/e of the best (G. L. Nemhauser,
// L. A. Wolsey, M. L. Fisher, "An analysis of approximations for maximizing submodular
// set functions I", Mathematical Programming 14, 1978, 265-294). Pieces left are not
// bits, and readings share their layout, so that here the bound is a reason and no
// proof: TestGreedyAgainstAll compares with every choice.
//
// Crossed feeders are not weighed: they are found at the feeders' own ends.
package panel

import (
	"cmp"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/wiring"
)

// What a plan takes for granted; assumed, no count was found.
const (
	// Most is how many pairs are planned at most, and Worth the pieces that the last
	// of them must save where nobody says how many.
	Most  = 8
	Worth = 0.5
	// commonWorth is the share of the pieces left that a common wire must save, beside
	// its hot one, to be laid.
	commonWorth = 0.02
	// places is how many places for wires are weighed, evenly along the track.
	places = 60
	// shortlist is how many of them are weighed with care.
	shortlist = 6
)

// Options are what a plan is made for.
type Options struct {
	Pairs int // pairs of wires; 0: as many as are worth something
	// FeederEnds says that where feeders meet the track is read without kneeling too.
	FeederEnds bool
	Seed       uint64 // for what is drawn
}

// Kind is what is seen to be wrong.
type Kind string

// The kinds of evenings.
const (
	Short Kind = "short"
	Dead  Kind = "dead"
	Weak  Kind = "weak"
)

// Share is what a panel does for one kind of evening.
type Share struct {
	Kind   Kind    `json:"kind"`
	Share  float64 `json:"share"`  // of all evenings, by assumed odds
	Before float64 `json:"before"` // pieces that hold 90 % of the belief, without it
	After  float64 `json:"after"`
}

// Wire is a pair of thin wires, or one, from the track to the block.
type Wire struct {
	Name   string     `json:"name"` // the terminal: "A1"
	Place  string     `json:"at"`   // "main 21"
	Hot    track.Rail `json:"hot"`
	Common track.Rail `json:"common,omitempty"` // empty: no such wire
	// LengthMM is one way, as a wire runs along the frame.
	LengthMM float64 `json:"length_mm"`
	// Without is how many pieces would hold 90 % of the belief without it, the others
	// laid.
	Without float64 `json:"pieces_left_without"`

	At track.Place `json:"-"`
}

// Plan is a panel. Left is how many pieces hold 90 % of the belief, in the mean of
// all evenings, by the number of pairs, each number at its own best places; the first
// is without any, by the free test points alone.
type Plan struct {
	Layout string    `json:"layout"`
	Left   []float64 `json:"pieces_left"`
	// Worth is how many pairs are worth it; those are laid, or as many as were
	// asked for.
	Worth int     `json:"worth"`
	Wires []Wire  `json:"wires"`
	After float64 `json:"pieces_left_as_wired"`
	Kinds []Share `json:"kinds"`
	Block string  `json:"block"` // the outlet beside which it is screwed down
	// Labels is what is written on both ends of every wire.
	Labels []wiring.Label `json:"labels"`
	// Amps is what a thin wire carries as warm as others do, and Breaker at what the
	// largest breaker trips.
	Amps    float64 `json:"wire_amps"`
	Breaker float64 `json:"breaker_amps"`
	// Done is which steps of the joining were done, by their keys, and begun the wires
	// that stand in the layout's file and are being joined.
	Done  []string `json:"joined,omitempty"`
	begun []Wire
}

// Make plans a panel.
func Make(l *track.Layout, o Options) (*Plan, error) {
	m, err := newMaker(l, o)
	if err != nil {
		return nil, err
	}
	p := &Plan{Layout: l.Name, Left: []float64{m.left(m.free, final)}}
	most := min(Most, len(m.spots))
	if o.Pairs > 0 {
		most = min(o.Pairs, len(m.spots))
	}
	var set, laid []int
	for k := 1; k <= most; k++ {
		set = m.better(append(slices.Clone(set), m.next(set)))
		left := m.left(m.columns(set), final)
		p.Left = append(p.Left, left)
		if p.Worth == k-1 && p.Left[k-1]-left >= Worth {
			p.Worth = k
		}
		if o.Pairs == 0 && p.Worth < k {
			break
		}
		laid = slices.Clone(set)
	}
	slices.Sort(laid)
	for _, s := range laid {
		p.Wires = append(p.Wires, m.wire(s))
	}
	m.thin(p, laid)
	for i := range p.Wires {
		p.Labels = append(p.Labels, wiring.Sense(l, p.Wires[i].Terminal()).Labels...)
	}
	m.kinds(p)
	m.block(p)
	return p, nil
}

// columns are the wires of some spots beside what is free.
func (m *maker) columns(spots []int) []int {
	out := slices.Clone(m.free)
	for _, s := range spots {
		out = append(out, m.spots[s].cols...)
	}
	return out
}

// next is the spot whose pair leaves the fewest pieces beside some others; less than
// 0 where none is left. The best of a quick look are looked at again.
func (m *maker) next(set []int) int {
	left := make([]float64, len(m.spots))
	var order []int
	for i := range m.spots {
		if !slices.Contains(set, i) {
			order = append(order, i)
		}
	}
	if len(order) == 0 {
		return -1
	}
	weigh := func(e effort) {
		more := make([][]int, len(order))
		for k, i := range order {
			more[k] = m.spots[i].cols
		}
		for k, x := range m.lefts(m.columns(set), more, e) {
			left[order[k]] = x
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(left[a], left[b]) })
	}
	weigh(search)
	order = order[:min(shortlist, len(order))]
	weigh(final)
	return order[0]
}

// better moves each pair to the best place beside the others, once, the first first:
// the greedy choice put the first of them in the middle.
func (m *maker) better(set []int) []int {
	for i := range set {
		if len(set) == 1 {
			break
		}
		others := slices.Delete(slices.Clone(set), i, i+1)
		other := append(slices.Clone(others), m.next(others))
		if m.left(m.columns(other), final) < m.left(m.columns(set), final) {
			set[i] = other[len(others)]
		}
	}
	return set
}

// thin takes out the common wires that are worth next to nothing, and says what each
// pair is worth.
func (m *maker) thin(p *Plan, laid []int) {
	m.chosen = m.columns(laid)
	now := m.left(m.chosen, final)
	without := func(cols ...int) []int {
		return slices.DeleteFunc(slices.Clone(m.chosen), func(x int) bool { return slices.Contains(cols, x) })
	}
	for i, s := range laid {
		if rest := without(m.spots[s].cols[1]); m.left(rest, final) <= now*(1+commonWorth) {
			m.chosen, p.Wires[i].Common = rest, ""
		}
	}
	p.After = m.left(m.chosen, final)
	for i, s := range laid {
		p.Wires[i].Without = m.left(without(m.spots[s].cols...), final)
	}
}

// kinds says what the panel does for each kind of evening.
func (m *maker) kinds(p *Plan) {
	all := 0.0
	for _, s := range m.scenes {
		all += s.weight
	}
	for _, k := range []Kind{Short, Dead, Weak} {
		w := Share{Kind: k}
		sum := 0.0
		for _, s := range m.scenes {
			if s.kind == k {
				sum += s.weight
				w.Before += s.weight * s.left(m.free, final)
				w.After += s.weight * s.left(m.chosen, final)
			}
		}
		if sum > 0 {
			w.Share, w.Before, w.After = sum/all, w.Before/sum, w.After/sum
			p.Kinds = append(p.Kinds, w)
		}
	}
}

// left is how many pieces hold 90 % of the belief after readings at some columns, in
// the mean of all evenings.
func (m *maker) left(cols []int, e effort) float64 { return m.lefts(cols, [][]int{nil}, e)[0] }

// lefts is the same for each choice of more columns beside some.
func (m *maker) lefts(cols []int, more [][]int, e effort) []float64 {
	out, all := make([]float64, len(more)), 0.0
	for _, s := range m.scenes {
		left, _ := s.count(cols, more, e)
		for c, x := range left {
			out[c] += s.weight * x
		}
		all += s.weight
	}
	for c := range out {
		if all > 0 {
			out[c] /= all
		}
	}
	return out
}

// spot is a place that a pair of wires can come from.
type spot struct {
	at          track.Place
	hot, common int   // points
	cols        []int // the columns of its wires, hot first
}

// maker makes a plan.
type maker struct {
	l      *track.Layout
	n      *conductor.Network
	points []int // by column
	side   []int // by column: 0 hot, 1 common
	free   []int // columns that cost nothing
	spots  []spot
	scenes []*scene
	named  int // terminals named so far
	chosen []int
}

func newMaker(l *track.Layout, o Options) (*maker, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	m := &maker{l: l, n: n}
	for i := range n.FeederPoints {
		if !o.FeederEnds {
			break
		}
		m.freeColumn(n.FeederPoints[i])
	}
	for i := range n.PanelPoints {
		m.freeColumn(n.PanelPoints[i])
	}
	m.listSpots()
	return m, m.evenings(o.Seed)
}

func (m *maker) column(point, side int) int {
	m.points, m.side = append(m.points, point), append(m.side, side)
	return len(m.points) - 1
}

func (m *maker) freeColumn(at [2]int) {
	for side, p := range at {
		if p >= 0 {
			m.free = append(m.free, m.column(p, side))
		}
	}
}

// listSpots lists the middles of plain pieces, no more than places of them, evenly
// along the track: there the iron is away from pins and joiners.
func (m *maker) listSpots() {
	var all []spot
	for i := range m.l.Pieces {
		p := &m.l.Pieces[i]
		if p.Kind != track.Straight && p.Kind != track.Curve {
			continue
		}
		s := spot{at: track.Place{Piece: i, End: -1}, hot: m.n.Middle(i, p.Construction.Hot),
			common: m.n.Middle(i, p.Construction.Common)}
		if s.hot >= 0 && s.common >= 0 {
			all = append(all, s)
		}
	}
	step := float64(len(all)) / float64(min(places, max(len(all), 1)))
	for x := step / 2; x < float64(len(all)); x += step {
		s := all[int(x)]
		s.cols = []int{m.column(s.hot, 0), m.column(s.common, 1)}
		m.spots = append(m.spots, s)
	}
}
