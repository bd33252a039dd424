// Package stage is the proof of a layout while it is built: after which pieces to
// stop, what to read there and with which limit, so that a fault is never more than
// a few pieces away; then the insulated rails, the feeders one by one, and the phase
// of two supplies. It knows the layout as drawn; what hands found is the caller's.
package stage

import (
	"math"
	"math/rand/v2"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// What a plan takes for granted; assumed, no count was found.
const (
	// OneBadIn is how many pieces, each with a joint, are laid for one that is bad.
	OneBadIn = 200
	// ClipOhms is the clip lead that joins the rails at the far end.
	ClipOhms = 0.05
	// Within is how many pieces a fault is away at most, where nobody says.
	Within = 10
	// draws is how many sound layouts are drawn for a limit, and quantile the share
	// of them that stays below it.
	draws    = 400
	quantile = 0.99
)

// Options are what a plan is made for.
type Options struct {
	Within int    // pieces in a stage at most
	Seed   uint64 // for the drawn resistances
}

// Reading is one of a stage. Points are named as everywhere.
type Reading struct {
	// Clipped are the points that a clip lead joins while it is taken, none for a
	// reading without one.
	Clipped []string `json:"clipped,omitempty"`
	// Thrown are the turnouts that must not stand to through.
	Thrown map[string]string `json:"thrown,omitempty"`
	// Do is an act of hands before it, of wires alone.
	Do    string     `json:"do,omitempty"`
	Black string     `json:"black"`
	Red   string     `json:"red"`
	Want  piece.Kind `json:"want"`
	// Most is the ohms of a sound path at most, over the leads alone, the meter's own
	// error in it, or the volts between two supplies in phase; 0 where it is open.
	Most float64 `json:"most,omitempty"`
	Why  string  `json:"why"`

	kept       string // what its key begins with
	clip       []int
	thrown     map[int]string
	black, red int
}

// Stage is a stop: the pieces laid since the last one, and what is read then.
type Stage struct {
	N      int      `json:"n"`
	Pieces []string `json:"pieces"`
	Last   string   `json:"last"` // the piece to stop after
	// Open are the joints that close a ring: they stay open until these readings are
	// taken, for a ring hides an open joint from every beeper.
	Open     []string  `json:"left_open,omitempty"`
	Readings []Reading `json:"readings"`
	Minutes  float64   `json:"minutes"`
	// Chance is how likely something here is bad, and Seen the share of that which
	// these readings show.
	Chance float64 `json:"chance"`
	Seen   float64 `json:"seen"`
	Hunt   float64 `json:"hunt_minutes"` // to find it among these pieces by halving

	// Near is the end at which all is read, and First and End the pieces of the layout
	// laid since the last stop: their order is that of the laying.
	Near       track.EndRef `json:"-"`
	First, End int          `json:"-"`
}

// Plan is the whole proof of a layout.
type Plan struct {
	Stages []Stage `json:"stages"`
	Wiring []Wire  `json:"wiring"`
	// Minutes is what all stages take, and Hunts what is to be expected of hunting.
	Minutes float64 `json:"minutes"`
	Hunts   float64 `json:"hunts"`
	Within  int     `json:"within"`
	// Portable says that it is of boards that are set up, and not of track that is laid.
	Portable bool `json:"portable,omitempty"`
	// First says what of a portable layout stands before anything is read.
	First string `json:"first,omitempty"`
}

// maker makes a plan.
type maker struct {
	l       *track.Layout
	n       *conductor.Network
	prices  *price.List
	closers []bool
	chance  []float64 // by piece
	weights []float64 // by suspect: its chance
	faults  []fault.Suspect
	// portable says that feeders end in plugs, and are on their track.
	portable bool
	owner    []int // by suspect: the piece with which it is laid, -1 none
}

// Make plans the proof of a layout, whose pieces are laid in the order of its file.
func Make(l *track.Layout, o Options) (*Plan, error) {
	m, err := newMaker(l)
	if err != nil {
		return nil, err
	}
	if o.Within <= 0 {
		o.Within = Within
	}
	costs := map[[2]int]*Stage{}
	at := func(first, last int) *Stage {
		key := [2]int{first, last}
		if costs[key] == nil {
			costs[key] = m.stage(first, last)
		}
		return costs[key]
	}
	ends := split(len(l.Pieces), o.Within, m.forced(), func(first, last int) float64 {
		s := at(first, last)
		return s.Minutes + s.Chance*s.Hunt
	})
	plan := &Plan{Within: o.Within, Wiring: m.wiring()}
	first := 0
	sound := m.draw(o.Seed)
	for i, last := range ends {
		s := at(first, last)
		s.N = i + 1
		if err := m.limits(s, sound); err != nil {
			return nil, err
		}
		if s.Seen, err = m.seen(s); err != nil {
			return nil, err
		}
		plan.Stages = append(plan.Stages, *s)
		plan.Minutes += s.Minutes
		plan.Hunts += s.Chance * s.Hunt
		first = last + 1
	}
	return plan, nil
}

func newMaker(l *track.Layout) (*maker, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	m := &maker{l: l, n: n, prices: price.Of(n)}
	m.order()
	m.weigh()
	return m, nil
}

// order is the laying: piece by piece as the file has them; a joint between two
// pieces that are joined already closes a ring.
func (m *maker) order() {
	laid := nodal.NewUnion(len(m.l.Pieces))
	m.closers = make([]bool, len(m.l.Joints))
	joints := make([]int, len(m.l.Joints))
	for j := range joints {
		joints[j] = j
	}
	when := func(j int) int { return max(m.l.Joints[j].A.Piece, m.l.Joints[j].B.Piece) }
	slices.SortStableFunc(joints, func(a, b int) int { return when(a) - when(b) })
	for _, j := range joints {
		a, b := m.l.Joints[j].A.Piece, m.l.Joints[j].B.Piece
		m.closers[j] = laid.Find(a) == laid.Find(b)
		laid.Join(a, b)
	}
}

// weigh says how likely each piece, with the joint that it is laid on, is bad.
func (m *maker) weigh() {
	m.faults = fault.List(m.n)
	m.chance = make([]float64, len(m.l.Pieces))
	sum := 0.0
	m.owner = make([]int, len(m.faults))
	for i := range m.faults {
		m.owner[i] = -1
		k := &m.n.Links[m.faults[i].Links[0]]
		switch {
		case m.faults[i].Feeder >= 0:
		case k.Piece >= 0:
			m.owner[i] = k.Piece
		case k.Joint >= 0 && !m.closers[k.Joint]:
			m.owner[i] = max(m.l.Joints[k.Joint].A.Piece, m.l.Joints[k.Joint].B.Piece)
		}
		if p := m.owner[i]; p >= 0 {
			m.chance[p] += m.faults[i].Odds
			sum += m.faults[i].Odds
		}
	}
	if sum == 0 {
		return
	}
	scale := float64(len(m.l.Pieces)) / OneBadIn / sum
	for i := range m.chance {
		m.chance[i] *= scale
	}
	m.weights = make([]float64, len(m.faults))
	for i := range m.faults {
		m.weights[i] = m.faults[i].Odds * scale
	}
}

// forced are the stops that must be: where a run ends, before an insulated joint,
// behind the last piece of an insulated rail (it is read before it is nailed down),
// and before a ring is closed.
func (m *maker) forced() []bool {
	out := make([]bool, len(m.l.Pieces))
	for i := range m.l.Runs {
		if p := m.l.Runs[i].Pieces; len(p) > 0 {
			out[slices.Max(p)] = true
		}
	}
	for j := range m.l.Joints {
		q := &m.l.Joints[j]
		if len(q.Insulated) > 0 && min(q.A.Piece, q.B.Piece)+1 == max(q.A.Piece, q.B.Piece) {
			out[min(q.A.Piece, q.B.Piece)] = true
		}
	}
	for i := range m.l.InsulatedRails {
		if p := m.l.InsulatedRails[i].Pieces; len(p) > 0 {
			out[slices.Max(p)] = true
		}
	}
	return out
}

// stage puts together what is read behind the pieces first..last of the laying.
func (m *maker) stage(first, last int) *Stage {
	s := &Stage{First: first, End: last, Last: m.l.Pieces[last].ID()}
	for p := first; p <= last; p++ {
		s.Pieces = append(s.Pieces, m.l.Pieces[p].ID())
		s.Chance += m.chance[p]
	}
	for j := range m.l.Joints {
		q := &m.l.Joints[j]
		if late := max(q.A.Piece, q.B.Piece); m.closers[j] && late >= first && late <= last {
			s.Open = append(s.Open, q.Name)
		}
	}
	s.Readings = m.readings(s)
	s.Minutes = m.minutes(s)
	s.Hunt = m.hunt(s)
	return s
}

// minutes is what the readings take: whoever laid the last piece stands at the far
// end, clips there, walks back to read, and comes again.
func (m *maker) minutes(s *Stage) float64 {
	out := 0.0
	leads := 2 * price.LeadMetres
	far := [2]int{-1, -1}
	thrown := 0
	for i := range s.Readings {
		r := &s.Readings[i]
		if len(r.clip) > 0 && r.clip[0] != far[0] {
			far = [2]int{r.clip[0], r.clip[0]}
			out += price.Load + 2*m.prices.Walk(far, r.red, r.black, leads)
		}
		if len(r.thrown) != thrown {
			thrown = len(r.thrown)
			out += price.Throw
		}
		out += m.prices.Read(r.red, r.black)
	}
	return out
}

// hunt is to find a fault among the pieces of a stage by halving, a joint a time,
// and to look at the piece.
func (m *maker) hunt(s *Stage) float64 {
	lift, look := 0.0, 0.0
	count := float64(s.End - s.First + 1)
	for p := s.First; p <= s.End; p++ {
		look += m.prices.Look(p) / count
		lift += (1 + m.l.Pieces[p].Construction.PartMinutes + m.l.Pieces[p].ExtraMinutes) / count
	}
	return math.Ceil(math.Log2(count))*(lift+price.Probe) + look
}

// draw draws sound layouts for the limits: the resistance of every link.
func (m *maker) draw(seed uint64) [][]float64 {
	rng := rand.New(rand.NewPCG(seed, seed))
	out := make([][]float64, draws)
	for i := range out {
		rail := simulate.DrawLevel(rng, m.n.RailLevel)
		joint := simulate.DrawLevel(rng, m.n.JointLevel)
		out[i] = simulate.DrawOhms(m.n, rng, rail, joint)
	}
	return out
}
