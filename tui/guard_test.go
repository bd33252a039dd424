package tui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/tui/internal/rig"
)

// breaking panics where it is told to.
type breaking struct {
	rig.Script
	on string
}

func (b *breaking) Apply(e hunt.Event) error {
	if e.Reading == b.on {
		panic("broken on purpose")
	}
	return b.Script.Apply(e)
}

// run gives the messages of a command, those of a batch one by one.
func run(c tea.Cmd) []tea.Msg {
	if c == nil {
		return nil
	}
	m := c()
	if b, ok := m.(tea.BatchMsg); ok {
		var all []tea.Msg
		for _, one := range b {
			all = append(all, run(one)...)
		}
		return all
	}
	return []tea.Msg{m}
}

// drive feeds a message to the guard and all that follows, until it quits.
func drive(g *guard, m tea.Msg) (quit bool) {
	_, c := g.Update(m)
	for _, next := range run(c) {
		switch next.(type) {
		case nil:
		case tea.QuitMsg:
			return true
		default:
			if drive(g, next) {
				return true
			}
		}
	}
	return false
}

func guarded(t *testing.T, o Options) *guard {
	o.defaults()
	g := &guard{app: newApp(o)}
	for _, m := range run(g.Init()) {
		require.False(t, drive(g, m))
	}
	drive(g, tea.WindowSizeMsg{Width: 80, Height: 24})
	return g
}

// TestCrashInCommand: a panic in the hunt's own goroutine leaves the program
// in the ordinary way and keeps its story.
func TestCrashInCommand(t *testing.T) {
	o := scripted()
	o.KitKnown = true
	o.Hunt = &breaking{Script: rig.Script{L: o.Layout}, on: "12"}
	g := guarded(t, o)
	for _, k := range []string{"1", "enter"} {
		require.False(t, drive(g, keyMsgs(k)[0]))
	}
	drive(g, keyMsgs("12")[0])
	require.True(t, drive(g, keyMsgs("enter")[0]))
	require.NotNil(t, g.crash)
	assert.Equal(t, "broken on purpose", g.crash.What)
	assert.Contains(t, g.crash.Report(), "guard_test.go")
	assert.True(t, drive(g, keyMsgs("1")[0]), "nothing goes on after it")
}

// TestCrashInUpdate: the same on the screen's own goroutine, while it draws
// too.
func TestCrashInUpdate(t *testing.T) {
	o := scripted()
	o.KeepKit = func(hunt.Kit) { panic("in update") }
	g := guarded(t, o)
	drive(g, keyMsgs("1")[0])
	require.True(t, drive(g, keyMsgs("enter")[0]))
	assert.Equal(t, "in update", g.crash.What)

	g = guarded(t, scripted())
	g.app.sc.Layout = nil
	require.True(t, drive(g, tea.WindowSizeMsg{Width: 81, Height: 24}), "a panic in View")
	assert.Contains(t, g.crash.Stack, "View")
}
