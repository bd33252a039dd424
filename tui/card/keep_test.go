package card

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/style"
)

// lines is a reading with all its parts one under the other.
func lines(sc *scene.Scene, a *hunt.Ask, w int) []string {
	out := append(Care(sc, a, w, true), Steps(sc, a, w)...)
	return append(append(out, Keep(sc, a, w)...), Dial(sc, a, w)...)
}

// TestKeepBesideSteps: a reading with steps says what stood before and must go
// on standing, every kind of it.
func TestKeepBesideSteps(t *testing.T) {
	l := &track.Layout{Supplies: []track.Supply{{Name: "T1"}},
		Toggles: []track.Toggle{{Name: "S1"}, {Name: "S2", Reverses: true}}}
	sc := &scene.Scene{Layout: l, Theme: style.New(termenv.Ascii, false)}
	a := &hunt.Ask{N: 4, Meter: "ohms", Steps: []string{"throw W2 to through"}, Setup: hunt.Setup{
		Source: hunt.Source{Kind: "none"}, Loads: []hunt.Load{{From: "main 3 left", To: "main 3 center", Ohms: 0.05}},
		Lifted: []string{"main 7/8", "main 2/1"}, Pulled: []string{"F2"}, Off: []string{"S1", "S2"},
		Unplugged: []string{"gate"},
		Thrown:    map[string]string{"W1": "diverging"}, Trains: "off"}}
	said := strings.Join(strings.Fields(ansi.Strip(strings.Join(lines(sc, a, 60), " "))), " ")
	assert.Contains(t, said, "1 throw W2 to through KEEP joints main 7/8, main 2/1 open; feeder F2 off; toggle S1 "+
		"off; toggle S2 in second position; W1 to diverging; gate unplugged; clip lead from main 3 left to main 3 "+
		"center; supply off, leads off its posts; trains off")

	a.Setup = hunt.Setup{Source: hunt.Source{Kind: "lamp", From: "T1 hot", To: "T1 common", Volts: 18, Amps: 1},
		Trains: "off"}
	assert.Contains(t, ansi.Strip(strings.Join(lines(sc, a, 60), " ")), "KEEP   supply on through the lamp; trains off")
	l.Supplies = append(l.Supplies, track.Supply{Name: "T2"})
	a.Setup.Source.Kind, a.Setup.Also = "volts", []hunt.Source{{Kind: "volts", From: "T2 hot"}}
	assert.Contains(t, strings.Join(Keep(sc, a, 90), " "), "T1 on, full volts; T2 on, full volts; trains off")
	sc.Kit = hunt.Kit{Lamp: true, Battery: true, DCVolts: 12}
	a.Setup = hunt.Setup{Source: hunt.Source{Kind: "lamp", From: "T1 hot", Volts: 12}}
	assert.Contains(t, strings.Join(Keep(sc, a, 90), " "), "battery on through the lamp, T1 off its wires")
	a.Setup = hunt.Setup{Source: hunt.Source{Kind: "volts", From: "T2 hot", Volts: 12},
		Loads: []hunt.Load{{From: "main 3 left", To: "main 3 center", Ohms: 7}}}
	assert.Contains(t, strings.Join(Keep(sc, a, 90), " "), "battery on, T2 off its wires")
	a.Setup.Loads = nil
	assert.Contains(t, strings.Join(Keep(sc, a, 90), " "), "T2 on, full volts",
		"a DC supply of as many volts, which nothing stands in for")
	assert.Empty(t, Keep(sc, &hunt.Ask{Steps: a.Steps}, 60), "a set-up that says nothing")
}

// What lies across the rails has the name that its step gives it.
func TestLoadIsNoLampWithoutOne(t *testing.T) {
	a := &hunt.Ask{Setup: hunt.Setup{Loads: []hunt.Load{{From: "main 1", To: "main 2", Ohms: 18}}}}
	for lamp, want := range map[bool]string{true: "lamp across main 1", false: "load across main 1"} {
		sc := &scene.Scene{Layout: &track.Layout{}, Kit: hunt.Kit{Lamp: lamp}}
		assert.Contains(t, strings.Join(Keep(sc, a, 90), " "), want)
	}
}
