package plan

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
)

// Click chooses the piece under a cell of the map last drawn; clicking again
// goes through the pieces that share it.
func (m *Model) Click(sc *scene.Scene, x, y int) tea.Msg {
	ps := m.At(x, y)
	if len(ps) == 0 {
		return nil
	}
	next := ps[0]
	var names []string
	for i, p := range ps {
		names = append(names, sc.Layout.Pieces[p].ID())
		if p == m.Picked() {
			next = ps[(i+1)%len(ps)]
		}
	}
	free := m.Free
	m.Pick(next)
	m.Free = free // the map does not jump away under the pointer
	return scene.Say{Text: "chosen: " + sc.Layout.Pieces[next].ID() + " (here: " + strings.Join(names, ", ") + ")"}
}

// FindKeys lists the keys while a place is being named.
func FindKeys() []scene.Key {
	return []scene.Key{
		{Press: "Enter", Does: "go there", Hint: "Enter go there"},
		{Press: "Esc", Does: "leave it", Hint: "Esc leave it"},
	}
}

// Keys lists the keys of a map; off says why they do nothing now.
func Keys(off string) []scene.Key {
	return []scene.Key{
		{Press: "/", Does: "go to a piece by its name: main 12, 12, 2.3 (third of the second run), W1, a landmark; " +
			"then Enter", Off: off, Hint: "/ name"},
		{Press: "n, p", Does: "choose the next piece, the one before", Off: off, Hint: "n/p piece"},
		{Press: "+ -", Does: "zoom the map", Off: off, Hint: "+/- zoom"},
		{Press: "arrows", Does: "move it", Off: off, Hint: "arrows move"},
		{Press: "f", Does: "follow the red probe; again: the black one", Off: off, Hint: "f follow"},
		{Press: "a", Does: "show all of the layout", Off: off, Hint: "a all"},
	}
}
