package trial

import (
	"math"
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Murray finds a short on a loop by the ratio alone: with a lamp in series,
// the drops along the hot rail on the two sides of the feeder, v1 onwards and
// v2 backwards over as many pieces, put it at v2/(v1+v2) of the way round. The
// pieces are then listed by their distance from there. (Murray's loop test:
// Hawkins Electrical Guide no. 3, 1914, fig. 597; in millivolts it is derived:
// the currents on the two sides are as the resistances the other way round.)
// False where the first feeder is on no closed run.
func (f *Field) Murray(x *Hidden) (Result, bool, error) {
	var r Result
	run, at, ok := f.fedLoop()
	if !ok || !f.Kit.Lamp || !f.Kit.Millivolts {
		return r, false, nil
	}
	n := len(run)
	reach := max(1, n/10)
	v1, err := f.drop(x, run, at, reach, &r)
	if err != nil {
		return r, true, err
	}
	v2, err := f.drop(x, run, at, -reach, &r)
	if err != nil {
		return r, true, err
	}
	r.Slips = x.Slips
	if v1+v2 <= 0 {
		r.NoList = true
		return r, true, nil
	}
	place := float64(n) * v2 / (v1 + v2) // pieces onwards from the feeder
	order := make([]int, n)
	away := func(k int) float64 {
		d := math.Abs(float64(k) + 0.5 - place)
		return math.Min(d, float64(n)-d)
	}
	for k := range order {
		order[k] = k
	}
	sort.SliceStable(order, func(a, b int) bool { return away(order[a]) < away(order[b]) })
	for rank, k := range order {
		if f.Layout.Pieces[run[(at+k)%n]].ID() == x.Fault.Suspect.Piece {
			r.Rank = rank + 1
		}
	}
	return r, true, nil
}

// fedLoop is a closed run with the first feeder, and the index in it of the
// piece that begins at the feeder.
func (f *Field) fedLoop() (run []int, at int, ok bool) {
	if len(f.Layout.Feeders) == 0 {
		return nil, 0, false
	}
	place := f.Layout.Feeders[0].At
	for i := range f.Layout.Runs {
		r := &f.Layout.Runs[i]
		for k, p := range r.Pieces {
			if r.Closed && p == place.Piece {
				if place.End != 0 {
					k++ // fed at its far end, or in its middle: begin behind it
				}
				return r.Pieces, k % len(r.Pieces), true
			}
		}
	}
	return nil, 0, false
}

// drop reads the volts along the hot rail over a stretch that begins at the
// feeder, onwards or (negative) backwards. Past the millivolt range the volt
// range is read.
func (f *Field) drop(x *Hidden, run []int, at, pieces int, r *Result) (float64, error) {
	n := len(run)
	from, to := f.onwards(run, at-1+n), f.onwards(run, at+pieces-1+n)
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: f.Net.Posts[0][0],
		To:    f.Net.Posts[0][1],
		Volts: f.Layout.Supplies[0].Volts, Amps: lampAmps(f.Kit.LampAmps)}}
	for i := 1; i < len(f.Layout.Feeders); i++ {
		s.Pull(i)
	}
	prices := price.Of(f.Net)
	for _, dial := range []simulate.Function{simulate.Millivolts, simulate.Volts} {
		r.Readings++
		r.Minutes += prices.Read(from, to)
		got, err := x.number(simulate.Probe{Function: dial, Setup: s, Red: from, Black: to})
		if err != nil {
			return 0, err
		}
		if got.Kind == unit.Value {
			return math.Abs(got.Value), nil
		}
	}
	return 0, nil
}

func lampAmps(a float64) float64 {
	if a <= 0 {
		return 1
	}
	return a
}

// onwards is the hot rail at the end of piece k of a closed run that the next
// piece is joined to.
func (f *Field) onwards(run []int, k int) int {
	piece, next := run[k%len(run)], run[(k+1)%len(run)]
	hot := f.Layout.Pieces[piece].Construction.Hot
	for e, end := range f.Layout.Pieces[piece].Ends {
		if end.Joint < 0 {
			continue
		}
		if j := &f.Layout.Joints[end.Joint]; j.A.Piece+j.B.Piece-piece == next {
			if p := f.Net.At(track.EndRef{Piece: piece, End: e}, hot); p >= 0 {
				return p
			}
		}
	}
	return f.Net.Middle(piece, hot)
}
