package layoutfile

import (
	"math"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// checkLayout asks of a layout what every reader of it takes for granted.
func checkLayout(t require.TestingT, l *track.Layout) {
	names := map[string]bool{}
	for i := range l.Joints {
		j := &l.Joints[i]
		require.False(t, names[j.Name], "joint name twice: %s", j.Name)
		names[j.Name] = true
		require.Equal(t, l.SideName(j.A), j.Name)
		for _, e := range []track.EndRef{j.A, j.B} {
			require.Equal(t, i, l.Pieces[e.Piece].Ends[e.End].Joint)
			require.Equal(t, i, l.FindJoint(l.SideName(e)), l.SideName(e))
		}
	}
	for i := range l.Pieces {
		p := &l.Pieces[i]
		require.Equal(t, i, l.FindPiece(p.ID()))
		require.NotNil(t, p.Construction)
		for _, g := range p.Legs {
			from, to := p.Ends[g.From].Pose, p.Ends[g.To].Pose
			requirePose(t, turned(from), g.Start, p.ID())
			requirePose(t, to, ahead(g.Start, g.Length, g.Turn), p.ID())
		}
		for e := range p.Ends {
			if j := p.Ends[e].Joint; j >= 0 {
				require.Contains(t, []track.EndRef{l.Joints[j].A, l.Joints[j].B}, track.EndRef{Piece: i, End: e})
			}
		}
	}
	for _, r := range l.Runs {
		require.NotEmpty(t, r.Pieces, r.Name)
		for k, p := range r.Pieces {
			require.Equal(t, r.Name, l.Pieces[p].Run)
			require.Equal(t, k+1, l.Pieces[p].Number)
		}
	}
}

func requirePose(t require.TestingT, want, got track.Pose, what string) {
	require.InDelta(t, want.X, got.X, 1e-6, what)
	require.InDelta(t, want.Y, got.Y, 1e-6, what)
	require.InDelta(t, 0, math.Abs(norm(want.Heading-got.Heading)), 1e-6, what)
}
