package asking

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
)

// lit is a scene that asks for the lamp, hooked up in this very step.
func lit() *scene.Scene {
	l := &track.Layout{Supplies: []track.Supply{{Name: "T1", AC: true, Volts: 18}}}
	a := &hunt.Ask{N: 1, Meter: "lamp", Red: "T1 hot", Black: "T1 common", Dial: "your eyes",
		Steps: []string{"put the lamp in"},
		Setup: hunt.Setup{Source: hunt.Source{Kind: "lamp", From: "T1 hot", To: "T1 common", Volts: 12},
			Trains: "off"},
		Expect: []hunt.Outcome{{Shows: "bright", P: 0.8, Means: "a short"}, {Shows: "dark", P: 0.2, Means: "none"}}}
	return &scene.Scene{Layout: l, ASCII: true, Kit: hunt.Kit{Lamp: true, DCVolts: 12, Battery: true},
		View: hunt.View{Step: hunt.Step{Ask: a}, Moves: []hunt.Move{{Act: hunt.ActLampIn, Battery: true}},
			LayoutRef: l}}
}

func typeIn(m *Model, sc *scene.Scene, s string) (in tea.Msg) {
	for _, r := range s {
		in = m.Update(sc, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	return in
}

// The lamp is answered by one digit, or by its word: glowing begins with a
// letter that is a command on every other reading.
func TestLampAnswers(t *testing.T) {
	for typed, want := range map[string]string{"1": "bright", "2": "glowing", "3": "dark", "glowing": "glowing",
		"dark": "dark"} {
		sc, m := lit(), New()
		typeIn(m, sc, typed)
		assert.Equal(t, scene.Do{Event: hunt.Event{Reading: want}}, m.Update(sc, tea.KeyMsg{Type: tea.KeyEnter}), typed)
		m.Update(sc, scene.Taken{Event: hunt.Event{Reading: want}})
		assert.Empty(t, m.Typed(), typed)
	}
	sc, m := lit(), New()
	assert.Equal(t, scene.Soon{}, typeIn(m, sc, "2"), "a lone digit needs no Enter")
	m = New()
	typeIn(m, lit(), "*")
	assert.True(t, m.Big)
	for _, k := range m.Keys(lit()) {
		assert.NotContains(t, k.Press, "g,", "g says glowing here")
	}
}

// An answer that is no evidence is said to be none, on the first leaf and in
// giant letters.
func TestAsideIsSaid(t *testing.T) {
	for _, big := range []bool{false, true} {
		sc, m := lit(), New()
		m.Big = big
		sc.View.Step.Ask.Meter = "volts"
		sc.View.Step.Ask.Aside = &hunt.Aside{Fact: hunt.FactSupplySide, Reading: "17.2 V",
			Says: "you are on the supply's side of the lamp"}
		all := ansi.Strip(strings.Join(m.View(sc, 40, 40).Lines, " "))
		assert.Contains(t, strings.Join(strings.Fields(all), " "),
			"17.2 V is not counted: you are on the supply's side of the lamp")
	}
}

// A reading that is wanted once more says so, what came and what is odd about it,
// wherever hands look: on the leaf where the meter is read, in giant letters, and
// in small windows too.
func TestOnceMoreIsSaid(t *testing.T) {
	const odd = "reading 3 showed 412, which fits badly with the others: look twice at where both probes are"
	for _, size := range [][2]int{{40, 17}, {80, 22}, {200, 58}} {
		for _, big := range []bool{false, true} {
			sc, m := lit(), New()
			m.Big = big
			a := sc.View.Step.Ask
			a.Meter, a.Dial, a.Red, a.Black, a.Again = "volts", "DC volts", "F1 hot", "F1 common", odd
			m.View(sc, size[0], size[1])
			m.Update(sc, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("5")})
			all := strings.Join(strings.Fields(ansi.Strip(strings.Join(m.View(sc, size[0], size[1]).Lines, " "))), " ")
			if big && size[1] < 20 { // the giant letters come first there: Down has the words
				continue
			}
			if size[0] == 200 && !big { // the map stands beside
				all = strings.Join(strings.Fields(left(m.View(sc, size[0], size[1]).Lines, 69)), " ")
			}
			assert.Contains(t, all, "THE SAME ONCE MORE: "+odd, "%v big %v", size, big)
		}
	}
}

// left is the first w columns of all lines, as words.
func left(lines []string, w int) string {
	out := ""
	for _, l := range lines {
		out += " " + ansi.Truncate(ansi.Strip(l), w, "")
	}
	return out
}

// What to look at is said, no probe is; the circuit is drawn in narrow and wide
// windows, and giant letters ask for the lamp.
func TestLampScreen(t *testing.T) {
	for _, s := range [][2]int{{40, 60}, {40, 18}, {80, 22}} {
		sc, m := lit(), New()
		sc.View.Pieces = nil
		all := ""
		for range 5 {
			all += ansi.Strip(strings.Join(m.View(sc, s[0], s[1]).Lines, "\n"))
			m.Update(sc, tea.KeyMsg{Type: tea.KeyDown})
		}
		for _, want := range []string{"LOOK   at the lamp in series", "Battery 12 V", "fuse 3 A", "(X)", "TRACK SIDE",
			"T1: unplugged, wires off", "THE LAMP IS"} {
			assert.Contains(t, all, want, "%v", s)
		}
		assert.NotContains(t, all, "RED")
		assert.Contains(t, all, "1 = bright, 2 = glowing, 3 = dark")
	}
	sc, m := lit(), New()
	m.Big = true
	big := m.blocks(sc, sc.View.Step.Ask, 80, 30)
	assert.NotEmpty(t, big)
	sc.View.Step.Ask.Meter = "volts"
	assert.Greater(t, len(m.blocks(sc, sc.View.Step.Ask, 80, 30)), len(big), "places for the probes")
}

// In giant letters the dial says AC or DC as the ask does, whatever its words.
func TestBigDial(t *testing.T) {
	for _, k := range []struct {
		meter   string
		current hunt.Current
		want    string
	}{{"millivolts", hunt.AC, "AC MILLIVOLTS"}, {"volts", hunt.DC, "DC VOLTS"}, {"volts", "", "VOLTS"},
		{"ohms", "", "OHMS"}} {
		assert.Equal(t, k.want, bigDial(&hunt.Ask{Meter: k.meter, Dial: "some setting", Current: k.current})[0])
	}
}
