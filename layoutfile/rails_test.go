package layoutfile

import (
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

func readLayout(t *testing.T, file string) *track.Layout {
	src, err := os.ReadFile("../testdata/layouts/" + file)
	require.NoError(t, err)
	return mustRead(t, file, string(src)).Layout
}

// Round an oval, through turnouts met either way, the left rail stays left.
func TestLeftStaysLeftRoundTheOval(t *testing.T) {
	for _, file := range []string{"loop.hcl", "loop-siding.hcl", "roadbed-oval.hcl", "double.hcl"} {
		l := readLayout(t, file)
		for _, r := range l.Runs {
			for k, p := range r.Pieces {
				next := r.Pieces[(k+1)%len(r.Pieces)]
				if k == len(r.Pieces)-1 && !r.Closed {
					continue
				}
				j := l.FindJoint(l.Pieces[p].ID() + "/" + itoa(l.Pieces[next].Number))
				require.GreaterOrEqual(t, j, 0, "%s %s", file, l.Pieces[p].ID())
				require.Equal(t, p, l.Joints[j].A.Piece)
				require.Equal(t, track.Left, l.AcrossJoint(j, track.Left), "%s %s", file, l.Joints[j].Name)
				require.Equal(t, track.Right, l.AcrossJoint(j, track.Right))
				require.Equal(t, track.Center, l.AcrossJoint(j, track.Center))
			}
		}
	}
}

func itoa(n int) string { return strconv.Itoa(n) }

// A siding goes the way of its run, so left meets left at both its ends; a
// run that comes back through a turnout's leg meets itself turned round.
func TestRailsWhereRunsMeet(t *testing.T) {
	l := readLayout(t, "loop-siding.hcl")
	for _, name := range []string{"main 2/siding 1", "siding 8/main 11"} {
		j := l.FindJoint(name)
		require.GreaterOrEqual(t, j, 0, name)
		require.Equal(t, name, l.Joints[j].Name)
		require.Equal(t, track.Left, l.AcrossJoint(j, track.Left), name)
	}
	l = readLayout(t, "reversing.hcl")
	j := l.FindJoint("main 15/8")
	require.GreaterOrEqual(t, j, 0)
	require.Equal(t, track.Right, l.AcrossJoint(j, track.Left))
	require.Equal(t, track.Left, l.AcrossJoint(j, track.Right))
	require.True(t, l.Pieces[0].Reversed, "a bumper at the start is met from behind")
}

// The rails of an end by their places on the table: OutLeft must lie on the
// left hand looking out, where the left rail of a run lies on the left of the
// way that the run goes.
func TestOutLeftByEnd(t *testing.T) {
	l := mustRead(t, "x.hcl", withPieces(false, `"bumper", "straight 50", "turnout left radius 100 angle 45 as W1",
		"turnout right trailing via diverging radius 100 angle 45 as W2", "crossing 60 length 80 as X1",
		"curve right radius 100 angle 30", "bumper"`)).Layout
	want := [][]track.Rail{{track.Left}, {track.Right, track.Left}, {track.Right, track.Left, track.Left},
		{track.Left, track.Right, track.Right},
		{track.Right, track.Left, track.Right, track.Left}, {track.Right, track.Left}, {track.Right}}
	for i, p := range l.Pieces {
		for e := range p.Ends {
			require.Equal(t, want[i][e], p.Ends[e].OutLeft, "%s %s", p.ID(), p.Ends[e].Label)
		}
	}
	require.True(t, l.Pieces[3].Reversed)
	require.False(t, l.Pieces[2].Reversed)
	require.Equal(t, 1, l.Pieces[2].Hand)
	require.Equal(t, -1, l.Pieces[3].Hand)
}

// Figure eight: the run comes to the crossing's second way against its
// direction, and its rails keep their names over it: left is left along the run.
func TestFigureEight(t *testing.T) {
	l := readLayout(t, "figure-eight.hcl")
	j := l.FindJoint("main 9/1")
	require.GreaterOrEqual(t, j, 0)
	require.Equal(t, "b2", l.Pieces[0].Ends[l.Joints[j].B.End].Label)
	for _, name := range []string{"main 1/17", "main 1/2", "main 9/1", "main 1/10"} {
		k := l.FindJoint(name)
		require.GreaterOrEqual(t, k, 0, name)
		require.Equal(t, track.Left, l.AcrossJoint(k, track.Left), name)
	}
	for _, e := range l.Pieces[0].Ends {
		require.GreaterOrEqual(t, e.Joint, 0, e.Label)
	}
	require.Less(t, l.Runs[0].MissMM, 1e-6)
}

// Rails of an insulated joint are named as on the piece named first; the
// layout has them as on the joint's piece A.
func TestInsulatedRailsAreNamedFromEitherSide(t *testing.T) {
	src, err := os.ReadFile("../testdata/layouts/reversing.hcl")
	require.NoError(t, err)
	for label, want := range map[string]track.Rail{"main 15/8": track.Left, "main 8/15": track.Right,
		"W1/15": track.Right} {
		l := mustRead(t, "x.hcl", string(src)+"insulated \""+label+"\" { rails = [\"left\"] }\n").Layout
		j := l.FindJoint("main 15/8")
		require.Equal(t, []track.Rail{want}, l.Joints[j].Insulated, label)
	}
}

func TestJointNames(t *testing.T) {
	l := readLayout(t, "loop.hcl")
	require.Equal(t, "main 40/1", l.Joints[39].Name)
	require.Equal(t, "main 7/8", l.Joints[6].Name)
	l = readLayout(t, "double.hcl")
	require.GreaterOrEqual(t, l.FindJoint("outer 3/inner 4"), 0, "legs of two turnouts meet without a piece between")
	l = readLayout(t, "yard.hcl")
	require.GreaterOrEqual(t, l.FindJoint("lead 5/yard2 1"), 0)
	require.Equal(t, "lead 1/start", l.SideName(track.EndRef{Piece: 0, End: 0}))
}

// Where a feeder stands: in a piece, at either side of a joint, at an end.
func TestPlaces(t *testing.T) {
	feeder := func(at string) track.Feeder {
		l := mustRead(t, "x.hcl", small+"landmark \"x\" { at = \""+at+"\" }\n").Layout
		f := l.Feeders[0]
		f.At = l.Landmarks[0].At
		return f
	}
	require.Equal(t, track.Place{Piece: 1, End: -1}, feeder("main 2").At)
	require.Equal(t, track.Place{Piece: 1, End: -1}, feeder("W1").At)
	require.Equal(t, track.Place{Piece: 1, End: 2}, feeder("W1 diverging").At)
	require.Equal(t, track.Place{Piece: 1, End: 1}, feeder("main 2/3").At)
	require.Equal(t, track.Place{Piece: 2, End: 0}, feeder("main 3/2").At)
	require.Equal(t, track.Place{Piece: 1, End: 2}, feeder("main 2/diverging").At)
	require.Equal(t, track.Place{Piece: 0, End: 0}, feeder("main 1/16").At)
}
