package draw_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/layoutfile"
	"fishplate/tui/draw"
	"fishplate/tui/internal/rig"
)

// TestAlong is checked on closed forms: a quarter of a circle of radius 100 to
// the left ends at (100, 100), heading up; to the right at (100, -100).
func TestAlong(t *testing.T) {
	quarter := math.Pi / 2 * 100
	for _, c := range []struct {
		turn, x, y float64
	}{{90, 100, 100}, {-90, 100, -100}} {
		p := plane.Along(track.Leg{Length: quarter, Turn: c.turn}, 1)
		assert.InDelta(t, c.x, p.X, 1e-9)
		assert.InDelta(t, c.y, p.Y, 1e-9)
		assert.InDelta(t, c.turn, p.Heading, 1e-9)
	}
	p := plane.Along(track.Leg{Length: 50, Start: track.Pose{X: 1, Y: 2, Heading: 90}}, 0.5)
	assert.InDelta(t, 1, p.X, 1e-9)
	assert.InDelta(t, 27, p.Y, 1e-9)
}

// square is four straights of 100 mm round a square, all cells known by hand.
func square() *track.Layout {
	l := &track.Layout{Runs: []track.Run{{Name: "main"}}}
	pose := track.Pose{}
	for i := 0; i < 4; i++ {
		leg := track.Leg{From: 0, To: 1, Length: 100, Start: pose}
		end := plane.Along(leg, 1)
		l.Pieces = append(l.Pieces, track.Piece{Run: "main", Number: i + 1, Legs: []track.Leg{leg},
			Ends: []track.End{{Pose: pose, Joint: -1}, {Pose: end, Joint: -1}}})
		l.Runs[0].Pieces = append(l.Runs[0].Pieces, i)
		pose = end
		pose.Heading += 90
	}
	return l
}

// TestSquare: one dot is 10 mm, so the square is 10 dots: 5 cells across, 2.5
// cells down (the window is moved by 2 mm so that no
// rail lies on the border of two cells). Corners, sides and the empty middle are where they must be.
func TestSquare(t *testing.T) {
	win := draw.Window{X: 48, Y: 48, MMPerDot: 10}
	g := draw.Plan(square(), 9, 5, win, draw.Look{ASCII: true, Chosen: -1})
	want := []string{
		"         ",
		"  -----| ",
		"  |    | ",
		"  ------ ",
		"         "}
	assert.Equal(t, strings.Join(want, "\n")+"\n", g.String())
	assert.Equal(t, []int{0}, g.At(4, 3), "the bottom is piece 1")
	assert.Equal(t, []int{1}, g.At(7, 2), "the right side is piece 2")
	assert.Equal(t, []int{2}, g.At(4, 1), "the top is piece 3")
	assert.Equal(t, []int{3}, g.At(2, 2), "the left side is piece 4")
	assert.ElementsMatch(t, []int{0, 1}, g.At(7, 3), "a corner belongs to two")
	g = draw.Plan(square(), 9, 5, win, draw.Look{Chosen: -1})
	for y := 0; y < 5; y++ {
		for x := 0; x < 9; x++ {
			r := g.Cells[y*9+x].Rune
			assert.Equal(t, want[y][x] != ' ', r != ' ', "cell %d,%d: %q", x, y, r)
			assert.True(t, r == ' ' || (r >= 0x2800 && r <= 0x28ff), "%q", r)
		}
	}
}

// TestEveryPieceIsReachable: on the whole layout each piece has an anchor, and
// the cell there (or next to it) knows the piece, at any size.
func TestEveryPieceIsReachable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rig.Oval(rapid.IntRange(2, 12).Draw(t, "straights"))
		w, h := rapid.IntRange(10, 200).Draw(t, "w"), rapid.IntRange(4, 60).Draw(t, "h")
		look := draw.Look{ASCII: rapid.Bool().Draw(t, "ascii"), Chosen: -1, Names: true,
			Levels: make([]draw.Level, len(l.Pieces))}
		for i := range look.Levels {
			look.Levels[i] = draw.Level(rapid.IntRange(0, 4).Draw(t, "level"))
		}
		g := draw.Plan(l, w, h, draw.Fit(l, w, h), look)
		for i := range l.Pieces {
			require.GreaterOrEqual(t, g.Anchor[i], 0, "piece %d is outside", i)
			require.Contains(t, g.At(g.Anchor[i]%w, g.Anchor[i]/w), i)
		}
	})
}

// TestAnyWindow: no window, however odd, makes it panic or write beyond the
// grid; every cell is one column wide.
func TestAnyWindow(t *testing.T) {
	l := rig.Oval(6)
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(0, 120).Draw(t, "w"), rapid.IntRange(0, 50).Draw(t, "h")
		win := draw.Near(l, max(w, 1), max(h, 1), rapid.Float64Range(0.1, 1000).Draw(t, "zoom"),
			rapid.Float64Range(-1e5, 1e5).Draw(t, "x"), rapid.Float64Range(-1e5, 1e5).Draw(t, "y"))
		p := rapid.IntRange(0, len(l.Pieces)-1).Draw(t, "piece")
		g := draw.Plan(l, w, h, win, draw.Look{ASCII: rapid.Bool().Draw(t, "ascii"), Chosen: p, Names: true,
			Ranks: []int{p, -1, 3},
			Marks: []draw.Mark{{At: track.Place{Piece: p, End: 0}, Side: 1, Text: "R", Kind: draw.ProbeRed},
				{At: track.Place{Piece: p, End: 0}, Side: -1, Text: "B", Kind: draw.ProbeBlack}}})
		for _, c := range g.Cells {
			require.True(t, (c.Rune >= ' ' && c.Rune <= '~') || (c.Rune >= 0x2800 && c.Rune <= 0x28ff), "%q", c.Rune)
		}
	})
}

// TestProbes: both letters are on the map, apart, beside their joint, the left
// rail's on the left of the way the numbers go.
func TestProbes(t *testing.T) {
	l := rig.Oval(6)
	for i := range l.Pieces {
		if len(l.Pieces[i].Ends) < 2 {
			continue
		}
		at := track.Place{Piece: i, End: 1}
		for _, size := range [][2]int{{36, 10}, {80, 24}, {200, 60}} {
			g := draw.Plan(l, size[0], size[1], draw.Fit(l, size[0], size[1]),
				draw.Look{Chosen: -1, Names: true, Marks: []draw.Mark{
					{At: at, Side: 1, Text: "R", Kind: draw.ProbeRed},
					{At: at, Side: -1, Text: "B", Kind: draw.ProbeBlack}}})
			r, b := find(g, draw.ProbeRed), find(g, draw.ProbeBlack)
			require.Len(t, r, 1)
			require.Len(t, b, 1)
			if l.Pieces[i].Run == "main" && math.Abs(l.Pieces[i].Legs[0].Start.Heading) < 1 {
				assert.Less(t, r[0]/g.W, b[0]/g.W, "piece %d goes right: left is above", i)
			}
		}
	}
}

// TestProbesOnASecondWay: where a run goes over a crossing's second way from b2
// to b1, left on the map is left along that run.
func TestProbesOnASecondWay(t *testing.T) {
	for _, backward := range []bool{false, true} {
		end := func(label string, x, y, heading float64) track.End {
			return track.End{Label: label, Pose: track.Pose{X: x, Y: y, Heading: heading}, Joint: -1}
		}
		cross := track.Piece{Run: "main", Number: 1, Kind: track.Crossing, Backward: backward,
			Ends: []track.End{end("a1", 0, 500, 90), end("a2", 0, -500, -90), end("b1", -500, 0, 180),
				end("b2", 500, 0, 0)},
			Legs: []track.Leg{{From: 0, To: 1, Length: 1000, Start: track.Pose{Y: 500, Heading: -90}},
				{From: 2, To: 3, Length: 1000, Start: track.Pose{X: -500}}}}
		l := &track.Layout{Runs: []track.Run{{Name: "main", Pieces: []int{0}}}, Pieces: []track.Piece{cross}}
		at := track.Place{Piece: 0, End: 2}
		g := draw.Plan(l, 80, 24, draw.Fit(l, 80, 24), draw.Look{Chosen: -1, Marks: []draw.Mark{
			{At: at, Side: 1, Text: "R", Kind: draw.ProbeRed}, {At: at, Side: -1, Text: "B", Kind: draw.ProbeBlack}}})
		left, right := find(g, draw.ProbeRed), find(g, draw.ProbeBlack)
		require.Len(t, left, 1)
		require.Len(t, right, 1)
		assert.Equal(t, backward, left[0]/g.W > right[0]/g.W, "left lies below where the run goes to the left")
	}
}

func find(g *draw.Grid, k draw.Kind) (out []int) {
	for i := range g.Cells {
		if g.Cells[i].Kind == k {
			out = append(out, i)
		}
	}
	return out
}

// TestLevels: even belief is possible everywhere; what is left after halving
// is; what holds a quarter is hot; nothing is shown before anything is known.
func TestLevels(t *testing.T) {
	assert.Equal(t, []draw.Level{draw.Unknown, draw.Unknown}, draw.Levels([]float64{0, 0}))
	p := make([]float64, 60)
	for i := range p {
		p[i] = 1.0 / 60
	}
	for _, v := range draw.Levels(p) {
		assert.Equal(t, draw.Possible, v)
	}
	p = make([]float64, 60)
	p[3], p[4], p[5], p[6] = 0.6, 0.1, 0.02, 0.001
	lv := draw.Levels(p)
	assert.Equal(t, []draw.Level{draw.Out, draw.Hot, draw.Likely, draw.Possible, draw.Out}, lv[2:7])
}

// TestLevelsDiffer: without colour, each level looks different in both forms.
func TestLevelsDiffer(t *testing.T) {
	l := square()
	for _, ascii := range []bool{false, true} {
		seen := map[string]draw.Level{}
		for v := draw.Out; v <= draw.Hot; v++ {
			g := draw.Plan(l, 30, 12, draw.Fit(l, 30, 12),
				draw.Look{ASCII: ascii, Chosen: -1, Levels: []draw.Level{v, v, v, v}})
			s := g.String()
			assert.NotContains(t, seen, s, "level %d looks like %d", v, seen[s])
			seen[s] = v
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	l := rig.Oval(46) // about 200 pieces
	for _, size := range [][2]int{{80, 24}, {200, 60}} {
		b.Run(string(rune('0'+size[0]/80)), func(b *testing.B) {
			win := draw.Fit(l, size[0], size[1])
			for b.Loop() {
				draw.Plan(l, size[0], size[1], win, draw.Look{Chosen: -1, Names: true})
			}
		})
	}
}

// TestLevelsWithoutColour: the four levels of suspicion are told apart by
// their characters alone, in Unicode and in ASCII, for rails in any direction.
func TestLevelsWithoutColour(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		for heading := 0.0; heading < 180; heading += 15 {
			seen := map[string]draw.Level{}
			for _, v := range []draw.Level{draw.Out, draw.Possible, draw.Likely, draw.Hot} {
				l := &track.Layout{Runs: []track.Run{{Name: "main", Pieces: []int{0}}},
					Pieces: []track.Piece{{Run: "main", Number: 1,
						Legs: []track.Leg{{From: 0, To: 1, Length: 600, Start: track.Pose{Heading: heading}}}}}}
				g := draw.Plan(l, 60, 30, draw.Window{MMPerDot: 10},
					draw.Look{ASCII: ascii, Chosen: -1, Levels: []draw.Level{v}})
				if other, same := seen[g.String()]; same {
					t.Errorf("heading %g, ascii %v: level %d looks like level %d", heading, ascii, v, other)
				}
				seen[g.String()] = v
			}
		}
	}
}

// An accessory stands on the map where it meets the track: across its rails, or
// at the tap of its insulated rail. One that hangs on its supply alone, and the
// coils inside a turnout, have no place there.
func TestAccessoriesOnTheMap(t *testing.T) {
	l := square()
	l.Accessories = []track.Accessory{
		{Name: "lamp", OnTrack: true, At: track.Place{Piece: 0, End: -1}, Turnout: -1},
		{Name: "gate", Turnout: -1},
		{Name: "hall", Turnout: -1},
		{Name: "coil", OnTrack: true, At: track.Place{Piece: 2, End: -1}, Turnout: 2},
	}
	l.InsulatedRails = []track.InsulatedRail{{Name: "road", Accessory: 1, Pieces: []int{2},
		Tap: track.Place{Piece: 2, End: -1}}}
	g := draw.Plan(l, 40, 12, draw.Fit(l, 40, 12), draw.Look{ASCII: true, Chosen: -1, Names: true})
	text := g.String()
	require.Equal(t, 1, strings.Count(text, "lamp"), text)
	require.Equal(t, 1, strings.Count(text, "gate"), text)
	require.NotContains(t, text, "hall")
	require.NotContains(t, text, "coil")
	lamp, gate := strings.Index(text, "lamp")/41, strings.Index(text, "gate")/41
	require.Greater(t, lamp, gate, "the square's first side is the lower one\n%s", text)
}

// Probes at any joint of a small map, with the joint itself marked: none of the
// letters stands on the rails of another track, where it would be taken for a
// place there.
func TestMarksStayOnTheirTrack(t *testing.T) {
	f, problems := layoutfile.Read(layoutfile.Demo())
	require.False(t, problems.Errors())
	l := f.Layout
	win := draw.Fit(l, 36, 12)
	bare := draw.Plan(l, 36, 12, win, draw.Look{Chosen: -1})
	for i := range l.Pieces {
		at := track.Place{Piece: i, End: 1}
		marks := []draw.Mark{{At: at, Text: "x", Kind: draw.LiftedMark}, {At: at, Text: "R", Kind: draw.ProbeRed},
			{At: at, Side: 1, Text: "B", Kind: draw.ProbeBlack}}
		g := draw.Plan(l, 36, 12, win, draw.Look{Chosen: -1, Marks: marks})
		found := 0
		for k, c := range g.Cells {
			if c.Kind != draw.ProbeRed && c.Kind != draw.ProbeBlack {
				continue
			}
			found++
			if was := bare.Cells[k]; was.Kind == draw.Rail {
				require.Equal(t, l.Pieces[i].Run, l.Pieces[was.Piece].Run, "%s: %c", l.Pieces[i].ID(), c.Rune)
			}
		}
		require.Equal(t, 2, found, l.Pieces[i].ID())
	}
}

// TestNumbersAreOfTheirTrack: no bare number stands beside a track of another run, where it
// would be read as one of its numbers; those of a run alone stay.
func TestNumbersAreOfTheirTrack(t *testing.T) {
	f, _ := layoutfile.Read(layoutfile.Demo())
	numbered := 0
	for _, size := range [][2]int{{40, 9}, {60, 12}, {80, 17}, {120, 30}} {
		g := draw.Plan(f.Layout, size[0], size[1], draw.Fit(f.Layout, size[0], size[1]),
			draw.Look{Chosen: -1, Names: true})
		for at := range g.Cells {
			if g.Cells[at].Kind != draw.PieceNumber || g.Cells[at].Rune < '0' || g.Cells[at].Rune > '9' {
				continue
			}
			x, y := at%g.W, at/g.W
			first := x
			for first > 0 && g.Cells[y*g.W+first-1].Kind == draw.PieceNumber {
				first--
			}
			if r := g.Cells[y*g.W+first].Rune; r < '0' || r > '9' { // it says its run
				continue
			}
			numbered++
			runs := map[string]bool{}
			for _, d := range [][2]int{{0, -1}, {0, 1}} {
				if y+d[1] < 0 || y+d[1] >= g.H {
					continue
				}
				if c := g.Cells[(y+d[1])*g.W+x]; c.Kind == draw.Rail && c.Piece >= 0 {
					runs[f.Layout.Pieces[c.Piece].Run] = true
				}
			}
			assert.LessOrEqual(t, len(runs), 1, "%v: between two tracks\n%s", size, g)
		}
	}
	assert.Greater(t, numbered, 20)
}

// TestRunWithoutRoomHasALetter: a further run's name has its letter where it has no room,
// and no more letters are written than somebody explains.
func TestRunWithoutRoomHasALetter(t *testing.T) {
	name, text := layoutfile.Demo()
	f, problems := layoutfile.Read(name, text)
	require.NotNil(t, f, "%v", problems)
	l := f.Layout
	for _, most := range []int{0, 2, -1} {
		g := draw.Plan(l, 40, 11, draw.Fit(l, 40, 11), draw.Look{ASCII: true, Chosen: -1, Names: true, Letters: most})
		var names []string
		for _, k := range g.Keys {
			names = append(names, k.Name)
			require.Contains(t, g.String(), k.Letter)
		}
		switch most {
		case 0:
			require.Greater(t, len(names), 2)
			require.Contains(t, names, "siding 1")
		case 2:
			require.Len(t, names, 2)
		case -1:
			require.Empty(t, names)
		}
	}
}
