package kit

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
)

func table(ac bool) *scene.Scene {
	return &scene.Scene{Layout: &track.Layout{Supplies: []track.Supply{{Name: "T1", AC: ac, Volts: 18}}}, ASCII: true}
}

// press gives the last intent; a word is typed letter by letter.
func press(m *Model, sc *scene.Scene, keys ...string) (in tea.Msg) {
	named := map[string]tea.KeyType{"enter": tea.KeyEnter, "esc": tea.KeyEsc, "down": tea.KeyDown, "up": tea.KeyUp,
		"space": tea.KeySpace, "backspace": tea.KeyBackspace}
	for _, k := range keys {
		if t, ok := named[k]; ok {
			in = m.Update(sc, tea.KeyMsg{Type: t, Runes: []rune(map[string]string{"space": " "}[k])})
			continue
		}
		for _, r := range k {
			in = m.Update(sc, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
	}
	return in
}

func shown(m *Model, sc *scene.Scene, w, h int) string {
	return ansi.Strip(strings.Join(m.View(sc, w, h).Lines, "\n"))
}

// Enter alone is the recommended set: a lamp that nobody knows, on a battery.
func TestEnterTakesTheRecommended(t *testing.T) {
	sc := table(true)
	k := press(New(sc.Layout, hunt.Kit{}, false), sc, "enter").(scene.SetKit).Kit
	assert.True(t, gear.IsRecommended(&k, true))
	assert.Equal(t, gear.BarOnly, gear.RangeOf(&k))
	assert.Equal(t, gear.Battery, gear.FeedOf(&k))
	assert.False(t, gear.Of(&k).Known())

	dc := table(false)
	k = press(New(dc.Layout, hunt.Kit{}, false), dc, "enter").(scene.SetKit).Kit
	assert.True(t, k.Lamp)
	assert.Zero(t, k.DCVolts, "a DC layout's own power pack feeds it")
}

// The lamp is drawn as the hunt lays it: between supply and track in a short, across the
// rails at a weak or a dead place. A battery on DC track is not ticked as the pack.
func TestDrawnAsTheHuntLaysIt(t *testing.T) {
	sc := table(true)
	for kind, across := range map[hunt.SymptomKind]bool{hunt.SymptomShort: false, hunt.SymptomWeak: true,
		hunt.SymptomDead: true} {
		e := &hunt.Event{Symptom: &hunt.Symptom{Kind: kind, At: "main 3"}}
		for _, sc := range []*scene.Scene{{Layout: sc.Layout, ASCII: true, Held: e},
			{Layout: sc.Layout, ASCII: true, View: hunt.View{Symptom: e.Symptom}}} {
			all := shown(New(sc.Layout, hunt.Kit{}, false), sc, 80, 24)
			assert.Equal(t, across, strings.Contains(all, "+--(X)-+"), "%s:\n%s", kind, all)
			assert.Equal(t, !across, strings.Contains(all, "TRACK SIDE"), "%s:\n%s", kind, all)
		}
	}
	sc = table(false)
	kept := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, DCVolts: 12, Battery: true}
	m := New(sc.Layout, kept, true)
	assert.Contains(t, shown(m, sc, 80, 24), "[ ] RECOMMENDED: your DC power pack,")
	assert.Contains(t, shown(m, sc, 80, 24), "Battery 12 V")
	k := press(m, sc, "r", "enter").(scene.SetKit).Kit
	assert.Equal(t, gear.OwnSupply, gear.FeedOf(&k))
	k = press(New(sc.Layout, kept, true), sc, "88", "enter").(scene.SetKit).Kit
	assert.Equal(t, gear.OwnSupply, gear.FeedOf(&k), "round to the pack of the layout")
}

// What a hunt refuses goes back to what the hunt does, in the picture too, and Enter leaves.
func TestRefusedShowsWhatTheHuntDoes(t *testing.T) {
	sc := table(true)
	sc.Kit = hunt.Kit{Volts: true, Lamp: true}
	sc.View.Symptom = &hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 3"}
	m := New(sc.Layout, sc.Kit, true)
	assert.IsType(t, scene.SetKit{}, press(m, sc, "8", "enter"))
	assert.Contains(t, shown(m, sc, 80, 24), "Battery 12 V")
	m.Update(sc, scene.Refused{Err: errors.New("it stays as it is")})
	assert.Contains(t, shown(m, sc, 80, 24), "it stays as it is")
	assert.NotContains(t, shown(m, sc, 80, 24), "Battery")
	assert.Equal(t, scene.Back{}, press(m, sc, "enter"))
}

// Without a lamp each symptom has its own words: no short is hunted at a weak or a dead place.
func TestNoLampByTheSymptom(t *testing.T) {
	for kind, says := range map[hunt.SymptomKind]string{hunt.SymptomShort: "opening joints",
		hunt.SymptomWeak: "is the load", hunt.SymptomDead: "is the load"} {
		sc := table(true)
		sc.View.Symptom = &hunt.Symptom{Kind: kind, At: "main 3"}
		all := shown(New(sc.Layout, hunt.Kit{Volts: true, Millivolts: true}, true), sc, 120, 40)
		assert.Contains(t, all, says, kind)
		assert.Equal(t, kind == hunt.SymptomShort, strings.Contains(all, "a short"), all)
	}
}

// What was told is where it begins.
func TestToldKitIsLeftAlone(t *testing.T) {
	sc := table(true)
	told := hunt.Kit{Beeper: true}
	assert.Equal(t, told, press(New(sc.Layout, told, true), sc, "enter").(scene.SetKit).Kit)
}

// Everything can be told by single keys and by the arrows.
func TestTell(t *testing.T) {
	kit := func(keys ...string) hunt.Kit {
		sc := table(true)
		in := press(New(sc.Layout, hunt.Kit{}, false), sc, append(keys, "enter")...)
		if !assert.IsType(t, scene.SetKit{}, in, "%v", keys) {
			return hunt.Kit{}
		}
		return in.(scene.SetKit).Kit
	}
	k := kit("7")
	assert.Equal(t, gear.Lamp{Watts: 21, Volts: 12}, gear.Of(&k))
	k = kit("77")
	assert.Equal(t, gear.Lamp{Watts: 21, Volts: 12, InSeries: 2}, gear.Of(&k))
	k = kit("777", "1.5A 6V", "enter")
	assert.Equal(t, gear.Lamp{Watts: 9, Volts: 6}, gear.Of(&k))
	k = kit("777", "nonsense", "enter", "esc")
	assert.Equal(t, gear.Lamp{}, gear.Of(&k))
	k = kit("8", "v", "backspace", "backspace", "16", "enter")
	assert.Equal(t, gear.PowerPack, gear.FeedOf(&k))
	assert.Equal(t, 16.0, k.DCVolts)
	k = kit("88")
	assert.Equal(t, gear.OwnSupply, gear.FeedOf(&k))
	k = kit("1")
	assert.Equal(t, gear.BarAndWave, gear.RangeOf(&k), "a wave alone is a wave")
	assert.Zero(t, k.DCVolts, "and its battery would be read by nothing")
	k = kit("11")
	assert.Equal(t, gear.Battery, gear.FeedOf(&k), "on the way to both signs the battery is not lost")
	k = kit("111")
	assert.Equal(t, gear.NoRange, gear.RangeOf(&k))
	k = kit("9", "backspace", "backspace", "backspace", "backspace", "backspace", "4 ft", "enter", "0")
	assert.InDelta(t, 1.2192, k.LeadMetres, 1e-9)
	assert.True(t, k.Extension)
	k = kit("m")
	assert.True(t, k.Bisect)
	k = kit("mm")
	assert.False(t, k.Bisect)
	k = kit("down", "down", "space")
	assert.False(t, k.Beeper)
	k = kit("111346")
	assert.Equal(t, hunt.Kit{Beeper: true, DCVolts: 12, Battery: true}, k, "a beeper alone")
	k = kit("111234")
	assert.True(t, gear.CanMeasure(&k))
	assert.True(t, k.Lamp, "a lamp alone")

	sc := table(true)
	m := New(sc.Layout, hunt.Kit{}, false)
	assert.Nil(t, press(m, sc, "1112346", "enter"), "nothing at all measures nothing")
	assert.Contains(t, shown(m, sc, 80, 22), "choose at least one thing to measure")
	before := m.start
	assert.Equal(t, scene.Back{}, press(m, sc, "esc"))
	assert.Equal(t, before, m.kit, "nothing changed")
}

// The essentials are in sight without scrolling in the smallest usual windows,
// a typed line too; what is wrong with a lamp is said.
func TestEssentialsInSight(t *testing.T) {
	for _, s := range [][2]int{{80, 22}, {40, 18}} {
		for _, isAC := range []bool{true, false} {
			sc := table(isAC)
			m := New(sc.Layout, hunt.Kit{}, false)
			all := shown(m, sc, s[0], s[1])
			for _, want := range []string{"RECOMMENDED", "200 mV", "bar DC", "wave AC", "beeper", "ohms", "volts",
				"amps", "a lamp", "bisection", "on it: don't know", "fed by", "leads 1.2 m", "extension"} {
				assert.Contains(t, all, want, "%v", s)
			}
			press(m, sc, "777")
			assert.Contains(t, shown(m, sc, s[0], s[1]), "21W 12V", "%v: how to write it", s)
		}
	}
	sc := table(true)
	m := New(sc.Layout, hunt.Kit{}, false)
	assert.Contains(t, shown(m, sc, 80, 22), "P21W of UN R37")
	press(m, sc, "88", "777", "21W 14V", "enter")
	all := strings.Join(strings.Fields(shown(m, sc, 80, 22)), " ")
	assert.Contains(t, all, "for 14 V on 18 V")
	press(m, sc, "7", "777", "2W 18V", "enter")
	assert.Contains(t, shown(m, sc, 80, 22), "a small bulb misleads")
}

// Where the layout has a labelled block, a key asks for all of it first; elsewhere there is
// no such row.
func TestBlockFirst(t *testing.T) {
	sc := table(true)
	assert.NotContains(t, shown(New(sc.Layout, hunt.Kit{}, false), sc, 80, 24), "block")
	assert.False(t, press(New(sc.Layout, hunt.Kit{}, false), sc, "b", "enter").(scene.SetKit).Kit.Block)
	sc.Layout.Terminals = []track.Terminal{{Name: "A"}}
	m := New(sc.Layout, hunt.Kit{}, false)
	press(m, sc, "b")
	assert.Contains(t, shown(m, sc, 80, 24), "[x] all of the block before the track")
	assert.Contains(t, shown(m, sc, 40, 20), gear.BlockSays[:20])
	assert.True(t, press(m, sc, "enter").(scene.SetKit).Kit.Block)
}
