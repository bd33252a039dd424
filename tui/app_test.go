package tui

import (
	"fmt"
	"os"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"fishplate/diagnose/hunt"
	"fishplate/tui/internal/rig"
)

func TestMain(m *testing.M) {
	lipgloss.SetColorProfile(termenv.Ascii)
	os.Exit(m.Run())
}

func scripted() Options {
	l := rig.Oval(6)
	full := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	return Options{Layout: l, Demo: true, Kit: full, OneKey: 1,
		Start: func(k hunt.Kit) Hunter { return &rig.Script{L: l, Kit: k} }}
}

func TestLook(t *testing.T) {
	o := scripted()
	for _, keys := range [][]string{{}, {"1"}, {"1", "enter"}, {"1", "enter", "enter"}, {"1", "enter", "enter", "1"}, {"1", "enter", "enter", "1", "40"}, {"1", "enter", "enter", "w"},
		{"1", "enter", "enter", "1", "40", "enter", "0", "1", "0"}, {"1", "enter", "enter", "1", "40", "enter", "0", "1", "0", "f"}, {"1", "enter", "enter", "1", "40", "enter", "0", "e"}, {"1", "enter", "enter", "?"}, {"3"}} {
		for _, s := range [][2]int{{80, 24}, {40, 20}} {
			fmt.Println("=====", keys, s)
			fmt.Println(Snapshot(o, s[0], s[1], keys...))
		}
	}
}
