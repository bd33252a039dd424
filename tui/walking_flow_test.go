package tui

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/layoutfile/course"
	"fishplate/layoutfile/shape"
	"fishplate/tui/scene"
	"fishplate/tui/walk"
)

// TestWalkSaves: saving over a file asks first; a file that changed behind our
// back is not lost; comments stay; what cannot be saved is kept.
func TestWalkSaves(t *testing.T) {
	_, demo := layoutfile.Demo()
	d := newDesk()
	a := walkTo(openWalk(t, d, string(demo)), 80, 24, "/", "main 30", "enter", "s", "w")
	assert.Contains(t, a.View(), "which was there before?")
	assert.Equal(t, string(demo), d.files["mine.hcl"])
	assert.NotEmpty(t, d.kept["mine.hcl"])
	send(a, keyMsgs("1")[0])
	assert.Equal(t, 1, d.saves)
	assert.Contains(t, d.files["mine.hcl"], "4 x long")
	assert.Contains(t, d.files["mine.hcl"], "# 1-3: the platform")
	assert.Empty(t, d.kept)

	d.files["mine.hcl"] = "somebody else's"
	for _, k := range []string{"s", "w"} {
		send(a, keyMsgs(k)[0])
	}
	assert.Contains(t, a.View(), "Overwrite it?")
	assert.Equal(t, "somebody else's", d.files["mine.hcl"])
	for _, k := range []string{"2", "other", "enter"} {
		for _, m := range keyMsgs(k) {
			send(a, m)
		}
	}
	assert.Contains(t, d.files["other.hcl"], "5 x long")
	assert.Equal(t, "somebody else's", d.files["mine.hcl"])

	d = newDesk() // a second joint between two pieces could not be named: it is kept and not saved
	a = walkTo(newWalk(d), 80, 24, "1", "enter", "t", "l", "j", "l", "/", "W1", "enter", "d", "enter", "c", "1", "w")
	assert.Empty(t, d.files)
	assert.NotEmpty(t, d.kept["shelf-oval.hcl"])
	assert.Contains(t, a.View(), "cannot be saved as it is")
	for _, k := range []string{"esc", "!"} {
		send(a, keyMsgs(k)[0])
	}
	assert.Contains(t, a.View(), "a second joint between")
	for _, k := range []string{"esc", "u", "w"} {
		send(a, keyMsgs(k)[0])
	}
	assert.NotEmpty(t, d.files["shelf-oval.hcl"])
}

// TestCheckIsAScreen: k leads to the check and back, to the same place with the
// same history; what the check cannot do is said there.
func TestCheckIsAScreen(t *testing.T) {
	d := newDesk()
	a := walkTo(newWalk(d), 80, 24, "2", "enter", "enter", "f", "enter", "enter")
	undos, at := a.walk.Course().Undos(), a.walk.Course().State().At
	press(a, "k")
	assert.Contains(t, a.View(), "1. shelf-oval.hcl: nothing, in a test.")
	assert.Contains(t, a.View(), "check of the design")
	press(a, "s", "esc")
	assert.Contains(t, a.View(), "fishplate, walk:")
	assert.Equal(t, []int{undos, at}, []int{a.walk.Course().Undos(), a.walk.Course().State().At},
		"keys at the check lay nothing")
	a.walk.o.Check = func(string, int) (string, error) { return "", errors.New("no such file, in a test") }
	press(a, "k")
	assert.Contains(t, a.View(), "! no such file, in a test")
}

// TestOneRoot goes from the walk to the hunt and back to another walk in one
// program: each is let go once, and the walk's last change is put by.
func TestOneRoot(t *testing.T) {
	d := newDesk()
	o := newWalk(d)
	closed := 0
	hunt := func(string) (Options, error) {
		h := scripted()
		h.Close = func() error { closed++; return nil }
		h.ToWalk = func() (Options, error) { return walked(newWalk(newDesk())), nil }
		return h, nil
	}
	o.Hunt = hunt
	a := walkTo(o, 80, 24, "2", "enter", "enter", "f", "enter", "enter", "g")
	assert.Contains(t, a.View(), "saved in shelf-oval.hcl")
	assert.Nil(t, a.walk)
	assert.Empty(t, d.kept, "the file holds everything")
	press(a, "w")
	assert.NotNil(t, a.walk)
	assert.Contains(t, a.View(), "A new layout")
	assert.Equal(t, 1, closed)
	o.Hunt = func(string) (Options, error) { return Options{}, errors.New("in use, in a test") }
	a = walkTo(o, 80, 24, "2", "enter", "enter", "f", "enter", "enter", "g")
	assert.Contains(t, a.View(), "in use, in a test")
	assert.NotNil(t, a.walk, "what cannot be gone to leaves one where one is")
}

// TestWalkWaits: the key for the walk is not lost while the hunt computes, and
// another one takes it back.
func TestWalkWaits(t *testing.T) {
	for _, other := range []bool{false, true} {
		o := scripted()
		o.ToWalk = func() (Options, error) { return walked(newWalk(newDesk())), nil }
		o.defaults()
		a := newApp(o)
		slow := a.Init()
		send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
		require.True(t, a.busy)
		press(a, "w")
		assert.Nil(t, a.walk)
		assert.Contains(t, trimmed(a.View()), "one moment")
		if other {
			press(a, "down")
		}
		settle(a, slow)
		assert.Equal(t, other, a.walk == nil)
	}
}

// TestAroundWaits: so is the key for what is around the hunt.
func TestAroundWaits(t *testing.T) {
	for _, other := range []bool{false, true} {
		o := scripted()
		went := 0
		o.ToAround = func(scene.ID) (Options, error) { went++; return walked(newWalk(newDesk())), nil }
		o.defaults()
		a := newApp(o)
		slow := a.Init()
		send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
		press(a, "a", "2")
		require.True(t, a.busy)
		assert.Zero(t, went)
		assert.Contains(t, trimmed(a.View()), "one moment")
		if other {
			press(a, "down")
		}
		settle(a, slow)
		assert.Equal(t, !other, went == 1)
	}
}

// TestWalkGoesOn: g saves and goes to the hunt, k to the check.
func TestWalkGoesOn(t *testing.T) {
	for key, goal := range map[string]walk.Goal{"g": walk.Hunt, "k": walk.Check} {
		d := newDesk()
		a := walkTo(newWalk(d), 80, 24, "2", "enter", "enter", "f", "enter", "enter", key)
		assert.Equal(t, goal, a.walk.goal, "%s\n%s", key, a.View())
		assert.Equal(t, 1, d.saves)
		assert.Equal(t, "saved in shelf-oval.hcl", a.walk.farewell())
		a = walkTo(newWalk(newDesk()), 80, 24, "2", "enter", "enter", "f", "enter", "enter", "w", key)
		assert.Equal(t, goal, a.walk.goal)
		assert.Empty(t, a.walk.farewell(), "w saved it, and said so")

		d = newDesk() // a file that was there: asked first, and for what
		a = walkTo(openWalk(t, d, wiredLayout(t, "feeders")), 80, 24, "m", "bridge", "enter", key)
		assert.Contains(t, a.View(), "Before the "+string(goal)+": save into")
		send(a, keyMsgs("1")[0])
		assert.Equal(t, goal, a.walk.goal)
		assert.NotEmpty(t, a.walk.farewell())
	}
	a := walkTo(newWalk(newDesk()), 80, 24, "2", "enter", "enter", "g")
	assert.Contains(t, a.View(), "a hunt needs a supply and a feeder")
}

// TestWalkShapes: every ready shape comes from the menu with its proposed
// sizes, and is good.
func TestWalkShapes(t *testing.T) {
	for i, s := range shape.All() {
		a := walkTo(newWalk(newDesk()), 80, 24, strconv.Itoa(i+2), "enter", "enter")
		require.NotNil(t, a.walk.Course(), "%s\n%s", s.Name, a.View())
		_, good := a.walk.Course().Layout()
		assert.True(t, good, s.Name)
		o := newWalk(newDesk())
		o.Shape = s.Name
		b := walkTo(o, 80, 24, "enter", "enter")
		require.NotNil(t, b.walk.Course())
		assert.Equal(t, string(a.walk.Course().Text()), string(b.walk.Course().Text()))
	}
}

// TestWalkByPad enters a small oval with digits, the point, plus, minus,
// star, slash and Enter alone.
func TestWalkByPad(t *testing.T) {
	d := newDesk()
	a := walkTo(newWalk(d), 40, 20, "1", "enter", "*", "8", "*", "4", "enter", "7", "+", "+", "+", "8", "8", "9", "-",
		"8", "8", "7", "*", "4", "enter", "/", "1")
	require.NotNil(t, a.walk.Course())
	assert.True(t, a.walk.Course().Here().Closes, a.View())
	assert.Equal(t, 16, a.walk.Course().Pieces())
	for _, k := range []string{"0", "enter", "enter", "/", "3"} {
		send(a, keyMsgs(k)[0])
	}
	f, problems := layoutfile.Read("x", []byte(d.files["shelf-oval.hcl"]))
	require.NotNil(t, f, "%v", problems)
	assert.Empty(t, problems)
	assert.Len(t, f.Layout.Feeders, 1)
}

// TestWalkBurst: keys that come in one read mean what they mean one by one.
func TestWalkBurst(t *testing.T) {
	slow := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "3", "s", "4", "l", "t", "l")
	fast := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "3s4ltl")
	assert.Equal(t, string(slow.walk.Course().Text()), string(fast.walk.Course().Text()))
	assert.Equal(t, slow.View(), fast.View())
}

// TestWalkSides: a track that leaves to the left lies on the left of someone
// who walks along +x (y grows), and so does one that joins from the left.
func TestWalkSides(t *testing.T) {
	for _, way := range []struct {
		keys []string
		up   bool
	}{{[]string{"t", "l"}, true}, {[]string{"t", "r"}, false}, {[]string{"j", "l"}, true},
		{[]string{"j", "r"}, false}} {
		a := walkTo(newWalk(newDesk()), 80, 24, append([]string{"1", "enter", "s"}, way.keys...)...)
		l, _ := a.walk.Course().Layout()
		p := &l.Pieces[1]
		end := p.Ends[p.EndIndex(track.EndDiverging)].Pose
		assert.Equal(t, way.up, end.Y > 0, "%v: the other leg ends at y = %.0f", way.keys, end.Y)
		points := p.Ends[p.EndIndex(track.EndPoints)].Pose
		assert.Equal(t, way.keys[0] == "j", points.X > end.X, "%v: the points lie ahead where a track joins", way.keys)
	}
}

// TestWalkUsualSupply: AC is proposed for three rails, DC for two.
func TestWalkUsualSupply(t *testing.T) {
	for construction, want := range map[string]string{"metal-tie": `current = "ac"`, "two-rail": `current = "dc"`} {
		o := newWalk(newDesk())
		o.Course = course.New("x", construction, false)
		a := walkTo(o, 80, 24, "3", "s", "f", "enter", "enter")
		assert.Contains(t, string(a.walk.Course().Text()), want)
	}
}

// TestWalkFigureEight walks one in, over its crossing twice, with a size typed.
func TestWalkFigureEight(t *testing.T) {
	a := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "x", "S", "4", "10.5", "enter", "6", "l", "s", "x", "1", "s",
		"6", "r", "s", "c")
	c := a.walk.Course()
	assert.True(t, c.Here().Closes, a.View())
	assert.Empty(t, c.Troubles())
	assert.Equal(t, 17, c.Pieces())
	l, good := c.Layout()
	require.True(t, good)
	assert.Less(t, l.Runs[0].MissMM, 1.0)
}

// TestWalkBackToSizes: undo before the first step of a ready shape asks for
// its sizes again. At its closed end it takes no further piece.
func TestWalkBackToSizes(t *testing.T) {
	a := walkTo(newWalk(newDesk()), 80, 24, "2", "enter", "enter", "s")
	require.Equal(t, 20, a.walk.Course().Pieces())
	assert.Contains(t, a.View(), "this run is closed here: o opens its end")
	assert.NotContains(t, trimmed(a.View()), "s straight")
	press(a, "left", "s")
	require.Equal(t, 21, a.walk.Course().Pieces())
	press(a, "u", "u")
	assert.Contains(t, a.View(), "straights along each long side")
	for _, k := range []string{"down", "down", "2", "enter"} {
		send(a, keyMsgs(k)[0])
	}
	assert.Equal(t, 12, a.walk.Course().Pieces())
}

// TestWalkChangesAPiece: a piece of a finished oval is made a turnout with e, and where a
// key puts one in instead, or is refused, that says so.
func TestWalkChangesAPiece(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {40, 20}} {
		a := walkTo(newWalk(newDesk()), size[0], size[1], "2", "enter", "enter")
		words := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
		require.Contains(t, words(), "20 pieces laid; f puts a feeder here; arrows to a straight, then e t makes "+
			"it a turnout; w saves")
		press(a, "left")
		require.Contains(t, words(), "e change it", "among the keys, at %v", size)
		press(a, "t", "l")
		require.Equal(t, 21, a.walk.Course().Pieces())
		require.Contains(t, words(), "turnout is called W1; put in, the run is longer; to change a piece instead: u, "+
			"then e first")
		press(a, "u", "e", "t", "l")
		require.Equal(t, 20, a.walk.Course().Pieces())
		require.Equal(t, track.Turnout, a.walk.Course().Behind().Words.Kind)
		press(a, "right", "s")
		require.Contains(t, words(), "e changes the piece behind you; arrows go to where one is put in")
	}
}

// TestWalkJoinsWhatFits: of the ends that a run can be joined to, what fits comes first,
// as the line of the end said, and not what is nearest and looks away.
func TestWalkJoinsWhatFits(t *testing.T) {
	a := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "3", "s", "t", "l", "6", "s", "j", "r", "2", "s", "4", "l",
		"8", "s", "4", "l")
	require.Contains(t, trimmed(a.View()), "a straight of 50 in fits: c")
	press(a, "c", "enter")
	require.Contains(t, trimmed(a.View()), "joined to the start of main with a straight of 50 in")
	require.Empty(t, a.walk.Course().Troubles())
}

// TestWalkAsksAboutOpenEnds: where track ends at nothing it is said before the hunt, which
// is to be had all the same; a loop that is closed is not asked about.
func TestWalkAsksAboutOpenEnds(t *testing.T) {
	keys := []string{"1", "enter", "4", "s", "f", "enter", "enter", "g"}
	a := walkTo(newWalk(newDesk()), 80, 24, keys...)
	require.Contains(t, trimmed(a.View()), "Before the hunt. Joined to nothing: main 1 start, main 4 end")
	press(a, "2")
	assert.Empty(t, a.walk.goal)
	a = walkTo(newWalk(newDesk()), 80, 24, append(keys, "1")...)
	assert.Equal(t, walk.Hunt, a.walk.goal)
}

// TestWalkOpenStretch: a stretch that has no end yet is in no file: saving says so, and
// nothing leads away from it in silence.
func TestWalkOpenStretch(t *testing.T) {
	d := newDesk()
	a := walkTo(newWalk(d), 80, 24, "2", "enter", "enter", "f", "enter", "enter", "right", "h", "enter", "w")
	require.Contains(t, trimmed(a.View()), "saved in shelf-oval.hcl, without tunnel: h where it ends")
	press(a, "g")
	require.Contains(t, trimmed(a.View()), "tunnel has no end yet: walk on, h where it ends (or u)")
	press(a, "right", "h", "w")
	require.Contains(t, d.files["shelf-oval.hcl"], "hidden")
}

// TestWalkKeepsWhatItWasCalled: Esc from the sizes of a shape comes back to the name that
// was typed, also by way of another shape; ? on a line where nothing was typed is help.
func TestWalkKeepsWhatItWasCalled(t *testing.T) {
	a := walkTo(newWalk(newDesk()), 80, 24, "2", "?")
	require.Contains(t, trimmed(a.View()), "Help: walking a layout in")
	press(a, "esc", "Why not?")
	require.NotContains(t, trimmed(a.View()), "? help", "it is typed now")
	press(a, "down", "right", "enter", "esc")
	require.Contains(t, trimmed(a.View()), "> name       Why not?")
	require.Contains(t, trimmed(a.View()), "millimeters")
	press(a, "esc", "1")
	require.Contains(t, trimmed(a.View()), "Why not?")
	o := newWalk(newDesk())
	o.Path, o.Shape = "", "oval"
	a = walkTo(o, 80, 24, "Walters oval", "enter", "esc", "esc", "3", "enter", "esc")
	require.Contains(t, trimmed(a.View()), "Walters oval")
	require.Contains(t, trimmed(a.View()), "my-layout.hcl")
}

// TestWalkLegs: from anywhere d lists the free legs, and begins at once where one
// stands at the only one; an Enter behind it lays nothing.
func TestWalkLegs(t *testing.T) {
	a := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "2", "s", "t", "l", "s", "t", "r", "3", "s", "d")
	assert.Contains(t, trimmed(a.View()), "Walk off along which leg?")
	assert.Contains(t, trimmed(a.View()), "W1 diverging")
	press(a, "2", "enter", "s")
	assert.Equal(t, "siding", a.walk.Course().Here().Name)
	assert.Equal(t, 9, a.walk.Course().Pieces())
	press(a, "up", "d")
	assert.Equal(t, "spur", a.walk.Course().Here().Name, "one leg is left")
	press(a, "s", "up", "d")
	assert.Contains(t, trimmed(a.View()), "no turnout or crossing has a free leg: t lays a turnout")
}

// TestWalkClick: a click on a piece of the map goes behind it.
func TestWalkClick(t *testing.T) {
	_, demo := layoutfile.Demo()
	a := walkTo(openWalk(t, newDesk(), string(demo)), 80, 24)
	lines := strings.Split(trimmed(a.View()), "\n")
	y := slices.IndexFunc(lines, func(s string) bool { return strings.Contains(s, "coal mine") }) + 1
	x := strings.Index(lines[y], "]")
	require.Positive(t, x, lines[y])
	send(a, tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	p := a.walk.Course().Behind()
	require.NotNil(t, p)
	assert.Contains(t, []string{"spur 8", "spur 7"}, a.walk.Course().Title(p))
	send(a, tea.MouseMsg{X: 70, Y: 999, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, p, a.walk.Course().Behind())
}

// BenchmarkWalkKey is a piece laid and taken out again on layouts of 60 to
// 5,000 pieces at 80x24, from the key to the frame (two keys); "rows" has a
// line of the file for every piece.
func BenchmarkWalkKey(b *testing.B) {
	for _, n := range []int{60, 200, 1000, 5000} {
		for _, rows := range []bool{false, true} {
			b.Run(fmt.Sprintf("%d rows %v", n, rows), func(b *testing.B) {
				a := walkTo(bigWalk(b, n, rows), 80, 24, "/", "main 9", "enter")
				key, back := keyMsgs("s")[0], keyMsgs("u")[0]
				for b.Loop() {
					send(a, key)
					send(a, back)
				}
				b.ReportMetric(float64(a.walk.Course().Pieces()), "pieces")
			})
		}
	}
}

// bigWalk is the walk of an oval of n pieces; rows: on a line of the file each.
func bigWalk(t require.TestingT, n int, rows bool) WalkOptions {
	side := (n - 8) / 2
	straights := fmt.Sprintf("    \"%d x straight 10\",\n", side%1000)
	straights += strings.Repeat("    \"1000 x straight 10\",\n", side/1000)
	if rows {
		straights = strings.Repeat("    \"straight 10\",\n", side)
	}
	const curves = "    \"4 x curve left diameter 31 angle 45\",\n"
	f, problems := layoutfile.Read("big",
		[]byte("name = \"big\"\nunits = \"in\"\nconstruction = \"metal-tie\"\nrun \"main\" {\n  closes = true\n  "+
			"pieces = [\n"+
			straights+curves+straights+curves+
			"  ]\n}\nsupply \"T1\" {\n  current = \"ac\"\n  volts = 18\n  breaker = 10\n}\n"))
	require.NotNil(t, f, "%v", problems)
	c, err := course.Open(f)
	require.NoError(t, err)
	o := newWalk(nil)
	o.Course = c
	return o
}
