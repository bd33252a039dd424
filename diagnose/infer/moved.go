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
	Off    float64 // the part of that with its wires off at the track
}

// Moved weighs, for each feeder of the file, that its wire meets the track a few joints
// from where the file has it, as where current comes in is weighed (Entry), or that it
// feeds nothing. One feeder is taken to be so at most. The prior is of the short's place:
// what was looked at and found good is less likely. False where readings say nothing.
func (e *Engine) Moved(obs []Observation, prior *Posterior) (best Moved, ok bool) {
	if e.symptomKind != Short || len(e.Net.Layout.Feeders) > mostFeeders || !anyBehindLamp(obs) {
		return best, false
	}
	var sum logSum
	sum.add(0) // as the file has them all
	var way displaced
	for f := range e.Net.Layout.Feeders {
		d, is := entering{e}.displaced(obs, prior, f)
		if !is {
			continue
		}
		sum.add(d.elsewhere)
		sum.add(d.idle)
		if !ok || d.either() > way.either() {
			best, way, ok = Moved{Feeder: f, At: d.at}, d, true
		}
	}
	if !ok {
		return Moved{}, false
	}
	best.P, best.Idle = math.Exp(way.elsewhere-sum.value()), math.Exp(way.idle-sum.value())
	best.Off = math.Exp(way.off - way.idle)
	return best, ok
}

// displaced is how likely a feeder sits elsewhere, most likely at a piece, or feeds
// nothing, as log odds to where the file has it.
type displaced struct {
	at              int
	elsewhere, idle float64
	off             float64 // the part of idle with its clip off the track
}

func (d *displaced) either() float64 {
	var sum logSum
	sum.add(d.elsewhere)
	sum.add(d.idle)
	return sum.value()
}

func (e entering) displaced(obs []Observation, before *Posterior, feeder int) (d displaced, ok bool) {
	l := e.Net.Layout
	home := homeOf(l, &l.Feeders[feeder])
	clip := l.Pieces[l.Feeders[feeder].At.Piece].Construction.ClipOhms.Ohms
	wire := clip + l.Feeders[feeder].OhmsPerWire
	g := &feeding{e: e.Engine, wire: wire, clip: clip, off: knownWire, moved: feeder}
	g = g.with(obs, len(l.Pieces), mostMovedOut)
	if g == nil || len(g.ls) < fewLosses || home < 0 {
		return d, false
	}
	prior := g.near(home)
	odds, log := g.bridges(before), g.weighAll()
	from := func(in int, prior float64) float64 {
		at := logSum{}
		for k, x := range log[in] {
			at.add(x + math.Log(odds[k]))
		}
		return at.value() + math.Log(prior)
	}
	var elsewhere, idle logSum
	filed, most := math.Inf(-1), math.Inf(-1)
	for i, p := range g.ends {
		w := from(i, prior[i])
		if p.piece == home {
			filed = w
			continue
		}
		if elsewhere.add(w); w > most {
			d.at, most = p.piece, w
		}
	}
	d.off = from(len(g.ends), idleFeeder/2) - filed
	idle.add(d.off + filed)
	for i := len(g.ends) + 1; i < len(log); i++ { // its clip on the track
		idle.add(from(i, idleFeeder/2))
	}
	d.elsewhere, d.idle = elsewhere.value()-filed, idle.value()-filed
	return d, !math.IsInf(filed, -1)
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
	for i := range ends {
		if ends[i].piece == home {
			g.home = &ends[i]
		}
	}
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
