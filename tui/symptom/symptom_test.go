package symptom

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
)

// wired is the invented oval with two accessories and a second supply.
func wired() *scene.Scene {
	l := rig.Oval(6)
	l.Accessories = []track.Accessory{{Name: "signal"}, {Name: "crossing gate"}}
	l.Supplies = append(l.Supplies, track.Supply{Name: "T2", AC: true, Volts: 18})
	l.Toggles = []track.Toggle{{Name: "S1", Hot: true}}
	l.Blocks = []track.Block{{Name: "back", Pieces: []int{1, 2}}}
	return &scene.Scene{Layout: l}
}

func press(m *Model, sc *scene.Scene, keys ...string) (last tea.Msg) {
	for _, k := range keys {
		switch k {
		case "enter":
			last = m.Update(sc, tea.KeyMsg{Type: tea.KeyEnter})
		case "down":
			last = m.Update(sc, tea.KeyMsg{Type: tea.KeyDown})
		default:
			last = m.Update(sc, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)})
		}
	}
	return last
}

// TestEverySymptomIsOffered: on a layout that has everything each kind of
// symptom can be said, by the number that stands before it.
func TestEverySymptomIsOffered(t *testing.T) {
	sc := wired()
	list := hunt.Offers(sc.Layout)
	var kinds []hunt.SymptomKind
	for i, c := range list {
		kinds = append(kinds, c.Kind)
		m := New()
		msg := press(m, sc, keyOf(i))
		if c.Where != "" {
			require.Nil(t, msg, c.Says)
			if c.Names != nil {
				assert.Contains(t, ansi.Strip(strings.Join(m.View(sc, 60, 20).Lines, "\n")), "1 "+c.Names[0])
			}
			msg = press(m, sc, "enter")
		}
		do, ok := msg.(scene.Do)
		require.True(t, ok, c.Says)
		assert.Equal(t, c.Kind, do.Event.Symptom.Kind)
		assert.False(t, do.Event.Symptom.Sometimes)
	}
	assert.Equal(t, hunt.Symptoms(), kinds)
	assert.Len(t, hunt.Offers(rig.Oval(6)), 4, "no accessories, one supply")
}

// TestWhichAccessory: the second one by its number and with the arrows; it
// comes and goes.
func TestWhichAccessory(t *testing.T) {
	sc := wired()
	for _, keys := range [][]string{{"s", "6", "2"}, {".", "6", "+", "enter"}, {"s", "6", "down", "enter"}} {
		do, ok := press(New(), sc, keys...).(scene.Do)
		require.True(t, ok)
		assert.Equal(t, hunt.Symptom{Kind: hunt.SymptomAccessoryOn, At: "crossing gate", Sometimes: true},
			*do.Event.Symptom)
	}
}
