package trial_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
)

// The kits of these evenings: lamp and AC millivolts, a battery and the bulb that
// anyone can buy with a meter whose millivolts are DC only, and a beeper.
var (
	acKit      = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, Meter: "good"}
	batteryKit = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, Meter: "dc-millivolts",
		LampWatts: 21, LampVolts: 12, DCVolts: 12, Battery: true}
	beeperKit = hunt.Kit{Beeper: true}
	lightKit  = hunt.Kit{Lamp: true}
	// testLampKit is a battery and a bulb, and no meter.
	testLampKit = hunt.Kit{Lamp: true, LampWatts: 21, LampVolts: 12, DCVolts: 12, Battery: true}
	voltsKit    = hunt.Kit{Volts: true, Lamp: true, Meter: "good"}
)

func file(t testing.TB, name string) *track.Layout {
	t.Helper()
	src, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
	require.NoError(t, err)
	f, problems := layoutfile.Read(name, src)
	require.False(t, problems.Errors(), "%v", problems)
	return f.Layout
}

// hidden finds a fault of this mode at this place and rail.
func hidden(t testing.TB, l *track.Layout, mode track.FaultMode, place, rail string, ohms float64) simulate.Fault {
	t.Helper()
	n, err := conductor.Build(l)
	require.NoError(t, err)
	for _, s := range fault.List(n) {
		if s.Mode == mode && s.Place == place && s.Rail == rail {
			return simulate.Fault{Suspect: s, Ohms: ohms, Position: 0.4}
		}
	}
	require.Fail(t, "no such fault", "%s %s %s", mode, place, rail)
	return simulate.Fault{}
}

// wholeHunts are hunts that hands play on the bench, from the symptom to the
// proof.
var wholeHunts = []struct {
	layout      string
	kit         hunt.Kit
	symptom     hunt.Symptom
	mode        track.FaultMode
	place, rail string
	ohms        float64
}{
	{"loop", acKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "main 22", "center-left", 0.02},
	{"loop", batteryKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "main 9", "center-left", 0.1},
	{"loop", beeperKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "main 30", "center-left", 0.1},
	{"loop", lightKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "main 15", "center-left", 0.03},
	{"yard", acKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "lead 5", "center-left", 0.05},
	{"yard", batteryKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "F1", "hot-common", 0.05},
	{"double", batteryKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "inner 6", "center-right", 0.02},
	{"blocks", batteryKit, hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "main 8", "center-left", 0.02},
	{"dead-end", acKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 18"}, track.Open, "main 12/13", "center", 0},
	{"dead-end", voltsKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 18"}, track.Open, "main 9/10", "center", 0},
	{"blocks", acKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 8"}, track.Open, "S2", "hot", 0},
	{"feeders", acKit, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 8"}, track.Weak, "F1", "hot", 3},
	{"dead-end", acKit, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 18"}, track.Weak, "main 7/8", "center", 3},
	{"dead-end", batteryKit, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 18"}, track.Weak, "main 12/13",
		"center", 1},
	{"feeders", batteryKit, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 8"}, track.Weak, "F1", "hot", 3},
	{"dead-end", batteryKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 18"}, track.Open, "main 12/13",
		"center", 0},
	{"blocks", batteryKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 8"}, track.Open, "S2", "hot", 0},
	{"dead-end", lightKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 18"}, track.Open, "main 12/13", "center", 0},
	{"dead-end", testLampKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 18"}, track.Open, "main 6/7", "center", 0},
	{"blocks", lightKit, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 8"}, track.Open, "S2", "hot", 0},
}

// Everything that a hunt says, done literally, ends at what is hidden: each
// reading is taken with the table in the set-up that the ask believes in, and
// nothing could hurt or burn.
func TestWholeHuntsByHand(t *testing.T) {
	for i, x := range wholeHunts {
		if testing.Short() && i%3 != 0 {
			continue
		}
		t.Run(fmt.Sprint(x.layout, " ", x.symptom.Kind, " ", x.place), func(t *testing.T) {
			e := playable(t, x.layout, x.kit, x.symptom, hidden(t, file(t, x.layout), x.mode, x.place, x.rail, x.ohms),
				5)
			play(t, e)
			require.True(t, e.Proven, "%s", e.Verdict)
			require.LessOrEqual(t, e.Looks, 6)
		})
	}
}

// The same with a skip, an undo, a redo or a look of one's own now and then, each
// after a part of the steps: the state of the table is what hands have done.
func TestWholeHuntsByRestlessHands(t *testing.T) {
	interludes := 0
	for i, x := range wholeHunts {
		if testing.Short() && i%4 != 0 {
			continue
		}
		t.Run(fmt.Sprint(x.layout, " ", x.symptom.Kind, " ", x.place), func(t *testing.T) {
			f := hidden(t, file(t, x.layout), x.mode, x.place, x.rail, x.ohms)
			e := playable(t, x.layout, x.kit, x.symptom, f, uint64(i))
			e.Restless = 0.3
			play(t, e)
			interludes += e.Interludes
		})
	}
	require.Positive(t, interludes)
}

func playable(t *testing.T, layout string, k hunt.Kit, y hunt.Symptom, f simulate.Fault, seed uint64) *trial.Evening {
	t.Helper()
	e, err := trial.Lay(trial.Table{File: file(t, layout), Kit: k, Symptom: y, Hidden: []simulate.Fault{f},
		Meter:    simulate.GoodMeter(),
		LampAmps: 1.3}, rand.New(rand.NewPCG(seed, 6)))
	require.NoError(t, err)
	e.Prove, e.Checks = true, true
	return e
}

func play(t *testing.T, e *trial.Evening) {
	t.Helper()
	require.Equal(t, e.Symptom.Kind.OfShort(), e.Bench.Tripped(), "the fault must show")
	err := e.Hunt()
	defer func() {
		if t.Failed() {
			for _, line := range e.Log {
				t.Log(line)
			}
		}
	}()
	require.NoError(t, err)
	require.Empty(t, e.Bench.Hazards())
	require.Empty(t, e.Apart)
	require.True(t, e.Found)
}
