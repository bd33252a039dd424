package tui

import (
	"errors"
	"os"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/health"
	"fishplate/layoutfile"
	"fishplate/tui/scene"

	rounds "fishplate/tui/health"
)

// evenings is a health check on an invented loop, of three readings with the lamp at two
// places; what is kept and said is of the test.
func evenings(t testing.TB, kept *[][]string) Options {
	text, err := os.ReadFile("../testdata/layouts/loop.hcl")
	require.NoError(t, err)
	f, problems := layoutfile.Read("loop.hcl", text)
	require.NotNil(t, f, "%v", problems)
	plan := &health.Plan{Places: []health.Place{{Supply: "T1", Hot: "main 20/21 center", Common: "main 20/21 left"},
		{Supply: "T1", Hot: "main 30/31 center", Common: "main 30/31 left"}},
		Readings: []health.Reading{{Place: 0, Red: "main 2/3 center", Black: "main 10/11 center"},
			{Place: 0, Red: "F1 hot", Black: "main 20/21 center"},
			{Place: 1, Red: "main 30/31 left", Black: "T1 common"}}}
	check, err := health.On(f.Layout, plan, health.Options{})
	require.NoError(t, err)
	o := Options{Layout: f.Layout, LayoutPath: "loop.hcl"}
	o.Health = &rounds.Options{Check: check, Held: "the baseline of 2026-11-01", N: 7,
		Last: func(int) *health.Shown { return &health.Shown{Volts: 0.02, Step: 1e-4} },
		Keep: func(showed []string) (*rounds.Evening, error) {
			*kept = append(*kept, showed)
			if len(*kept) == 1 {
				return nil, errors.New("the disk is full")
			}
			return &rounds.Evening{Worse: true, Kept: "Kept in loop.hcl.health.json.",
				Says: []string{"One contact got worse by about 47 mohm (36 mohm to 59 mohm): main 12 to 20, center " +
					"rail.",
					"Since: evening 7, 2026-11-29."}, Chart: func(int) (string, string) {
					return " 47 ┤  ╭──\n  0 ┼──╯", "mohm more: 0, 1, 47."
				}}, nil
		}}
	o.Onward = func() (Options, error) { return scripted(), nil }
	return o
}

// TestHealthFrames: every page of the check at three sizes.
func TestHealthFrames(t *testing.T) {
	for _, way := range []struct {
		name string
		keys []string
	}{
		{"ready", nil},
		{"first", []string{"enter", "enter"}},
		{"second", []string{"enter", "enter", "enter", "21", "enter"}},
		{"doubt", []string{"enter", "enter", "enter", "21", "enter", "-21", "enter"}},
		{"verdict", []string{"enter", "enter", "enter", "21", "enter", "20", "enter", "19", "enter", "enter", "enter"}},
	} {
		for _, size := range sizes {
			var kept [][]string
			holdsFrame(t, "health-"+way.name, evenings(t, &kept), size, way.keys...)
		}
	}
}

// TestHealthScreen: a doubtful reading counts when it is typed twice, the last one can be
// taken back, what could not be kept is tried again, and a bad evening leads to its hunt.
func TestHealthScreen(t *testing.T) {
	var kept [][]string
	o := evenings(t, &kept)
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	seen := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	do := func(keys ...string) { typeInto(a, 80, 24, keys) }
	do("enter", "enter", "about", "enter")
	assert.Contains(t, seen(), "!")
	do("esc", "21", "enter", "-21", "enter")
	assert.Contains(t, seen(), "are red and black exchanged?")
	do("-21", "enter")
	assert.Contains(t, seen(), "reading 3 of 3")
	do("u", "ctrl+r", "ctrl+p", "22", "enter")
	assert.Empty(t, kept)
	do("enter", "19", "enter")
	require.Equal(t, [][]string{{"21", "22", "19"}}, kept)
	assert.Contains(t, seen(), "the disk is full")
	do("enter")
	assert.Len(t, kept, 2)
	assert.Contains(t, seen(), "One contact got worse by about 47 mohm")
	assert.Contains(t, seen(), "h hunts for it now")
	do("h")
	assert.Equal(t, scene.Symptom, a.at)
}
