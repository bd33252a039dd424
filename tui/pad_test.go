package tui

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
	"fishplate/tui/asking"
	"fishplate/tui/evidence"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
)

// padKeys are what a number pad has.
const padKeys = "0123456789.,+-*/"

// TestWholeHuntOnTheNumberPad: from the symptom with a place to the proof,
// with the keys of the number pad and Enter alone.
func TestWholeHuntOnTheNumberPad(t *testing.T) {
	keys := []string{"3", "2.3", "enter", // stalls at the third piece of the second run
		"6", "6", "enter", "enter", // the lamp off and on again, go on, understood
		"1",                                                                // beeps
		"/", "enter", "enter", "enter", "enter", "enter", "enter", "enter", // why, read to its end
		"*", "40.5", "enter", // from afar
		"-", "enter", "40", "enter", // taken back, another
		".", "enter", // can't reach
		"0", "1", // silent, beeps
		"+", "1", "enter"} // the second piece was it
	for _, k := range keys {
		if k != "enter" {
			for _, r := range k {
				require.Contains(t, padKeys, string(r))
			}
		}
	}
	a, s := at(scripted(), keys...)
	var said []string
	for _, e := range s.Events {
		switch {
		case e.Symptom != nil:
			said = append(said, string(e.Symptom.Kind)+" "+e.Symptom.At)
		case e.Reading != "":
			said = append(said, e.Reading)
		case e.Skip != "":
			said = append(said, "skip")
		case e.Found != "":
			said = append(said, "found")
		}
	}
	assert.Equal(t, []string{"weak siding 3", "beep", "40", "skip", "no", "beep", "found"}, said)
	require.Equal(t, scene.Done, a.at)
	press(a, "0", "enter")
	assert.Contains(t, trimmed(a.View()), "PROVEN")
	press(a, "-", "enter")
	assert.NotContains(t, trimmed(a.View()), "PROVEN")
}

// TestOverOnThePad: a lone + is OL; a figure that begins with a sign is not.
func TestOverOnThePad(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1", "+", "enter")
	require.Len(t, s.Events, 3)
	assert.Equal(t, "OL", s.Events[2].Reading)
	assert.Equal(t, "", typed(a))
	press(a, "-3")
	assert.Equal(t, "-3", typed(a))
	assert.Contains(t, trimmed(a.View()), "Enter takes it")
}

// TestPadSaysItWhole: what a sign means, and that Enter sends it, fits on a
// phone's width.
func TestPadSaysItWhole(t *testing.T) {
	for sign, want := range map[string]string{"+": "= OL, over the range: Enter",
		"-": "= take back the last answer: Enter", ".": "= can't reach, ask another: Enter",
		",": "= can't reach, ask another: Enter"} {
		a, _ := at(scripted(), "1", "enter", "enter", sign)
		send(a, tea.WindowSizeMsg{Width: 40, Height: 20})
		assert.Contains(t, trimmed(a.View()), want+"\n")
	}
	a, _ := at(scripted(), "1", "enter", "enter", "21")
	send(a, tea.WindowSizeMsg{Width: 40, Height: 20})
	assert.Contains(t, trimmed(a.View()), "Enter takes it, - erases, Esc clears\n")
}

// TestNumbersOfReadings: in the list a number chooses the reading that it stands before.
func TestNumbersOfReadings(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1", "40", "enter", "0", "e", "2", "x")
	require.Equal(t, 2, s.Events[len(s.Events)-1].Change.N)
	press(a, "9", "0", "1", "enter", "50", "enter")
	require.Equal(t, hunt.Change{N: 1, Reading: "50"}, *s.Events[len(s.Events)-1].Change)
}

// TestErasingOnThePad: "-" behind a figure erases, on the empty line it goes on
// meaning undo; Esc clears the line; a digit that erasing left waits for Enter.
func TestErasingOnThePad(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "12")
	press(a, "-")
	assert.Equal(t, "1", typed(a))
	require.Len(t, s.Events, 1, "the 1 that is left is not a beep yet")
	press(a, "enter")
	require.Len(t, s.Events, 2)
	assert.Equal(t, "beep", s.Events[1].Reading)
	press(a, "413", "-", "-", "0", "enter")
	require.Len(t, s.Events, 3)
	assert.Equal(t, "40", s.Events[2].Reading)
	press(a, "-", "enter")
	assert.Len(t, s.Events, 2, "undone")
	press(a, "212 mV", "esc")
	assert.Equal(t, "", typed(a))
	press(a, "nothing", "enter", "esc")
	assert.Equal(t, "", typed(a))
	assert.NotContains(t, trimmed(a.View()), "is no reading")
}

// TestHandsInSight: through real hunts on the demo at 80x24 and at 40x20, all that
// hands need stands on the screen without scrolling: on the leaves of a reading
// that Enter turns, every caution, every step and what must stay, and on the last
// one the dial, both probes and the line for the answer.
func TestHandsInSight(t *testing.T) {
	if testing.Short() {
		t.Skip("six hunts at two sizes")
	}
	file, problems := layoutfile.Read(layoutfile.Demo())
	require.False(t, problems.Errors())
	for _, kit := range []hunt.Kit{{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true},
		{Beeper: true},
		{Volts: true, Millivolts: true, Lamp: true, DCVolts: 12, Battery: true}} {
		for _, symptom := range []string{"1", "4"} {
			o := Options{Layout: file.Layout, Kit: kit, KitKnown: true, OneKey: 1}
			o.defaults()
			a := newApp(o)
			settle(a, a.Init())
			send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
			begin(a, symptom)
			for n := 0; n < 6 && a.sc.View.Step.Ask != nil; n++ {
				inSightAtBoth(t, a, a.sc.View.Step.Ask)
				press(a, likely(a.sc.View.Step.Ask), "enter")
			}
		}
	}
}

// TestHandsInSightAtRandom: the same on other layouts, with answers drawn at
// random from all that the asks expect, each ask in both sizes: 100 hunts, 3 when it
// must be short (FISHPLATE_SIGHT sets another number).
func TestHandsInSightAtRandom(t *testing.T) {
	hunts := 30
	if testing.Short() {
		hunts = 3
	}
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_SIGHT")); err == nil {
		hunts = n
	}
	paths, err := filepath.Glob("../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	rng := rand.New(rand.NewPCG(16, 1))
	kits := []hunt.Kit{{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}, {Beeper: true},
		{Volts: true, Millivolts: true, Lamp: true, DCVolts: 12, Battery: true}}
	asks := 0
	for n := range hunts {
		path := paths[rng.IntN(len(paths))]
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		file, _ := layoutfile.Read(path, text)
		if file == nil {
			continue
		}
		o := Options{Layout: file.Layout, Kit: kits[rng.IntN(len(kits))], KitKnown: true, OneKey: 1}
		o.defaults()
		a := newApp(o)
		settle(a, a.Init())
		send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
		begin(a, []string{"1", "4"}[rng.IntN(2)])
		for k := 0; k < 6 && a.sc.View.Step.Ask != nil && a.at == scene.Hunt; k++ {
			ask := a.sc.View.Step.Ask
			inSightAtBoth(t, a, ask)
			asks++
			one := *ask
			one.Expect = []hunt.Outcome{ask.Expect[rng.IntN(len(ask.Expect))]}
			press(a, likely(&one), "enter")
		}
		require.False(t, t.Failed(), "hunt %d: %s", n, path)
	}
	t.Logf("%d asks of %d hunts", asks, hunts)
	require.Positive(t, asks)
}

// begin tells a symptom, and reads the cautions to their end.
func begin(a *app, symptom string) {
	press(a, symptom, "enter")
	for a.at == scene.Caution {
		press(a, "enter")
	}
}

// inSightAtBoth looks for all of an ask in both sizes: it is thought out once.
func inSightAtBoth(t *testing.T, a *app, ask *hunt.Ask) {
	t.Helper()
	for _, size := range [][2]int{{40, 20}, {80, 24}} {
		send(a, tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		inSight(t, a, ask, size)
	}
}

// inSight turns the leaves of an ask and looks for all of it.
func inSight(t *testing.T, a *app, ask *hunt.Ask, size [2]int) {
	t.Helper()
	last, all := "", ""
	for range 8 {
		press(a, "up")
	}
	for range 8 {
		frame := trimmed(a.View())
		assert.NotRegexp(t, `-- \d+ (more|above):`, frame, "%v, reading %d", size, ask.N)
		left := frame
		if strings.Contains(frame, "THE LAMP") && size[0] >= 80 { // steps on the left, the drawing on the right
			left = ""
			for line := range strings.Lines(frame) {
				left += string([]rune(line)[:min(len([]rune(line)), 80-gear.DrawWidth-2)]) + "\n"
			}
		}
		if frame = strings.Join(strings.Fields(frame), " "); frame == last {
			break
		}
		last = frame
		all += " " + strings.Join(strings.Fields(left), " ") + " " + frame // the drawing may stand below the words
		press(a, "down")
	}
	for _, c := range ask.Cautions[:min(len(ask.Cautions), 1)] {
		assert.Contains(t, last, hunt.Brief(c), "%v, reading %d", size, ask.N)
	}
	for _, s := range ask.Steps {
		assert.Contains(t, all, s, "%v, reading %d", size, ask.N)
	}
	assert.Contains(t, all, ask.Again, "%v, reading %d", size, ask.N)
	if ask.Again != "" { // why may stand on the leaf before, that it is the same reading may not
		assert.Contains(t, last, "THE SAME ONCE MORE", "%v, reading %d", size, ask.N)
	}
	if ask.Aside != nil {
		assert.Contains(t, all, ask.Aside.Says, "%v, reading %d", size, ask.N)
		assert.Contains(t, last, " is not counted", "%v, reading %d", size, ask.N)
	}
	assert.Contains(t, last, "KEEP ", "%v, reading %d", size, ask.N)
	if ask.OfLamp() {
		assert.Contains(t, last, "at the lamp in series: bright, glowing or dark?", "%v, reading %d", size, ask.N)
		assert.Contains(t, last, "THE LAMP IS", "%v, reading %d", size, ask.N)
		return
	}
	assert.Contains(t, last, ask.Dial, "%v, reading %d", size, ask.N)
	for _, point := range []string{ask.Red, ask.Black} {
		d := spot.Describe(a.sc.Layout, spot.Parse(a.sc.Layout, point))
		assert.Contains(t, last, d.What, "%v, reading %d", size, ask.N)
		assert.Contains(t, last, d.Near, "%v, reading %d", size, ask.N)
	}
	assert.Contains(t, last, "METER SHOWS", "%v, reading %d", size, ask.N)
	for _, j := range ask.Setup.Lifted {
		assert.Contains(t, last, j, "%v, reading %d: open", size, ask.N)
	}
}

// TestEverySize: every screen in windows from 40x15 to 300x100.
func TestEverySize(t *testing.T) {
	for _, way := range ways {
		a, _ := at(scripted(), way.keys...)
		for _, w := range []int{40, 41, 59, 60, 71, 72, 79, 80, 99, 100, 119, 120, 200, 300} {
			for _, h := range []int{15, 16, 17, 20, 24, 40, 60, 100} {
				send(a, tea.WindowSizeMsg{Width: w, Height: h})
				frame := a.View()
				checkFrame(t, fmt.Sprintf("%s %dx%d", way.name, w, h), frame, w, h)
				assert.NotContains(t, frame, "too small", way.name)
			}
		}
	}
}

// TestEscInOneRead: Esc and a key that come in one read are Esc and a key.
func TestEscInOneRead(t *testing.T) {
	a, _ := at(scripted(), "1", "enter", "enter", "w")
	require.Equal(t, scene.Why, a.at)
	send(a, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'e'}, Alt: true})
	assert.Equal(t, scene.Evidence, a.at)
}

// TestBell: it rings when the next reading is here, and not for anything else.
func TestBell(t *testing.T) {
	o := scripted()
	o.Bell = true
	a, _ := at(o, "1", "enter")
	assert.True(t, a.cursor.bell.Swap(false), "the first reading")
	press(a, "enter", "tab", "w", "esc")
	assert.False(t, a.cursor.bell.Swap(false))
	press(a, "esc", "1")
	assert.True(t, a.cursor.bell.Swap(false), "the second")
	press(a, "ctrl+g", "40", "enter")
	assert.False(t, a.cursor.bell.Swap(false), "turned off")
}

// TestWithoutOne: what would be believed without a reading is shown beside
// what is believed, changes nothing, and goes when the readings change.
func TestWithoutOne(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1", "40", "enter", "0", "e")
	events := len(s.Events)
	press(a, "o")
	assert.Len(t, s.Events, events, "nothing was said")
	frame := strings.Join(strings.Fields(trimmed(a.View())), " ")
	want, err := s.Without(1)
	require.NoError(t, err)
	assert.Contains(t, frame, fmt.Sprintf("without it %d pieces would be in question (now %d)", want.Hidden95,
		s.View().Hidden95))
	press(a, "o")
	assert.NotContains(t, trimmed(a.View()), "would be in question")
	press(a, "o", "u")
	assert.NotContains(t, trimmed(a.View()), "would hold", "the readings are others now")
	assert.IsType(t, &evidence.Model{}, a.screens[scene.Evidence])
}

// TestRedo: undo and redo to any depth, from the reading and the time line.
func TestRedo(t *testing.T) {
	a, s := at(scripted(), "1", "enter", "enter", "1", "40", "enter", "0")
	all := append([]hunt.Event(nil), s.Events...)
	press(a, "u", "u", "u", "r", "r", "r")
	assert.Equal(t, all, s.Events)
	press(a, "r")
	assert.Contains(t, trimmed(a.View()), "nothing to bring back")
	press(a, "e", "u", "u", "r", "r")
	assert.Equal(t, all, s.Events)
	press(a, "u", "esc", "no", "enter", "e", "r")
	assert.Contains(t, trimmed(a.View()), "nothing to bring back", "a new answer ends it")
}

// TestTour: it goes through all its stations by itself, touches nothing of the
// user's hunt, can be left at any time, and comes once by itself.
func TestTour(t *testing.T) {
	o := scripted()
	seen := 0
	o.FirstRun, o.TourSeen = true, func() { seen++ }
	a, s := at(o)
	for i := range stops {
		frame := trimmed(a.View())
		require.Contains(t, frame, fmt.Sprintf("TOUR %d/%d", i+1, len(stops)))
		words := strings.Fields(stops[i].says)
		assert.Contains(t, strings.Join(strings.Fields(frame), " "), strings.Join(words, " "),
			"the caption is all there")
		press(a, "enter")
	}
	assert.Nil(t, a.tour)
	assert.Equal(t, 1, seen)
	assert.Empty(t, s.Events)
	assert.Equal(t, scene.Symptom, a.at)
	press(a, "t", "enter", "enter", "esc")
	assert.Nil(t, a.tour)
	press(a, "?", "t")
	assert.NotNil(t, a.tour, "again from help")
	assert.Empty(t, s.Events)
	assert.Less(t, len(strings.Fields(allCaptions())), 300, "a minute at 300 words a minute")
}

func allCaptions() (s string) {
	for _, stop := range stops {
		s += stop.says + " "
	}
	return s
}

// TestTourScreens: the stations show what their captions speak of, on the real
// demo with the real hunt and the kit that is recommended there.
func TestTourScreens(t *testing.T) {
	file, _ := layoutfile.Read(layoutfile.Demo())
	o := Options{Layout: rig.Oval(6), OneKey: 1, Start: func(hunt.Kit) Hunter { return &rig.Script{L: rig.Oval(6)} },
		Tour: func() Options {
			var kit hunt.Kit
			gear.Recommend(&kit, gear.AC(file.Layout))
			return Options{Layout: file.Layout, Kit: kit}
		}}
	a, _ := at(o, "t")
	for i, want := range [][]string{{"What is wrong?"}, {"Before you touch anything", "never the bare battery"},
		{"reading 1", "GET READY", "Battery 12 V", "fuse"},
		{"THE LAMP IS  bright", "-> "}, {"reading 2", "the dial to DC volts", "RED", "BLACK"},
		{"reading 3", "DC millivolts", "2 joints right of the coal mine"},
		{"R red  B black", "ruled out"}, {"[3 How, safely?]", "-(R)-"}, {"DIAL   DC millivolts"},
		{"Evidence", "1  bright"}, {"Help: hunt"}} {
		for _, w := range want {
			assert.Contains(t, trimmed(a.View()), w, "station %d", i+1)
		}
		if i == 5 || i == 6 { // on the rails in large, or on the map
			drawn, _, _ := strings.Cut(trimmed(a.View()), "R CENTER rail")
			assert.Regexp(t, "-\\(R\\)-|R[\u2800-\u28ff]", drawn, "the red probe, station %d", i+1)
			assert.Regexp(t, "-\\(B\\)-|[\u2800-\u28ff]B|B[\u2800-\u28ff]", drawn, "the black one, station %d", i+1)
		}
		press(a, "enter")
	}
}

// TestHelpSearch finds whole entries by all of the words.
func TestHelpSearch(t *testing.T) {
	a, _ := at(scripted(), "1", "enter", "enter", "?", "/", "undo answer")
	frame := trimmed(a.View())
	assert.Contains(t, frame, "undo the last answer")
	assert.NotContains(t, frame, "On the map")
	press(a, "esc", "/", "xyzzy")
	assert.Contains(t, trimmed(a.View()), "nothing about")
	press(a, "esc")
	assert.Contains(t, trimmed(a.View()), "Keys that work here now")
}

// TestClickOnTheMap: with the map beside the reading, on its own page and on a
// phone's width, a click chooses the piece under the pointer.
func TestClickOnTheMap(t *testing.T) {
	for _, size := range [][2]int{{40, 20}, {80, 24}, {140, 40}} {
		a, _ := at(scripted(), "1", "enter", "enter", "tab")
		send(a, tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		press(a, "n") // the piece at the red probe
		x, y := -1, -1
		for i, l := range strings.Split(trimmed(a.View()), "\n") {
			if k := strings.Index(l, "@"); k >= 0 && x < 0 {
				x, y = len([]rune(l[:k])), i
			}
		}
		require.GreaterOrEqual(t, x, 0, "%v", size)
		picked := a.screens[scene.Hunt].(*asking.Model).Picked()
		press(a, "esc") // not chosen any more
		require.Equal(t, -1, a.screens[scene.Hunt].(*asking.Model).Picked())
		for k := 0; k < 6 && a.screens[scene.Hunt].(*asking.Model).Picked() != picked; k++ {
			a.View()
			send(a, tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
		}
		assert.Equal(t, picked, a.screens[scene.Hunt].(*asking.Model).Picked(), "%v", size)
	}
}

// A piece that was seen to be bad, or good, can be named where a reading is asked
// for: who has the pieces in hand does not wait for the list.
func TestFoundIsTakenInPlaceOfAReading(t *testing.T) {
	for _, c := range []struct {
		typed string
		want  hunt.Event
	}{{"notfound main 3", hunt.Event{NotFound: "main 3"}}, {"Found  main 3", hunt.Event{Found: "main 3"}}} {
		_, s := at(scripted(), "1", "enter", "enter", c.typed, "enter")
		assert.Equal(t, c.want, s.Events[len(s.Events)-1])
	}
}
