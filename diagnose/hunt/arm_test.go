package hunt_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// armed starts a hunt behind the lamp and answers the look at it.
func armed(t *testing.T, l *track.Layout, light string) *hunt.Hunt {
	h := hunt.New(l, allMeters)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	a := h.View().Step.Ask
	require.Equal(t, "lamp", a.Meter)
	require.Equal(t, []string{"T1 hot", "T1 common"}, []string{a.Red, a.Black})
	require.Equal(t, "T1 hot", a.Setup.Source.From)
	require.Len(t, a.Expect, 3)
	require.NoError(t, h.Apply(hunt.Event{Reading: light}))
	return h
}

func say(t *testing.T, h *hunt.Hunt, readings ...string) {
	t.Helper()
	for _, r := range readings {
		require.NoError(t, h.Apply(hunt.Event{Reading: r}))
	}
}

// A hunt behind a lamp begins with its light and the volts on its track side; the
// look at the lamp is no reading of a meter.
func TestArming(t *testing.T) {
	h := armed(t, load(t, "loop"), "lit")
	v := h.View()
	require.Equal(t, 0, v.Readings)
	require.Equal(t, "volts", v.Step.Ask.Meter)
	require.Equal(t, []string{"T1 hot", "T1 common"}, []string{v.Step.Ask.Red, v.Step.Ask.Black})
	say(t, h, "0.1")
	v = h.View()
	require.Equal(t, 1, v.Readings)
	require.NotNil(t, v.Step.Ask)
	require.NotEqual(t, "lamp", v.Step.Ask.Meter)
	require.False(t, v.Step.Ask.Red == "T1 hot" && v.Step.Ask.Black == "T1 common")
}

// The supply's own volts behind a lamp that burns were read on the wrong side of
// it: they are no evidence, and the same is asked again; so along a rail.
func TestSupplysSideOfTheLamp(t *testing.T) {
	h := armed(t, load(t, "loop"), "bright")
	before := h.View()
	say(t, h, "17.8")
	v := h.View()
	require.NotNil(t, v.Step.Ask.Aside)
	require.Equal(t, hunt.FactSupplySide, v.Step.Ask.Aside.Fact)
	require.Contains(t, v.Step.Ask.Why, "you are on the supply's side of the lamp")
	require.Equal(t, before.Step.Ask.Red, v.Step.Ask.Red)
	require.Equal(t, before.Readings, v.Readings)
	require.Equal(t, before.Pieces, v.Pieces)
	say(t, h, "0.1")
	require.Nil(t, h.View().Step.Ask.Aside)
	require.Equal(t, 1, h.View().Readings)
	// Along a rail: the hunt's next ask lies on one side.
	a := h.View().Step.Ask
	say(t, h, "OL")
	again := h.View().Step.Ask
	require.NotNil(t, again.Aside)
	require.Equal(t, hunt.FactOverRange, again.Aside.Fact)
	require.Equal(t, []string{a.Red, a.Black, a.Meter}, []string{again.Red, again.Black, again.Meter})
	require.NoError(t, h.Apply(hunt.Event{Undo: 1}))
	require.Nil(t, h.View().Step.Ask.Aside)
}

// Dark with the supply's volts behind the lamp: no short with the trains off.
// Dark without: nothing feeds the track, and neither answer counts.
func TestDarkLamp(t *testing.T) {
	h := armed(t, load(t, "loop"), "dark")
	say(t, h, "17.9")
	v := h.View()
	require.NotNil(t, v.Step.Done, "%+v", v.Step.Ask)
	require.Contains(t, v.Step.Done.Verdict, "look at the trains")

	h = armed(t, load(t, "loop"), "dark")
	say(t, h, "0.02")
	v = h.View()
	require.NotNil(t, v.Step.Ask)
	require.Equal(t, "lamp", v.Step.Ask.Meter)
	require.Equal(t, hunt.FactNotLive, v.Step.Ask.Aside.Fact)
	require.Equal(t, 0, v.Readings)
	require.Empty(t, v.Evidence)
	say(t, h, "bright", "0.1")
	require.Equal(t, 1, h.View().Readings)
}

// Two volts behind an ampere are an engine's motor, and it is called one.
func TestEngineByItsOhms(t *testing.T) {
	h := armed(t, load(t, "loop"), "bright")
	say(t, h, "1.8")
	top := h.View().Ranked[0]
	require.Contains(t, top.What, "engine")
	require.Contains(t, top.What, "about 2 ohm")
	require.Contains(t, top.Look, "a forgotten engine or a lit car")

	// The same engine behind a lamp of half an ampere, of 36 ohm, and of 2.3 A, of
	// 7.8 ohm: 18 x 2/38 = 0.95 V, 18 x 2/9.8 = 3.7 V. Nobody knows the lamp, so it is
	// named as what may be there.
	for volts, says := range map[string]string{"0.9": "perhaps an engine or a lit car", "3.7": "an engine or"} {
		h = armed(t, load(t, "loop"), "bright")
		say(t, h, volts)
		top = h.View().Ranked[0]
		require.Contains(t, top.What, says)
		require.Contains(t, top.Look, "a forgotten engine or a lit car")
	}

	h = armed(t, load(t, "loop"), "bright")
	say(t, h, "0.05")
	top = h.View().Ranked[0]
	require.Contains(t, top.What, "bare metal")
	require.Contains(t, top.Look, "eyes first")
}

// A fault that comes and goes: no reading behind the lamp without a look at it
// first, and a dark lamp says nothing.
func TestLampIsWatched(t *testing.T) {
	h := hunt.New(load(t, "loop"), allMeters)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort, Sometimes: true}}))
	say(t, h, "dark")
	v := h.View()
	require.Equal(t, hunt.FactAway, v.Step.Ask.Aside.Fact)
	require.Empty(t, v.Evidence)
	say(t, h, "bright", "0.1")
	a := h.View().Step.Ask
	require.Equal(t, "lamp", a.Meter)
	say(t, h, "dark")
	require.Equal(t, hunt.FactAway, h.View().Step.Ask.Aside.Fact)
	say(t, h, "bright")
	require.NotEqual(t, "lamp", h.View().Step.Ask.Meter)
	require.Equal(t, 1, h.View().Readings)
}

// A lamp and no meter: parts are taken off one by one until the lamp goes dark.
func TestLampAlone(t *testing.T) {
	h := hunt.New(load(t, "dead-end"), hunt.Kit{Lamp: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	say(t, h, "bright")
	v := h.View()
	require.NotNil(t, v.Step.Ask)
	require.Equal(t, "lamp", v.Step.Ask.Meter)
	require.NotEmpty(t, v.Step.Ask.Setup.Lifted)
	require.Equal(t, 0, v.Readings)
}

// The same of a fault that comes and goes: each light with a part taken off is a
// reading, so nothing is asked again once it was answered; a dark one is tried once
// more, since the fault may be away, and then believed.
func TestLampAloneOfWhatComesAndGoes(t *testing.T) {
	h := hunt.New(load(t, "dead-end"), hunt.Kit{Lamp: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort, Sometimes: true}}))
	say(t, h, "dark", "dark", "dark")
	require.Equal(t, hunt.FactAway, h.View().Step.Ask.Aside.Fact, "nothing was taken off: it is away, however often")
	say(t, h, "bright")
	asked := map[string]bool{}
	for range 30 {
		a := h.View().Step.Ask
		if a == nil {
			break
		}
		key := fmt.Sprint(a.Setup)
		require.False(t, asked[key], "asked again: %s", key)
		asked[key] = true
		if len(asked)%2 == 0 {
			say(t, h, "bright")
			continue
		}
		say(t, h, "dark")
		require.Equal(t, hunt.FactAway, h.View().Step.Ask.Aside.Fact)
		say(t, h, "dark")
	}
	require.NotNil(t, h.View().Step.Inspect)
}

// What is written on a lamp gives its current at the supply's volts: two P21W in
// series on 18 V take what each takes at 9 V.
func TestLampCurrent(t *testing.T) {
	one := func(k hunt.Kit, volts, amps, spread float64) {
		a, s := k.LampCurrent(volts, math.Inf(1))
		require.InDelta(t, amps, a, 0.005)
		require.InDelta(t, spread, s, 1e-9)
	}
	one(hunt.Kit{Lamp: true}, 18, 1, 0.4)
	one(hunt.Kit{Lamp: true, LampWatts: 21, LampVolts: 12}, 12, 1.75, 0.15)
	one(hunt.Kit{Lamp: true, LampWatts: 21, LampVolts: 12, LampsInSeries: 2}, 18, 1.75*math.Pow(0.75, 0.55), 0.15)
	one(hunt.Kit{Lamp: true, LampAmps: 0.83, LampSpread: 0.02}, 18, 0.83, 0.02)
}

// A dark lamp, and the volts of a supply that nothing loads: a charged battery of 12 V
// has 12.7, and transformers give more than is written on them. Each says that the track
// is sound, and none is odd.
func TestVoltsOfASupplyThatNothingLoads(t *testing.T) {
	battery := allMeters
	battery.Lamp, battery.LampWatts, battery.LampVolts, battery.DCVolts, battery.Battery = true, 21, 12, 12, true
	own := battery
	own.DCVolts, own.Battery = 0, false
	for volts, kit := range map[string]hunt.Kit{"11.6 V": battery, "12.7 V": battery, "13.1 V": battery, "17.2 V": own,
		"19.0 V": own, "20.5 V": own} {
		h := hunt.New(load(t, "loop"), kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		say(t, h, "dark", volts)
		d := h.View().Step.Done
		require.NotNil(t, d, volts)
		require.Equal(t, hunt.EndOffTrack, d.Outcome, volts)
		require.Empty(t, h.View().Warnings, volts)
	}
}

// Each part taken off is a circuit of its own to be solved: by the light of a lamp no
// more of them are weighed than people wait for.
func TestLampAloneWeighsNoMoreThanPeopleWaitFor(t *testing.T) {
	for _, layout := range []string{"feeders", "loop-siding"} {
		h := hunt.New(load(t, layout), hunt.Kit{Lamp: true})
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		for say(t, h, "bright"); h.View().Step.Ask != nil; say(t, h, "bright") {
			t.Logf("%s: %d", layout, len(h.Asks()))
			require.Less(t, len(h.Asks()), 450, layout)
		}
	}
}

// TestWhatWouldNotCount: what an answer is said to mean while it is typed is what becomes
// of it: one that will be put aside says so, and the third of its kind, which is believed,
// does not.
func TestWhatWouldNotCount(t *testing.T) {
	aside := 0
	tried := func(h *hunt.Hunt, typed string) bool {
		a := h.View().Step.Ask
		r, err := a.Parse(typed)
		require.NoError(t, err)
		row, ok := a.Outcome(r)
		require.True(t, ok)
		say(t, h, typed)
		now := h.View().Step.Ask
		put := now != nil && now.Aside != nil
		require.Equal(t, put, strings.HasPrefix(row.Means, "not counted: "), "%s: %s", typed, row.Means)
		if put {
			aside++
		}
		return put
	}
	for _, light := range []string{"bright", "dark"} {
		for _, typed := range []string{"17.8", "9.5", "3", "0.1"} {
			h := armed(t, load(t, "loop"), light)
			for range 3 {
				if !tried(h, typed) {
					break
				}
				if h.View().Step.Ask.Meter == "lamp" { // looked at once more
					say(t, h, light)
				}
			}
		}
	}
	require.Equal(t, 6, aside)
	h := armed(t, load(t, "loop"), "bright")
	say(t, h, "0.1")
	require.True(t, tried(h, "OL"), "along a rail")
}

// Where nobody knows the lamp, its volts name an engine from where one may begin to where
// it may end, for lamps of 0.42 to 2.1 A, and no figure of ohms: an engine of 1 ohm
// behind 0.42 A of 12.3 V has 0.42 V, one of 2.1 ohm behind 2.1 A of 18 V has 3.5 V (Ohm's
// law). A known lamp parts metal from an engine.
func TestUnknownLampNamesNoOhms(t *testing.T) {
	kit := allMeters
	kit.LampAmps, kit.LampSpread = 0, 0
	for _, c := range []struct {
		dc               float64
		reads, row, says string
	}{{12, "0.445", "an engine", ""}, {12, "3.60", "an engine", "some ohms"}, {0, "4.22", "an engine", "some ohms"},
		{0, "0.1", "bare metal", ""}} {
		kit.DCVolts, kit.Battery = c.dc, c.dc > 0
		h := hunt.New(load(t, "loop"), kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		say(t, h, "bright")
		require.Contains(t, means(h.View().Step.Ask, c.reads), c.row, "%+v", c)
		say(t, h, c.reads)
		require.Contains(t, h.View().Ranked[0].What, c.says)
		require.NotContains(t, h.View().Ranked[0].What, "about")
	}
}

// Several ohms leave a battery more than half of its volts, which are no sign of the wrong
// side of the lamp: it has no handle that can be down.
func TestSeveralOhmsOnABattery(t *testing.T) {
	kit := allMeters
	kit.DCVolts, kit.Battery, kit.LampAmps, kit.LampWatts, kit.LampVolts = 12, true, 0, 21, 12
	h := hunt.New(load(t, "loop"), kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	say(t, h, "glowing", "7.95")
	require.Nil(t, h.View().Step.Ask.Aside)
	require.Equal(t, 1, h.View().Readings)
	require.NoError(t, h.Apply(hunt.Event{Undo: 1}))
	say(t, h, "11.9")
	require.Equal(t, hunt.FactSupplySide, h.View().Step.Ask.Aside.Fact)
}

// means is what an ask says of so many volts.
func means(a *hunt.Ask, reads string) string {
	v, _ := strconv.ParseFloat(reads, 64)
	for _, row := range a.Expect {
		if (row.From == nil || *row.From <= v) && (row.To == nil || v < *row.To) {
			return row.Means
		}
	}
	return ""
}
