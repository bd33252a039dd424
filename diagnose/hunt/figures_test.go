package hunt_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// TestEveryFigureIsANumber plays hunts with answers that contradict each other, drawn out of all that is expected
// and beyond, and writes every view as JSON, which has no word for what is no number. FISHPLATE_FIGURES=n goes on
// until n views were seen.
func TestEveryFigureIsANumber(t *testing.T) {
	want := 100
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_FIGURES")); err == nil && n > 0 {
		want = n
	}
	s := &search{t: t, rng: rand.New(rand.NewPCG(1, 7))}
	views := 0
	for views < want {
		l := s.layout(want > 500)
		kit, sym := s.kit(), s.symptom(l)
		if s.rng.IntN(2) == 0 {
			kit = hunt.Kit{Volts: true}
		}
		h := hunt.New(l, kit)
		if h.Apply(hunt.Event{Symptom: &sym}) != nil {
			continue
		}
		log := []string{fmt.Sprintf("%s at %q, kit %+v", sym.Kind, sym.At, kit)}
		for range 12 {
			v := numbers(t, h, l.Name, log)
			views++
			e := contradiction(&v, s.rng)
			log = append(log, fmt.Sprintf("%+v", e))
			if h.Apply(e) != nil {
				break
			}
		}
	}
	t.Logf("%d views on %d layouts", views, len(s.seen))
}

// numbers is all that a hunt tells, each figure of it a number.
func numbers(t *testing.T, h *hunt.Hunt, about ...any) hunt.View {
	v := h.Told()
	v.LayoutRef = nil
	_, err := json.Marshal(v)
	require.NoError(t, err, "%v", about)
	return v
}

// Where next to nothing of the belief is left in the file, a reading is foretold by what is left, and
// where nothing is, that is said.
func TestForetoldByWhatIsLeft(t *testing.T) {
	h := hunt.New(load(t, "crossover"), hunt.Kit{Volts: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: "outer 20"}}))
	for _, shown := range []string{"OL", "OL", "OL", "14.36 V", "2.503 V"} {
		require.NoError(t, h.Apply(hunt.Event{Reading: shown}))
	}
	v := numbers(t, h)
	require.Greater(t, v.NotOnMap, 0.9999)
	a := v.Step.Ask
	require.Len(t, a.Setup.Loads, 1, "the same under load")
	require.Greater(t, len(a.Expect), 1)
	for _, row := range a.Expect {
		require.Contains(t, row.Means, "in or near")
	}
	for _, f := range []meter.Function{meter.Beeper, meter.Lamp, meter.Ohms, meter.Volts, meter.Millivolts} {
		rows := hunt.Unforetold(h, f)
		require.Len(t, rows, 1, f)
		require.InDelta(t, 1, rows[0].P, 0)
		require.Contains(t, rows[0].Means, "nothing in this file")
	}
}

// contradiction is something to say: of a reading, any that is listed and what lies beyond.
func contradiction(v *hunt.View, r *rand.Rand) hunt.Event {
	a := asked(v)
	switch k := r.IntN(20); {
	case k == 0 && v.CanUndo:
		return hunt.Event{Undo: 1}
	case k == 1 && a != nil:
		return hunt.Event{Skip: "cannot reach"}
	case v.Step.Inspect != nil:
		name := v.Step.Inspect.Pieces[r.IntN(len(v.Step.Inspect.Pieces))].Piece
		if k < 8 {
			return hunt.Event{Found: name}
		}
		return hunt.Event{NotFound: name}
	case a == nil:
		return hunt.Event{Undo: 3}
	}
	return hunt.Event{Reading: drawnAnswer(a, r)}
}

// drawnAnswer is an answer out of one of the rows, each as likely as any other.
func drawnAnswer(a *hunt.Ask, r *rand.Rand) string {
	row := a.Expect[r.IntN(len(a.Expect))]
	switch kind := row.Kinds[r.IntN(len(row.Kinds))]; kind {
	case unit.Value:
	case unit.OverLimit:
		return "OL"
	case unit.Beep, unit.Silent:
		return map[unit.Kind]string{unit.Beep: "beep", unit.Silent: "no"}[kind]
	default:
		return string(kind)
	}
	x := 1.0
	switch u := r.Float64(); {
	case row.From != nil && row.To != nil:
		x = *row.From + (*row.To-*row.From)*u
	case row.From != nil:
		x = *row.From + max(*row.From, -*row.From)*u + 1e-4
	case row.To != nil:
		x = *row.To - max(*row.To, -*row.To)*u - 1e-4
	}
	if row.Size {
		x = max(x, -x)
	}
	switch a.Meter {
	case "millivolts":
		return fmt.Sprintf("%.4g mV", 1000*x)
	case "volts":
		return fmt.Sprintf("%.4g V", x)
	case "amps":
		return fmt.Sprintf("%.3g A", max(x, -x))
	}
	return fmt.Sprintf("%.4g", max(x, -x))
}
