package tui

import (
	"errors"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/panel"
	"fishplate/diagnose/track"
	"fishplate/diagnose/wiring"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"

	block "fishplate/tui/panel"
)

// thinWires is a panel of an invented oval, its figures invented too; what was asked for
// and written is noted, and the first file cannot be written.
func thinWires(asked *[]int, written *int) Options {
	l := rig.Oval(6)
	o := Options{Layout: l, LayoutPath: "oval.hcl"}
	pair := func(name string, piece int, without float64) panel.Wire {
		at := track.Place{Piece: piece, End: -1}
		return panel.Wire{Name: name, Place: l.PlaceName(at), Hot: track.Center, Common: track.Left, LengthMM: 2500,
			Without: without, At: at}
	}
	o.Panel = &block.Options{Layout: l.Name, Plan: func(pairs int) (*panel.Plan, error) {
		*asked = append(*asked, pairs)
		p := &panel.Plan{Layout: l.Name, Left: []float64{54, 24.2, 7, 6.8}, Worth: 2, After: 7, Block: "T1", Amps: 3.7,
			Breaker: 10,
			Wires:   []panel.Wire{pair("A1", 9, 25.6), pair("A2", 30, 24.2)},
			Kinds:   []panel.Share{{Kind: panel.Short, Share: 0.99, Before: 54.4, After: 7}}}
		if pairs == 1 {
			p.Wires, p.After = p.Wires[:1], 24.2
		}
		for i := range p.Wires {
			w := &p.Wires[i]
			p.Labels = append(p.Labels, wiring.Label{Near: w.Name + " hot, to the block", Far: w.Name + " hot, from " +
				w.Place + " center"})
		}
		return p, nil
	}, Write: func(*panel.Plan) (string, error) {
		if *written++; *written == 1 {
			return "", errors.New("the disk is full")
		}
		return "2 pairs in oval.hcl: hunts ask there first.", nil
	}}
	o.Onward = func() (Options, error) { return scripted(), nil }
	return o
}

// TestPanelFrames: every page of the panel, from small to large.
func TestPanelFrames(t *testing.T) {
	for _, way := range []struct {
		name string
		keys []string
	}{
		{"worth", nil},
		{"wires", []string{"enter", "down"}},
		{"solder", []string{"enter", "enter"}},
		{"beep", []string{"enter", "enter", "enter", "enter"}},
		{"joined", []string{"enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "w", "w"}},
	} {
		for _, size := range sizes {
			asked, written := []int(nil), 0
			holdsFrame(t, "panel-"+way.name, thinWires(&asked, &written), size, way.keys...)
		}
	}
}

// TestPanelScreen: fewer pairs are planned anew, soldering is warned of where it is done,
// the file is written once, and only then there is something to read at.
func TestPanelScreen(t *testing.T) {
	asked, written := []int(nil), 0
	o := thinWires(&asked, &written)
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	seen := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	do := func(keys ...string) { typeInto(a, 80, 24, keys) }
	assert.Contains(t, seen(), "> 2 pairs 7.0 #")
	do("r")
	assert.Contains(t, seen(), "the file has no block yet: w puts")
	do("up", "enter")
	assert.Equal(t, []int{0, 1}, asked)
	assert.Contains(t, seen(), "> A1: from the middle of main 10")
	assert.NotContains(t, seen(), "A2")
	do("esc", "down", "enter", "down")
	assert.Contains(t, seen(), `> A2: from the middle of main 31, center and left, 8.2 ft`)
	assert.Contains(t, seen(), `labels: "A2 hot, to the block" at the track`)
	do("enter")
	assert.Contains(t, seen(), "!! Solder only with everything unplugged.")
	assert.Contains(t, seen(), "DO A1: fasten it under main 10")
	do("enter")
	assert.NotContains(t, seen(), "Solder only")
	assert.Contains(t, seen(), "!! Every supply unplugged before a wire is joined")
	do("enter", "enter", "enter", "enter", "enter")
	assert.Contains(t, seen(), "cover the screws of the block")
	do("w")
	assert.Contains(t, seen(), "the disk is full")
	do("w", "w")
	assert.Contains(t, seen(), "they are in the file")
	assert.Equal(t, 2, written)
	do("r")
	assert.Equal(t, scene.Symptom, a.at)
}

// TestPanelIsKept: what was done is kept before the screen goes on, what could not be kept
// is not taken as done, u takes back, and a second visit goes on behind it.
func TestPanelIsKept(t *testing.T) {
	asked, written, tries := []int(nil), 0, 0
	var done []string
	open := func() (*app, func() string, func(...string)) {
		o := thinWires(&asked, &written)
		plan := o.Panel.Plan
		o.Panel.Plan = func(pairs int) (*panel.Plan, error) {
			p, err := plan(pairs)
			return p.Take(o.Layout, nil, done), err
		}
		o.Panel.Keep = func(pairs int, w *panel.Wire, s *panel.Step, did bool) error {
			if tries++; tries == 1 {
				return errors.New("the disk is full")
			}
			assert.Equal(t, 2, pairs)
			done = slices.DeleteFunc(done, func(key string) bool { return key == s.Key })
			if did {
				done = append(done, s.Key)
			}
			return nil
		}
		o.defaults()
		a := newApp(o)
		settle(a, a.Init())
		send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
		return a, func() string {
			return strings.Join(strings.Fields(trimmed(a.View())), " ")
		}, func(keys ...string) { typeInto(a, 80, 24, keys) }
	}
	_, seen, do := open()
	do("enter", "enter", "enter")
	assert.Contains(t, seen(), "the disk is full")
	assert.Contains(t, seen(), "step 1 of 6")
	do("enter", "enter", "enter")
	assert.Contains(t, seen(), "step 4 of 6")
	assert.Contains(t, seen(), "DO A2: fasten it")
	do("u", "u", "enter")
	assert.Contains(t, seen(), "step 3 of 6")
	assert.Equal(t, []string{"panel: A1 main 10, center and left: fastened",
		"panel: A1 main 10, center and left: hot beeps"}, done)
	_, seen, do = open()
	assert.Contains(t, seen(), "> 2 of 3 steps done: A1: from the middle of main 10")
	do("enter")
	assert.Contains(t, seen(), "step 3 of 6")
	do("enter", "enter", "enter", "enter")
	assert.Contains(t, seen(), "ALL WIRES ARE JOINED")
	do("u")
	assert.Contains(t, seen(), "step 6 of 6")
	assert.Len(t, done, 5)
	do("enter", "esc")
	assert.Contains(t, seen(), "joined: A1: from the middle")
}
