package bench

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// line is a two-rail line of 6 pieces fed at main 1/2 by T1 (18 V), every half
// of a rail .002 ohm, joint .001, wire .05, clip .003. Invented.
func line(t *testing.T, more string) Things {
	t.Helper()
	f, problems := layoutfile.Read("invented", []byte(invent.Line("two-rail", 6)+more))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	ohms := make([]float64, len(n.Links))
	for i, k := range n.Links {
		ohms[i] = map[conductor.LinkKind]float64{conductor.KindRail: .002, conductor.KindJoint: .001,
			conductor.KindFeeder: .05, conductor.KindClip: .003}[k.Kind]
	}
	return Things{Layout: f.Layout, Ohms: ohms, Lamps: 2, Lamp: Filament{Volts: 18, Amps: 1},
		Meter:   simulate.GoodMeter(),
		Battery: &Battery{Volts: 12, Fuse: 3}}
}

// shorted has a bridge of half an ohm in the middle of main 4.
func shorted(t *testing.T) Things {
	x := line(t, "")
	n, err := conductor.Build(x.Layout)
	require.NoError(t, err)
	for _, s := range fault.List(n) {
		if s.Mode == track.Bridged && s.Place == "main 4" && s.Rail == "left-right" {
			x.Faults = []simulate.Fault{{Suspect: s, Ohms: .5, Position: .5}}
		}
	}
	require.Len(t, x.Faults, 1)
	return x
}

func table(t *testing.T, x Things) *Bench {
	t.Helper()
	b, err := New(x)
	require.NoError(t, err)
	b.trains = false
	return b
}

func exact(t *testing.T, b *Bench, function simulate.Function, ac bool, red, black string) float64 {
	t.Helper()
	v, err := b.exact(Dial{function, ac}, red, black)
	require.NoError(t, err)
	return v
}

func do(t *testing.T, b *Bench, steps ...string) {
	t.Helper()
	for _, s := range steps {
		require.NoError(t, b.Do(s))
	}
}

// lampIn are the steps that put a lamp between the hot post and the hot wires.
var lampIn = []string{"switch the transformer off and unplug it",
	"take all hot wires off the hot post of T1, and keep them joined to each other",
	"put the lamp between the hot post of T1 and the hot wires of T1",
	"turn the handle of the transformer full up"}

// The way out and back is 2 * (.05 + .003) of wire and clip, and .526 from clip
// to clip (.001 + 4 * .002 + 2 * .001 + .002 on each rail, and the half ohm): .632
// in all, behind the winding's .2. Behind a lamp for 18 V and 1 A, whose ohms go
// with the 0.45th power of its volts, I = (V / 18) ^ 0.55 and V + .832 I = 18.
func TestLampIntoAShort(t *testing.T) {
	b := table(t, shorted(t))
	do(t, b, lampIn...)
	require.InDelta(t, 0, exact(t, b, simulate.Volts, true, "T1 hot", "T1 common"), 1e-12, "unplugged")
	do(t, b, "plug the transformer in and switch it on")
	volts, amps := 18.0, 1.0
	for range 100 {
		volts = 18 - .832*amps
		amps = math.Pow(volts/18, 0.55)
	}
	require.InDelta(t, amps*.632, exact(t, b, simulate.Volts, true, "T1 hot", "T1 common"), 1e-5)
	require.InDelta(t, amps*.001, exact(t, b, simulate.Millivolts, true, "main 2/3 right", "main 3/2 right"), 1e-7)
	require.InDelta(t, 18-.2*amps, exact(t, b, simulate.Volts, true, "T1 hot post", "T1 common"), 1e-5,
		"the supply's side of the lamp")
	require.InDelta(t, 0, exact(t, b, simulate.Volts, false, "T1 hot post", "T1 common"), 1e-12, "a DC dial on AC")
	seen, err := b.Seen()
	require.NoError(t, err)
	require.Equal(t, Bright, seen)
	require.Empty(t, b.Hazards())
	require.Equal(t, "lamp", b.State().Source)

	do(t, b, "turn the dial to AC volts (lowest range without OL)")
	text, err := b.Read("where the hot wires of T1 join", "where the common wires of T1 join")
	require.NoError(t, err)
	require.Regexp(t, `^0\.6\d+ V$`, text)
}

// Bare, the short takes 18 / .832 = 21.6 A and trips the breaker of 10 A; with
// the hot wires left on the post the lamp beside them changes nothing.
func TestBareSupplyTrips(t *testing.T) {
	for _, steps := range [][]string{nil, {lampIn[0], lampIn[2], lampIn[3]}} {
		b := table(t, shorted(t))
		require.True(t, b.supplies[0].tripped, "that is the symptom")
		do(t, b, steps...)
		do(t, b, "turn the handle of the transformer full up", "plug the transformer in and switch it on")
		require.InDelta(t, 0, exact(t, b, simulate.Volts, true, "T1 hot", "T1 common"), 1e-9)
		require.Len(t, b.Hazards(), 1)
		require.Contains(t, b.Hazards()[0], "bare into a short: 22 A")
	}
}

// Ohms with the wires off the posts, and with the winding still on them.
func TestOhmsSeeAWinding(t *testing.T) {
	b := table(t, shorted(t))
	do(t, b, lampIn[0])
	require.InDelta(t, 1/(1/.632+1/.2), exact(t, b, simulate.Ohms, false, "T1 hot", "T1 common"), 1e-9)
	do(t, b, lampIn[1], "take all common wires off the common post of T1, and keep them joined to each other")
	require.InDelta(t, .632, exact(t, b, simulate.Ohms, false, "T1 hot", "T1 common"), 1e-9)
	require.InDelta(t, .2, exact(t, b, simulate.Ohms, false, "T1 hot post", "T1 common post"), 1e-9)
	do(t, b, lampIn[2], "put all common wires back on the common post of T1",
		"plug the transformer in and switch it on")
	exact(t, b, simulate.Beeper, false, "T1 hot", "T1 common")
	require.Equal(t, []string{"beeper on a live track, T1 hot to T1 common"}, b.Hazards())
}

// A lamp for 12 V and 21 W on a battery of 12 V: 1.75 A at 12 V, and the fuse
// holds; with a clip lead over the lamp it blows.
func TestBatteryAndItsFuse(t *testing.T) {
	x := shorted(t)
	x.Lamp = Filament{Volts: 12, Amps: 1.75}
	b := table(t, x)
	do(t, b, lampIn[0], lampIn[1], "take all common wires off the common post of T1, and keep them joined to each "+
		"other",
		"see that a fuse of 3 A is at the battery's plus",
		"put the lamp between the plus of the battery and the hot wires of T1",
		"join the common wires of T1 to the minus of the battery")
	require.False(t, b.live())
	do(t, b, "put the clip on the battery's plus")
	volts, amps := 12.0, 1.75
	for range 100 {
		volts = 12 - (.632+.05)*amps
		amps = 1.75 * math.Pow(volts/12, 0.55)
	}
	require.InDelta(t, amps*.632, exact(t, b, simulate.Volts, false, "T1 hot", "T1 common"), 1e-5)
	require.InDelta(t, 12-.05*amps, exact(t, b, simulate.Volts, false, BatteryPlus, "T1 common"), 1e-5,
		"the battery's side of the lamp")
	require.Empty(t, b.Hazards())
	require.Equal(t, State{Source: "lamp", Supply: "T1", StandIn: true, On: []string{"T1"}, Thrown: map[string]string{},
		Apart: true, Full: true}, b.State())
	do(t, b, "put all common wires back on the common post of T1", "put all hot wires back on the hot post of T1")
	require.InDelta(t, 1/(1/.632+1/.2), b.solved.feedOhms(t), 1e-6)
}

// feedOhms is what the battery sees behind its lamp.
func (c *circuit) feedOhms(t *testing.T) float64 {
	t.Helper()
	volts := c.v[c.b.bunch(0, 0)] - c.v[c.b.bunch(0, 1)]
	return volts / c.lampAmps()
}

// Hands on a joint of a live track are a hazard; lifted, the far side is dead.
func TestLiftedJointParts(t *testing.T) {
	b := table(t, line(t, ""))
	do(t, b, "turn the handle of the transformer full up")
	require.InDelta(t, 18, exact(t, b, simulate.Volts, true, "main 5 right", "main 5 left"), 1e-6)
	do(t, b, "lift the joint main 3/4 so that no rail touches across it")
	require.Equal(t, []string{"hands on the joint main 3/4 while the track is live"}, b.Hazards())
	require.InDelta(t, 0, exact(t, b, simulate.Volts, true, "main 5 right", "main 5 left"), 1e-9)
	require.ErrorContains(t, b.Do("put the joint main 9/4 back together"), `there is no joint "main 9/4" on this table`)
}

// A piece that is out to be looked at parts the track until it is seated.
func TestPieceOut(t *testing.T) {
	b := table(t, line(t, ""))
	do(t, b, "switch the transformer off and unplug it")
	b.Look("main 4")
	do(t, b, "turn the handle of the transformer full up", "plug the transformer in and switch it on")
	require.InDelta(t, 0, exact(t, b, simulate.Volts, true, "main 5 right", "main 5 left"), 1e-9)
	do(t, b, "switch the transformer off and unplug it",
		"put back all that was out to be looked at (main 4), each piece seated and its joints together",
		"plug the transformer in and switch it on")
	require.InDelta(t, 18, exact(t, b, simulate.Volts, true, "main 5 right", "main 5 left"), 1e-6)
	require.Empty(t, b.Hazards())
}

// One lamp cannot be in two places.
func TestOneLamp(t *testing.T) {
	x := line(t, "")
	x.Lamps = 1
	b := table(t, x)
	do(t, b, "switch the transformer off and unplug it",
		"lay a lamp of about 18 ohm across main 5 right and main 5 left")
	require.ErrorContains(t, b.Do(lampIn[2]), "no lamp left")
	do(t, b, "take the lamp off main 5 right and main 5 left", lampIn[2])
}

// A filament cold has a twelfth of what it has hot, and the current at half its
// volts is 0.5 ^ 0.55 = 0.683 of what it is.
func TestFilament(t *testing.T) {
	f := Filament{Volts: 12, Amps: 1.75}
	require.InDelta(t, 1.75, f.AmpsAt(12), 1e-12)
	require.InDelta(t, 1.75*0.6830, f.AmpsAt(6), 1e-3)
	require.InDelta(t, 12/1.75/12, f.Ohms(0), 1e-12)
}

func TestHandsKnowNoOtherWords(t *testing.T) {
	b := table(t, line(t, ""))
	require.ErrorContains(t, b.Do("wiggle the thing"), `no hands understand the sentence "wiggle the thing"`)
}

// What comes and goes is pressed by hand on a dead track, and with a stick on a live one.
func TestPressedWithAStick(t *testing.T) {
	const press = "make the fault show (press along the track, warm it) and read while it does; if it stays away, skip"
	const stick = "make the fault show (press along the track with a stick of dry wood, no hand on rails or " +
		"wires) and read while it does; if it stays away, skip"
	b := table(t, line(t, ""))
	do(t, b, "switch the transformer off and unplug it", press, "plug the transformer in and switch it on", stick)
	require.Empty(t, b.Hazards())
	do(t, b, press)
	require.Equal(t, []string{"hands press along a live track"}, b.Hazards())
}
