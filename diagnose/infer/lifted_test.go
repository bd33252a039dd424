package infer_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// A beep across a joint that is lifted tells nothing of one piece of the stretch
// that hangs on that side against another: on a long loop, where neighbours are
// weighed as one row, none of them loses by which row it fell into.
func TestNoRowGoesOverALiftedJoint(t *testing.T) {
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 120)))
	require.NotNil(t, f, "%v", problems)
	l := f.Layout
	n, err := conductor.Build(l)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(11, 12))
	compared := 0
	for range 8 {
		e := infer.NewEngine(n, infer.DefaultModel(n, meter.Cheap(true), true))
		e.SetSymptom(infer.Symptom{Kind: infer.Short, Piece: -1, Accessory: -1, Supply: -1})
		prior := e.Update(nil)
		s := conductor.Bare(l)
		for range 4 {
			s.Lift(rng.IntN(len(l.Joints)))
		}
		at := l.Joints[s.Lifted[0]].A
		o := infer.Observation{Setup: s, Func: meter.Beeper, Shown: unit.Reading{Kind: unit.Beep},
			Red: n.At(at, l.Pieces[at.Piece].Construction.Hot), Black: n.At(at, l.Pieces[at.Piece].Construction.Common)}
		require.GreaterOrEqual(t, o.Red, 0)
		p := e.Update([]infer.Observation{o})
		gain := func(piece int) float64 {
			for c, at := range e.ClassPiece {
				if at == piece {
					return p.Class[c] / prior.Class[c]
				}
			}
			return math.NaN()
		}
		for j := range l.Joints {
			a, b := l.Joints[j].A.Piece, l.Joints[j].B.Piece
			if conductor.Has(s.Lifted, j) || fed(n, a) || fed(n, b) {
				continue
			}
			compared++
			require.InDelta(t, 1, gain(a)/gain(b), 0.3, "%s: %v lifted", l.Joints[j].Name, s.Lifted)
		}
	}
	require.Greater(t, compared, 600)
}

// fed says whether a feeder hangs on a piece.
func fed(n *conductor.Network, piece int) bool {
	for i := range n.Layout.Feeders {
		if n.Layout.Feeders[i].At.Piece == piece {
			return true
		}
	}
	return false
}
