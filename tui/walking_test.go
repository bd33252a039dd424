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

// newWalk is the walk of a new layout.
func newWalk(d *desk) WalkOptions {
	o := WalkOptions{}
	if d != nil {
		o.Save, o.Keep = d.save, d.keep
	}
	o.Setup = walk.Setup{Path: "shelf-oval.hcl"}
	o.Check = func(path string, width int) (string, error) {
		return "WRONG\n 1. " + path + ": nothing, in a test.\n", nil
	}
	for _, c := range layoutfile.Constructions() {
		o.Constructions = append(o.Constructions, walk.Construction{Name: c.Name, About: c.About})
	}
	return o
}

// openWalk is the walk of a file that was there before.
func openWalk(t require.TestingT, d *desk, src string) WalkOptions {
	f, problems := layoutfile.Read("x", []byte(src))
	require.NotNil(t, f, "%v", problems)
	o := newWalk(d)
	var err error
	o.Course, err = course.Open(f)
	require.NoError(t, err)
	o.Path, o.Exists = "mine.hcl", true
	d.files[o.Path], d.known[o.Path] = src, src
	return o
}

// walked is the root that begins in a walk.
func walked(o WalkOptions) Options {
	out := Options{Walk: &o, ASCII: o.ASCII}
	out.defaults()
	return out
}

func walkTo(o WalkOptions, w, h int, keys ...string) *app {
	a := newApp(walked(o))
	send(a, tea.WindowSizeMsg{Width: w, Height: h})
	for _, k := range keys {
		for _, m := range keyMsgs(k) {
			send(a, m)
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
    "turnout right trailing diameter 31 angle 45 through 10 as W2", "4 x straight 10",
    "4 x curve left diameter 31 angle 45",
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
		keys := flat([]string{"1", "enter"}, way.n(3, "s"), []string{"f", "enter", "enter", "t", "l"}, way.n(18, "s"),
			[]string{"j", "l"},
			way.n(4, "s"), way.n(4, "l"), way.n(14, "s"), []string{"f", "enter"}, way.n(13, "s"), way.n(4, "l"),
			[]string{"c"},
			[]string{"/", "W1", "enter", "d", "enter", "r"}, way.n(15, "s"), []string{"r", "c", "1", "w"})
		d := newDesk()
		a := walkTo(newWalk(d), 80, 24, keys...)
		require.Equal(t, 1, d.saves, a.View())
		got, problems := layoutfile.Read("got", []byte(d.files["shelf-oval.hcl"]))
		require.Empty(t, problems)
		want, problems := layoutfile.Read("want", []byte(eighty))
		require.Empty(t, problems)
		assert.Equal(t, unlined(want.Layout), unlined(got.Layout))
		assert.Len(t, got.Layout.Pieces, 80)
		assert.Empty(t, d.kept, "what is saved is not kept beside it")
		n := presses(keys)
		t.Logf("%s: %d pieces, a siding and %d feeders in %d key presses", way.name, len(got.Layout.Pieces),
			len(got.Layout.Feeders), n)
		assert.Less(t, n, 150, way.name)
	}
}

// unlined takes the lines of the file out of a layout.
func unlined(l *track.Layout) track.Layout {
	out := *l
	out.Pieces, out.Joints = slices.Clone(l.Pieces), slices.Clone(l.Joints)
	out.Feeders, out.Supplies = slices.Clone(l.Feeders), slices.Clone(l.Supplies)
	out.Buses, out.Toggles, out.Blocks = slices.Clone(l.Buses), slices.Clone(l.Toggles), slices.Clone(l.Blocks)
	out.Accessories, out.InsulatedRails = slices.Clone(l.Accessories), slices.Clone(l.InsulatedRails)
	for i := range out.Buses {
		out.Buses[i].Line = 0
	}
	for i := range out.Toggles {
		out.Toggles[i].Line = 0
	}
	for i := range out.Blocks {
		out.Blocks[i].Line = 0
	}
	for i := range out.Accessories {
		out.Accessories[i].Line = 0
	}
	for i := range out.InsulatedRails {
		out.InsulatedRails[i].Line = 0
	}
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
	{"demo-power", true, []string{"p"}},
	{"demo-supply", true, []string{"p", "2"}},
	{"demo-refused", true, []string{"p", "2", "1", "99", "enter"}},
	{"demo-bus", true, []string{"p", "3", "1", "enter"}},
	{"demo-question-help", true, []string{"p", "3", "?"}},
	{"demo-toggle", true, []string{"p", "3", "+", "p", "4"}},
	{"demo-hangs", true, []string{"p", "3", "+", "f"}},
	{"demo-block", true, []string{"p", "4", "+", "/", "main 5", "enter", "p", "5"}},
	{"demo-accessory", true, []string{"p", "6", "3"}},
	{"demo-rail", true, []string{"/", "main 28", "enter", "p", "6", "3", "enter", "enter", "enter", "enter", "2", "1"}},
	{"demo-under", true, []string{"p", "3", "+", "p", "8"}},
	{"demo-change", true, []string{"p", "3", "+", "p", "8", "2"}},
	{"demo-needed", true, []string{"p", "8", "1", "5"}},
	{"demo-leave", true, []string{"/", "main 30", "enter", "s", "q"}},
}

// TestWalkFrames compares the walk with what it was; see TestFrames.
func TestWalkFrames(t *testing.T) {
	_, demo := layoutfile.Demo()
	for _, way := range walkWays {
		everyFrame(t, "walk-"+way.name, func() Options {
			if way.demo {
				return walked(openWalk(t, newDesk(), string(demo)))
			}
			return walked(newWalk(newDesk()))
		}, way.keys...)
	}
}

var walkKeys = []string{"s", "l", "r", "t", "l", "j", "r", "x", "b", "1", "2", "3", "enter", "enter", "S", "L", "T",
	"X", "c", "d", "v", "o", "e", "f", "i", "h", "m", "n", "a", "y", "p",
	"p", "p", "u", "U", "left", "right", "up", "down", "home", "end", "pgup", "pgdown", "/", "!", "z", "tab", "*", "+",
	"-", "w", "q", "g", "k", "?", "esc", "esc", "backspace", "delete",
	":", "ctrl+z", " ", "W1", "main 7", "é漢", "tunnel", "\x1b", "\u202e", "0", ".", "r15.5 22.5", "8", "9"}

// TestWalkMonkey presses any keys in windows of any size, on new layouts and
// on those that are there: nothing panics, no frame leaves its window, what
// was kept on the way is what stands on the screen, and undo all the way back
// gives the start.
func TestWalkMonkey(t *testing.T) {
	starts := walkStarts(t)
	rapid.Check(t, func(t *rapid.T) {
		d := newDesk()
		o := newWalk(d)
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
				send(a, tea.WindowSizeMsg{Width: w, Height: h})
				send(a, tea.MouseMsg{X: w / 2, Y: rapid.IntRange(0, h).Draw(t, "y"), Action: tea.MouseActionPress,
					Button: tea.MouseButtonLeft})
			} else {
				k := rapid.SampledFrom(walkKeys).Draw(t, "key")
				trail = append(trail, k)
				send(a, keyMsgs(k)[0])
			}
			mind(t, a, d, strings.Join(trail, " "))
		}
		allBack(t, a, strings.Join(trail, " "))
	})
}

// mind checks what must hold after every key.
func mind(t require.TestingT, a *app, d *desk, trail string) {
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
func allBack(t require.TestingT, a *app, trail string) {
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
	for _, n := range []string{"figure-eight", "double", "yard", "reversing", "shelf-two-rail", "blocks", "rail-tied",
		"two-cabs"} {
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
	var a *app
	var d *desk
	var trail []string
	for i := 0; i < keys; i++ {
		if a == nil || a.walk.Course() != nil && a.walk.Course().Pieces() > 200 || next(400) == 0 {
			if a != nil {
				allBack(t, a, strings.Join(trail, " "))
			}
			d, trail = newDesk(), nil
			o := newWalk(d)
			if src := starts[next(len(starts))]; src != "" {
				o = openWalk(t, d, src)
			}
			a = walkTo(o, 80, 24)
		}
		if next(20) == 0 {
			send(a, tea.WindowSizeMsg{Width: 1 + next(300), Height: 1 + next(100)})
		} else {
			k := walkKeys[next(len(walkKeys))]
			trail = append(trail, k)
			send(a, keyMsgs(k)[0])
		}
		if i%20 == 0 {
			mind(t, a, d, strings.Join(trail, " "))
		}
	}
}

// TestWalkRemarkLeavesKeys: what was just said stands beside the keys where there are two
// lines for them.
func TestWalkRemarkLeavesKeys(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {40, 20}} {
		d := newDesk()
		a := walkTo(openWalk(t, d, eighty), size[0], size[1], "w")
		frame := trimmed(a.View())
		assert.Contains(t, frame, "mine.hcl holds all of it already", size)
		assert.Contains(t, frame, "? help", size)
	}
}
