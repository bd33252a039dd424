package layouts

import (
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/tui/scene"
)

// Of many layouts the chosen one is always seen, in any window, no line is too long, and
// its key or Enter opens it.
func TestChosenIsSeen(t *testing.T) {
	o := Options{More: 3}
	for i := range 14 {
		o.Rows = append(o.Rows, Row{Name: fmt.Sprintf("a-long-name-of-a-file-%d.hcl", i),
			Says: "Plain oval, 40 pieces"})
	}
	o.Rows = append(o.Rows, Row{Key: "d", Name: "demo", Says: "to try things on"})
	m, sc := New(o), &scene.Scene{}
	press := func(key tea.KeyType) tea.Msg { return m.Update(sc, tea.KeyMsg{Type: key}) }
	see := func(row int) {
		for _, win := range [][2]int{{40, 12}, {80, 22}, {40, 3}} {
			f := m.View(sc, win[0], win[1])
			require.LessOrEqual(t, len(f.Lines), win[1])
			marked := ""
			for _, l := range f.Lines {
				require.LessOrEqual(t, ansi.StringWidth(l), win[0])
				if s := ansi.Strip(l); strings.HasPrefix(s, ">") {
					marked += s
				}
			}
			require.Contains(t, marked, o.Rows[row].Name[:4], "row %d at %v", row, win)
			require.Equal(t, 1, strings.Count(marked, ">"))
		}
	}
	for row := range o.Rows {
		see(row)
		require.Equal(t, Pick{row}, press(tea.KeyEnter))
		press(tea.KeyDown)
	}
	for row := len(o.Rows) - 1; row >= 0; row-- {
		see(row)
		press(tea.KeyUp)
	}
	rune := func(r rune) tea.Msg { return m.Update(sc, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}) }
	assert.Equal(t, Pick{3}, rune('4'))
	assert.Equal(t, Pick{14}, rune('d'))
	assert.Nil(t, rune('x'))
	assert.Equal(t, scene.Quit{}, rune('q'))
}
