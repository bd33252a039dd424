package hunt_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// does finds a move of an act, -1 where there is none.
func does(v *hunt.View, act hunt.Act) int {
	return slices.IndexFunc(v.Moves, func(m hunt.Move) bool { return m.Act == act })
}

// hunting begins a hunt and says things to it.
func hunting(t *testing.T, l *track.Layout, kit hunt.Kit, events ...hunt.Event) *hunt.Hunt {
	t.Helper()
	h := hunt.New(l, kit)
	for _, e := range events {
		require.NoError(t, h.Apply(e))
	}
	return h
}

// Undo takes back what was said; the supply stays on: before the beeper it goes
// off.
func TestUndoLeavesTheTrackLive(t *testing.T) {
	h := hunting(t, load(t, "blocks"), allMeters,
		hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: "main 5"}},
		hunt.Event{Reading: "beep"}, hunt.Event{Reading: "no"}, hunt.Event{NotFound: "main 4"})
	said := 0
	for ; said < 60 && h.View().Step.Ask.Setup.Source.Kind != "volts"; said++ {
		require.NoError(t, h.Apply(hunt.Event{Skip: "cannot reach"}))
	}
	require.Equal(t, "volts", h.View().Step.Ask.Setup.Source.Kind)
	require.NoError(t, h.Apply(hunt.Event{Reading: "0.0 V"}))
	require.NoError(t, h.Apply(hunt.Event{Undo: said + 3}))
	require.Equal(t, 1, h.View().Readings)
	for range 60 { // whatever comes next: no beeper before the supply is off
		a := h.View().Step.Ask
		require.NotNil(t, a)
		if a.Setup.Source.Kind == "none" {
			require.Contains(t, a.Steps, "switch the transformer off and unplug it")
			return
		}
		require.NoError(t, h.Apply(hunt.Event{Skip: "cannot reach"}))
	}
	require.Fail(t, "no reading with the supply off")
}

// A joint that was lifted for a reading is open after that reading was taken
// back, and where nobody knows the step says to see to it.
func TestUndoLeavesJointsOpen(t *testing.T) {
	l := load(t, "loop")
	h := hunting(t, l, hunt.Kit{Beeper: true}, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	for range 12 {
		a := h.View().Step.Ask
		require.NotNil(t, a)
		require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
		if len(a.Setup.Lifted) > 0 {
			break
		}
	}
	lifted := h.View().Lifted
	require.NotEmpty(t, lifted)
	before := len(h.History())
	require.NoError(t, h.Apply(hunt.Event{Undo: before}))
	v := h.View()
	require.Subset(t, v.Lifted, lifted, "hands lifted them")
	closed := 0
	for _, m := range v.Moves {
		if m.Act != hunt.ActClose {
			continue
		}
		for _, j := range m.All {
			if slices.Contains(lifted, l.Joints[j].Name) {
				closed++
			}
		}
		if !m.See && slices.Contains(lifted, l.Joints[m.Of].Name) {
			closed++
		}
	}
	require.Len(t, lifted, closed+len(intersect(lifted, v.Step.Ask.Setup.Lifted)), v.Step.Ask.Steps)
	saved, err := h.Save()
	require.NoError(t, err)
	again, err := hunt.Resume(l, hunt.Kit{Beeper: true}, saved)
	require.NoError(t, err)
	w := again.View()
	require.Equal(t, v.Moves, w.Moves, "a saved journal has the same bench")
}

func intersect(a, b []string) []string {
	var out []string
	for _, x := range a {
		if slices.Contains(b, x) {
			out = append(out, x)
		}
	}
	return out
}

// Nobody knows whether hands did what was asked for when it was left out: then
// the step says to see to it.
func TestSkippedAskIsDoubted(t *testing.T) {
	l := load(t, "loop")
	h := hunting(t, l, hunt.Kit{Beeper: true}, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	for len(h.View().Step.Ask.Setup.Lifted) == 0 {
		require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	}
	asked := h.View().Step.Ask.Setup.Lifted
	require.NoError(t, h.Apply(hunt.Event{Skip: "cannot reach"}))
	v := h.View()
	require.NotNil(t, v.Step.Ask)
	for _, name := range asked {
		said := strings.Join(v.Step.Ask.Steps, "\n")
		require.Contains(t, said, "see that the joint "+name)
	}
}

// A lamp that is bought meanwhile comes into the hunt: what was read stays, what was asked
// for may have been done, and the next reading is behind it. Another feed in place of one
// that was on the track is refused.
func TestAnotherKit(t *testing.T) {
	l := load(t, "loop")
	h := hunting(t, l, hunt.Kit{Beeper: true, Millivolts: true},
		hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	for len(h.View().Step.Ask.Setup.Lifted) == 0 {
		require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	}
	before := h.View()
	open := before.Step.Ask.Setup.Lifted[0]
	kit := allMeters
	kit.DCVolts, kit.Battery = 12, true
	require.NoError(t, h.Own(kit))
	v := h.View()
	require.Equal(t, len(before.Evidence), len(v.Evidence))
	require.Equal(t, "lamp", v.Step.Ask.Meter)
	require.Contains(t, strings.Join(v.Step.Ask.Steps, "\n"), "see that the joint", "what may be open")
	require.Contains(t, strings.Join(v.Step.Ask.Steps, "\n"), open)
	saved, err := h.Save()
	require.NoError(t, err)
	again, err := hunt.Resume(l, kit, saved)
	require.NoError(t, err)
	require.Equal(t, v.Moves, again.View().Moves)
	require.Error(t, h.Own(allMeters), "the battery may hang on the track")
	require.Equal(t, v.Step.Ask.Steps, h.View().Step.Ask.Steps, "as it was")
	kit.LampAmps = 1.75
	require.NoError(t, h.Own(kit))
	require.Error(t, h.Own(hunt.Kit{Beeper: true, LampAmps: -1}))
}

// Without a lamp a kit's battery feeds nothing: with the lamp that comes to it its battery does,
// at a weak and at a dead place too.
func TestLampComesWithItsBattery(t *testing.T) {
	for _, kind := range []hunt.SymptomKind{hunt.SymptomWeak, hunt.SymptomDead} {
		kit := allMeters
		kit.Lamp, kit.DCVolts, kit.Battery = false, 12, true
		h := hunting(t, load(t, "loop"), kit, hunt.Event{Symptom: &hunt.Symptom{Kind: kind, At: "main 9"}})
		require.NotContains(t, strings.Join(h.View().Step.Ask.Steps, "\n"), "battery")
		kit.Lamp = true
		require.NoError(t, h.Own(kit), kind)
		require.Contains(t, strings.Join(h.View().Step.Ask.Steps, "\n"), "the battery", kind)
		kit.DCVolts = 9
		require.ErrorContains(t, h.Own(kit), "may be on it already", kind)
	}
}

// A lone digit is the answer that it stands for, also where a reading is changed.
func TestDigitsEverywhere(t *testing.T) {
	h := hunting(t, load(t, "loop"), hunt.Kit{Beeper: true},
		hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}, hunt.Event{Reading: "1"})
	require.Equal(t, "beep", h.View().Evidence[0].Reading)
	require.NoError(t, h.Apply(hunt.Event{Reading: "1"}))
	require.NoError(t, h.Apply(hunt.Event{Change: &hunt.Change{N: 2, Reading: "0"}}))
	require.Equal(t, "no", h.View().Evidence[1].Reading)
}

// What a look may have left open is said of all joints in one step.
func TestJointsAreLookedAtInOneStep(t *testing.T) {
	l := load(t, "loop")
	h := hunting(t, l, hunt.Kit{Beeper: true}, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	for h.View().Step.Ask != nil {
		require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	}
	require.Greater(t, len(h.View().Lifted), 1)
	require.NoError(t, h.Apply(hunt.Event{NotFound: h.View().Step.Inspect.Pieces[0].Piece}))
	require.NoError(t, h.Apply(hunt.Event{Found: h.View().Step.Inspect.Pieces[0].Piece}))
	steps := strings.Join(h.View().Step.Done.Prove.Steps, "\n")
	require.Equal(t, 1, strings.Count(steps, "together"), steps)
	require.Equal(t, 1, strings.Count(steps, "seated"), steps)
	for _, name := range h.View().Lifted {
		require.Contains(t, steps, name)
	}
}

// After looks that found nothing the next reading begins with seating what was
// lifted, and a beeper's leaves off what the look itself said to switch off.
func TestStepsAfterALook(t *testing.T) {
	h := hunting(t, load(t, "dead-end"), allMeters,
		hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: "main 20"}})
	for h.View().Step.Ask != nil {
		text := map[string]string{"beeper": "no", "ohms": "OL", "volts": "0.0 V",
			"millivolts": "0.0 mV"}[h.View().Step.Ask.Meter]
		require.NoError(t, h.Apply(hunt.Event{Reading: text}))
	}
	v := h.View()
	require.NotNil(t, v.Step.Inspect)
	require.GreaterOrEqual(t, does(&v, hunt.ActOff), 0)
	require.Equal(t, len(v.Moves), len(v.Step.Inspect.Steps))
	first := v.Step.Inspect.Pieces[0].Piece
	for _, c := range v.Step.Inspect.Pieces { // of what is open here, what is at a joint names it
		require.Equal(t, strings.Contains(c.What, "/"), c.Joint != "", "%+v", c)
		require.True(t, strings.HasPrefix(c.What, c.Joint), "%+v", c)
	}
	require.NoError(t, h.Apply(hunt.Event{NotFound: first}))
	for h.View().Step.Inspect != nil {
		require.NoError(t, h.Apply(hunt.Event{NotFound: h.View().Step.Inspect.Pieces[0].Piece}))
	}
	v = h.View()
	require.NotNil(t, v.Step.Ask)
	k := does(&v, hunt.ActSeat)
	require.GreaterOrEqual(t, k, 0, v.Step.Ask.Steps)
	require.Contains(t, v.Moves[k].Names, first)
	require.Equal(t, "beeper", v.Step.Ask.Meter)
	require.Equal(t, -1, does(&v, hunt.ActOn), v.Step.Ask.Steps)
}

// The end puts the supply's wires back on its posts, with the lamp out.
func TestTheEndPutsEverythingBack(t *testing.T) {
	h := hunting(t, load(t, "loop"), allMeters, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	require.NoError(t, h.Apply(hunt.Event{Reading: "bright"}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "5 mV"}))
	require.NoError(t, h.Apply(hunt.Event{Found: "main 3"}))
	for v := h.View(); v.Step.Done != nil && v.Step.Done.Prove != nil; v = h.View() {
		require.Empty(t, v.Step.Done.Steps)
		require.NoError(t, h.Apply(hunt.Event{Reading: "no"}))
	}
	v := h.View()
	require.True(t, v.Step.Done.Proven)
	said := strings.Join(v.Step.Done.Steps, "\n")
	require.Contains(t, said, "put all hot wires back on the hot post of T1")
	require.Contains(t, said, "put all common wires back on the common post of T1")
	require.True(t, strings.HasSuffix(said,
		"turn the dial to off\nplug the transformer in, its handle down, and switch it on"), said)
}

// Where the lamp goes is said wire by wire, and a battery takes the place of a
// transformer whose posts are bare.
func TestHowALampIsHookedUp(t *testing.T) {
	l := load(t, "loop")
	sym := hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}
	ask := hunting(t, l, allMeters, sym).View().Step.Ask
	require.Equal(t, "lamp", ask.Setup.Source.Kind)
	inOrder(t, ask.Steps, "switch the transformer off and unplug it",
		"take all hot wires off the hot post of T1, and keep them joined to each other",
		"put the lamp between the hot post of T1 and the hot wires of T1", "turn the handle of the transformer full up",
		"plug the transformer in and switch it on")
	kit := allMeters
	kit.DCVolts, kit.Battery = 12, true
	ask = hunting(t, l, kit, sym).View().Step.Ask
	require.Equal(t, "lamp", ask.Setup.Source.Kind)
	inOrder(t, ask.Steps, "switch the transformer off and unplug it",
		"take all hot wires off the hot post of T1, and keep them joined to each other",
		"take all common wires off the common post of T1, and keep them joined to each other",
		"see that a fuse of 3 A is at the battery's plus",
		"join the common wires of T1 to the minus of the battery",
		"put the lamp between the plus of the battery and the hot wires of T1",
		"put the clip on the battery's plus")
	require.Contains(t, strings.Join(ask.Cautions, "\n"), "fuse of 3 A")
}

// inOrder wants these beginnings of steps, in this order.
func inOrder(t *testing.T, steps []string, want ...string) {
	t.Helper()
	k := 0
	for _, s := range steps {
		if k < len(want) && strings.HasPrefix(s, want[k]) {
			k++
		}
	}
	require.Equal(t, len(want), k, "%q is not where it belongs in %q", want[min(k, len(want)-1)], steps)
}

// What is tried on a situation leaves it as it was, and follows from it alone: the
// same said twice is the same, whatever was said of it in between.
func TestASituationIsAValue(t *testing.T) {
	n, err := conductor.Build(load(t, "loop"))
	require.NoError(t, err)
	for _, kit := range []hunt.Kit{{Beeper: true}, allMeters} {
		start, err := hunt.Begin(n, kit).With(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}, nil)
		require.NoError(t, err)
		was := hunt.Next(start)
		said := "beep"
		if was.Ask.Meter == "lamp" {
			said = "bright"
		}
		after, err := start.With(hunt.Event{Reading: said}, was.Ask)
		require.NoError(t, err)
		then := hunt.Next(after)
		for _, e := range []hunt.Event{{Skip: "x"}, {NotFound: "main 3"}, {Found: "main 5"},
			{Change: &hunt.Change{N: 1}}, {Quit: true}} {
			other, err := after.With(e, then.Ask)
			require.NoError(t, err)
			require.NotEqual(t, then, hunt.Next(other), "%+v", e)
		}
		require.NotEqual(t, then.Ask, hunt.Next(after.Barring(then.Ask)).Ask)
		_, err = after.With(hunt.Event{Reading: "twelve"}, then.Ask)
		require.Error(t, err)
		require.Equal(t, was, hunt.Next(start))
		require.Equal(t, then, hunt.Next(after))
		again, err := start.With(hunt.Event{Reading: said}, was.Ask)
		require.NoError(t, err)
		require.Equal(t, then, hunt.Next(again))
	}
}
