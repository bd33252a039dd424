package price_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/price"
	"fishplate/layoutfile"
)

// A line of 40 pieces of ten inches, fed at its first joint.
func line(t *testing.T) (*conductor.Network, *price.List) {
	f, problems := layoutfile.Read("line", []byte(invent.Line("metal-tie", 40)))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return n, price.Of(n)
}

// By hand: places lie ten inches a piece along the line, the supply where its
// feeder meets the track.
func TestApartAndWalk(t *testing.T) {
	n, l := line(t)
	a, b := n.Find("main 10 center"), n.Find("main 20 center")
	require.InDelta(t, 10*0.254, l.Apart(a, b), 1e-9)
	require.Zero(t, l.Apart(a, a))
	post, feeder := n.Posts[0][0], n.FeederPoints[0][0]
	require.Zero(t, l.Apart(post, feeder))
	require.Zero(t, l.Walk([2]int{a, a}, a, a, 2.4))
	near := l.Walk([2]int{a, a}, b, b, 2.4)
	require.InDelta(t, 2.54*0.05, near, 1e-9, "to the other place and no more")
	require.InDelta(t, near, l.Walk([2]int{a, a}, a, b, 2.4), 1e-9,
		"one probe is there, the leads do not span the rest")
	require.Zero(t, l.Walk([2]int{a, a}, a, b, 3), "longer leads do")
}

func TestSetupsAndLooks(t *testing.T) {
	n, l := line(t)
	usual := conductor.Usual(n.Layout)
	require.Zero(t, l.Setup(&usual, &usual))
	lifted := usual.Clone()
	lifted.Lift(4)
	require.InDelta(t, l.Lift(4), l.Setup(&usual, &lifted), 1e-9)
	require.Zero(t, l.Setup(&lifted, &usual), "closing it is in the opening")
	pulled := usual.Clone()
	pulled.Pull(0)
	require.InDelta(t, price.Pull, l.Setup(&usual, &pulled), 1e-9)
	on := usual.Clone()
	on.Source = conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1], Volts: 18}
	require.InDelta(t, price.Source, l.Setup(&usual, &on), 1e-9)
	require.InDelta(t, price.Other, l.Look(-1), 1e-9)
	require.LessOrEqual(t, l.Beside(3), l.Look(3))
}
