package layoutfile

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// A wye's legs are mirror images; a curved turnout's turn the same way, the
// through leg less sharply for its length; a slip lies as a crossing.
func TestFormsOfTurnouts(t *testing.T) {
	l := mustRead(t, "x.hcl", withPieces(false, `"turnout wye radius 600 mm angle 30 as Y1",
		"turnout left radius 400 mm angle 20 curved radius 700 mm as C1", "slip 15 length 240 mm as D1",
		"turnout right radius 400 mm angle 20 curved radius 700 mm as C2",
		"turnout wye trailing via diverging diameter 1 m angle 15 as Y2"`)).Layout
	y := &l.Pieces[0]
	require.Equal(t, []track.Form{track.FormWye, track.FormCurved, track.FormSlip, track.FormCurved, track.FormWye},
		[]track.Form{y.Form, l.Pieces[1].Form, l.Pieces[2].Form, l.Pieces[3].Form, l.Pieces[4].Form})
	in := y.Ends[0].Pose
	at := func(end int) (along, across float64) {
		sin, cos := math.Sincos(rad(in.Heading + 180))
		dx, dy := y.Ends[end].Pose.X-in.X, y.Ends[end].Pose.Y-in.Y
		return dx*cos + dy*sin, -dx*sin + dy*cos
	}
	// radius 600, 30 degrees: 600 sin 30 = 300 along, 600 (1 - cos 30) = 80.385 across
	a, c := at(1)
	require.InDelta(t, 300, a, 1e-9)
	require.InDelta(t, -80.385, c, 1e-3, "through is the right-hand leg")
	a, c = at(2)
	require.InDelta(t, 300, a, 1e-9)
	require.InDelta(t, 80.385, c, 1e-3)
	curved := l.Pieces[1].Legs
	require.InDelta(t, 700*math.Pi/9, curved[0].Length, 1e-9)
	require.InDelta(t, 400*math.Pi/9, curved[1].Length, 1e-9)
	require.Equal(t, []float64{20, 20}, []float64{curved[0].Turn, curved[1].Turn})
	require.Equal(t, -20.0, l.Pieces[3].Legs[0].Turn)
	slip := &l.Pieces[2]
	require.Equal(t, track.Crossing, slip.Kind)
	require.Len(t, slip.Ends, 4)
	require.InDelta(t, 15, norm(slip.Legs[1].Start.Heading-slip.Legs[0].Start.Heading), 1e-9)
	require.True(t, l.Pieces[4].Reversed)
	checkLayout(t, l)
}

// What a turnout that senses adds: two rails of its own behind the frog, by
// the names that they have along the run, and a coil for each.
func TestSensingRails(t *testing.T) {
	for pieces, want := range map[string][2]track.Rail{
		`"turnout left radius 400 mm angle 20 sensing as W1", "straight 5"`:           {track.Left, track.Right},
		`"turnout right radius 400 mm angle 20 sensing as W1", "straight 5"`:          {track.Right, track.Left},
		`"straight 5", "turnout left trailing radius 400 mm angle 20 sensing as W1"`:  {track.Right, track.Left},
		`"straight 5", "turnout right trailing radius 400 mm angle 20 sensing as W1"`: {track.Left, track.Right},
	} {
		l := mustRead(t, "x.hcl", withPieces(false, pieces)).Layout
		require.Len(t, l.InsulatedRails, 2, pieces)
		require.Len(t, l.Accessories, 2)
		p := l.FindPiece("W1")
		for i, r := range l.InsulatedRails {
			require.Equal(t, want[i], r.Rail, pieces)
			require.True(t, r.Own)
			require.Equal(t, i, l.RailOf(r.Accessory))
			a := l.Accessories[r.Accessory]
			require.Equal(t, p, a.Turnout)
			require.Equal(t, l.Pieces[p].EndIndex([]string{"through", "diverging"}[i]), a.At.End)
			require.Equal(t, []track.Rail{track.Center, want[i]}, []track.Rail{a.Hot, a.Common})
		}
	}
}

// The pieces of an insulated rail are those between its joints, going the way
// of the run, over the closing joint too; where two runs meet, on the run of
// the other joint.
func TestInsulatedRailPieces(t *testing.T) {
	const gate = `accessory "gate" {
  kind   = "motor"
  volts  = 14
  amps   = 1
  supply = "T1"
}
`
	rail := func(from, to, tap string) string {
		return small + gate + "insulated_rail \"road\" {\n  rail = \"left\"\n  from = \"" + from + "\"\n  to = \"" +
			to + "\"\n  tap = \"" + tap + "\"\n  works = \"gate\"\n}\n"
	}
	for _, c := range []struct {
		from, to, tap string
		first, n      int
	}{{"main 5/6", "main 8/9", "main 7", 5, 3}, {"main 6/5", "main 9/8", "main 8", 5, 3},
		{"main 15/16", "main 3/4", "main 2", 15, 4}, {"main 16/1", "main 1/2", "main 1", 0, 1}} {
		l := mustRead(t, "x.hcl", rail(c.from, c.to, c.tap)).Layout
		got := l.InsulatedRails[0].Pieces
		require.Len(t, got, c.n, c.from)
		for i, p := range got {
			require.Equal(t, (c.first+i)%16, p, c.from)
		}
	}
	l := mustRead(t, "x.hcl", string(readTest(t, "loop-siding.hcl"))+gate+`insulated_rail "road" {
  rail  = "left"
  from  = "main 2/siding 1"
  to    = "siding 3/4"
  tap   = "siding 2"
  works = "gate"
}
`).Layout
	first := l.FindPiece("siding 1")
	require.Equal(t, []int{first, first + 1, first + 2}, l.InsulatedRails[0].Pieces)
}

// The copper of a bus: 18 ft of 14 AWG is 45.45 mohm a wire by the published
// table (8.285 ohm a km at 20 degrees C, NBS Handbook 100); 3 m of 0.75
// mm2 is 68.96 mohm, below the largest that IEC 60228:2004 allows (24.5 ohm a
// km, 73.5 mohm).
func TestBusCopper(t *testing.T) {
	l := mustRead(t, "x.hcl", string(readTest(t, "blocks.hcl"))).Layout
	require.Equal(t, 3, l.Buses[0].Terminals)
	require.InDelta(t, 18*0.3048*0.008285, l.Buses[0].OhmsPerWire, 0.00001)
	require.InDelta(t, 18*304.8, l.Buses[0].LengthMM, 1e-9)
	require.True(t, l.Buses[1].Strip)
	l = mustRead(t, "x.hcl", string(readTest(t, "lamps.hcl"))).Layout
	require.InDelta(t, 0.068964, l.Buses[0].OhmsPerWire, 1e-9)
	require.Less(t, l.Buses[0].OhmsPerWire, 3*0.0245)
}

func readTest(t *testing.T, name string) []byte {
	src, err := os.ReadFile("../testdata/layouts/" + name)
	require.NoError(t, err)
	return src
}

// The ways of a slip end where its ends are: each leg, walked along, comes to
// the place and heading of the end that it leads to. A three-way turnout's
// third leg is the mirror image of its diverging one.
func TestLegsOfSlipsAndThreeWays(t *testing.T) {
	l := mustRead(t, "x.hcl", withPieces(false,
		`"slip 15 length 240 mm as D1", "slip 60 single length 100 mm as D2",
		"turnout three-way radius 600 mm angle 30 as W1"`)).Layout
	for i, want := range []int{4, 3, 3} {
		p := &l.Pieces[i]
		require.Len(t, p.Legs, want, p.Name)
		for _, leg := range p.Legs {
			got, end := ahead(leg.Start, leg.Length, leg.Turn), p.Ends[leg.To].Pose
			require.InDelta(t, 0, math.Hypot(got.X-end.X, got.Y-end.Y), 1e-9, "%s %s", p.Name, p.Ends[leg.To].Label)
			require.InDelta(t, 0, norm(got.Heading-end.Heading), 1e-9, p.Name)
			from := turned(p.Ends[leg.From].Pose)
			require.InDelta(t, 0, math.Hypot(leg.Start.X-from.X, leg.Start.Y-from.Y), 1e-9, p.Name)
			require.InDelta(t, 0, norm(leg.Start.Heading-from.Heading), 1e-9, p.Name)
		}
	}
	w := &l.Pieces[2]
	require.Equal(t, []string{"points", "through", "diverging", "third"},
		[]string{w.Ends[0].Label, w.Ends[1].Label, w.Ends[2].Label, w.Ends[3].Label})
	require.Equal(t, w.Legs[1].Turn, -w.Legs[2].Turn)
	require.Equal(t, w.Legs[1].Length, w.Legs[2].Length)
}
