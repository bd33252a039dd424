package hunt_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// A meter without an AC millivolt range hunts an AC layout's short with a DC
// supply behind the lamp; without one it is left with beeps.
func TestDCStandsIn(t *testing.T) {
	l := load(t, "loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	kit := allMeters
	kit.Meter = "dc-millivolts"
	h := hunt.New(l, kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NotEqual(t, "millivolts", h.View().Step.Ask.Meter)
	kit.DCVolts = 12
	list := shorting(t, n, pick(l, t, track.Bridged, true))
	right := 0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 12))
		f := simulate.DrawFault(list, rng)
		b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), []simulate.Fault{f})
		m := simulate.CheapMeter().Draw(rng)
		h := hunt.New(l, kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		for v := h.View(); v.Step.Ask != nil; v = h.View() {
			require.Contains(t, []string{"lamp", "millivolts", "beeper", "volts"}, v.Step.Ask.Meter)
			if v.Step.Ask.Meter == "millivolts" {
				require.Contains(t, v.Step.Ask.Dial, "DC")
				require.Equal(t, 12.0, v.Step.Ask.Setup.Source.Volts)
			}
			require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, v.Step.Ask, false, rng)}))
		}
		for i, c := range h.View().Step.Inspect.Pieces {
			if i < 3 && c.Piece == f.Suspect.Piece {
				right++
			}
		}
	}
	require.GreaterOrEqual(t, right, 5)
}

// What a health check found is hunted with its battery: the lamp lies across the rails,
// and the transformer is off and unplugged before the battery comes on.
func TestBatteryOfAHealthCheck(t *testing.T) {
	kit := allMeters
	kit.Meter, kit.DCVolts, kit.Battery, kit.Lamp, kit.LampAmps = "dc-millivolts", 12, true, true, 1.75
	h := hunt.New(load(t, "loop"), kit)
	worse := &hunt.Worse{Places: map[string]float64{"main 10/11 center": 0.5, "main 12/13 center": 0.5}, Ohms: 0.05}
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 20", Worse: worse}}))
	a := h.View().Step.Ask
	require.Equal(t, hunt.DC, a.Current)
	require.Equal(t, "volts", a.Setup.Source.Kind)
	require.Equal(t, 12.0, a.Setup.Source.Volts)
	require.InDelta(t, 12/1.75, a.Setup.Loads[0].Ohms, 1e-9)
	at := func(step string) int { return slices.Index(a.Steps, step) }
	off, wires := at("switch the transformer off and unplug it"),
		at("take all hot wires off the hot post of T1, and keep them joined to each other")
	fuse, plus, on := at("see that a fuse of 3 A is at the battery's plus"),
		at("join the hot wires of T1 to the plus lead of the battery, still dead"),
		at("put the clip on the battery's plus")
	require.True(t, 0 <= off && off < wires && wires < fuse && fuse < plus && plus < on, "%v", a.Steps)
	require.Contains(t, a.Cautions[0], "A fuse of 3 A stays in")
}

// A dial reads the kind of current that is on: DC where the battery feeds the track, AC
// where the transformer does. On the other it shows nothing.
func TestDialReadsWhatIsOn(t *testing.T) {
	l := load(t, "loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	kit := allMeters
	kit.DCVolts, kit.Battery, kit.Lamp, kit.LampAmps = 12, true, true, 1.75
	without := allMeters
	without.Lamp = false
	for _, kind := range []hunt.SymptomKind{hunt.SymptomShort, hunt.SymptomShortTrain, hunt.SymptomDead,
		hunt.SymptomWeak} {
		for _, kit := range []hunt.Kit{kit, without} {
			rng := rand.New(rand.NewPCG(3, 5))
			b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), nil)
			m := simulate.CheapMeter().Draw(rng)
			h := hunt.New(l, kit)
			require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: kind, At: "main 20"}}))
			for v, left := h.View(), 6; v.Step.Ask != nil && left > 0; v, left = h.View(), left-1 {
				a := v.Step.Ask
				if a.Setup.Source.Kind != string(conductor.SourceNone) && a.Current != "" {
					want := hunt.AC
					if a.Setup.Source.Volts == kit.DCVolts {
						want = hunt.DC
					}
					require.Equal(t, want, a.Current, "%s: %v", kind, a.Steps)
				}
				require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, a, false, rng)}))
			}
		}
	}
}

// Beside an insulated rail volts are asked for where a train's current goes back: between
// the hot rail and the insulated one there are none on sound track either.
func TestVoltsBesideAnInsulatedRail(t *testing.T) {
	h := hunt.New(load(t, "rail-tied"), hunt.Kit{Volts: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: "main 16"}}))
	require.NotNil(t, h.View().Step.Ask)
	for a := h.View().Step.Ask; a != nil; a = h.View().Step.Ask {
		for _, at := range []string{a.Red, a.Black} {
			require.NotRegexp(t, `^main 1[5-8](/\d+)? left$`, at)
		}
		require.NoError(t, h.Apply(hunt.Event{Reading: "0"}))
	}
}
