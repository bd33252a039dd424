package hunt

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

func loadInside(t *testing.T, name string) *track.Layout {
	t.Helper()
	src, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read(name, src)
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

// A reading that leaves the order of looking as it is whatever it shows is idle;
// one that turns it is not, by number, by tone or by the limit.
func TestIdleQuestions(t *testing.T) {
	h := New(loadInside(t, "dead-end"), Kit{Beeper: true, Volts: true})
	require.NoError(t, h.Apply(Event{Symptom: &Symptom{Kind: SymptomShort}}))
	class := func(piece string) int { return h.sit.classNamed(piece) }
	a, b := class("main 3"), class("main 4")
	require.True(t, a >= 0 && b >= 0)
	look := func(weight, mean, beep, over []float64) infer.Outlook {
		return infer.Outlook{Weight: weight, Class: []int{a, b, a, b}, Members: [][]int{{a}, {b}, {a}, {b}},
			Share: [][]float64{{1}, {1}, {1}, {1}},
			Line:  make([]string, 4), Mean: mean, SD: []float64{.1, .1, .1, .1}, Beep: beep, Over: over}
	}
	none := make([]float64, 4)
	weight := []float64{.4, .1, .3, .2} // main 3 leads in both halves
	idle := func(f meter.Function, o infer.Outlook) bool {
		p := &infer.Posterior{Class: make([]float64, len(h.sit.engine.Classes))}
		w := &weigher{sit: &h.sit, p: p, qs: []infer.Question{{Func: f}}, looks: []infer.Outlook{o}}
		return w.idle(0)
	}
	require.True(t, idle(meter.Volts, look(weight, []float64{1, 1, 5, 5}, none, none)),
		"two rows, main 3 first in both")
	require.False(t, idle(meter.Volts, look(weight, []float64{1, 5, 1, 5}, none, none)), "each row has its own")
	require.True(t, idle(meter.Volts, look(weight, []float64{3, 3, 3, 3}, none, none)), "one row")
	require.True(t, idle(meter.Beeper, look(weight, none, []float64{1, 1, 0, 0}, none)))
	require.False(t, idle(meter.Beeper, look(weight, none, []float64{1, 0, 1, 0}, none)))
	require.False(t, idle(meter.Volts, look(weight, []float64{3, 3, 3, 3}, none, []float64{1, 0, 1, 0})),
		"over the limit for main 3 alone")
}
