package infer

import (
	"math"

	"fishplate/diagnose/track"
)

// movedFeeder is how likely a feeder sits elsewhere than the file has it (assumed), at
// one joint from there as likely as at all further ones, as far as mostMoved; knownWire
// is how far the ohms of its wire are off (a part of them, assumed), mostMovedOut of how
// many places of the short it is weighed over.
const movedFeeder, mostMoved, knownWire, mostMovedOut = 0.04, 8, 0.3, 60

// idleFeeder is how likely a feeder of the file feeds nothing beside a short elsewhere:
// its wires off, or never soldered (assumed).
const idleFeeder = 0.02

// mostFeeders is of how many feeders it is asked at all, each by itself, fewLosses how
// many readings along the rails it takes.
const mostFeeders, fewLosses = 3, 3

// Moved is a feeder that may sit elsewhere than the file has it, or feed nothing.
type Moved struct {
	Feeder int
	At     int     // the piece at whose far end it sits most likely then
	P      float64 // that it sits anywhere else
	Idle   float64 // probability that it feeds nothing
}

// Moved weighs, for each feeder of the file, that its wire meets the track a few joints
// from where the file has it, as where current comes in is weighed (Entry). False where
// readings say nothing of that.
func (e *Engine) Moved(obs []Observation) (best Moved, ok bool) {
	if e.symptomKind != Short || len(e.Net.Layout.Feeders) > mostFeeders || !anyBehindLamp(obs) {
		return best, false
	}
	for f := range e.Net.Layout.Feeders {
		if m, is := (entering{e}).moved(obs, f); is && (!ok || m.P+m.Idle > best.P+best.Idle) {
			best, ok = m, true
		}
	}
	return best, ok
}

func (e entering) moved(obs []Observation, feeder int) (Moved, bool) {
	l := e.Net.Layout
	home := homeOf(l, &l.Feeders[feeder])
	clip := l.Pieces[l.Feeders[feeder].At.Piece].Construction.ClipOhms.Ohms
	wire := clip + l.Feeders[feeder].OhmsPerWire
	g := &feeding{e: e.Engine, wire: wire, clip: clip, off: knownWire, moved: feeder}
	g = g.with(obs, len(l.Pieces), mostMovedOut)
	if g == nil || len(g.ls) < fewLosses || home < 0 {
		return Moved{}, false
	}
	prior := g.near(home)
	odds, log := g.bridges(e.prior()), g.weighAll()
	weight, sum := make([]float64, len(g.ends)), logSum{}
	from := func(in int, prior float64) float64 {
		at := logSum{}
		for k, x := range log[in] {
			at.add(x + math.Log(odds[k]))
		}
		weight := at.value() + math.Log(prior)
		sum.add(weight)
		return weight
	}
	for i := range g.ends {
		weight[i] = from(i, prior[i])
	}
	idle := from(len(g.ends), idleFeeder)
	m, most := Moved{Feeder: feeder, At: home, Idle: math.Exp(idle - sum.value())}, math.Inf(-1)
	for i, p := range g.ends {
		if p.piece == home {
			continue
		}
		m.P += math.Exp(weight[i] - sum.value())
		if weight[i] > most {
			m.At, most = p.piece, weight[i]
		}
	}
	return m, true
}

// near keeps the places about where the file has a feeder, and gives how likely it sits
// at each.
func (g *feeding) near(home int) (prior []float64) {
	var ends []place
	for _, p := range g.ends {
		d := piecesApart(g.e.Net.Layout, p.piece, home)
		switch {
		case d == 0:
			prior = append(prior, 1-movedFeeder)
		case d <= mostMoved:
			prior = append(prior, movedFeeder*math.Exp2(-float64(d))/2)
		default:
			continue
		}
		ends = append(ends, p)
	}
	g.ends = ends
	return prior
}

// homeOf is the piece at whose far end the file has a feeder, or in which; -1 where no
// piece has that joint at its far end.
func homeOf(l *track.Layout, f *track.Feeder) int {
	if f.At.End < 0 {
		return f.At.Piece
	}
	joint := l.Pieces[f.At.Piece].Ends[f.At.End].Joint
	for i := range l.Pieces {
		if ends := l.Pieces[i].Ends; len(ends) > 1 && joint >= 0 && ends[1].Joint == joint {
			return i
		}
	}
	return -1
}
