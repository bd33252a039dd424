package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// openOn is a joint open on one rail.
func openOn(t *testing.T, c *customer, joint, rail string) simulate.Fault {
	for _, s := range fault.List(c.n) {
		if s.Mode == track.Open && s.Place == joint && s.Rail == rail {
			return simulate.Fault{Suspect: s}
		}
	}
	require.Fail(t, "no such joint", "%s %s", joint, rail)
	return simulate.Fault{}
}

// A place that current reaches two ways is dead only where both are open: it is
// proven when each way carries alone, and not before.
func TestDeadOnALoopIsOpenOnBothSides(t *testing.T) {
	if testing.Short() {
		t.Skip("a few hunts")
	}
	for _, x := range []struct {
		layout, at, rail string
		open             [2]string
		kit              hunt.Kit
	}{
		{"loop", "main 20", "center", [2]string{"main 16/17", "main 23/24"}, allMeters},
		{"loop", "main 20", "center", [2]string{"main 16/17", "main 23/24"}, hunt.Kit{Beeper: true}},
		{"loop-siding", "siding 4", "center", [2]string{"siding 2/3", "siding 6/7"}, allMeters},
		{"shelf-two-rail", "W1", "left", [2]string{"main 4/5", "back 2/3"}, hunt.Kit{Beeper: true}},
	} {
		c := newCustomer(t, x.layout, 1)
		for _, joint := range x.open {
			c.left = append(c.left, openOn(t, c, joint, x.rail))
		}
		require.Less(t, c.volts(c.l.FindPiece(x.at)), 0.1, "else nobody would call it dead")
		d := c.hunt(x.kit, hunt.Symptom{Kind: hunt.SymptomDead, At: x.at})
		assert.True(t, d.Proven, c.log)
		assert.Empty(t, c.left, c.log)
		want := hunt.ProvedWays
		if !x.kit.Volts {
			want = hunt.ProvedWaysWhole
		}
		assert.Equal(t, []hunt.Proved{want}, d.Proves)
	}
}

// Where what was found is cause enough alone, no joint is opened to prove it: the
// one wire that feeds a loop, or a joint of a spur.
func TestOneCauseIsProvenWithoutOpeningJoints(t *testing.T) {
	for _, x := range [][3]string{{"loop", "main 20", "F1"}, {"dead-end", "main 20", "main 12/13"}} {
		c := newCustomer(t, x[0], 1)
		c.left = []simulate.Fault{{Suspect: find(t, c.n, track.Open, x[2])}}
		d := c.hunt(allMeters, hunt.Symptom{Kind: hunt.SymptomDead, At: x[1]})
		assert.True(t, d.Proven, c.log)
		assert.Equal(t, []hunt.Proved{hunt.ProvedCarries}, d.Proves, c.log)
	}
}

// A probe that does not touch is as silent as an open way: the silence of a proof is heard
// twice before the hunt goes on, and a tone the second time is asked for once more.
func TestSilentProofOfAWayIsTakenAgain(t *testing.T) {
	for _, slips := range []bool{false, true} {
		c := newCustomer(t, "loop", 1)
		open := []simulate.Fault{openOn(t, c, "main 16/17", "center"), openOn(t, c, "main 23/24", "center")}
		c.left = open
		h := hunt.New(c.l, hunt.Kit{Beeper: true})
		do := func(e hunt.Event) { require.NoError(t, h.Apply(e), c.log) }
		do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: "main 20"}})
		for h.View().Step.Ask != nil {
			do(hunt.Event{Reading: c.read(h.View().Step.Ask)})
		}
		do(hunt.Event{Found: "main 17"})
		if c.left = open[1:]; slips {
			c.left = nil
		}
		first := h.View().Step.Done.Prove
		do(hunt.Event{Reading: "no"})
		d := h.View().Step.Done
		require.NotNil(t, d, "%s: one silence, and the hunt goes on", first.Dial)
		require.Equal(t, [2]string{first.Red, first.Black}, [2]string{d.Prove.Red, d.Prove.Black})
		require.Contains(t, d.Prove.Again, "it was bad the first time")
		do(hunt.Event{Reading: map[bool]string{true: "beep", false: "no"}[slips]})
		if d = h.View().Step.Done; !slips {
			require.Nil(t, d, "twice silent")
			continue
		}
		require.Contains(t, d.Prove.Again, "once and good once")
	}
}
