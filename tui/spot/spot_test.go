package spot

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/tui/internal/rig"
)

// TestDescribe is checked by hand on the invented oval: main runs counter-
// clockwise from the bottom left, so that numbers go up to the left on top; its
// tunnel mouth is the joint main 20/21 at the top right, W1 is main 3.
func TestDescribe(t *testing.T) {
	l := rig.Oval(6)
	l.Terminals = []track.Terminal{{Name: "A7", At: track.Place{Piece: l.FindPiece("main 22"), End: -1},
		Hot: track.Center, Common: track.Right}}
	for _, c := range []struct {
		name string
		want Words
	}{
		{"main 23/24 center", Words{What: "CENTER rail", Where: "joint main 23/24, on main 23",
			Near: "3 joints left of the tunnel mouth (first: main 21/22)"}},
		{"main 18/17 left", Words{What: "LEFT rail", Where: "joint main 18/17, on main 18", Side: "inside of the loop",
			Near: "3 joints right of the tunnel mouth (first: main 19/20)"}},
		{"main 20/21 right", Words{What: "RIGHT rail", Where: "joint main 20/21, on main 20",
			Side: "outside of the loop", Near: "at the tunnel mouth"}},
		{"main 22 center", Words{What: "CENTER rail", Where: "middle of main 22",
			Near: "first joint left of the tunnel mouth, then the middle of the piece"}},
		{"main 3 center", Words{What: "CENTER rail", Where: "middle of W1 (main 3)", Near: "at turnout W1 (main 3)"}},
		{"main 3 frog left", Words{What: "LEFT rail", Where: "frog of W1 (main 3)", Side: "inside of the loop",
			Near: "at turnout W1 (main 3)"}},
		{"siding 7/8 left", Words{What: "LEFT rail", Where: "joint siding 7/8, on siding 7",
			Side: "on your left going up the numbers", Near: "the joint at the bumper of siding"}},
		{"main 3/siding 1 center", Words{What: "CENTER rail", Where: "joint main 3/siding 1, on W1 (main 3)",
			Near: "the diverging end of turnout W1 (main 3)"}},
		{"F1 hot", Words{What: "CLIP of F1 on the CENTER rail", Where: "middle of main 2",
			Near: "first joint right of the station, then the middle of the piece"}},
		{"T1 hot", Words{What: "HOT wires of T1", Where: "where they join", supply: "T1"}},
		{"A7 common", Words{What: "COMMON screw of A7", Where: "at the block",
			Near: "its wire comes from main 22 right"}},
		{"T1 common", Words{What: "COMMON wires of T1", Where: "where they join", supply: "T1"}},
		{"nowhere 9 left", Words{What: "nowhere 9 left"}},
		{"nonsense", Words{What: "nonsense"}},
	} {
		assert.Equal(t, c.want, Describe(l, Parse(l, c.name)), c.name)
	}
}

// TestEveryPointIsFound: each side and middle of the layout has words and
// something to count from.
func TestEveryPointIsFound(t *testing.T) {
	l := rig.Oval(4)
	for i := range l.Pieces {
		for e := -1; e < len(l.Pieces[i].Ends); e++ {
			name := l.PlaceName(track.Place{Piece: i, End: e}) + " center"
			p := Parse(l, name)
			if assert.Equal(t, Track, p.Kind, name) {
				assert.Equal(t, track.Place{Piece: i, End: e}, p.Place, name)
				assert.NotEmpty(t, Near(l, p.Place), name)
			}
		}
	}
}

// TestFind: what may be typed for a place.
func TestFind(t *testing.T) {
	l := rig.Oval(6)
	l.Terminals = []track.Terminal{{Name: "A7", At: track.Place{Piece: l.FindPiece("main 22"), End: -1},
		Hot: track.Center, Common: track.Right}}
	for typed, want := range map[string]string{"main 7": "main 7", " 7 ": "main 7", "2.3": "siding 3",
		"2,3": "siding 3", "w1": "main 3", "W1": "main 3",
		"SIDING 2": "siding 2", "main 7/8": "main 7/8", "7/8": "main 7/8", "2.3/4": "siding 3/4",
		"tunnel": "main 21/20", "the station": "main 1", "F1": "main 2"} {
		at, ok := Find(l, typed)
		if assert.True(t, ok, typed) {
			assert.Equal(t, want, l.PlaceName(at), typed)
		}
	}
	for _, typed := range []string{"", "  ", "99", "3.1", "0.1", "2.", ".", "main", "main 99", "nowhere",
		"t h e", "1.2.3"} {
		_, ok := Find(l, typed)
		assert.False(t, ok, typed)
	}
}

// TestUnderTheTable: what is no rail is named with what it is a part of, and an
// accessory on the track has its place there.
func TestUnderTheTable(t *testing.T) {
	l := rig.Oval(6)
	l.Terminals = []track.Terminal{{Name: "A7", At: track.Place{Piece: l.FindPiece("main 22"), End: -1},
		Hot: track.Center, Common: track.Right}}
	l.Buses = []track.Bus{{Name: "B1", Terminals: 3}, {Name: "P1", Strip: true, Terminals: 1}}
	l.Toggles = []track.Toggle{{Name: "S1"}}
	l.Accessories = []track.Accessory{{Name: "gate", Turnout: -1},
		{Name: "main bumper", OnTrack: true, At: track.Place{Piece: 6, End: -1}, Turnout: -1}}
	l.InsulatedRails = []track.InsulatedRail{{Accessory: 0, Tap: track.Place{Piece: 9, End: -1}}}
	for _, c := range []struct {
		name string
		want Words
		at   int
	}{
		{"B1 2 hot", Words{What: "HOT terminal", Where: "at terminal 2 of B1",
			Near: "counted from the supply, 3 in all"}, -1},
		{"P1 1 common", Words{What: "COMMON terminal", Where: "at terminal 1 of P1"}, -1},
		{"S1 hot", Words{What: "HOT lug of toggle S1", Where: "where its wire goes on to the track"}, -1},
		{"gate common", Words{What: "COMMON side of accessory gate", Where: "at its own terminal or wire end",
			Near: "it stands at main 10"}, 9},
		{"main bumper hot", Words{What: "HOT side of accessory main bumper", Where: "at its own terminal or wire end",
			Near: "it stands at main 7"}, 6},
		{"B1 4 hot", Words{What: "B1 4 hot"}, -1},
		{"S2 hot", Words{What: "S2 hot"}, -1},
	} {
		p := Parse(l, c.name)
		assert.Equal(t, c.want, Describe(l, p), c.name)
		assert.Equal(t, c.at, p.Place.Piece, c.name)
	}
	l.Pieces[2].Kind, l.Pieces[2].Form = track.Crossing, track.FormSingleSlip
	assert.Equal(t, "at slip W1 (main 3)", Near(l, track.Place{Piece: 2, End: -1}))
}

// TestNeighboursAreToldApart: two pieces that lie beside each other are never told by the
// same words, or the wrong one is lifted.
func TestNeighboursAreToldApart(t *testing.T) {
	name, text := layoutfile.Demo()
	f, problems := layoutfile.Read(name, text)
	require.NotNil(t, f, "%v", problems)
	l, told := f.Layout, 0
	for i := range l.Joints {
		a, b := Near(l, track.Place{Piece: l.Joints[i].A.Piece, End: -1}),
			Near(l, track.Place{Piece: l.Joints[i].B.Piece, End: -1})
		assert.NotEqual(t, a, b, l.Joints[i].Name)
		if strings.HasPrefix(a, "the piece ") {
			told++
		}
	}
	assert.Positive(t, told)
}

// TestWays: hot and common are shortened alike, and a common wire is not taken for a
// center rail before nothing longer fits.
func TestWays(t *testing.T) {
	l := rig.Oval(6)
	assert.Equal(t, []string{"T1 COMMON", "T1 COMMON", "T1 COM", "T1 C", "T1 C", "T1C"}, Ways(l, "T1 common"))
	assert.Equal(t, []string{"T1 HOT", "T1 HOT", "T1 H", "T1 H", "T1H"}, Ways(l, "T1 hot"))
	assert.Equal(t, []string{"MAIN 12/13 CENTER", "12/13 CENTER", "MAIN 12/13 C", "12/13 C", "12/13C"},
		Ways(l, "main 12/13 center"))
}
