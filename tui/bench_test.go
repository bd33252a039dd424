package tui

import (
	"fmt"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/internal/rig"
)

// BenchmarkKey is one key and the frame after it, on the reading's screen.
func BenchmarkKey(b *testing.B) {
	for _, straights := range []int{6, 46, 246} {
		for _, size := range [][2]int{{80, 24}, {200, 60}} {
			l := rig.Oval(straights)
			b.Run(fmt.Sprintf("%dpieces-%dx%d", len(l.Pieces), size[0], size[1]), func(b *testing.B) {
				o := Options{Layout: l, Kit: hunt.Kit{Beeper: true}, KitKnown: true, Start: func(hunt.Kit) Hunter {
					return &rig.Script{L: l}
				}}
				a, _ := at(o, "1", "enter", "1")
				a.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
				b.ReportAllocs()
				for b.Loop() {
					a.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("7")})
					a.View()
					a.Update(tea.KeyMsg{Type: tea.KeyBackspace})
				}
			})
		}
	}
}
