package tui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile"
)

// wired is the layout that TestWalkWiring walks in, written by hand: invented.
const wired = `
name         = "shelf oval"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["8 x straight 10", "4 x curve left diameter 31 angle 45", "2 x straight 10",
    "4 x straight 10 untied", "2 x straight 10", "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
supply "T2" {
  current = "ac"
  volts   = 14
  breaker = 5
  phase   = "in phase"
  common  = "T1"
}
bus "B1" {
  supply    = "T1"
  terminals = 3
  wire      = "14 AWG"
  length    = "20 ft"
}
strip "P1" {
  bus       = "B1"
  terminal  = 3
  terminals = 6
  wire      = "16 AWG"
  length    = "2 ft"
}
toggle "S1" {
  bus      = "B1"
  terminal = 1
  switches = "hot"
  usually  = "on"
}
toggle "S2" {
  supply   = "T1"
  other    = "T2"
  switches = "both"
  middle   = "off"
  usually  = "middle"
}
feeder "F1" {
  at       = "main 14"
  bus      = "P1"
  terminal = 1
  wire     = "16 AWG"
  length   = "6 ft"
}
feeder "F2" {
  at     = "main 4/5"
  toggle = "S1"
  wire   = "18 AWG"
  length = "18 in"
}
insulated "main 24/1" { rails = ["center"] }
insulated "main 8/9" { rails = ["center"] }
insulated "main 14/15" { rails = ["left"] }
insulated "main 18/19" { rails = ["left"] }
block "front" {
  from   = "main 1"
  to     = "main 8"
  toggle = "S1"
}
accessory "lamp" {
  kind   = "lamp"
  volts  = 18
  amps   = 0.3
  at     = "main 12"
}
accessory "gate" {
  kind   = "motor"
  volts  = 14
  amps   = 0.8
  supply = "T2"
}
insulated_rail "gate rail" {
  rail   = "left"
  from   = "main 14/15"
  to     = "main 18/19"
  tap    = "main 17"
  works  = "gate"
  wire   = "18 AWG"
  length = "4 ft"
}
`

// sameWalked compares what was saved with a layout written by hand, whatever
// the order of its insulated joints.
func sameWalked(t *testing.T, want, got string) {
	t.Helper()
	w, problems := layoutfile.Read("want", []byte(want))
	require.NotNil(t, w, "%v", problems)
	g, problems := layoutfile.Read("got", []byte(got))
	require.NotNil(t, g, "%v\n%s", problems, got)
	assert.Equal(t, unlined(w.Layout), unlined(g.Layout), got)
}

// TestWalkKeys: 36 pieces with a siding, a spur, a feeder, a bus, an accessory and
// its insulated rail, saved, take no more than 60 keys as the screens propose
// things; the file has no trouble in it.
func TestWalkKeys(t *testing.T) {
	d := newDesk()
	keys := []string{"enter", "enter", "2", "s", "f", "enter", "enter", // name, T1 and F1 as proposed
		"t", "l", "6", "s", "j", "l", "4", "l", "4", "s", "t", "r", "5", "s", "4", "l", "c", // the loop
		"d", "1", "r", "3", "s", "r", "c", "1", // the siding
		"d", "s", "b", // the spur
		"p", "3", "+", // the bus
		"up", "up", "home", "p", "6", "+", // a lamp
		"p", "7", "+", // the rail that works it
		"w", "enter"}
	a := walkTo(newWalk(d), 80, 24, keys...)
	require.Equal(t, 1, d.saves, a.View())
	c := a.walk.Course()
	assert.Equal(t, 36, c.Pieces())
	assert.Empty(t, c.Troubles())
	l, good := c.Layout()
	require.True(t, good)
	assert.Equal(t, []int{3, 1, 1, 1, 1}, []int{len(l.Runs), len(l.Feeders), len(l.Buses), len(l.Accessories),
		len(l.InsulatedRails)})
	n := presses(keys)
	t.Logf("%d key presses", n)
	assert.LessOrEqual(t, n, 60)
}

// TestWalkWiring walks everything that carries current in from nothing: what
// is saved is the layout written by hand, and the wiring takes few keys.
func TestWalkWiring(t *testing.T) {
	d := newDesk()
	track := []string{"1", "enter", "8", "s", "4", "l", "8", "s", "4", "l", "c"}
	wires := []string{"p", "2", "enter", // T1, as proposed
		"p", "2", "1", "14", "enter", "5", "enter", "2", "2", "enter", // T2
		"p", "3", "1", "1", "enter", "enter", "3", "enter", "enter", // B1
		"p", "3", "2", "3", "3", "enter", "16", "enter", "2", "enter", "6", "enter", "enter", // P1
		"p", "4", "3", "1", "enter", "1", "1", "1", "enter", // S1: T2 as second position is not wanted
		"p", "4", "1", "3", "2", "2", "3", "enter", // S2, off in the middle
		"/", "14", "enter", "f", "4", "enter", "+", // F1
		"/", "4", "enter", "f", "5", "18", "enter", "18 in", "enter", "enter", // F2, on S1
		"home", "p", "5", "8", "enter", "1", "1", "front", "enter", // the block
		"/", "12", "enter", "p", "6", "1", "7", "enter", "0.3", "enter", "enter", // a lamp on the track
		"/", "14", "enter", "p", "6", "3", "2", "+", // the gate
		"p", "7", "1", "4", "enter", "3", "enter", "+", "w"}
	a := walkTo(newWalk(d), 80, 24, append(track, wires...)...)
	require.Equal(t, 1, d.saves, a.View())
	got := d.files["shelf-oval.hcl"]
	sameWalked(t, strings.Replace(wired, `"main 14"`, `"main 14/15"`, 1), got)
	n := presses(wires)
	t.Logf("2 supplies, a bus, a strip, 2 toggles, 2 feeders, a block, 2 accessories and an insulated rail in %d key "+
		"presses", n)
	assert.Less(t, n, 200)
	c := a.walk.Course()
	for c.Undo() != "" {
	}
	assert.True(t, c.Empty())
	for c.Redo() != "" {
	}
	assert.Equal(t, got, string(c.Text()))
}

// TestWalkWiringByPad enters a bus, a toggle, its feeder and its block with the
// number pad alone, at 40x20.
func TestWalkWiringByPad(t *testing.T) {
	d := newDesk()
	power := func(keys ...string) []string { return append([]string{"/", "6", "-", "/", "6"}, keys...) } // back once
	var keys []string
	for _, k := range [][]string{{"1", "enter", "*", "8", "*", "4", "enter", "7", "*", "4", "enter", "8", "*", "4",
		"enter", "7", "*", "4", "enter", "/", "1"},
		{"0", "enter", "enter"}, power("3", "1", "-", "-", "/", "6", "3", "+"), power("4", "2", "+"),
		{"/", "4", "6", "enter", "0", "3", "+", "/", "4", "4", "enter"},
		power("5", "8", "enter", "+"), power("6", "1", "1", "+"), power("8", "4", "2", "1", "4", "enter"), {"/", "3"}} {
		keys = append(keys, k...)
	}
	for _, k := range keys {
		require.True(t, k == "enter" || len(k) == 1 && strings.Contains("0123456789.+-*/", k),
			"%q is not on the number pad", k)
	}
	a := walkTo(newWalk(d), 40, 20, keys...)
	f, problems := layoutfile.Read("x", []byte(d.files["shelf-oval.hcl"]))
	require.NotNil(t, f, "%v\n%s\n%s", problems, a.View(), a.walk.Course().Text())
	l := f.Layout
	require.Len(t, l.Buses, 1)
	require.Len(t, l.Toggles, 1)
	require.Len(t, l.Feeders, 2)
	require.Len(t, l.Blocks, 1)
	require.Len(t, l.Accessories, 1)
	assert.Len(t, l.Blocks[0].Pieces, 8)
	assert.Equal(t, 0, l.Blocks[0].Toggle)
	assert.Equal(t, "14 AWG", l.Feeders[0].Wire)
}

func wiredLayout(t *testing.T, name string) string {
	src, err := os.ReadFile(filepath.Join("..", "testdata", "layouts", name+".hcl"))
	require.NoError(t, err)
	return string(src)
}

// TestWalkChangesWiring changes what a file holds under the table: names that
// refer to it follow, what hung on what goes away hangs on what that hung on,
// comments stay, and all of it can be taken back.
func TestWalkChangesWiring(t *testing.T) {
	src := wiredLayout(t, "blocks")
	d := newDesk()
	a := walkTo(openWalk(t, d, src), 80, 24, "p", "8", "2", "5", "trunk", "enter") // the bus: its name
	c := a.walk.Course()
	text := string(c.Text())
	assert.Equal(t, 0, strings.Count(text, `"B1"`), text)
	assert.Equal(t, 4, strings.Count(text, `"trunk"`), text)
	assert.Contains(t, text, "# under the long side of the table")
	_, good := c.Layout()
	assert.True(t, good)

	for _, m := range []string{"p", "8", "2", "2", "10", "enter"} { // 10 AWG
		for _, k := range keyMsgs(m) {
			send(a, k)
		}
	}
	assert.Contains(t, string(c.Text()), `"10 AWG"`)

	send(a, keyMsgs("p")[0])
	send(a, keyMsgs("8")[0])
	send(a, keyMsgs("4")[0]) // toggle S1
	assert.Contains(t, a.View(), "toggle S1 on bus trunk terminal 1")
	send(a, keyMsgs("5")[0]) // take it away: F1 needs it
	assert.Contains(t, a.View(), "hang them on bus trunk terminal 1")
	send(a, keyMsgs("1")[0])
	text = string(c.Text())
	assert.NotContains(t, text, `"S1"`)
	_, good = c.Layout()
	assert.True(t, good, text)

	for c.Undo() != "" {
	}
	assert.Equal(t, src, string(c.Text()))
}

// TestWalkTogglesAgree: one change of a toggle takes along what no longer fits,
// and a bus becomes a ring.
func TestWalkTogglesAgree(t *testing.T) {
	a := walkTo(openWalk(t, newDesk(), wired), 80, 24, "p", "8", "6", "3", "1") // S2: its second position is off now
	c := a.walk.Course()
	_, good := c.Layout()
	require.True(t, good, "%s\n%s", a.View(), c.Text())
	assert.NotContains(t, string(c.Text()), "middle")
	for _, k := range []string{"u", "p", "8", "6", "2", "4"} { // crosses the wires: it feeds from one supply only
		send(a, keyMsgs(k)[0])
	}
	_, good = c.Layout()
	require.True(t, good, "%s\n%s", a.View(), c.Text())
	assert.NotContains(t, string(c.Text()), "other")
	for _, k := range []string{"p", "8", "3", "6", "9", "enter"} {
		send(a, keyMsgs(k)[0])
	}
	l, good := c.Layout()
	require.True(t, good, "%s\n%s", a.View(), c.Text())
	assert.InDelta(t, 9*304.8, l.Buses[0].RingMM, 1e-9)
	for c.Undo() != "" {
	}
	assert.Equal(t, wired, string(c.Text()))
}

// TestWalkTakesWiringAway: a supply that is needed goes with what hangs on it,
// or what hangs on it goes over to another one.
func TestWalkTakesWiringAway(t *testing.T) {
	for _, key := range []string{"1", "2"} {
		a := walkTo(openWalk(t, newDesk(), wiredLayout(t, "two-cabs")), 80, 24)
		c := a.walk.Course()
		supplies, feeders := len(c.Wiring().Supplies()), len(c.Wiring().Feeders())
		for _, k := range []string{"p", "8", "1", "7", key} {
			send(a, keyMsgs(k)[0])
		}
		l, good := c.Layout()
		require.True(t, good, "%s\n%s", a.View(), c.Text())
		assert.Equal(t, supplies-1, len(l.Supplies), string(c.Text()))
		if key == "1" {
			assert.Equal(t, feeders, len(l.Feeders))
		} else {
			assert.Less(t, len(l.Feeders), feeders)
		}
	}
}

// TestWalkRefusesWiring: a wrong answer is said in plain words, the question
// stays, and nothing is laid.
func TestWalkRefusesWiring(t *testing.T) {
	_, demo := layoutfile.Demo()
	for _, way := range []struct {
		keys []string
		says string
	}{
		{[]string{"p", "2", "1", "99", "enter"}, "volts: give a number from 0.5 to 60"},
		{[]string{"p", "2", "1", "18", "enter", "x", "enter"}, "breaker: give a number from 0.1 to 100"},
		{[]string{"p", "2", "1", "18", "enter", "10", "enter", "1", "1", "F1", "enter"},
			`a feeder is called "F1" already`},
		{[]string{"p", "3", "1", "rope", "enter"}, "wire: write a gauge or a cross-section"},
		{[]string{"p", "3", "1", "enter", "long", "enter"}, "length: write a length"},
		{[]string{"p", "3", "1", "enter", "enter", "1.5", "enter"}, "terminals: give a whole number from 1 to 100"},
		{[]string{"p", "3", "1", "enter", "enter", "enter", "W1", "enter"}, `the track has the name "W1" already`},
		{[]string{"/", "siding 2", "enter", "p", "5"}, "make a toggle first: p 4"},
		{[]string{"p"}, "(not now: first its accessory: p 6)"}, // told before it is chosen
		{[]string{"p", "7"}, "first its accessory"},
		{[]string{"p", "6", "1", "1", "0", "enter"}, "volts: give a number from 0.5 to 60"},
		{[]string{"p", "9"}, "choose 1 to 8, or Esc"},
	} {
		a := walkTo(openWalk(t, newDesk(), string(demo)), 80, 24, way.keys...)
		assert.Contains(t, strings.Join(strings.Fields(trimmed(a.View())), " "), way.says, "%v\n%s", way.keys,
			trimmed(a.View()))
		assert.Equal(t, string(demo), string(a.walk.Course().Text()), "%v", way.keys)
		assert.Equal(t, 0, a.walk.Course().Undos())
	}
	two := walkTo(openWalk(t, newDesk(), wiredLayout(t, "shelf-two-rail")), 80, 24, "home", "right", "right", "p", "7")
	assert.Contains(t, two.View(), "three-rail")
}

// TestAccessoryOutletsHaveOneOrder: the same key is the same answer, whatever the
// accessory is.
func TestAccessoryOutletsHaveOneOrder(t *testing.T) {
	_, demo := layoutfile.Demo()
	for _, kind := range []string{"1", "3", "4"} { // a lamp, a gate, a lit bumper
		seen := trimmed(walkTo(openWalk(t, newDesk(), string(demo)), 80, 24, "p", "6", kind).View())
		assert.Regexp(t, `(?s)1\s+supply T1.*2\s+the track here`, seen, kind)
	}
}

// TestWalkQuestionsGoBack: Esc goes one question back with the answers kept,
// and at the first one nothing has changed.
func TestWalkQuestionsGoBack(t *testing.T) {
	_, demo := layoutfile.Demo()
	a := walkTo(openWalk(t, newDesk(), string(demo)), 80, 24, "p", "3", "1", "12", "enter", "30", "enter", "esc", "esc")
	assert.Contains(t, a.View(), "12 AWG")
	for _, k := range []string{"enter", "enter", "6", "enter", "enter"} {
		send(a, keyMsgs(k)[0])
	}
	text := string(a.walk.Course().Text())
	assert.Contains(t, text, `length    = "30 ft"`)
	assert.Contains(t, text, `wire      = "12 AWG"`)
	assert.Contains(t, text, "terminals = 6")
	b := walkTo(openWalk(t, newDesk(), string(demo)), 80, 24, "p", "3", "1", "esc", "esc")
	assert.Equal(t, string(demo), string(b.walk.Course().Text()))
	assert.Contains(t, b.View(), "nothing changed")
}

// TestWalkEnterOnce: an Enter too many behind an answer lays no piece, nor behind the + that
// takes all answers as proposed.
func TestWalkEnterOnce(t *testing.T) {
	b := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "3", "s", "f", "enter", "enter", "p", "6", "1", "+", "enter")
	assert.Equal(t, 3, b.walk.Course().Pieces())
	assert.Contains(t, b.View(), "once more, if you mean it")
	a := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "3", "s", "f", "enter", "enter", "enter")
	assert.Equal(t, 3, a.walk.Course().Pieces())
	assert.Contains(t, a.View(), "once more, if you mean it")
	send(a, keyMsgs("enter")[0])
	assert.Equal(t, 4, a.walk.Course().Pieces())
}

// TestWalkBlockProposed: a block is proposed up to the next insulated joint,
// else 8 pieces or what is left of the run; the only insulated joint, where one
// stands, does not make the whole round a block.
func TestWalkBlockProposed(t *testing.T) {
	oval := []string{"2", "enter", "enter", "f", "enter", "enter", "p", "4", "+", "home"} // 20 pieces that close
	proposed := func(keys ...string) string {
		a := walkTo(newWalk(newDesk()), 80, 24, append(append([]string{}, oval...), keys...)...)
		require.Equal(t, 20, a.walk.Course().Stretches().Room())
		_, after, found := strings.Cut(trimmed(a.View()), "belong to the block?\n>  ")
		require.True(t, found, trimmed(a.View()))
		n, _, _ := strings.Cut(after, "\n")
		return n
	}
	assert.Equal(t, "8", proposed("p", "5"))
	assert.Equal(t, "3", proposed("right", "right", "right", "i", "enter", "home", "p", "5"))
	assert.Equal(t, "12", proposed("pgdown", "right", "right", "i", "enter", "home", "p", "5"))
	assert.Equal(t, "8", proposed("right", "right", "right", "i", "enter", "p", "5"), "the joint where one stands")

	spur := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "5", "s", "f", "enter", "enter", "p", "4", "+",
		"home", "p", "5")
	assert.Contains(t, trimmed(spur.View()), "\n>  5\n")
	for _, k := range []string{"9", "0", "0", "enter"} {
		send(spur, keyMsgs(k)[0])
	}
	assert.Contains(t, spur.View(), "5 pieces lie ahead of you on this run")
	assert.Empty(t, spur.walk.Course().Things().Named("block"))
}
