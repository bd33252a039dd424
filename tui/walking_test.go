package tui

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/layoutfile/course"
	"fishplate/layoutfile/shape"
	"fishplate/tui/walk"
)

// desk is a disk for tests: files by name, walks put by.
type desk struct {
	files map[string]string
	known map[string]string
	kept  map[string][]byte
	saves int
}

func newDesk() *desk {
	return &desk{files: map[string]string{}, known: map[string]string{}, kept: map[string][]byte{}}
}

func (d *desk) save(path string, text []byte, over bool) error {
	if now, there := d.files[path]; there && !over && d.known[path] != now {
		return walk.ErrExists
	}
	d.files[path], d.known[path] = string(text), string(text)
	d.saves++
	return nil
}

func (d *desk) keep(path string, data []byte) error {
	if data == nil {
		delete(d.kept, path)
	} else {
		d.kept[path] = data
	}
	return nil
}

// walking is the walk of a new layout.
func walking(d *desk) WalkOptions {
	o := WalkOptions{}
	if d != nil {
		o.Save, o.Keep = d.save, d.keep
	}
	o.Setup = walk.Setup{Path: "shelf-oval.hcl", CanCheck: true}
	for _, c := range layoutfile.Constructions() {
		o.Constructions = append(o.Constructions, walk.Construction{Name: c.Name, About: c.About})
	}
	return o
}

// openWalk is the walk of a file that was there before.
func openWalk(t require.TestingT, d *desk, src string) WalkOptions {
	f, problems := layoutfile.Read("x", []byte(src))
	require.NotNil(t, f, "%v", problems)
	o := walking(d)
	var err error
	o.Course, err = course.Open(f)
	require.NoError(t, err)
	o.Path, o.Exists = "mine.hcl", true
	d.files[o.Path], d.known[o.Path] = src, src
	return o
}

func walkTo(o WalkOptions, w, h int, keys ...string) *walkApp {
	a := newWalkApp(o)
	a.send(tea.WindowSizeMsg{Width: w, Height: h})
	for _, k := range keys {
		for _, m := range keyMsgs(k) {
			a.send(m)
		}
	}
	return a
}

// presses counts key presses: a name is one key, a text one for each letter.
func presses(keys []string) int {
	n := 0
	for _, k := range keys {
		if _, one := named[k]; one {
			n++
		} else {
			n += len(k)
		}
	}
	return n
}

// eighty is the oval that TestEightyPieces walks in, written by hand.
const eighty = `
name         = "shelf oval"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["3 x straight 10", "turnout left diameter 31 angle 45 through 10 as W1", "18 x straight 10",
    "turnout right trailing diameter 31 angle 45 through 10 as W2", "4 x straight 10", "4 x curve left diameter 31 angle 45",
    "27 x straight 10", "4 x curve left diameter 31 angle 45"]
}
run "siding" {
  from   = "W1 diverging"
  to     = "W2 diverging"
  pieces = ["curve right diameter 31 angle 45", "15 x straight 10", "straight 6.16", "curve right diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 3/4"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
feeder "F2" {
  at     = "main 45/46"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
`

// TestEightyPieces walks an oval of 80 pieces with a siding and two feeders in
// from nothing, on two ways: with counts, and with a key a piece. The file
// that is saved reads without problems and is the layout written by hand; both
// take fewer than 150 key presses.
func TestEightyPieces(t *testing.T) {
	same := func(n int, key string) []string { return slices.Repeat([]string{key}, n) }
	flat := func(parts ...[]string) []string { return slices.Concat(parts...) }
	ways := []struct {
		name string
		n    func(n int, key string) []string
	}{
		{"with counts", func(n int, key string) []string { return []string{strconv.Itoa(n), key} }},
		{"a key a piece", same},
	}
	for _, way := range ways {
		keys := flat([]string{"1", "enter"}, way.n(3, "s"), []string{"f", "enter", "enter", "t", "l"}, way.n(18, "s"), []string{"j", "l"},
			way.n(4, "s"), way.n(4, "l"), way.n(14, "s"), []string{"f", "enter"}, way.n(13, "s"), way.n(4, "l"), []string{"c"},
			[]string{"/", "W1", "enter", "d", "enter", "r"}, way.n(15, "s"), []string{"r", "c", "1", "w"})
		d := newDesk()
		a := walkTo(walking(d), 80, 24, keys...)
		require.Equal(t, 1, d.saves, a.View())
		got, problems := layoutfile.Read("got", []byte(d.files["shelf-oval.hcl"]))
		require.Empty(t, problems)
		want, problems := layoutfile.Read("want", []byte(eighty))
		require.Empty(t, problems)
		assert.Equal(t, unlined(want.Layout), unlined(got.Layout))
		assert.Len(t, got.Layout.Pieces, 80)
		assert.Empty(t, d.kept, "what is saved is not kept beside it")
		n := presses(keys)
		t.Logf("%s: %d pieces, a siding and %d feeders in %d key presses", way.name, len(got.Layout.Pieces), len(got.Layout.Feeders), n)
		assert.Less(t, n, 150, way.name)
	}
}

// unlined takes the lines of the file out of a layout.
func unlined(l *track.Layout) track.Layout {
	out := *l
	out.Pieces, out.Joints = slices.Clone(l.Pieces), slices.Clone(l.Joints)
	out.Feeders, out.Supplies = slices.Clone(l.Feeders), slices.Clone(l.Supplies)
	for i := range out.Pieces {
		out.Pieces[i].Line = 0
	}
	for i := range out.Joints {
		out.Joints[i].Line = 0
	}
	for i := range out.Feeders {
		out.Feeders[i].Line = 0
	}
	for i := range out.Supplies {
		out.Supplies[i].Line = 0
	}
	return out
}

// walkWays lead to every panel of the walk.
var walkWays = []struct {
	name string
	demo bool
	keys []string
}{
	{"start", false, nil},
	{"new", false, []string{"1"}},
	{"shape", false, []string{"3", "enter"}},
	{"empty", false, []string{"1", "enter"}},
	{"growing", false, []string{"1", "enter", "3", "s", "4", "l", "2"}},
	{"turnout", false, []string{"1", "enter", "3", "s", "t"}},
	{"feeder", false, []string{"1", "enter", "3", "s", "f", "enter"}},
	{"demo", true, nil},
	{"demo-help", true, []string{"?"}},
	{"demo-more", true, []string{"tab"}},
	{"demo-size", true, []string{"L"}},
	{"demo-trouble", true, []string{"/", "main 30", "enter", "backspace", "!"}},
	{"demo-pad", true, []string{"*", "u"}},
	{"demo-leave", true, []string{"/", "main 30", "enter", "s", "q"}},
}

// TestWalkFrames compares the walk with what it was; see TestFrames.
func TestWalkFrames(t *testing.T) {
	_, demo := layoutfile.Demo()
	for _, way := range walkWays {
		for _, size := range sizes {
			for _, kind := range []string{"unicode", "ascii"} {
				name := fmt.Sprintf("walk-%s-%dx%d-%s", way.name, size[0], size[1], kind)
				o := walking(newDesk())
				if way.demo {
					o = openWalk(t, newDesk(), string(demo))
				}
				o.ASCII = kind == "ascii"
				frame := WalkSnapshot(o, size[0], size[1], way.keys...)
				checkFrame(t, name, frame, size[0], size[1])
				got := trimmed(frame)
				if kind == "ascii" {
					for _, r := range got {
						require.Less(t, r, rune(0x7f), "%s holds %q", name, r)
					}
				}
				golden(t, name, got)
			}
		}
	}
}

var walkKeys = []string{"s", "l", "r", "t", "l", "j", "r", "x", "b", "1", "2", "3", "enter", "enter", "S", "L", "T", "X", "c", "d", "v", "o", "e", "f", "i", "h", "m", "n", "a", "y", "p",
	"u", "U", "left", "right", "up", "down", "home", "end", "pgup", "pgdown", "/", "!", "z", "tab", "*", "+", "-", "w", "q", "g", "k", "?", "esc", "esc", "backspace", "delete",
	":", "ctrl+z", " ", "W1", "main 7", "é漢", "tunnel", "\x1b", "\u202e", "0", ".", "r15.5 22.5", "8", "9"}

// TestWalkMonkey presses any keys in windows of any size, on new layouts and
// on those that are there: nothing panics, no frame leaves its window, what
// was kept on the way is what stands on the screen, and undo all the way back
// gives the start.
func TestWalkMonkey(t *testing.T) {
	starts := walkStarts(t)
	rapid.Check(t, func(t *rapid.T) {
		d := newDesk()
		o := walking(d)
		if src := rapid.SampledFrom(starts).Draw(t, "layout"); src != "" {
			o = openWalk(t, d, src)
		}
		o.ASCII = rapid.Bool().Draw(t, "ascii")
		a := walkTo(o, 80, 24)
		var trail []string
		for i := rapid.IntRange(1, 60).Draw(t, "n"); i > 0; i-- {
			if c := a.walk.Course(); c != nil && c.Pieces() > 300 {
				break // enough: larger ones only take longer
			}
			if rapid.IntRange(0, 9).Draw(t, "resize") == 0 {
				w, h := rapid.IntRange(1, 300).Draw(t, "w"), rapid.IntRange(1, 100).Draw(t, "h")
				trail = append(trail, fmt.Sprint(w, "x", h))
				a.send(tea.WindowSizeMsg{Width: w, Height: h})
				a.send(tea.MouseMsg{X: w / 2, Y: rapid.IntRange(0, h).Draw(t, "y"), Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
			} else {
				k := rapid.SampledFrom(walkKeys).Draw(t, "key")
				trail = append(trail, k)
				a.send(keyMsgs(k)[0])
			}
			mind(t, a, d, strings.Join(trail, " "))
		}
		allBack(t, a, strings.Join(trail, " "))
	})
}

// mind checks what must hold after every key.
func mind(t require.TestingT, a *walkApp, d *desk, trail string) {
	require.Nil(t, a.crash, trail)
	checkFrame(t, trail, a.View(), max(a.w, 1), max(a.h, 1))
	if v := a.cursor.at.Load(); v != 0 {
		x, y := int(v&0xffffffff), int(v>>32)-1
		require.True(t, x >= 0 && x < a.w && y >= 0 && y < a.h, "cursor at %d,%d in %dx%d: %s", x, y, a.w, a.h, trail)
	}
	c := a.walk.Course()
	if c == nil || !a.walk.Unsaved() {
		return
	}
	data := d.kept[a.walk.Path()]
	require.NotNil(t, data, "nothing is kept: %s", trail)
	again, err := course.Resume(data)
	require.NoError(t, err, trail)
	require.Equal(t, string(c.Text()), string(again.Text()), trail)
}

// allBack undoes everything and compares with the start.
func allBack(t require.TestingT, a *walkApp, trail string) {
	c := a.walk.Course()
	if c == nil {
		return
	}
	for c.Undo() != "" {
	}
	if base := c.Base(); len(base) > 0 {
		require.Equal(t, string(base), string(c.Text()), trail)
	} else {
		require.True(t, c.Empty(), trail)
	}
}

func walkStarts(t require.TestingT) []string {
	_, demo := layoutfile.Demo()
	starts := []string{"", string(demo)}
	for _, n := range []string{"figure-eight", "double", "yard", "reversing", "shelf-two-rail"} {
		src, err := os.ReadFile(filepath.Join("..", "testdata", "layouts", n+".hcl"))
		require.NoError(t, err)
		starts = append(starts, string(src))
	}
	return starts
}

// TestWalkManyKeys is the same by brute force; FISHPLATE_MONKEY sets how many
// keys.
func TestWalkManyKeys(t *testing.T) {
	keys := 4000
	if s := os.Getenv("FISHPLATE_MONKEY"); s != "" {
		var err error
		keys, err = strconv.Atoi(s)
		require.NoError(t, err)
	}
	starts := walkStarts(t)
	seed := uint64(7)
	next := func(n int) int { // a linear congruential generator (Knuth, MMIX)
		seed = seed*6364136223846793005 + 1442695040888963407
		return int(seed>>33) % n
	}
	var a *walkApp
	var d *desk
	var trail []string
	for i := 0; i < keys; i++ {
		if a == nil || a.walk.Course() != nil && a.walk.Course().Pieces() > 200 || next(400) == 0 {
			if a != nil {
				allBack(t, a, strings.Join(trail, " "))
			}
			d, trail = newDesk(), nil
			o := walking(d)
			if src := starts[next(len(starts))]; src != "" {
				o = openWalk(t, d, src)
			}
			a = walkTo(o, 80, 24)
		}
		if next(20) == 0 {
			a.send(tea.WindowSizeMsg{Width: 1 + next(300), Height: 1 + next(100)})
		} else {
			k := walkKeys[next(len(walkKeys))]
			trail = append(trail, k)
			a.send(keyMsgs(k)[0])
		}
		require.Nil(t, a.crash, "%v", trail)
		if i%20 == 0 {
			mind(t, a, d, strings.Join(trail, " "))
		}
	}
}

// TestWalkSaves: saving over a file asks first; a file that changed behind our
// back is not lost; comments stay; what cannot be saved is kept.
func TestWalkSaves(t *testing.T) {
	_, demo := layoutfile.Demo()
	d := newDesk()
	a := walkTo(openWalk(t, d, string(demo)), 80, 24, "/", "main 30", "enter", "s", "w")
	assert.Contains(t, a.View(), "which was there before?")
	assert.Equal(t, string(demo), d.files["mine.hcl"])
	assert.NotEmpty(t, d.kept["mine.hcl"])
	a.send(keyMsgs("1")[0])
	assert.Equal(t, 1, d.saves)
	assert.Contains(t, d.files["mine.hcl"], "10 x straight 10")
	assert.Contains(t, d.files["mine.hcl"], "# 1-3: the platform")
	assert.Empty(t, d.kept)

	d.files["mine.hcl"] = "somebody else's"
	for _, k := range []string{"s", "w"} {
		a.send(keyMsgs(k)[0])
	}
	assert.Contains(t, a.View(), "Overwrite it?")
	assert.Equal(t, "somebody else's", d.files["mine.hcl"])
	for _, k := range []string{"2", "other", "enter"} {
		for _, m := range keyMsgs(k) {
			a.send(m)
		}
	}
	assert.Contains(t, d.files["other.hcl"], "11 x straight 10")
	assert.Equal(t, "somebody else's", d.files["mine.hcl"])

	d = newDesk() // two insulated joints become one: the file's reader refuses that, so it is kept and not saved
	a = walkTo(walking(d), 80, 24, "1", "enter", "3", "s", "left", "i", "1", "left", "i", "1", "right", "backspace", "w")
	assert.Empty(t, d.files)
	assert.NotEmpty(t, d.kept["shelf-oval.hcl"])
	assert.Contains(t, a.View(), "cannot be saved as it is")
	for _, k := range []string{"esc", "!"} {
		a.send(keyMsgs(k)[0])
	}
	assert.Contains(t, a.View(), "insulated twice")
	a.send(keyMsgs("esc")[0])
	a.send(keyMsgs("u")[0])
	a.send(keyMsgs("w")[0])
	assert.NotEmpty(t, d.files["shelf-oval.hcl"])
}

// TestWalkGoesOn: g saves and goes to the hunt, k to the check.
func TestWalkGoesOn(t *testing.T) {
	for key, goal := range map[string]walk.Goal{"g": walk.Hunt, "k": walk.Check} {
		d := newDesk()
		a := walkTo(walking(d), 80, 24, "2", "enter", "enter", "f", "enter", "enter", key)
		assert.Equal(t, goal, a.goal, "%s\n%s", key, a.View())
		assert.Equal(t, 1, d.saves)
	}
	a := walkTo(walking(newDesk()), 80, 24, "2", "enter", "enter", "g")
	assert.Contains(t, a.View(), "a hunt needs a supply and a feeder")
}

// TestWalkShapes: every ready shape comes from the menu with its proposed
// sizes, and is good.
func TestWalkShapes(t *testing.T) {
	for i, s := range shape.All() {
		a := walkTo(walking(newDesk()), 80, 24, strconv.Itoa(i+2), "enter", "enter")
		require.NotNil(t, a.walk.Course(), "%s\n%s", s.Name, a.View())
		_, good := a.walk.Course().Layout()
		assert.True(t, good, s.Name)
		o := walking(newDesk())
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
	a := walkTo(walking(d), 40, 20, "1", "enter", "*", "8", "*", "4", "enter", "7", "+", "+", "+", "8", "8", "9", "-", "8", "8", "7", "*", "4", "enter", "/", "1")
	require.NotNil(t, a.walk.Course())
	assert.True(t, a.walk.Course().Here().Closes, a.View())
	assert.Equal(t, 16, a.walk.Course().Pieces())
	for _, k := range []string{"0", "enter", "enter", "/", "3"} {
		a.send(keyMsgs(k)[0])
	}
	f, problems := layoutfile.Read("x", []byte(d.files["shelf-oval.hcl"]))
	require.NotNil(t, f, "%v", problems)
	assert.Empty(t, problems)
	assert.Len(t, f.Layout.Feeders, 1)
}

// TestWalkBurst: keys that come in one read mean what they mean one by one.
func TestWalkBurst(t *testing.T) {
	slow := walkTo(walking(newDesk()), 80, 24, "1", "enter", "3", "s", "4", "l", "t", "l")
	fast := walkTo(walking(newDesk()), 80, 24, "1", "enter", "3s4ltl")
	assert.Equal(t, string(slow.walk.Course().Text()), string(fast.walk.Course().Text()))
	assert.Equal(t, slow.View(), fast.View())
}

// TestWalkSides: a track that leaves to the left lies on the left of someone
// who walks along +x (y grows), and so does one that joins from the left.
func TestWalkSides(t *testing.T) {
	for _, way := range []struct {
		keys []string
		up   bool
	}{{[]string{"t", "l"}, true}, {[]string{"t", "r"}, false}, {[]string{"j", "l"}, true}, {[]string{"j", "r"}, false}} {
		a := walkTo(walking(newDesk()), 80, 24, append([]string{"1", "enter", "s"}, way.keys...)...)
		l, _ := a.walk.Course().Layout()
		p := &l.Pieces[1]
		end := p.Ends[p.EndIndex(track.EndDiverging)].Pose
		assert.Equal(t, way.up, end.Y > 0, "%v: the other leg ends at y = %.0f", way.keys, end.Y)
		points := p.Ends[p.EndIndex(track.EndPoints)].Pose
		assert.Equal(t, way.keys[0] == "j", points.X > end.X, "%v: the points lie ahead where a track joins", way.keys)
	}
}

// TestWalkFigureEight walks one in, over its crossing twice, with a size typed.
func TestWalkFigureEight(t *testing.T) {
	a := walkTo(walking(newDesk()), 80, 24, "1", "enter", "x", "S", "4", "10.5", "enter", "6", "l", "s", "x", "1", "s", "6", "r", "s", "c")
	c := a.walk.Course()
	assert.True(t, c.Here().Closes, a.View())
	assert.Empty(t, c.Troubles())
	assert.Equal(t, 17, c.Pieces())
	l, good := c.Layout()
	require.True(t, good)
	assert.Less(t, l.Runs[0].MissMM, 1.0)
}

// TestWalkBackToSizes: undo before the first step of a ready shape asks for
// its sizes again.
func TestWalkBackToSizes(t *testing.T) {
	a := walkTo(walking(newDesk()), 80, 24, "2", "enter", "enter", "s", "u", "u")
	assert.Contains(t, a.View(), "straights along each long side")
	for _, k := range []string{"down", "down", "2", "enter"} {
		a.send(keyMsgs(k)[0])
	}
	assert.Equal(t, 12, a.walk.Course().Pieces())
}

// TestWalkClick: a click on a piece of the map goes behind it.
func TestWalkClick(t *testing.T) {
	_, demo := layoutfile.Demo()
	a := walkTo(openWalk(t, newDesk(), string(demo)), 80, 24)
	lines := strings.Split(trimmed(a.View()), "\n")
	y := slices.IndexFunc(lines, func(s string) bool { return strings.Contains(s, "coal mine") }) + 1
	x := strings.Index(lines[y], "]")
	require.Positive(t, x, lines[y])
	a.send(tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	p := a.walk.Course().Behind()
	require.NotNil(t, p)
	assert.Contains(t, []string{"spur 8", "spur 7"}, a.walk.Course().Title(p))
	a.send(tea.MouseMsg{X: 70, Y: 999, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, p, a.walk.Course().Behind())
}

// BenchmarkWalkKey is a piece laid and taken out again on layouts of 60, 200
// and 1,000 pieces at 80x24, from the key to the frame.
func BenchmarkWalkKey(b *testing.B) {
	for _, n := range []int{60, 200, 1000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			s, err := shape.Find("oval-siding")
			require.NoError(b, err)
			c, err := s.Make("big", "metal-tie", false, map[string]string{"before": strconv.Itoa(n/8 - 4), "between": strconv.Itoa(n / 6), "after": strconv.Itoa(n/8 - 4)})
			require.NoError(b, err)
			o := walking(nil)
			o.Course = c
			a := walkTo(o, 80, 24, "/", "main 9", "enter")
			key, back := keyMsgs("s")[0], keyMsgs("u")[0]
			for b.Loop() {
				a.send(key)
				a.send(back)
			}
			b.ReportMetric(float64(c.Pieces()), "pieces")
		})
	}
}
