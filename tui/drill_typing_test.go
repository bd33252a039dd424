package tui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/tui/drill"
)

// drillApp is a drill at 80x24 that was begun for it, with lines typed.
func drillApp(k *drillKeeper, lines ...string) *app {
	o := drilling(k, &drill.Choice{Coach: "silent", Difficulty: "easy"})
	a, _ := at(o, entered(lines...)...)
	return a
}

// held sends keys and gives what they began, without doing it yet.
func held(a *app, keys ...string) (begun []tea.Cmd) {
	for _, k := range keys {
		for _, m := range keyMsgs(k) {
			_, c := a.Update(m)
			begun = append(begun, c)
		}
	}
	return begun
}

// What is typed while a line is worked out is done behind it, each line by itself.
func TestDrillTypedAhead(t *testing.T) {
	k := &drillKeeper{t: t, piece: 9}
	a := drillApp(k)
	begun := held(a, entered("train off", "beep T1", "supply lamp")...)
	frame := ansi.Strip(a.View())
	assert.Contains(t, frame, "thinking... then beep T1 then supply lamp")
	begun = append(begun, held(a, "mv F1")...)
	assert.Contains(t, ansi.Strip(a.View()), "DO > mv F1", "what is typed is seen while it thinks")
	for _, c := range begun {
		settle(a, c)
	}
	press(a, " hot to main 6 center", "enter")
	var did []string
	for _, e := range k.sits[0].Drill.Log() {
		did = append(did, e.Act.String())
	}
	require.Equal(t, []string{"train off", "beeper T1 hot to T1 common", "supply lamp",
		"millivolts F1 hot to main 6 center"}, did)
	press(a, "up", "up")
	assert.Contains(t, ansi.Strip(a.View()), "DO > supply lamp", "Up finds what was typed ahead")
}

// Esc asks before it leaves, and what is typed meanwhile is typed.
func TestDrillAsksBeforeLeaving(t *testing.T) {
	k := &drillKeeper{t: t, piece: 9}
	a := drillApp(k, "train off")
	press(a, "tab", "esc")
	require.NotContains(t, ansi.Strip(a.View()), "Leave this drill?", "on the map it only closes the map")
	press(a, "esc")
	words := func() string { return strings.Join(strings.Fields(ansi.Strip(a.View())), " ") }
	require.Contains(t, words(), "Leave this drill? It is kept; the menu goes on with it.")
	require.Contains(t, words(), "y menu Esc stay")
	require.NotContains(t, words(), "0 lifts", "the question stands alone")
	press(a, "esc")
	require.NotContains(t, words(), "Leave this drill?")
	press(a, "esc", "beep T1", "enter")
	require.Contains(t, words(), "beep T1")
	require.Len(t, k.sits[0].Drill.Log(), 2, "a line typed over the question is done")
	press(a, "esc", "esc", "esc", "esc")
	require.NotContains(t, words(), "Practise on a hidden fault", "no number of Esc leaves")
	press(a, "esc", "y")
	require.Contains(t, words(), "Practise on a hidden fault")
	a = drillApp(k)
	press(a, "esc")
	require.Contains(t, ansi.Strip(a.View()), "Nothing was done in it yet")
	send(a, tea.WindowSizeMsg{Width: 40, Height: 20})
	fits(t, a.View(), 40, 20)
	require.Contains(t, strings.Join(strings.Fields(ansi.Strip(a.View())), " "), "stay.")
}

// From the menu of a program that was begun for the drill, Esc goes to the shell; from
// the one that a hunt led to, back to the hunt.
func TestDrillMenuLeadsBack(t *testing.T) {
	o := drilling(&drillKeeper{t: t, piece: 9}, &drill.Choice{})
	for _, home := range []bool{true, false} {
		if !home {
			o.Drill = nil
		}
		a, _ := at(o)
		if !home {
			press(a, "ctrl+p")
		}
		require.Contains(t, a.View(), "Practise on a hidden fault")
		quits := false
		for _, c := range held(a, "esc") {
			if c != nil {
				_, quits = c().(tea.QuitMsg)
			}
		}
		require.Equal(t, home, quits)
		if !home {
			require.NotContains(t, a.View(), "Practise on a hidden fault")
		}
	}
}
