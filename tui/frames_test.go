package tui

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/tui/around"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
)

var update = flag.Bool("update", false, "write the golden frames anew")

func TestMain(m *testing.M) {
	lipgloss.SetColorProfile(termenv.Ascii)
	os.Exit(m.Run())
}

// scripted is the invented oval with the scripted hunt.
func scripted() Options {
	l := rig.Oval(6)
	full := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	o := Options{Layout: l, Demo: true, Kit: full, OneKey: 1,
		Start: func(k hunt.Kit) Hunter { return &rig.Script{L: l, Kit: k} }}
	o.Records = rig.NewRecords()
	o.Around = []around.Row{{ID: scene.Piece, Says: "pieces on the bench", Off: "that writes into a file"},
		{ID: scene.Build, Says: "prove a layout in stages while it is laid"}}
	o.Tour = func() Options { return Options{Layout: l, Kit: full, Start: o.Start} }
	return o
}

// ways lead to every screen, by keys from the start.
var ways = []struct {
	name string
	keys []string
}{
	{"symptom", nil},
	{"around", []string{"a", "down"}},
	{"symptom-place", []string{"3", "right", "right"}},
	{"symptom-unknown-name", []string{"3", "main 99", "enter"}},
	{"kit", []string{"1"}},
	{"caution", []string{"1", "enter"}},
	{"hunt-first", []string{"1", "enter", "enter"}},
	{"hunt-second-typed", []string{"1", "enter", "enter", "1", "212 mV"}},
	{"hunt-refused", []string{"1", "enter", "enter", "1", "2x", "backspace", "backspace", "nothing", "enter"}},
	{"hunt-map", []string{"1", "enter", "enter", "tab", "+", "+"}},
	{"hunt-known", []string{"1", "enter", "enter", "1", "40", "enter", "0", "tab", "tab"}},
	{"hunt-pick", []string{"1", "enter", "enter", "1", "40", "enter", "tab", "n", "n", "+"}},
	{"hunt-find", []string{"1", "enter", "enter", "tab", "/", "2.9", "enter"}},
	{"hunt-big", []string{"1", "enter", "enter", "g"}},
	{"hunt-big-typed", []string{"1", "enter", "enter", "1", "*", "212"}},
	{"hunt-cannot", []string{"1", "enter", "enter", "1", "c"}},
	{"hunt-pad", []string{"1", "enter", "enter", "1", "-"}},
	{"why", []string{"1", "enter", "enter", "w"}},
	{"why-what-if", []string{"1", "enter", "enter", "w", "2"}},
	{"why-safely", []string{"1", "enter", "enter", "w", "3"}},
	{"evidence-without", []string{"1", "enter", "enter", "1", "40", "enter", "0", "e", "down", "o"}},
	{"evidence", []string{"1", "enter", "enter", "1", "40", "enter", "0", "e", "down"}},
	{"evidence-change", []string{"1", "enter", "enter", "1", "40", "enter", "e", "down", "enter"}},
	{"inspect", []string{"1", "enter", "enter", "1", "40", "enter", "0", "1", "n", "enter"}},
	{"inspect-typed", []string{"1", "enter", "enter", "1", "40", "enter", "0", "1", "found main 3"}},
	{"done-prove", []string{"1", "enter", "enter", "1", "40", "enter", "0", "1", "n", "enter", "f", "enter"}},
	{"done-proven", []string{"1", "enter", "enter", "1", "40", "enter", "0", "1", "n", "enter", "f", "enter",
		"no", "enter"}},
	{"records", []string{"ctrl+r"}},
	{"records-open", []string{"ctrl+r", "enter"}},
	{"records-compare", []string{"ctrl+r", " ", "2", "c"}},
	{"records-add", []string{"ctrl+r", "a", "2", "strip"}},
	{"help", []string{"1", "enter", "enter", "?"}},
	{"help-search", []string{"?", "/", "lamp series"}},
	{"tour-first", []string{"t"}},
	{"tour-reading", []string{"t", "enter", "enter"}},
	{"tour-map", []string{"t", "enter", "enter", "enter", "enter", "enter", "enter"}},
	{"tour-big", []string{"t", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter"}},
	{"tour-last", []string{"t", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter",
		"enter", "enter"}},
	{"kit-transformer", []string{"1", "8", "8", "7"}},
	{"kit-lamp-typed", []string{"1", "7", "7", "7", "21W 14V", "enter", "8", "8"}},
}

// sizes are the windows whose frames are kept: from a telephone lying on its side to a
// wall.
var sizes = [][2]int{{40, 15}, {40, 20}, {80, 24}, {120, 40}, {200, 60}}

// TestFrames compares every screen at five sizes with what it was. Run with
// -update after a change, and read the difference.
func TestFrames(t *testing.T) {
	for _, way := range ways {
		everyFrame(t, way.name, scripted, way.keys...)
	}
}

// everyFrame compares a screen at each size with what it was, in Unicode, and in
// ASCII alone at the two sizes that most windows have.
func everyFrame(t *testing.T, name string, fresh func() Options, keys ...string) {
	t.Helper()
	for _, size := range sizes {
		holdsFrame(t, name, fresh(), size, keys...)
		if size[0] != 40 && size[0] != 80 || size[1] < 20 {
			continue
		}
		o, name := fresh(), fmt.Sprintf("%s-%dx%d-ascii", name, size[0], size[1])
		o.ASCII = true
		frame := Snapshot(o, size[0], size[1], keys...)
		checkFrame(t, name, frame, size[0], size[1])
		for _, r := range frame {
			require.Less(t, r, rune(0x7f), "%s holds %q", name, r)
		}
		golden(t, name, trimmed(frame))
	}
}

func trimmed(frame string) string {
	lines := strings.Split(ansi.Strip(frame), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n") + "\n"
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", "frames", name+".txt")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, name)
}

// checkFrame holds a frame to its window.
func checkFrame(t require.TestingT, name, frame string, w, h int) {
	lines := strings.Split(frame, "\n")
	require.LessOrEqual(t, len(lines), h, "%s is taller than its window", name)
	for i, l := range lines {
		require.LessOrEqual(t, ansi.StringWidth(l), w, "%s, line %d is wider than its window: %q", name, i+1, l)
	}
}

// TestColours: the same frame at each depth has the same text, and no colour
// at all where none is wanted.
func TestColours(t *testing.T) {
	defer lipgloss.SetColorProfile(termenv.Ascii)
	var plain string
	for _, p := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		lipgloss.SetColorProfile(p)
		for _, light := range []bool{false, true} {
			o := scripted()
			o.Light = light
			frame := Snapshot(o, 80, 24, ways[6].keys...)
			if plain == "" {
				plain = trimmed(frame)
			}
			assert.Equal(t, plain, trimmed(frame))
			for _, colour := range []string{"\x1b[3", ";3", "\x1b[9", ";9"} {
				if p == termenv.Ascii {
					assert.NotContains(t, frame, colour)
				}
			}
			if p == termenv.TrueColor {
				assert.Contains(t, frame, "38;2;")
			}
		}
	}
}

// TestTooSmall: below the smallest window its words say so, wrapped; keys
// pressed blind do nothing, and nothing is lost.
func TestTooSmall(t *testing.T) {
	o := scripted()
	whole := "too small: make it 40x15. Keys do nothing until then; all is kept. Ctrl-C leaves."
	for _, s := range [][2]int{{39, 24}, {80, 14}, {30, 8}, {20, 6}, {10, 3}, {1, 1}} {
		a, hunted := at(o, "1", "enter", "enter", "1", "21")
		send(a, tea.WindowSizeMsg{Width: s[0], Height: s[1]})
		frame := a.View()
		checkFrame(t, fmt.Sprint(s), frame, s[0], s[1])
		if s[0]*s[1] >= 120 {
			assert.Equal(t, fmt.Sprintf("%dx%d is %s", s[0], s[1], whole), strings.Join(strings.Fields(frame), " "))
		}
		press(a, "7", "enter", "u", "esc", "q", "w")
		assert.Len(t, hunted.Events, 2)
		send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
		assert.Equal(t, "21", typed(a))
		assert.Equal(t, scene.Hunt, a.at)
	}
	a := walkTo(newWalk(newDesk()), 80, 24, "1", "enter", "4", "s")
	laid := a.walk.Course().Pieces()
	send(a, tea.WindowSizeMsg{Width: 30, Height: 8})
	for _, k := range []string{"s", "enter", "backspace", "q"} {
		send(a, keyMsgs(k)[0])
	}
	assert.Equal(t, laid, a.walk.Course().Pieces())
	assert.Contains(t, strings.Join(strings.Fields(a.View()), " "), whole)
}

// TestEverythingReachable: at every size all words of a reading come into view:
// by turning its leaves, and on the page of what is believed.
func TestEverythingReachable(t *testing.T) {
	for _, size := range sizes {
		seen := ""
		for _, more := range [][]string{nil, {"tab", "tab"}} {
			keys := append([]string{"1", "enter", "enter"}, more...)
			for last := ""; ; keys = append(keys, "down") {
				frame := trimmed(Snapshot(scripted(), size[0], size[1], keys...))
				if frame == last {
					break
				}
				seen, last = seen+frame, frame
			}
		}
		seen = strings.Join(strings.Fields(seen), " ")
		for _, want := range []string{"CENTER rail", "LEFT rail", "continuity (the beeper)", "1 switch the supply off",
			"3 open the joint", "KEEP", "WHY",
			"silent (50%)", "METER SHOWS", "at the tunnel", "near side"} {
			assert.Contains(t, seen, want, "%v", size)
		}
	}
}

// TestHostileNames: a layout's names cannot reach the terminal as commands.
func TestHostileNames(t *testing.T) {
	o := scripted()
	o.Layout.Name = "a\x1b]0;title\x07b\u202e\x1b[2Jc\x9b31m"
	o.Layout.Landmarks[0].Name = "m\x1b[1;1Hx"
	for _, way := range ways {
		frame := Snapshot(o, 80, 24, way.keys...)
		checkFrame(t, way.name, frame, 80, 24)
		for _, bad := range []string{"\x1b]", "\x07", "\x1b[2J", "\x1b[1;1H", "\u202e", "\u009b"} {
			assert.NotContains(t, frame, bad, way.name)
		}
	}
}

// holdsFrame compares one frame of a screen, in colourless unicode, with what it was.
func holdsFrame(t *testing.T, name string, o Options, size [2]int, keys ...string) {
	t.Helper()
	name = fmt.Sprintf("%s-%dx%d-unicode", name, size[0], size[1])
	frame := Snapshot(o, size[0], size[1], keys...)
	checkFrame(t, name, frame, size[0], size[1])
	golden(t, name, trimmed(frame))
}
