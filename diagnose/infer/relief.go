package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// Relief is what one more feeder does for a place far from those there are.
type Relief struct {
	Amps, Full float64 // of the train at full volts, ampere; of the supply, volt
	// At is the piece at which the feeder leaves the run's worst place the most volts.
	At int
	// Now and With are a train's volts at the place without it and with it, Worst its
	// volts at the run's worst place then, which is the piece WorstAt.
	Now, With, Worst float64
	WorstAt          int
}

// reliefSpots is about how many places along a run a feeder is tried at, and a train
// put; as good is what is within asGood of the supply's volts.
const (
	reliefSpots = 24
	asGood      = 0.005
)

// Relieve works out what one more feeder of a supply does for a piece, on the layout
// with nothing wrong at the levels believed. False where the supply does not feed it.
//
// With a source that is ideal beyond its wires, R_ij is the loss at place i for an
// ampere taken at place j; a feeder of w ohms at place k leaves R_ij - R_ik R_kj /
// (R_kk + w) of it (a change of rank one, as in package predict).
func (e *Engine) Relieve(piece, supply int, p *Posterior) (Relief, bool) {
	full := e.Net.Layout.Supplies[supply].Volts
	out := Relief{Amps: e.Net.Layout.TrainAmps(piece), Full: full}
	spots, ohms := relieving{e}.along(piece, supply, out.Amps, p)
	if len(spots) == 0 || spots[0] != piece {
		return Relief{}, false
	}
	volts := func(r float64) float64 { return full / (1 + r*out.Amps/full) }
	worst := func(k int) (v float64, at int) {
		v = math.Inf(1)
		for i := range spots {
			if x := volts(ohms.with(i, k)); x < v {
				v, at = x, i
			}
		}
		return v, at
	}
	best := 0 // the place itself, where that is as good
	top, _ := worst(0)
	for k := range spots {
		if v, _ := worst(k); v > top+asGood*full {
			best, top = k, v
		}
	}
	at := 0
	out.Worst, at = worst(best)
	out.At, out.WorstAt = spots[best], spots[at]
	out.Now, out.With = volts(ohms.r[0][0]), volts(ohms.with(0, best))
	return out, true
}

// lossOhms are ohms from place to place, and those of a new feeder's own wires.
type lossOhms struct {
	r    [][]float64
	wire float64
}

// with is the loss at a place for an ampere taken there, with a feeder at place k.
func (o *lossOhms) with(i, k int) float64 {
	return o.r[i][i] - o.r[i][k]*o.r[k][i]/(o.r[k][k]+o.wire)
}

type relieving struct{ *Engine }

// along are a piece and places along its run that a supply feeds, with the ohms
// between them.
func (e relieving) along(piece, supply int, amps float64, p *Posterior) (spots []int, ohms *lossOhms) {
	base := conductor.Usual(e.Net.Layout)
	base.Thrown = e.RouteTo(piece)
	post, full := e.Net.Posts[supply], e.Net.Layout.Supplies[supply].Volts
	base.Source = conductor.Source{Kind: conductor.SourceVolts, From: post[0], To: post[1], Volts: full}
	var setups []conductor.Setup
	var at [][2]int
	all := e.sample(piece)
	for _, i := range all {
		c := e.Net.Layout.Pieces[i].Construction
		s := base.Clone()
		ends := [2]int{e.Net.Middle(i, c.Hot), e.Net.Middle(i, e.Net.CommonRail(i))}
		s.Loads = []conductor.Load{{From: ends[0], To: ends[1], Ohms: full / amps}}
		setups, at = append(setups, s), append(at, ends)
	}
	f := e.frameOver(setups, nil, nil, soundScale(&e.Model, p))
	sound := Hypo{sevs: []severity{{ohms: math.Inf(1)}}}
	cs := e.newStage(f, nil).cases(&sound, sound.sevs[0], map[string]*predict.Circuit{})
	volts := make([][]float64, len(all))
	var fedAt []int
	for i := range all {
		c := cs.of(&setups[i], setups[i].Key())
		if c == nil {
			continue
		}
		for _, ends := range at {
			v, _ := c.Volts(ends[0], ends[1])
			volts[i] = append(volts[i], math.Abs(v))
		}
		if volts[i][i] >= fed*full {
			fedAt = append(fedAt, i)
		}
	}
	ohms = &lossOhms{wire: e.newFeeder(piece, supply)}
	for _, i := range fedAt {
		var row []float64
		for _, k := range fedAt {
			row = append(row, (full-volts[i][k])/(volts[i][i]*amps/full))
		}
		spots, ohms.r = append(spots, all[i]), append(ohms.r, row)
	}
	return spots, ohms
}

// sample is a piece and about reliefSpots others of its run, evenly.
func (e relieving) sample(piece int) []int {
	l := e.Net.Layout
	out := []int{piece}
	var run []int
	for i := range l.Pieces {
		c := l.Pieces[i].Construction
		if l.Pieces[i].Run == l.Pieces[piece].Run && e.Net.Middle(i, c.Hot) >= 0 &&
			e.Net.Middle(i, e.Net.CommonRail(i)) >= 0 {
			run = append(run, i)
		}
	}
	for k, step := 0, max(1, len(run)/reliefSpots); k < len(run); k += step {
		if run[k] != piece {
			out = append(out, run[k])
		}
	}
	return out
}

// newFeeder is the ohms of a new feeder's two wires and clips: as those of the
// supply's feeder with the longest wires.
func (e relieving) newFeeder(piece, supply int) float64 {
	l, wire := e.Net.Layout, 0.0
	for i := range l.Feeders {
		if l.Feeders[i].Supply == supply {
			wire = max(wire, l.Feeders[i].OhmsPerWire)
		}
	}
	clip := l.Pieces[piece].Construction.ClipOhms.Ohms
	return 2 * (wire + clip)
}
