package stage

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
)

// part is the circuit of a stage: its pieces and the joints between them and to
// what lay before, with nodes of its own, so that it is small.
type part struct {
	m     *maker
	links []int
	node  map[int]int
}

func (m *maker) part(first, last int) *part { return m.partOf(first, last, first) }

// partOf is the part of pieces first..last while a stage is read that begins with
// the piece fresh: joints that closed a ring before it are closed by now.
func (m *maker) partOf(first, last, fresh int) *part {
	p := &part{m: m, node: map[int]int{}}
	in := func(x int) bool { return x >= first && x <= last }
	for i := range m.n.Links {
		k := &m.n.Links[i]
		switch {
		case k.Feeder >= 0 || k.Accessory >= 0 || k.InsulatedRail >= 0:
			continue
		case k.Joint >= 0:
			q := &m.l.Joints[k.Joint]
			late := max(q.A.Piece, q.B.Piece)
			if m.closers[k.Joint] && late >= fresh || late > last || !in(q.A.Piece) && !in(q.B.Piece) {
				continue
			}
		case k.Piece < 0 || !in(k.Piece):
			continue
		}
		p.links = append(p.links, i)
		p.at(k.A)
		p.at(k.B)
	}
	return p
}

// at is the node of a point in the part.
func (p *part) at(point int) int {
	n := p.m.n.NodeOf(point)
	if _, ok := p.node[n]; !ok {
		p.node[n] = len(p.node)
	}
	return p.node[n]
}

// has says whether a point is in the part.
func (p *part) has(point int) bool {
	_, ok := p.node[p.m.n.NodeOf(point)]
	return point >= 0 && ok
}

// solve is the part with its turnouts thrown, a clip lead across some points, the
// resistances as drawn (nil: medians), and one suspect as it is bad.
func (p *part) solve(thrown map[int]string, clip []int, sound []float64, s *fault.Suspect, bad float64) (*nodal.Factor,
	error) {
	setup := conductor.Setup{Thrown: thrown}
	var edges []nodal.Edge
	put := func(a, b int, ohms float64) {
		edges = append(edges, nodal.Edge{U: p.at(a), V: p.at(b), Ohms: ohms})
	}
	for _, i := range p.links {
		k := &p.m.n.Links[i]
		ohms := k.Ohms
		if sound != nil {
			ohms = sound[i]
		}
		if s != nil && s.Links[0] == i {
			switch s.Mode {
			case track.Open:
				continue
			case track.Weak:
				ohms += bad
			default:
				put(k.A, k.B, bad)
				continue
			}
		}
		if setup.Conducts(k) {
			put(k.A, k.B, ohms)
		}
	}
	for _, c := range clip[min(1, len(clip)):] {
		put(clip[0], c, ClipOhms)
	}
	return nodal.NewFactor(len(p.node), edges, nil)
}

// limits gives every reading that beeps its limit: what 99 of 100 drawn sound
// layouts stay below, and the meter's error.
func (m *maker) limits(s *Stage, sound [][]float64) error {
	p := m.part(s.First, s.End)
	for i := range s.Readings {
		r := &s.Readings[i]
		if r.Want != piece.Beeps {
			continue
		}
		ohms := make([]float64, len(sound))
		for d := range sound {
			f, err := p.solve(r.thrown, r.clip, sound[d], nil, 0)
			if err != nil {
				return err
			}
			ohms[d] = f.Resistance(p.at(r.black), p.at(r.red))
		}
		slices.Sort(ohms)
		r.Most = math.Ceil(10*(ohms[int(quantile*float64(len(ohms)))]+piece.OverLeads)) / 10
	}
	return nil
}

// severities is how many resistances a fault is tried with for what a stage shows.
const severities = 9

// seen is the share, by odds, of the faults of a stage that its readings show.
func (m *maker) seen(s *Stage) (float64, error) {
	p := m.part(s.First, s.End)
	sum, shown := 0.0, 0.0
	for i := range m.faults {
		if o := m.owner[i]; o < s.First || o > s.End {
			continue
		}
		sum += m.weights[i]
		list := piece.Severities(&m.faults[i], severities)
		for _, bad := range list {
			hit, err := p.spoils(s, &m.faults[i], bad)
			if err != nil {
				return 0, err
			}
			if hit {
				shown += m.weights[i] / float64(len(list))
			}
		}
	}
	if sum == 0 {
		return 1, nil
	}
	return shown / sum, nil
}

// spoils says whether a fault shows in one of the readings of a stage.
func (p *part) spoils(s *Stage, f *fault.Suspect, bad float64) (bool, error) {
	for i := range s.Readings {
		r := &s.Readings[i]
		solved, err := p.solve(r.thrown, r.clip, nil, f, bad)
		if err != nil {
			return false, err
		}
		ohms := solved.Resistance(p.at(r.black), p.at(r.red))
		if r.Want == piece.Silent && !math.IsInf(ohms, 1) || r.Want == piece.Beeps && ohms > r.Most {
			return true, nil
		}
	}
	return false, nil
}
