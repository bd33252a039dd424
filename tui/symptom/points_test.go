package symptom

import (
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
)

// routed is the oval with a turnout that switches current.
func routed() *track.Layout {
	l := rig.Oval(6)
	for i := range l.Pieces {
		if p := &l.Pieces[i]; p.Name == "W1" {
			c := *p.Construction
			c.Turnout.Conductors = append(slices.Clone(c.Turnout.Conductors), track.Conductor{When: track.EndDiverging})
			p.Construction = &c
		}
	}
	return l
}

// TestPoints: p turns the turnouts that switch current, for a short alone.
func TestPoints(t *testing.T) {
	sc := &scene.Scene{Layout: routed()}
	m := New()
	shown := func() string { return ansi.Strip(strings.Join(m.View(sc, 40, 20).Lines, "\n")) }
	assert.Contains(t, shown(), "p points when it tripped: not said")
	require.Nil(t, press(m, sc, "p", "1"))
	assert.Contains(t, shown(), "> 1 W1: diverging")
	press(m, sc, "enter")
	assert.Contains(t, shown(), "p points when it tripped: W1 diverging")
	do, ok := press(m, sc, "1").(scene.Do)
	require.True(t, ok)
	assert.Equal(t, map[string]string{"W1": "diverging"}, do.Event.Symptom.Thrown)

	press(m, sc, "p", "1", "enter")
	assert.Contains(t, shown(), "W1 through")
	press(m, sc, "p", "1", "enter")
	do, ok = press(m, sc, "1").(scene.Do)
	require.True(t, ok)
	assert.Nil(t, do.Event.Symptom.Thrown)

	m.row = 3
	assert.NotContains(t, shown(), "points when it tripped", "no short")
	assert.NotContains(t, ansi.Strip(strings.Join(New().View(&scene.Scene{Layout: rig.Oval(6)}, 40, 20).Lines, "\n")),
		"points when")
}
