package tui

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	practice "fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/tui/drill"
	"fishplate/tui/internal/rig"
)

// drillKeeper gives drills without files: a bridge at a chosen piece of the
// lessons' branch line, and the lesson texts of the second lesson.
type drillKeeper struct {
	t     testing.TB
	piece int
	sits  []*sitting.Sitting
	saves [][]byte
	done  *debrief.Debrief
}

func (k *drillKeeper) layout() *track.Layout {
	src, err := fs.ReadFile(lesson.Own(), "branch.layout.hcl")
	require.NoError(k.t, err)
	f, probs := layoutfile.Read("branch", src)
	require.NotNil(k.t, f, "%v", probs)
	return f.Layout
}

func (k *drillKeeper) Lessons() ([]drill.Lesson, error) {
	return []drill.Lesson{{Number: 1, Title: "What a beep means", Goal: "Find it.", Passed: true},
		{Number: 2, Title: "A dead end", Goal: "Find it in four cuts."}}, nil
}

func (k *drillKeeper) Begin(c drill.Choice) (*sitting.Sitting, error) {
	o := practice.Options{Difficulty: practice.Easy, Told: "It trips.",
		Kit: hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true},
		Hide: []practice.Hide{{Mode: track.Bridged, Part: "piece", Run: "main", From: k.piece, To: k.piece,
			MinOhms: 0.05, MaxOhms: 0.05}}}
	d, err := practice.New(k.layout(), o, rand.New(rand.NewPCG(5, 5)))
	require.NoError(k.t, err)
	var l *lesson.Lesson
	if c.Lesson != "" {
		src, err := fs.ReadFile(lesson.Own(), "02-dead-end.lesson.hcl")
		require.NoError(k.t, err)
		l, err = lesson.Read("02", src)
		require.NoError(k.t, err)
	}
	s := sitting.New(d, coach.Level(c.Coach), l, [16]byte{1, 2, 3})
	k.sits = append(k.sits, s)
	return s, nil
}

func (k *drillKeeper) Kept() (*sitting.Sitting, error) { return nil, nil }

func (k *drillKeeper) Save(s *sitting.Sitting) error {
	data, err := s.Save()
	k.saves = append(k.saves, data)
	return err
}

func (k *drillKeeper) Done(s *sitting.Sitting) (*debrief.Debrief, error) {
	k.done = debrief.Make(s)
	return k.done, nil
}

func (k *drillKeeper) Progress() ([]string, error) { return debrief.Progress(nil), nil }

func drilling(k *drillKeeper, c *drill.Choice) Options {
	return Options{Layout: rig.Oval(6), KitKnown: true, OneKey: 1, Drills: k, Drill: c,
		Start: func(kit hunt.Kit) Hunter { return &rig.Script{L: rig.Oval(6), Kit: kit} }}
}

// entered turns lines into keys.
func entered(list ...string) []string {
	var out []string
	for _, l := range list {
		out = append(out, l, "enter")
	}
	return out
}

func TestDrillByTyping(t *testing.T) {
	k := &drillKeeper{t: t, piece: 9}
	o := drilling(k, &drill.Choice{Coach: "explain", Difficulty: "easy"})
	for _, size := range [][2]int{{40, 20}, {80, 24}} {
		s := Snapshot(o, size[0], size[1], entered("train off", "beep T1", "supply on", "dance")...)
		assert.Contains(t, s, "Stopped")
		assert.Contains(t, s, "dance")
		assert.Contains(t, s, "coach:")
		fits(t, s, size[0], size[1])
	}
	s := Snapshot(o, 80, 24, entered("train off", "accuse main 9")...)
	assert.Contains(t, s, "TIME LINE")
	assert.Contains(t, s, "halving")
	require.NotNil(t, k.done)
	assert.True(t, k.done.Passed)
	s = Snapshot(o, 80, 24, append(entered("train off", "accuse main 9"), "esc")...)
	assert.Contains(t, s, "A dead end")
}

// TestDrillHelpAtOnce: ? on the empty line needs no Enter, as on every screen; in a line it
// is typed.
func TestDrillHelpAtOnce(t *testing.T) {
	o := drilling(&drillKeeper{t: t, piece: 9}, &drill.Choice{Coach: "explain", Difficulty: "easy"})
	before := Snapshot(o, 80, 24, entered("train off")...)
	assert.NotContains(t, before, "beep main 3")
	assert.Contains(t, Snapshot(o, 80, 24, append(entered("train off"), "?")...), "beep main 3")
	assert.Contains(t, Snapshot(o, 80, 24, append(entered("train off"), "b", "?")...), "b?")
}

func fits(t *testing.T, frame string, w, h int) {
	t.Helper()
	lines := strings.Split(frame, "\n")
	assert.LessOrEqual(t, len(lines), h)
	for _, l := range lines {
		assert.LessOrEqual(t, ansi.StringWidth(l), w, l)
	}
}

// The whole drill on the map, without typing a word.
func TestDrillOnTheMap(t *testing.T) {
	k := &drillKeeper{t: t, piece: 3}
	o := drilling(k, &drill.Choice{Coach: "hint", Difficulty: "easy"})
	keys := []string{"tab", "t", "n", "h", "enter"} // trains off; beeper across main 1
	s := Snapshot(o, 80, 24, keys...)
	assert.Contains(t, s, "> train off")
	assert.Contains(t, s, "> beep main 1")
	assert.Contains(t, s, "METER beep")
	s = ansi.Strip(Snapshot(o, 80, 24, append(keys, "n", "r", "n", "n", "b")...))
	assert.Contains(t, s, "READ > beep main 2 center to main 4 center")
	s = Snapshot(o, 80, 24, append(keys, "s", "m", "m", "m", "n", "r", "n", "n", "b", "enter")...)
	assert.Regexp(t, `METER [0-9.]+ mV|METER OL`, s)
	s = Snapshot(o, 80, 24, append(keys, "n", "n", "l")...)
	assert.Contains(t, s, "main 3/4 open")
	s = Snapshot(o, 80, 24, append(keys, "n", "n", "x")...)
	assert.Contains(t, s, "TIME LINE")
	s = Snapshot(o, 40, 20, keys...)
	assert.Contains(t, s, "METER beep", "where the talk is out of sight the map says what came of it")
	s = Snapshot(o, 40, 20, append(keys, "s", "enter")...)
	assert.Contains(t, s, "! Stopped: the track is live")
	s = Snapshot(o, 80, 24, "tab", "r")
	assert.Contains(t, s, "choose a piece first")
}

func TestDrillMenuAndLesson(t *testing.T) {
	k := &drillKeeper{t: t, piece: 9}
	o := drilling(k, &drill.Choice{})
	for _, size := range [][2]int{{40, 20}, {80, 24}} {
		s := Snapshot(o, size[0], size[1])
		assert.Contains(t, s, "[x] 1  What a beep means")
		assert.Contains(t, s, "[ ] 2  A dead end")
		fits(t, s, size[0], size[1])
		s = Snapshot(o, size[0], size[1], "2", "enter")
		assert.Contains(t, s, "TO DO")
		fits(t, s, size[0], size[1])
		s = Snapshot(o, size[0], size[1], "2", "enter", "enter", "enter", "help", "enter")
		assert.Contains(t, s, "DO >")
		fits(t, s, size[0], size[1])
	}
	s := Snapshot(o, 80, 24, "right")
	for _, says := range []string{"< 1 minute >", "< short >", "< easy >",
		"begin: hide a fault on a shelf of six pieces"} {
		assert.Contains(t, s, says)
	}
	s = Snapshot(o, 80, 24, "left") // round to the last
	assert.Contains(t, s, "< 20 minutes >")
	assert.Contains(t, s, "< two >")
	s = Snapshot(o, 80, 24, "right", "down", "right", "down", "right", "down", "left")
	assert.Contains(t, s, "< any >", "a kind of one's own goes before a length")
	assert.Contains(t, s, "< short >")
	assert.Contains(t, s, "< hard >")
	assert.Contains(t, s, "< silent >")
	// A lesson that is passed is followed by the next one; one that is not, is not.
	o.Drill = &drill.Choice{}
	s = Snapshot(o, 80, 24, append([]string{"1", "enter", "enter", "enter"},
		append(entered("train off", "accuse main 9"), "tab")...)...)
	assert.Contains(t, s, "TO DO", "the second lesson's page")
	o.Drill = &drill.Choice{Lesson: "1"} // begun from the command line
	s = Snapshot(o, 80, 24, append([]string{"enter", "enter"}, append(entered("train off", "accuse main 9"),
		"tab")...)...)
	assert.Contains(t, s, "TO DO")
	o.Drill = &drill.Choice{}
	s = Snapshot(o, 80, 24, append([]string{"1", "enter", "enter", "enter"},
		append(entered("train off", "give up"), "tab")...)...)
	assert.Contains(t, s, "NOT PASSED YET")
	o.Drill = nil
	s = Snapshot(o, 80, 24, "ctrl+p")
	assert.Contains(t, s, "Practise on a hidden fault", "from the hunt's own screens")
}

// Two hidden faults that let the meter show the same must look the same in
// every frame: nothing drawn may depend on the truth but through the meter.
func TestDrillFramesDoNotDependOnTheTruth(t *testing.T) {
	acts := []string{"train off", "beep T1", "supply on", "lift main 11/12", "beep main 11/12", "beep main 12/11",
		"best", "look main 13", "supply lamp", "log", "status"}
	for _, level := range []string{"silent", "hint", "explain"} {
		for _, size := range [][2]int{{40, 20}, {80, 24}} {
			a, b := &drillKeeper{t: t, piece: 4}, &drillKeeper{t: t, piece: 9}
			fa := frames(drilling(a, &drill.Choice{Coach: level}), size[0], size[1], acts...)
			fb := frames(drilling(b, &drill.Choice{Coach: level}), size[0], size[1], acts...)
			for n := range fa {
				require.Equal(t, fa[n], fb[n], "%s after %v", level, acts[:n])
			}
			require.NotEqual(t, a.sits[0].Drill.Reveal(), b.sits[0].Drill.Reveal())
		}
	}
}

// frames gives the frame before the first line typed and after each.
func frames(o Options, w, h int, list ...string) []string {
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: w, Height: h})
	out := []string{a.View()}
	for _, l := range list {
		for _, k := range entered(l) {
			for _, m := range keyMsgs(k) {
				send(a, m)
			}
		}
		out = append(out, a.View())
	}
	return out
}

// The frames never show the hidden fault's name or words before it is found.
func TestDrillFramesDoNotTell(t *testing.T) {
	k := &drillKeeper{t: t, piece: 9}
	o := drilling(k, &drill.Choice{Coach: "explain"})
	acts := []string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 6 center", "mv F1 hot to main 12 center",
		"mv F1 hot to main 14 center", "supply off", "log", "look main 2"}
	for n, f := range frames(o, 80, 24, acts...) {
		frame := strings.Join(strings.Fields(ansi.Strip(f)), " ")
		place, what, _ := strings.Cut(k.sits[0].Drill.Reveal()[0], ": ")
		what, _, _ = strings.Cut(what, " (")
		assert.NotContains(t, frame, place, "after %v", acts[:n])
		assert.NotContains(t, frame, what, "after %v", acts[:n])
	}
}

// Any keys at all: nothing panics, and no frame is wider or taller than the
// window.
func TestDrillAnyKeys(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	keys := []string{"enter", "tab", "esc", "up", "down", "left", "right", "backspace", "n", "p", "r", "b", "h", "l",
		"m", "s", "t", "o", "/", "+", "-", "q", "?", "2",
		"pgup", "pgdown", "train off", "beep T1", "lift main 3/4", "best", "status",
		"mv main 2 center to main 9 center", "supply off", "ctrl+u", "ctrl+p"}
	o := drilling(&drillKeeper{t: t, piece: 9}, &drill.Choice{Coach: "hint", Difficulty: "easy"})
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	for range 400 {
		if rng.IntN(12) == 0 {
			send(a, tea.WindowSizeMsg{Width: 40 + rng.IntN(80), Height: 15 + rng.IntN(25)})
		}
		for _, m := range keyMsgs(keys[rng.IntN(len(keys))]) {
			send(a, m)
		}
		if a.w > 0 {
			fits(t, a.View(), a.w, a.h)
		}
	}
}

// TestDrillManyKeys is the same by brute force on every page of the drill;
// FISHPLATE_MONKEY sets how many keys. What was done stays in the log: a
// reading, once taken, is never lost or changed.
func TestDrillManyKeys(t *testing.T) {
	total := 1500
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_MONKEY")); err == nil {
		total = n
	}
	rng := rand.New(rand.NewPCG(3, 9))
	typed := []string{"train off", "beep T1", "lift main 3/4", "status", "mv main 2 center to main 9 center",
		"supply off", "supply on", "lamp", "look main 4", "help", "undo", "accuse main 2"}
	keys := append(slices.Clone(alphabet), "pgup", "pgdown", "ctrl+p", "ctrl+n", "delete", "home", "end", "é", "enter",
		"enter", "tab", "n", "r", "n", "b")
	var a *app
	var k *drillKeeper
	logged := map[*sitting.Sitting][]practice.Entry{}
	took := 0
	for i := range total {
		if i%150 == 0 {
			way := drillWays[rng.IntN(len(drillWays))]
			k = &drillKeeper{t: t, piece: 9}
			clear(logged)
			choice := *way.begin
			if choice.Coach != "" {
				choice.Coach = "silent"
			}
			o := drilling(k, &choice)
			o.defaults()
			a = newApp(o)
			settle(a, a.Init())
			send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
			for _, key := range way.keys {
				send(a, keyMsgs(key)[0])
			}
		}
		switch n := rng.IntN(40); {
		case n < 2:
			send(a, tea.WindowSizeMsg{Width: 1 + rng.IntN(300), Height: 1 + rng.IntN(100)})
		case n < 4:
			for _, m := range keyMsgs(typed[rng.IntN(len(typed))]) {
				send(a, m)
			}
			send(a, keyMsgs("enter")[0])
		default:
			send(a, keyMsgs(keys[rng.IntN(len(keys))])[0])
		}
		for _, s := range k.sits {
			before, now := logged[s], s.Drill.Log()
			require.GreaterOrEqual(t, len(now), len(before), "key %d: an act was lost", i)
			for e := range before {
				require.Equal(t, before[e].Shows, now[e].Shows, "key %d: a reading changed", i)
			}
			took += len(now) - len(before)
			logged[s] = slices.Clone(now)
		}
		if i%5 == 0 {
			checkFrame(t, fmt.Sprint("drill ", i), a.View(), max(a.w, 1), max(a.h, 1))
		}
	}
	require.Greater(t, took, total/100, "hardly anything was done")
}

// drillWays lead to the pages of the drill. Where the coach speaks it is about what
// tells nothing whatever is believed, so that its numbers do not change with every
// improvement of the belief.
var drillWays = []struct {
	name  string
	begin *drill.Choice
	keys  []string
}{
	{"drill-menu", &drill.Choice{}, nil},
	{"drill-intro", &drill.Choice{}, []string{"2", "enter"}},
	{"drill-begin", &drill.Choice{Coach: "silent", Difficulty: "easy"}, nil},
	{"drill-talk", &drill.Choice{Coach: "silent", Difficulty: "easy"},
		entered("beep T1", "train off", "supply on", "lift main 7/8", "beep main 7/8")},
	{"drill-map", &drill.Choice{Coach: "silent", Difficulty: "easy"},
		[]string{"tab", "t", "n", "r", "n", "n", "n", "b"}},
	{"drill-map-read", &drill.Choice{Coach: "silent", Difficulty: "easy"},
		[]string{"tab", "t", "n", "h", "enter", "n", "n", "l"}},
	{"drill-coach", &drill.Choice{Coach: "hint", Difficulty: "easy"},
		entered("beep T1", "train off", "mv F1 hot to main 9 center", "coach")},
	{"drill-help", &drill.Choice{Coach: "silent", Difficulty: "easy"}, entered("help")},
	{"drill-progress", &drill.Choice{}, []string{"up", "up", "up", "up", "up", "up", "up", "up", "down", "down", "down",
		"down", "down", "down", "down", "enter"}},
}

// TestDrillFrames compares every page with what it was; see TestFrames.
func TestDrillFrames(t *testing.T) {
	for _, way := range drillWays {
		everyFrame(t, way.name, func() Options {
			begin := *way.begin
			return drilling(&drillKeeper{t: t, piece: 9}, &begin)
		}, way.keys...)
	}
}
