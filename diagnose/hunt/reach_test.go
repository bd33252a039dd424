package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
)

// Probes that the leads do not span come with a step that lengthens one, and no
// others do; what it costs is in the minutes, and longer leads need none.
func TestReach(t *testing.T) {
	l := ring(t, 200)
	n, err := conductor.Build(l)
	require.NoError(t, err)
	all := 0
	for _, kit := range []hunt.Kit{allMeters, {Volts: true, Millivolts: true, Lamp: true, Extension: true},
		{Volts: true, Millivolts: true, Lamp: true, LeadMetres: 50}} {
		h := hunt.New(l, kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		far := 0
		for range 4 {
			a := h.View().Step.Ask
			if a == nil {
				break
			}
			steps := strings.Join(a.Steps, "\n")
			long := strings.Contains(steps, "the probes are about")
			leads := 2 * price.LeadMetres
			if kit.LeadMetres > 0 {
				leads = 2 * kit.LeadMetres
			}
			if a.Meter == "lamp" || a.Meter == "amps" {
				require.Zero(t, a.Reach)
			} else {
				apart := price.Of(n).Apart(n.Find(a.Red), n.Find(a.Black))
				require.InDelta(t, apart, a.Reach, 0.051)
				require.Equal(t, apart > leads, long, "%s to %s: %.1f m: %s", a.Red, a.Black, apart, steps)
			}
			if long {
				require.Equal(t, kit.Extension || far > 0, strings.Contains(steps, "clip an extension wire"), steps)
				far++
			}
			answers := map[string]string{"beeper": "beep", "lamp": "bright", "ohms": "0.4", "millivolts": "40",
				"volts": "0.04"}
			require.NoError(t, h.Apply(hunt.Event{Reading: answers[a.Meter]}))
		}
		all += far
	}
	require.Positive(t, all, "no far reading was asked for")
}

// A probe that cannot get to its place is asked for at no point of that joint
// again, on either side of it, for as long as the hunt lasts; undo forgets it.
func TestOutOfReach(t *testing.T) {
	l := load(t, "loop")
	h := hunt.New(l, hunt.Kit{Volts: true, Millivolts: true, Lamp: true, DCVolts: 12, Battery: true})
	do := func(e hunt.Event) {
		t.Helper()
		require.NoError(t, h.Apply(e))
	}
	do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	do(hunt.Event{Reading: "bright"})
	do(hunt.Event{Reading: "0.2"})
	first := h.View().Step.Ask
	require.NotNil(t, first)
	joint := first.Red[:strings.LastIndex(first.Red, " ")]
	j := l.FindJoint(joint)
	require.GreaterOrEqual(t, j, 0, first.Red)
	require.Error(t, h.Apply(hunt.Event{Skip: "x", Probe: "green"}))
	require.Error(t, h.Apply(hunt.Event{Reading: "1 mV", Probe: hunt.RedProbe}))
	do(hunt.Event{Skip: "behind the wall", Probe: hunt.RedProbe})
	asks := 0
	for ; asks < 8 && h.View().Step.Ask != nil; asks++ {
		a := h.View().Step.Ask
		for _, name := range []string{a.Red, a.Black} {
			assert.NotContains(t, name, l.SideName(l.Joints[j].A)+" ", "reading %d", a.N)
			assert.NotContains(t, name, l.SideName(l.Joints[j].B)+" ", "reading %d", a.N)
		}
		do(hunt.Event{Skip: "just looking"})
	}
	require.Greater(t, asks, 3)
	do(hunt.Event{Undo: asks + 1})
	assert.Equal(t, first.Red, h.View().Step.Ask.Red)
}

// TestProofsKeepAway: a proof is asked for at no place that was said to be out of
// reach, before it or at it: another place of the piece is read, and where there is
// none the end says that nothing proves it.
func TestProofsKeepAway(t *testing.T) {
	l := load(t, "dead-end")
	dead := hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: "main 12"}}
	for _, kit := range []hunt.Kit{{Volts: true, Beeper: true}, {Beeper: true}} {
		h := hunting(t, l, kit, dead, hunt.Event{Found: "main 9"})
		prove := func() *hunt.Ask { return h.View().Step.Done.Prove }
		far := []string{"main 12/13", "main 13/12"}
		require.NotNil(t, prove())
		require.Equal(t, far[0], side(prove().Black))
		require.NoError(t, h.Apply(hunt.Event{Skip: "behind the wall", Probe: hunt.BlackProbe}))
		asked := map[string]bool{}
		for n := 0; prove() != nil; n++ {
			require.Less(t, n, 9)
			a := prove()
			for _, p := range append([]string{a.Red, a.Black}, loads(a)...) {
				require.NotContains(t, far, side(p), "reading %d", a.N)
			}
			require.False(t, asked[side(a.Black)], "%s again", a.Black)
			asked[side(a.Black)] = true
			require.NoError(t, h.Apply(hunt.Event{Skip: "no", Probe: hunt.BlackProbe}))
		}
		assert.Equal(t, map[string]bool{"main 12/11": true, "main 12": true}, asked)
		d := h.View().Step.Done
		assert.False(t, d.Proven)
		assert.Contains(t, d.Verdict, "no reading of this kit proves it")
	}
}

// side is the place of a point, its rail left out.
func side(point string) string { return point[:max(strings.LastIndex(point, " "), 0)] }

// loads are the points that the load of an ask lies across.
func loads(a *hunt.Ask) (out []string) {
	for _, l := range a.Setup.Loads {
		out = append(out, l.From, l.To)
	}
	return out
}
