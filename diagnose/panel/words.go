package panel

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/diagnose/wire"
)

// Gauge is the thin wire of a panel: a meter takes no current, and it bends round
// the frame (assumed to be handy).
const Gauge = 22

// slackMM is what a wire has on top of its way along the frame, at both ends together
// (assumed).
const slackMM = 600

// wire is the pair from a place.
func (m *maker) wire(i int) Wire {
	s := &m.spots[i]
	c := m.l.Pieces[s.at.Piece].Construction
	return Wire{Name: m.name(), Place: m.l.PlaceName(s.at), Hot: c.Hot, Common: c.Common, LengthMM: m.length(s.at),
		At: s.at}
}

// name is the next free name of a terminal.
func (m *maker) name() string {
	for {
		m.named++
		name := fmt.Sprintf("A%d", m.named)
		if !m.taken(name) {
			return name
		}
	}
}

func (m *maker) taken(name string) bool {
	l := m.l
	for i := range l.Terminals {
		if l.Terminals[i].Name == name {
			return true
		}
	}
	for _, p := range m.n.Points {
		if p.Name == name+" hot" || p.Name == name+" common" {
			return true
		}
	}
	return l.FindPiece(name) >= 0
}

// home is the feeder that the block is beside: the one with the shortest wires, -1
// where there is none.
func (m *maker) home() int {
	best := -1
	for i := range m.l.Feeders {
		if best < 0 || m.l.Feeders[i].LengthMM < m.l.Feeders[best].LengthMM {
			best = i
		}
	}
	return best
}

// length is the way along the frame, two sides of a rectangle, and the slack.
func (m *maker) length(at track.Place) float64 {
	from := track.Place{Piece: 0, End: -1}
	if h := m.home(); h >= 0 {
		from = m.l.Feeders[h].At
	}
	a, b := plane.Spot(m.l, from), plane.Spot(m.l, at)
	return math.Abs(a.X-b.X) + math.Abs(a.Y-b.Y) + slackMM
}

// block says where the block goes and what its wires carry.
func (m *maker) block(p *Plan) {
	if h := m.home(); h >= 0 {
		p.Block = m.l.OutletName(m.l.Feeders[h].On)
	}
	p.Amps = wire.Amps(wire.AreaMM2(Gauge))
	for i := range m.l.Supplies {
		p.Breaker = math.Max(p.Breaker, m.l.Supplies[i].Breaker)
	}
}
