package hunt_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// ring is an invented closed loop of n pieces with one feeder.
func ring(t testing.TB, n int) *track.Layout {
	straight := (n - 16) / 2
	src := fmt.Sprintf(`name = "ring"
units = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["%d x straight 10", "8 x curve left diameter 60 angle 22.5", "%d x straight 10", "8 x curve left diameter 60 angle 22.5"]
}
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}
`, straight, straight)
	f, probs := layoutfile.Read("ring", []byte(src))
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

// BenchmarkFirstSuggestion is the time from a layout in memory to the first
// reading asked for.
func BenchmarkFirstSuggestion(b *testing.B) {
	for _, n := range []int{60, 200, 1000} {
		l := ring(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				h := hunt.New(l, allMeters)
				require.NoError(b, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
				require.NotNil(b, h.View().Step.Ask)
			}
		})
	}
}

// BenchmarkLaterSuggestion is the time from a reading typed to the next ask.
func BenchmarkLaterSuggestion(b *testing.B) {
	l := ring(b, 200)
	for b.Loop() {
		b.StopTimer()
		h := hunt.New(l, allMeters)
		require.NoError(b, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		h.View()
		b.StartTimer()
		require.NoError(b, h.Apply(hunt.Event{Reading: "80"}))
		h.View()
	}
}
