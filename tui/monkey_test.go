package tui

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
)

// edits are the keys that may change a line that is being typed.
func edits(m tea.KeyMsg) bool {
	switch m.Type {
	case tea.KeyTab, tea.KeyShiftTab, tea.KeyEsc, tea.KeyUp, tea.KeyDown, tea.KeyPgUp, tea.KeyPgDown, tea.KeyCtrlT,
		tea.KeyCtrlZ, tea.KeyEnter:
		return false
	}
	return m.String() != "?"
}

var alphabet = []string{"*", "r", "o", "g", "t", "b", "z", "home", "1", "0", "2", "3", "4", "6", "u", "w", "e", "k",
	"c", "q", "f", "n", "x", "y", " ", "/", "+", "-", ".", ",", "m", "V", "?",
	"enter", "enter", "enter", "esc", "tab", "shift+tab", "up", "down", "left", "right", "pgup", "pgdown", "backspace",
	"delete", "home", "ctrl+u", "ctrl+t", "ctrl+z",
	"212 mV", "OL", "main 12", "é漢", "no", "0.4", "\x1b", "\u202e"}

// TestMonkey presses any keys in windows of any size: nothing panics, no frame
// leaves its window, the cursor stays in it, and the answer line changes only
// by typing, by Esc, or by an answer that went in.
func TestMonkey(t *testing.T) {
	answers := 0
	rapid.Check(t, func(t *rapid.T) {
		o := scripted()
		o.ASCII = rapid.Bool().Draw(t, "ascii")
		o.KitKnown = rapid.Bool().Draw(t, "kit known")
		start := rapid.SampledFrom(ways).Draw(t, "from")
		a, _ := at(o, start.keys...)
		if rapid.Bool().Draw(t, "on the hunt") {
			a, _ = at(o, "1", "enter", "enter")
		}
		var trail, whole []string // whole is what is left of an answer typed from its first key to Enter
		n := rapid.IntRange(1, 60).Draw(t, "n")
		for i := 0; i < n; i++ {
			before := typed(a)
			events := len(a.hunt.(*rig.Script).Events)
			if rapid.IntRange(0, 9).Draw(t, "resize") == 0 {
				w, h := rapid.IntRange(1, 220).Draw(t, "w"), rapid.IntRange(1, 70).Draw(t, "h")
				trail = append(trail, fmt.Sprint(w, "x", h))
				send(a, tea.WindowSizeMsg{Width: w, Height: h})
				require.Equal(t, before, typed(a), "a resize changed the line: %v", trail)
			} else {
				if a.at == scene.Hunt && len(whole) == 0 && rapid.IntRange(0, 4).Draw(t, "answer now") == 0 {
					whole = []string{"ctrl+u", rapid.SampledFrom([]string{"0.4", "212 mV", "OL"}).Draw(t, "answer"),
						"enter"}
				}
				k := ""
				if len(whole) > 0 {
					k, whole = whole[0], whole[1:]
				} else {
					k = rapid.SampledFrom(alphabet).Draw(t, "key")
				}
				trail = append(trail, k)
				onHunt := a.at == scene.Hunt
				m := keyMsgs(k)[0]
				send(a, m)
				switch now := typed(a); {
				case now == before:
				case !onHunt && len(m.Runes) > 1: // a burst that went through several screens
				case !onHunt:
					t.Fatalf("a key on another screen changed the answer line from %q to %q: %v", before, now, trail)
				case edits(m):
				case m.Type == tea.KeyEsc:
					require.Equal(t, "", now, "Esc clears all of the line: %v", trail)
				default: // only what went in (an answer, a sign of the number pad) may clear the line
					went := a.hunt.(*rig.Script).Events
					require.NotEqual(t, events, len(went), "%q was lost: %v", before, trail)
					require.Equal(t, "", now)
					answers++
				}
			}
			frame := a.View()
			checkFrame(t, strings.Join(trail, " "), frame, max(a.w, 1), max(a.h, 1))
			if v := a.cursor.at.Load(); v != 0 {
				x, y := int(v&0xffffffff), int(v>>32)-1
				require.True(t, x >= 0 && x < a.w && y >= 0 && y < a.h, "cursor at %d,%d in %dx%d: %v", x, y, a.w, a.h,
					trail)
			}
		}
	})
	if !testing.Short() { // a hundred walks: some 45
		require.Positive(t, answers, "no answer went in")
	}
}

// TestManyKeys is the same by brute force: a fixed sequence of keys and resizes
// on every screen, for panics, frames, and readings: what was said once stays
// in the journal, or is taken back from its end. 20,000 keys, or as many as
// FISHPLATE_MONKEY says.
func TestManyKeys(t *testing.T) {
	total := 20000
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_MONKEY")); err == nil {
		total = n
	}
	seed := uint64(1)
	next := func(n int) int { // a linear congruential generator (Knuth, MMIX)
		seed = seed*6364136223846793005 + 1442695040888963407
		return int(seed>>33) % n
	}
	seen := map[scene.ID]int{}
	per := total / len(ways)
	for _, way := range ways { // from everywhere, since chance alone finds few ways
		a, _ := at(scripted(), way.keys...)
		for i := 0; i < per; i++ {
			before := slices.Clone(a.hunt.(*rig.Script).Events)
			if next(20) == 0 {
				send(a, tea.WindowSizeMsg{Width: 1 + next(300), Height: 1 + next(100)})
			} else {
				send(a, keyMsgs(alphabet[next(len(alphabet))])[0])
			}
			after := a.hunt.(*rig.Script).Events
			n := min(len(before), len(after))
			if n > 0 {
				require.Equal(t, before[:n], after[:n], "an answer was lost or changed: %s, key %d", way.name, i)
			}
			seen[a.at]++
			if i%5 == 0 {
				checkFrame(t, fmt.Sprint(way.name, " ", i), a.View(), max(a.w, 1), max(a.h, 1))
			}
		}
	}
	t.Log("keys a screen:", seen)
	for id := range newApp(scripted()).screens {
		if id == "drill" || id == "walk" { // opened from their own commands and tested by themselves
			continue
		}
		assert.Positive(t, seen[id], "no key was pressed on screen %s", id)
	}
}

// TestManyKeysAround presses a fixed sequence of keys on the screens of the work around a
// hunt, in windows of any size: nothing panics, and no frame leaves its window.
func TestManyKeysAround(t *testing.T) {
	keys := append(slices.Clone(alphabet), "h", "s", "tab", "0.3", "20k", "enter", "enter", "1", "0", "0")
	seed := uint64(7)
	next := func(n int) int {
		seed = seed*6364136223846793005 + 1442695040888963407
		return int(seed>>33) % n
	}
	for _, id := range []scene.ID{scene.Build, scene.Piece, scene.Panel, scene.Health} {
		for range 20 {
			var text, aside []string
			var lists [][]string
			var asked []int
			written := 0
			o := map[scene.ID]func() Options{scene.Build: func() Options {
				return laying(&text)
			}, scene.Piece: func() Options { return boxed(t, &text, &aside) },
				scene.Panel: func() Options {
					return thinWires(&asked, &written)
				}, scene.Health: func() Options { return evenings(t, &lists) }}[id]()
			o.defaults()
			a := newApp(o)
			settle(a, a.Init())
			send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
			for i := range 120 {
				if next(15) == 0 {
					send(a, tea.WindowSizeMsg{Width: 1 + next(200), Height: 1 + next(70)})
				} else {
					send(a, keyMsgs(keys[next(len(keys))])[0])
				}
				checkFrame(t, fmt.Sprint(id, " ", i), a.View(), max(a.w, 1), max(a.h, 1))
			}
		}
	}
}
