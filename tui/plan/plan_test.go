package plan

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/tui/internal/rig"
	"fishplate/tui/scene"
)

func oval() *scene.Scene { return &scene.Scene{Layout: rig.Oval(6)} }

// full is a reading with every kind of point in it.
func full() *hunt.Ask {
	return &hunt.Ask{N: 1, Red: "main 12/13 center", Black: "main 24/25 left",
		Setup: hunt.Setup{Source: hunt.Source{Kind: "lamp", From: "F1 hot", To: "F1 common"}, Pulled: []string{"F2"},
			Lifted: []string{"main 30/31"},
			Loads: []hunt.Load{{From: "siding 2/3 center", To: "siding 2/3 left", Ohms: 12},
				{From: "main 5 center", To: "main 5 left", Ohms: 0.1}}}}
}

// TestEveryPointHasALetter: each point of a reading stands on the map, its
// letter is explained, and the list below says how to count to it.
func TestEveryPointHasALetter(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		sc := oval()
		sc.ASCII = ascii
		var m Model
		show := Show{Ask: full(), Chosen: -1, Detail: true}
		lines := m.View(sc, show, 110, 60)
		grid, legend := m.grid.String(), strings.Join(Legend(sc, show, 110, 60), "\n")
		for _, letter := range []string{"R", "B", "S", "P", "L", "M", "x"} {
			assert.Contains(t, grid, letter)
			assert.Contains(t, ansi.Strip(legend), letter+" ")
		}
		all := ansi.Strip(strings.Join(lines, "\n"))
		for _, where := range []string{"R CENTER rail, joint main 12/13",
			"B LEFT rail, joint main 24/25, on main 24: 4 joints left of the tunnel mouth (first: main 21/22)",
			"L CENTER rail", "M LEFT rail"} {
			assert.Contains(t, all, where)
		}
	}
}

func press(m *Model, sc *scene.Scene, keys ...string) {
	special := map[string]tea.KeyType{"enter": tea.KeyEnter, "esc": tea.KeyEsc, "left": tea.KeyLeft, "up": tea.KeyUp}
	for _, k := range keys {
		if s, ok := special[k]; ok {
			m.Key(sc, tea.KeyMsg{Type: s})
			continue
		}
		for _, r := range k {
			m.Key(sc, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
	}
}

// TestChoosing: the same piece by its name, by stepping to it and by a click.
func TestChoosing(t *testing.T) {
	sc := oval()
	want := sc.Layout.FindPiece("siding 3")
	require.GreaterOrEqual(t, want, 0)

	var named Model
	press(&named, sc, "/", "2.3", "enter")
	assert.Equal(t, want, named.Picked())
	press(&named, sc, "esc")
	assert.Equal(t, -1, named.Picked())

	var stepped Model
	press(&stepped, sc, "n")
	for stepped.Picked() != want {
		press(&stepped, sc, "n")
	}
	press(&stepped, sc, "n", "p")
	assert.Equal(t, want, stepped.Picked())

	var clicked Model
	clicked.View(sc, Show{Chosen: -1}, 120, 40)
	x, y, ok := clicked.Anchor(want)
	require.True(t, ok)
	for range sc.Layout.Pieces { // others may share the cell: go on clicking
		clicked.Click(sc, x, y)
		if clicked.Picked() == want {
			break
		}
	}
	assert.Equal(t, want, clicked.Picked())

	var wrong Model
	press(&wrong, sc, "/", "nowhere", "enter")
	assert.True(t, wrong.Finding(), "what was typed stays")
	assert.Equal(t, -1, wrong.Picked())
	assert.Contains(t, ansi.Strip(strings.Join(wrong.View(sc, Show{Chosen: -1}, 80, 20), "\n")),
		"nowhere   ! nothing is called so")
}

// TestFollow: a zoomed map shows the probes; moved away it does not; f brings
// it back; the chosen piece is followed before the probes.
func TestFollow(t *testing.T) {
	sc := oval()
	ask := &hunt.Ask{N: 1, Red: "main 12/13 center", Black: "main 12/13 left"}
	var m Model
	seen := func() bool {
		m.View(sc, Show{Ask: ask, Chosen: -1}, 60, 20)
		_, _, ok := m.Probe()
		return ok
	}
	require.True(t, seen())
	press(&m, sc, "++++++")
	require.True(t, seen())
	for range 30 {
		press(&m, sc, "left")
	}
	require.False(t, seen())
	press(&m, sc, "f")
	require.True(t, seen())
	m.Pick(sc.Layout.FindPiece("main 30"))
	press(&m, sc, "+++")
	require.False(t, seen())
	_, _, ok := m.Anchor(m.Picked())
	require.True(t, ok)
	press(&m, sc, "a")
	require.True(t, seen())
}

// TestFollowEach: probes far apart are followed one after the other.
func TestFollowEach(t *testing.T) {
	sc := oval()
	show := Show{Ask: &hunt.Ask{N: 1, Red: "main 12/13 center", Black: "main 34/35 left"}, Chosen: -1}
	var m Model
	seen := func(letter string) bool { return strings.Contains(strings.Join(m.View(sc, show, 60, 9), "\n"), letter) }
	press(&m, sc, "f", "++")
	assert.True(t, seen("R"))
	assert.False(t, seen("B"))
	press(&m, sc, "f")
	assert.True(t, seen("B"))
	assert.False(t, seen("R"))
	press(&m, sc, "f")
	assert.True(t, seen("R"))
}

// TestKeptMap: a map that is not drawn again shows what a new one would.
func TestKeptMap(t *testing.T) {
	sc := oval()
	var kept Model
	show := Show{Ask: full(), Chosen: -1}
	check := func(what string) {
		fresh := kept
		fresh.lines = nil
		assert.Equal(t, fresh.View(sc, show, 90, 30), kept.View(sc, show, 90, 30), what)
	}
	check("first")
	check("again")
	sc.View.Pieces = make([]float64, len(sc.Layout.Pieces))
	sc.View.Pieces[7] = 0.6
	check("suspicion")
	press(&kept, sc, "n")
	check("chosen")
	press(&kept, sc, "++", "left")
	check("moved")
	press(&kept, sc, "/", "ma")
	check("typing")
	press(&kept, sc, "i")
	check("typing on")
	sc.ASCII = true
	check("ascii")
	show.Ask = &hunt.Ask{Red: "main 1/2 center"}
	check("another reading")
	show.Chosen = 3
	check("another piece")
}

// TestKeyTakesNoRow: whatever the window, all of the map stands above its key.
func TestKeyTakesNoRow(t *testing.T) {
	sc, keyed := oval(), 0
	for w := 36; w <= 80; w += 4 {
		for h := 6; h <= 30; h++ {
			var m Model
			lines := m.View(sc, Show{Ask: full(), Chosen: -1, Detail: h%2 == 0}, w, h)
			require.LessOrEqual(t, len(lines), h, "%dx%d", w, h)
			require.Equal(t, Paint(&sc.Theme, m.grid), lines[:m.grid.H], "%dx%d", w, h)
			keyed += len(m.grid.Keys)
		}
	}
	require.Positive(t, keyed)
}
