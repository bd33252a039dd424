package spot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/track"
	"fishplate/tui/internal/rig"
)

// TestDescribe is checked by hand on the invented oval: main runs counter-
// clockwise from the bottom left, so that numbers go up to the left on top; its
// tunnel mouth is the joint main 20/21 at the top right, W1 is main 3.
func TestDescribe(t *testing.T) {
	l := rig.Oval(6)
	for _, c := range []struct {
		name string
		want Words
	}{
		{"main 23/24 center", Words{What: "CENTER rail", Where: "joint main 23/24, on main 23", Near: "3 joints left of the tunnel mouth (first: main 21/22)"}},
		{"main 18/17 left", Words{What: "LEFT rail", Where: "joint main 18/17, on main 18", Side: "inside of the loop", Near: "3 joints right of the tunnel mouth (first: main 19/20)"}},
		{"main 20/21 right", Words{What: "RIGHT rail", Where: "joint main 20/21, on main 20", Side: "outside of the loop", Near: "right at the tunnel mouth"}},
		{"main 22 center", Words{What: "CENTER rail", Where: "middle of main 22", Near: "first joint left of the tunnel mouth, then the middle of the piece"}},
		{"main 3 center", Words{What: "CENTER rail", Where: "middle of W1 (main 3)", Near: "right at turnout W1 (main 3)"}},
		{"main 3 frog left", Words{What: "LEFT rail", Where: "frog of W1 (main 3)", Side: "inside of the loop", Near: "right at turnout W1 (main 3)"}},
		{"siding 7/8 left", Words{What: "LEFT rail", Where: "joint siding 7/8, on siding 7", Side: "on your left going up the numbers", Near: "first joint past the bumper of siding"}},
		{"main 3/siding 1 center", Words{What: "CENTER rail", Where: "joint main 3/siding 1, on W1 (main 3)", Near: "the diverging end of turnout W1 (main 3)"}},
		{"F1 hot", Words{What: "HOT wire of feeder F1", Where: "where it meets the center rail, middle of main 2", Near: "first joint right of the station, then the middle of the piece"}},
		{"T1 common", Words{What: "COMMON post", Where: "at the supply T1"}},
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
	for typed, want := range map[string]string{"main 7": "main 7", " 7 ": "main 7", "2.3": "siding 3", "2,3": "siding 3", "w1": "main 3", "W1": "main 3",
		"SIDING 2": "siding 2", "main 7/8": "main 7/8", "7/8": "main 7/8", "2.3/4": "siding 3/4", "tunnel": "main 21/20", "the station": "main 1", "F1": "main 2"} {
		at, ok := Find(l, typed)
		if assert.True(t, ok, typed) {
			assert.Equal(t, want, l.PlaceName(at), typed)
		}
	}
	for _, typed := range []string{"", "  ", "99", "3.1", "0.1", "2.", ".", "main", "main 99", "nowhere", "t h e", "1.2.3"} {
		_, ok := Find(l, typed)
		assert.False(t, ok, typed)
	}
}
